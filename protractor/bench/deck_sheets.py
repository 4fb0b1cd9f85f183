"""The sheets of one deck: which are wanted, drawn and written, with what became of them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any

from protractor import __version__
from protractor.alignments.align import align
from protractor.alignments.alignment import Alignment
from protractor.alignments.deck import Deck
from protractor.bench.decks import deck_stem, remark
from protractor.bench.ledger import Outcome, sha256
from protractor.bench.ready_sheet import OnPaper, Sheet
from protractor.bench.sheet_orders import arc_sheet, board_sheet, plate_sheet
from protractor.drawing.shapes import Page
from protractor.errors import InputError
from protractor.files import no_room, refuse, write_whole
from protractor.output.formats import ENDINGS
from protractor.output.style import Style
from protractor.printing.fit import PrintCorrection
from protractor.printing.paper import Paper
from protractor.printing.paper import paper as paper_named
from protractor.printing.profiles import Profile, profile_for
from protractor.sheets.cutting import Cutting


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetChoice:
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

    def sheet(
        self, deck: Deck, alignment: Alignment, name: str, correction: PrintCorrection | None = None
    ) -> Sheet:
        """One of the sheets of a deck and its alignment, on paper corrected for a printer."""
        if name == "plate":
            return plate_sheet(deck, self.cutting, alignment)
        on_paper = OnPaper(paper=self.paper_of(deck), correction=correction)
        if name == "board":
            return board_sheet(deck, on_paper, alignment=alignment)
        return arc_sheet(deck, on_paper, alignment=alignment)

    def paper_of(self, deck: Deck) -> Paper:
        """The paper of a deck, with its own clear margin."""
        return paper_named(deck.paper or self.paper, deck.clear_margin_mm)

    def prints(self, deck: Deck) -> bool:
        """Whether sheets of the deck are to be corrected for a printer: PDFs on paper."""
        on_paper = any(sheet != "plate" for sheet in self.sheets)
        return deck.printer is not None and "pdf" in self.formats and on_paper

    def correction(self, deck: Deck, profiles: tuple[Profile, ...]) -> PrintCorrection | None:
        """What corrects the deck's PDFs for the printer it names; `InputError` for an unknown one.

        None when it names none, or when nothing is printed on it.
        """
        if deck.printer is None or not self.prints(deck):
            return None
        paper = self.paper_of(deck)
        return profile_for(profiles, deck.printer, paper.name).correction

    def check(self, deck: Deck, correction: PrintCorrection | None) -> None:
        """Raise `InputError` when a sheet of the deck cannot be drawn, as on too small a paper."""
        alignment = align(deck)
        for name in self.sheets:
            _ = self.sheet(deck, alignment, name, correction).pages

    def key(self, deck: Deck, correction: PrintCorrection | None) -> str:
        """A name for everything that a deck's files depend on."""
        inputs = {
            "printer": correction.statement if correction else "",
            "version": __version__,
            "deck": replace(deck, data_sheets=()).as_dict(),
            "sheets": self.sheets,
            "formats": self.formats,
            "cutting": asdict(self.cutting),
            "text": self.style.text,
            "colours": dict(self.style.colours),
            "paper": self.paper,
        }
        return hashlib.sha256(json.dumps(inputs, sort_keys=True).encode()).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class DeckTask:
    """One deck to be drawn: its line in the file, and the files that may be replaced."""

    deck: Deck
    line: int
    choice: SheetChoice
    key: str
    correction: PrintCorrection | None
    folder: Path
    replaceable: dict[str, str] | None
    """sha256 by file name of what an earlier run wrote; None when anything may be replaced."""

    def failed(self, error: str) -> Outcome:
        """The outcome when something went wrong; files of an earlier run are remembered."""
        return failure(self.deck.name, self.line, error, self.replaceable or {})

    def may_replace(self, path: Path) -> bool:
        """Whether a file may be written over: any, or one that is as an earlier run left it."""
        if self.replaceable is None:
            return True
        return path.name in self.replaceable and sha256(path) == self.replaceable[path.name]


def failure(name: str, line: int, error: str, files: dict[str, str]) -> Outcome:
    """The outcome of a deck that could not be drawn; `files` of an earlier run, sha256 by name."""
    outcome: Outcome = {"name": name, "line": line, "status": "failed", "error": error}
    if files:
        outcome["earlier_files"] = [{"file": file, "sha256": h} for file, h in files.items()]
    return outcome


def draw(task: DeckTask) -> Outcome:
    """Draws and writes every sheet of one deck; never raises: what went wrong is in the outcome."""
    try:
        return _drawn(task)
    except InputError as error:
        return task.failed(str(error)) | ({"full": True} if no_room(error) else {})
    except Exception as error:  # a deck that fails for any reason must not stop the others
        return task.failed(f"{type(error).__name__}: {error}")


def _drawn(task: DeckTask) -> Outcome:
    alignment = align(task.deck)
    files: list[Outcome] = []
    sheets: Outcome = {}
    made: list[tuple[Path, bytes]] = []
    for sheet, file_format, pages, data in _files(task, alignment):
        path = task.folder / f"{deck_stem(task.deck.name)}_{sheet}{ENDINGS[file_format]}"
        made.append((path, data))
        sheets.setdefault(sheet, _as_dict(pages[0]))
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
    made = [(path, data) for path, data in made if sha256(path) != hashlib.sha256(data).hexdigest()]
    for path, _ in made:
        may = task.may_replace(path)
        if not may and path.is_file() and path.name in (task.replaceable or {}):
            raise InputError(
                "folder",
                path.name,
                "sheets as the earlier batch left them",
                "changed since, so kept: move it away, or say `force` to replace it",
            )
        refuse(path, may, "folder")
    for path, data in made:
        write_whole(path, data, force=task.may_replace(path), name="folder", tidy=False)
    return {
        "name": task.deck.name,
        "line": task.line,
        "status": "written",
        "remark": remark(task.deck),
        "key": task.key,
        "files": files,
        "alignment": alignment.as_dict(),
        "sheets": sheets,
    }


def _files(
    task: DeckTask, alignment: Alignment
) -> Iterator[tuple[str, str, tuple[Page, ...], bytes]]:
    """Every sheet in every format: its pages and its bytes. Each sheet is laid out once.

    A PDF on paper is corrected for the deck's printer and says so; the pages of the others do not.
    """
    choice = task.choice
    for name in choice.sheets:
        made: dict[PrintCorrection | None, Sheet] = {}
        for file_format in choice.formats:
            for_printer = file_format == "pdf" and name != "plate"
            correction = task.correction if for_printer else None
            if correction not in made:
                made[correction] = choice.sheet(task.deck, alignment, name, correction)
            sheet = made[correction]
            yield name, file_format, sheet.pages, sheet.file_bytes(file_format, choice.style)


def _as_dict(page: Page) -> dict[str, Any]:
    """A sheet as the summary tells it."""
    return {
        "paper": page.paper,
        "width_mm": page.width_mm,
        "height_mm": page.height_mm,
        "features": page.features,
    }
