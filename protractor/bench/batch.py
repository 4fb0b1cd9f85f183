"""Sheets for many decks at once: in processes, resumable, with a summary a machine can read.

A deck that fails is reported and the rest go on. Every file is written whole or not at all. While a
batch runs it keeps `progress.jsonl`, a line a deck, from which `resume` goes on after a stop; when
it is through, `summary.json` says the same and more, and `index.pdf` shows it.
"""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import asdict, dataclass, field
from itertools import islice
from pathlib import Path
from typing import Any

from protractor import __version__
from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.bench import workers
from protractor.bench.deck_file import DeckFile
from protractor.bench.decks import deck_stem, remark
from protractor.bench.ledger import (
    INDEX,
    PROGRESS,
    SUMMARY,
    Record,
    Records,
    as_text,
    earlier_records,
    summary_text,
)
from protractor.drawing.movement import turn_upright
from protractor.drawing.shapes import Page
from protractor.errors import InputError
from protractor.files import refuse, write_whole
from protractor.output.formats import ENDINGS, page_bytes
from protractor.output.style import Style
from protractor.printing.fit import PrintCorrection
from protractor.printing.paper import Paper, place_on_paper
from protractor.printing.paper import paper as paper_of
from protractor.sheets.cutting import Cutting


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What is wanted for every deck: which sheets, in which formats, cut and dressed how.

    `paper` is for decks that name none; `profile_file` holds the printers that decks name, by
    default the user's own.
    """

    sheets: tuple[str, ...] = ("template", "plate")
    formats: tuple[str, ...] = ("pdf", "svg", "dxf")
    cutting: Cutting = field(default_factory=Cutting)
    style: Style = field(default_factory=Style)
    paper: str = "a4"
    profile_file: Path | None = None

    def page(self, deck: Deck, sheet: str, note: str = "") -> Page:
        """One sheet of a deck; raises `InputError` where deck or paper do not allow it.

        `note` is a line on what a sheet of paper was corrected for.
        """
        alignment = align(deck)
        if sheet == "plate":
            from protractor.sheets.plate import plate_page

            return plate_page(alignment, self.cutting, deck.name)
        if sheet == "board":
            from protractor.sheets.arm_board import board_page

            return self._placed(deck, lambda p: board_page(alignment, p, None, deck.name, note))
        from protractor.sheets.alignment_sheet import alignment_page

        return self._placed(deck, lambda p: alignment_page(alignment, p, deck.name, 0.0, note))

    def _placed(self, deck: Deck, make: Callable[[Paper], Page]) -> Page:
        """A page on the deck's paper, upright or drawn on its side."""
        page, on_its_side = place_on_paper(make, paper_of(deck.paper or self.paper))
        return turn_upright(page) if on_its_side else page

    def correction(self, deck: Deck) -> PrintCorrection | None:
        """What corrects the deck's sheets of paper for its printer, None when it names none.

        Raises `InputError` when that printer was not recorded.
        """
        if deck.printer is None:
            return None
        from protractor.printing.profiles import default_file, load, profile_for

        profiles = load(self.profile_file or default_file())
        paper = paper_of(deck.paper or self.paper)
        return profile_for(profiles, deck.printer, paper.name).correction

    def file(self, deck: Deck, sheet: str, file_format: str, page: Page) -> bytes:
        """A sheet as a file; as PDF on paper, drawn anew for the deck's printer if it names one."""
        correction = None
        if file_format == "pdf" and sheet != "plate":
            correction = self.correction(deck)
        if correction is None:
            return page_bytes(page, file_format, self.style)
        corrected = self.page(deck, sheet, correction.statement)
        return page_bytes(corrected, file_format, self.style, correction.matrix)

    def key(self, deck: Deck) -> str:
        """A name for everything that a deck's files depend on."""
        try:
            correction = self.correction(deck) if "pdf" in self.formats else None
            told = correction.statement if correction else ""
        except InputError as error:  # told when the deck is drawn
            told = str(error)
        said = {
            "printer": told,
            "version": __version__,
            "deck": deck.as_dict(),
            "sheets": self.sheets,
            "formats": self.formats,
            "cutting": asdict(self.cutting),
            "text": self.style.text,
            "colours": dict(self.style.colours),
            "paper": self.paper,
        }
        return hashlib.sha256(json.dumps(said, sort_keys=True).encode()).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One deck to be drawn: its line in the file, and the files that may be replaced."""

    deck: Deck
    line: int
    order: Order
    folder: Path
    replaceable: dict[str, str] | None
    """sha256 by file name of what an earlier run wrote; None when anything may be replaced."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """What a batch did: a record a deck, in the order of the file."""

    folder: Path
    records: Records

    def count(self, status: str) -> int:
        """How many decks are `written`, `kept` or `failed`."""
        return self.counts[status]

    @property
    def counts(self) -> dict[str, int]:
        """How many decks are written, kept and failed."""
        found = Counter(record["status"] for record in self.records)
        return {status: found[status] for status in ("written", "kept", "failed")}

    def as_dict(self) -> dict[str, Any]:
        """The summary, under stable keys."""
        summary: dict[str, Any] = json.loads(summary_text(self.records, self.counts))
        return summary


def draw(task: Task) -> Record:
    """Draws and writes every sheet of one deck; never raises: what went wrong is in the record."""
    record: Record = {"name": task.deck.name, "line": task.line, "status": "failed"}
    try:
        record |= _drawn(task)
    except InputError as error:
        record["error"] = str(error)
    except Exception as error:  # a deck that fails for any reason must not stop the others
        record["error"] = f"{type(error).__name__}: {error}"
    if record["status"] == "failed" and task.replaceable:
        record["earlier_files"] = _as_entries(task.replaceable)
    return record


def _as_entries(files: dict[str, str]) -> list[Record]:
    """Files of an earlier run, sha256 by name, as a failed deck's record keeps them."""
    return [{"file": name, "sha256": sha256} for name, sha256 in files.items()]


def _files_of(before: Record) -> dict[str, str]:
    """What the earlier runs wrote for a deck, from its record: sha256 by file name."""
    entries = before.get("files") or before.get("earlier_files") or []
    return {entry["file"]: entry["sha256"] for entry in entries}


def _drawn(task: Task) -> Record:
    deck, order = task.deck, task.order
    stem = deck_stem(deck.name)
    files: list[Record] = []
    sheets: Record = {}
    made: list[tuple[Path, bytes]] = []
    for sheet in order.sheets:
        page = order.page(deck, sheet)
        sheets[sheet] = {
            "paper": page.paper,
            "width_mm": page.width_mm,
            "height_mm": page.height_mm,
            "features": page.features,
        }
        for file_format in order.formats:
            path = task.folder / f"{stem}_{sheet}{ENDINGS[file_format]}"
            data = order.file(deck, sheet, file_format, page)
            made.append((path, data))
            files.append(
                {
                    "file": path.name,
                    "sheet": sheet,
                    "format": file_format,
                    "bytes": len(data),
                    "sha256": hashlib.sha256(data).hexdigest(),
                }
            )
    # what is there and the same stays; all the rest is checked before any of it is written
    made = [(path, data) for path, data in made if not _holds(path, data)]
    for path, _ in made:
        may = _may_replace(path, task.replaceable)
        if not may and path.is_file() and path.name in (task.replaceable or {}):
            raise InputError(
                "folder",
                path.name,
                "sheets as the earlier batch left them",
                "changed since, so kept: move it away, or say --force to replace it",
            )
        refuse(path, may, "folder")
    for path, data in made:
        write_whole(path, data, force=_may_replace(path, task.replaceable), name="folder")
    return {
        "status": "written",
        "remark": remark(deck),
        "key": order.key(deck),
        "files": files,
        "alignment": align(deck).as_dict(),
        "sheets": sheets,
    }


def _may_replace(path: Path, replaceable: dict[str, str] | None) -> bool:
    """Whether a file may be written over: always, or when it is as an earlier run left it."""
    if replaceable is None:
        return True
    return path.name in replaceable and _sha256(path) == replaceable[path.name]


def _holds(path: Path, data: bytes) -> bool:
    """Whether a file is there with just these bytes."""
    return _sha256(path) == hashlib.sha256(data).hexdigest()


def _sha256(path: Path) -> str | None:
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return None


def run_batch(
    found: DeckFile,
    folder: Path,
    order: Order | None = None,
    *,
    processes: int = 1,
    resume: bool = False,
    force: bool = False,
    progress: Callable[[Record], None] | None = None,
) -> Batch:
    """Draws the sheets of all decks into a folder that exists, with summary and index.

    Args:
        found: the decks of a file; its faults become failed decks.
        folder: where to write.
        order: what to draw; default template and plate in all formats.
        processes: how many decks are drawn at once.
        resume: go on with an earlier batch here: keep what is there and unchanged.
        force: replace files whoever wrote them.
        progress: called with every record as it is done.

    Raises:
        InputError: when the folder is missing or read-only, or holds a batch and neither `resume`
            nor `force` is set.

    >>> import tempfile
    >>> decks = DeckFile(
    ...     decks=(Deck(name="Bench deck", pivot_to_spindle_mm=222.0),), lines=(1,), faults=()
    ... )
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     batch = run_batch(decks, Path(folder), Order(sheets=("template",), formats=("pdf",)))
    ...     sorted(path.name for path in Path(folder).iterdir())
    ['bench-deck_template.pdf', 'index.pdf', 'summary.json']
    """
    order = order or Order()
    for name in (SUMMARY, INDEX):
        _refuse_batch(folder / name, force or resume)
    done: list[tuple[int, str]] = []  # line and record as text

    def note(record: Record) -> str:
        text = as_text(record)
        done.append((record["line"], text))
        if progress is not None:
            progress(record)
        return text

    tasks: list[Task] = []
    earlier = earlier_records(folder) if resume else {}
    for deck, line in zip(found.decks, found.lines, strict=True):
        before = earlier.get(deck.name, {})
        if before.get("key") == order.key(deck) and _untouched(folder, before):
            note({**before, "line": line, "status": "kept"})
            continue
        replaceable = None if force else _files_of(before)
        tasks.append(
            Task(deck=deck, line=line, order=order, folder=folder, replaceable=replaceable)
        )
    for fault in found.faults:
        told: Record = {"name": fault.deck, "line": fault.line, "error": str(fault.error)}
        if files := _files_of(earlier.get(fault.deck, {})):
            told["earlier_files"] = _as_entries(files)
        note({**told, "status": "failed"})
    del earlier
    if not resume:
        (folder / PROGRESS).unlink(missing_ok=True)
    with (folder / PROGRESS).open("a", encoding="utf-8") as journal:
        for record in _results(tasks, min(processes, max(1, len(tasks)))):
            # a whole line at a time: what is here when the program is killed can be believed
            journal.write(note(record) + "\n")
            journal.flush()
    done.sort(key=lambda pair: pair[0])
    batch = Batch(folder=folder, records=Records(text for _, text in done))
    done.clear()
    _finish(batch)
    return batch


def _refuse_batch(path: Path, force: bool) -> None:
    try:
        refuse(path, force, "folder")
    except InputError as error:
        if path.is_file():
            raise InputError(
                "folder",
                path.parent,
                "a folder without an earlier batch",
                "say --resume to go on with it, --force to replace it",
            ) from error
        raise


def _untouched(folder: Path, record: Record) -> bool:
    """Whether every file of a record is there as it was written."""
    return all(_sha256(folder / entry["file"]) == entry["sha256"] for entry in record["files"])


def _results(tasks: Sequence[Task], processes: int) -> Iterator[Record]:
    """The record of every task as it is done; at most a few are under way at a time."""
    if processes == 1:
        yield from map(draw, tasks)
        return
    waiting = iter(tasks)
    under_way: dict[Future[Record], Task] = {}
    pool = ProcessPoolExecutor(processes, initializer=workers.begin)
    try:
        while True:
            for task in islice(waiting, 2 * processes - len(under_way)):
                under_way[pool.submit(workers.whole, draw, task)] = task
            if not under_way:
                return
            for future in wait(under_way, return_when=FIRST_COMPLETED).done:
                record = future.result()
                del under_way[future]
                yield record
    except BrokenProcessPool:
        for task in (*under_way.values(), *waiting):
            error = "its process was ended from outside; say --resume to go on"
            yield {"name": task.deck.name, "line": task.line, "status": "failed", "error": error}
    finally:
        pool.shutdown(cancel_futures=True)


def _finish(batch: Batch) -> None:
    """Writes index and summary and drops the journal that the summary replaces."""
    from protractor.output.pdf import pdf_bytes
    from protractor.sheets.index_sheet import index_pages

    write_whole(
        batch.folder / INDEX, pdf_bytes(index_pages(batch.records)), force=True, name="folder"
    )
    text = summary_text(batch.records, batch.counts).encode("utf-8")
    write_whole(batch.folder / SUMMARY, text, force=True, name="folder")
    (batch.folder / PROGRESS).unlink(missing_ok=True)
