"""Sheets for many decks at once: in processes, resumable, with a summary a machine can read.

A deck that fails is reported and the rest go on; only a full disk stops them. Every file is written
whole or not at all. While a batch runs it keeps `progress.jsonl`, a line a deck, from which
`resume` goes on after a stop; when it is through, `summary.json` says the same and more, and
`index.pdf` shows it.
"""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Callable, Generator, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from protractor.alignments.deck import Deck
from protractor.bench.deck_file import DeckFile, Fault
from protractor.bench.deck_sheets import DeckTask, SheetChoice, draw, failure
from protractor.bench.ledger import (
    INDEX,
    PROGRESS,
    SUMMARY,
    Earlier,
    Journal,
    Outcome,
    Outcomes,
    as_text,
    check_place,
    earlier,
    files_of,
    sha256,
    summary_text,
)
from protractor.bench.workers import results
from protractor.errors import InputError, named
from protractor.files import alone, clear_parts, write_whole
from protractor.printing.fit import PrintCorrection
from protractor.printing.profiles import Profile, default_file, load

WAIT_S = 3.0
"""How long a batch waits for the folder: processes of one that was killed end their deck."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """What a batch did: an outcome a deck, in the order of the file."""

    folder: Path
    outcomes: Outcomes
    index_sha256: str

    def count(self, status: str) -> int:
        """How many decks are `written`, `kept` or `failed`."""
        return self.counts[status]

    @property
    def counts(self) -> dict[str, int]:
        """How many decks are written, kept and failed."""
        found = Counter(outcome["status"] for outcome in self.outcomes)
        return {status: found[status] for status in ("written", "kept", "failed")}

    @property
    def summary(self) -> str:
        """The summary as JSON."""
        return summary_text(self.outcomes, self.counts, self.index_sha256)

    def as_dict(self) -> dict[str, Any]:
        """The summary, under stable keys."""
        summary: dict[str, Any] = json.loads(self.summary)
        return summary


def run_batch(
    found: DeckFile,
    folder: Path,
    choice: SheetChoice | None = None,
    *,
    processes: int = 1,
    resume: bool = False,
    force: bool = False,
    progress: Callable[[Outcome], None] | None = None,
) -> Batch:
    """Draws the sheets of all decks into a folder that exists, with summary and index.

    Args:
        found: the decks of a file; those with faults become failed decks.
        folder: where to write.
        choice: what to draw; default template and plate in all formats.
        processes: how many decks are drawn at once.
        resume: go on with an earlier batch here: keep what is there and unchanged.
        force: replace files whoever wrote them.
        progress: called with every outcome as it is there.

    Raises:
        InputError: when the folder is missing or read-only, another batch is writing to it, or it
            holds a batch and neither `resume` nor `force` is set, or a file by the name of
            summary, index or journal that no batch wrote; when the disk is full.

    >>> import tempfile
    >>> decks = DeckFile(
    ...     decks=(Deck(name="Bench deck", pivot_to_spindle_mm=222.0),), lines=(1,), faults=()
    ... )
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     choice = SheetChoice(sheets=("template",), formats=("pdf",))
    ...     batch = run_batch(decks, Path(folder), choice)
    ...     sorted(path.name for path in Path(folder).iterdir())
    ['bench-deck_template.pdf', 'index.pdf', 'summary.json']
    """
    choice = choice or SheetChoice()
    others = "a folder that no other batch is writing to"
    with alone(folder / SUMMARY, "folder", allowed=others, wait_s=WAIT_S):
        before = earlier(folder)
        check_place(folder, before, resume=resume, force=force)
        clear_parts(folder)
        journal = Journal(folder, anew=not resume or PROGRESS not in before.ours)
        texts: list[tuple[int, str]] = []
        if not resume:
            before = Earlier(outcomes={}, ours=frozenset())
        try:
            with closing(_outcomes(found, folder, choice, before, processes, force)) as outcomes:
                for outcome in outcomes:
                    if outcome.pop("full", False):
                        remedy = f"make room, then give {_again(force)} to go on"
                        raise InputError("folder", folder, "a disk with room", remedy)
                    text = as_text(outcome)
                    texts.append((outcome["line"], text))
                    if outcome["status"] == "written":
                        journal.add(text)
                    if progress is not None:
                        progress(outcome)
        finally:
            clear_parts(folder)  # of processes that were killed, by us or others
        texts.sort(key=lambda pair: pair[0])
        return _finish(folder, Outcomes(text for _, text in texts), journal)


def _again(force: bool) -> str:
    """The options with which a batch that was stopped goes on."""
    return "`resume` and `force`" if force else "`resume`"


def _outcomes(
    found: DeckFile,
    folder: Path,
    choice: SheetChoice,
    before: Earlier,
    processes: int,
    force: bool,
) -> Generator[Outcome, None, None]:
    """What becomes of every deck: first those that need no drawing, then the others as they end."""
    tasks: list[DeckTask] = []
    for deck, line, correction in corrections(found, choice):
        outcome = before.outcomes.get(deck.name, {})
        if isinstance(correction, InputError):
            yield failure(deck.name, line, str(correction), files_of(outcome))
            continue
        key = choice.key(deck, correction)
        if outcome.get("key") == key and _untouched(folder, outcome):
            yield {**outcome, "line": line, "status": "kept"}
            continue
        task = DeckTask(
            deck=deck,
            line=line,
            choice=choice,
            key=key,
            correction=correction,
            folder=folder,
            replaceable=None if force else files_of(outcome),
        )
        tasks.append(task)
    for faults in found.faulty_decks:
        errors = "; ".join(str(fault.error) for fault in faults)
        outcome = before.outcomes.get(faults[0].deck, {})
        yield failure(faults[0].deck, faults[0].line, errors, files_of(outcome))
    for task, done in results(draw, tasks, min(processes, max(1, len(tasks)))):
        ended = f"its process was ended from outside; give {_again(force)} to go on"
        yield done or task.failed(named(ended))


def corrections(
    found: DeckFile, choice: SheetChoice
) -> Iterator[tuple[Deck, int, PrintCorrection | InputError | None]]:
    """Every sound deck, its line, and what corrects its PDFs or why nothing can.

    The profiles are read once, when a deck names a printer.
    """
    profiles: tuple[Profile, ...] = ()
    unreadable = None
    if any(choice.prints(deck) for deck in found.decks):
        try:
            profiles = load(choice.profile_file or default_file())
        except InputError as error:
            unreadable = error
    for deck, line in zip(found.decks, found.lines, strict=True):
        try:
            if unreadable is not None and choice.prints(deck):
                raise unreadable
            yield deck, line, choice.correction(deck, profiles)
        except InputError as error:
            yield deck, line, error


def refused(found: DeckFile, choice: SheetChoice) -> tuple[Fault, ...]:
    """What `run_batch` would refuse of the sound decks: papers too small, printers unknown."""
    faults = []
    for deck, line, correction in corrections(found, choice):
        try:
            if isinstance(correction, InputError):
                raise correction
            choice.check(deck, correction)
        except InputError as error:
            faults.append(Fault(line=line, deck=deck.name, error=error))
    return tuple(faults)


def _untouched(folder: Path, outcome: Outcome) -> bool:
    """Whether every file of an outcome is there as it was written."""
    return all(sha256(folder / file) == its for file, its in files_of(outcome).items())


def _finish(folder: Path, outcomes: Outcomes, journal: Journal) -> Batch:
    """Writes index and summary and drops the journal that the summary replaces."""
    from protractor.output.pdf import pdf_bytes
    from protractor.sheets.index_sheet import index_pages

    index = pdf_bytes(index_pages(outcomes))
    batch = Batch(folder=folder, outcomes=outcomes, index_sha256=hashlib.sha256(index).hexdigest())
    # before it is there: so it is known as ours if the program is killed before the summary is
    journal.add(as_text({"index_sha256": batch.index_sha256}))
    write_whole(folder / INDEX, index, force=True, name="folder", tidy=False)
    write_whole(folder / SUMMARY, batch.summary.encode(), force=True, name="folder", tidy=False)
    journal.drop()
    return batch
