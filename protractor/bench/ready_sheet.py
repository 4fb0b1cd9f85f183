"""A sheet that is ready to be shown or written: its pages, its file, and what is said of it.

A face asks `sheet_orders` for a `Sheet`, and shows or writes what it gives.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from protractor.alignments.alignment import Alignment
from protractor.alignments.deck import Deck
from protractor.drawing.shapes import Page
from protractor.errors import InputError
from protractor.output.formats import ENDINGS, page_bytes
from protractor.output.style import Style
from protractor.printing.inputs import PAPER
from protractor.printing.paper import Paper, place_on_paper
from protractor.printing.paper import paper as paper_named

if TYPE_CHECKING:
    from protractor.printing.fit import PrintCorrection
    from protractor.printing.profiles import Profile

Made = TypeVar("Made")

ONLY_PDFS = "only PDFs are corrected"
"""Why a printer that nobody gave is left out of a cut file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OnPaper:
    """A sheet of paper, and the correction for the printer that it goes through."""

    paper: Paper
    correction: PrintCorrection | None = None

    @classmethod
    def of(cls, deck: Deck, profile_file: Path | None = None) -> OnPaper:
        """The paper and printer that a deck asks for; raises `InputError` for unknown ones.

        The printer is one of the profile file, by default the user's own.
        """
        paper = paper_named(PAPER.or_default(deck.paper), deck.clear_margin_mm)
        if deck.printer is None:
            return cls(paper=paper)
        return cls(paper=paper, correction=profile_of(deck.printer, paper, profile_file).correction)

    @property
    def note(self) -> str:
        """The line on a sheet that names the printer it was corrected for; empty for none."""
        return self.correction.statement if self.correction else ""

    def page(self, make: Callable[[Paper], Made]) -> Made:
        """The page that `make` makes, upright or on its side.

        Raises `InputError` that names the smallest paper that would do.
        """
        return place_on_paper(make, self.paper)[0]


def profile_of(printer: str, paper: Paper, profile_file: Path | None = None) -> Profile:
    """What was recorded of a printer on a paper; raises `InputError` when nothing was."""
    from protractor.printing.profiles import load, profile_for

    return profile_for(load(profile_path(profile_file)), printer, paper.name)


def profile_path(profile_file: Path | None = None) -> Path:
    """The profile file that was named, else the user's own."""
    from protractor.printing.profiles import default_file

    return profile_file or default_file()


@dataclass(frozen=True, kw_only=True)  # no slots: the pages are kept when they are made
class Sheet:
    """A sheet: its file's stem, its pages, what is said of it, and its figures.

    Attributes:
        stem: how its file is called, without the ending.
        make: makes the pages, of which a PDF has all and a cut file the first.
        says: the paragraphs of its report, by its pages and the file's format.
        figures: what it was drawn from, under stable keys.
        usual: the format when none is asked for.
        correction: what corrects its PDF for a printer.
        alignment: of the deck that it is for; None for a sheet that needs none.
    """

    stem: str
    make: Callable[[], Page | tuple[Page, ...]]
    says: Callable[[tuple[Page, ...], str], Iterable[str]]
    figures: Callable[[], dict[str, Any]] = dict
    usual: str = "pdf"
    correction: PrintCorrection | None = None
    alignment: Alignment | None = None

    @cached_property
    def pages(self) -> tuple[Page, ...]:
        """The pages, made when they are first asked for; `InputError` where that cannot be."""
        made = self.make()
        return (made,) if isinstance(made, Page) else made

    @property
    def title(self) -> str:
        """The deck's name or else the sheet's, as it is printed."""
        return self.pages[0].title

    @property
    def printer(self) -> str:
        """The printer that its PDF is corrected for; empty for none."""
        return self.correction.printer if self.correction else ""

    def file_name(self, file_format: str = "") -> str:
        """How its file is called in a format, by default the usual one."""
        return self.stem + ENDINGS[file_format or self.usual]

    def check_format(self, file_format: str, name: str = "") -> None:
        """Raise `InputError` when the sheet is not written in a format.

        A correction for a printer is for PDF alone. `name` is the file's, where it has one.
        """
        if self.correction is not None and file_format != "pdf":
            raise InputError(
                "printer",
                f"{self.printer} for {name or file_format}",
                "PDF sheets alone",
                "a cut file or drawing must keep its lengths: leave out `printer`, or name a .pdf",
            )

    def file_bytes(self, file_format: str = "", style: Style | None = None) -> bytes:
        """The file in a format, pdf, svg or dxf, by default the usual one.

        `style` dresses the cut files. Raises `InputError` for pages that cannot be made, and for a
        cut file of what is corrected for a printer.
        """
        file_format = file_format or self.usual
        self.check_format(file_format)
        matrix = self.correction.matrix if self.correction else None
        return page_bytes(self.pages, file_format, style, matrix, self.printer)

    def preview(self, number: int = 0) -> bytes:
        """A page as an SVG to look at, counted from 0; uncorrected, whatever the printer."""
        return page_bytes(self.pages[number], "svg")

    def words(self, file_format: str = "") -> list[str]:
        """The paragraphs that are said of the file in a format, by default the usual one."""
        return [text for text in self.says(self.pages, file_format or self.usual) if text]

    def as_dict(self, file: str) -> dict[str, Any]:
        """Figures, file, size, printer and features under stable keys."""
        return {
            **self.figures(),
            "file": file,
            "sheet": self._size(),
            "printer": correction_dict(self.correction),
            **self._content(),
        }

    def _size(self) -> dict[str, Any]:
        page = self.pages[0]
        return _size(page.paper, page.width_mm, page.height_mm)

    def _content(self) -> dict[str, Any]:
        return {"features": self.pages[0].features}


@dataclass(frozen=True, kw_only=True)
class Pack(Sheet):
    """Several sheets in one PDF with a bookmark for each page.

    Attributes:
        name: of the deck.
        paper: that all pages are for, as it was named.
    """

    name: str
    paper: Paper

    @property
    def title(self) -> str:
        """The deck's name."""
        return self.name

    def check_format(self, file_format: str, name: str = "") -> None:
        """Raise `InputError` for anything but a PDF."""
        super().check_format(file_format, name)
        if file_format != "pdf":
            raise InputError(
                "output",
                name or file_format,
                "a name that ends in .pdf",
                "name it so: it is one PDF",
            )

    def file_bytes(self, file_format: str = "", style: Style | None = None) -> bytes:
        """The PDF; raises `InputError` for any other format."""
        from protractor.output.pdf import pdf_bytes

        self.check_format(file_format or self.usual)
        matrix = self.correction.matrix if self.correction else None
        names = [page.title for page in self.pages]
        return pdf_bytes(list(self.pages), matrix, names, self.printer)

    def _size(self) -> dict[str, Any]:
        return _size(self.paper.name, self.paper.width_mm, self.paper.height_mm)

    def _content(self) -> dict[str, Any]:
        return {"pages": [{"title": page.title, "features": page.features} for page in self.pages]}


def _size(paper: str, width_mm: float, height_mm: float) -> dict[str, Any]:
    return {"paper": paper, "width_mm": width_mm, "height_mm": height_mm}


def correction_dict(correction: PrintCorrection | None) -> dict[str, Any] | None:
    """A correction under stable keys; None for none."""
    if correction is None:
        return None
    return {
        "name": correction.printer,
        "date": correction.date,
        "x_factor": 1 / correction.scale_x,
        "y_factor": 1 / correction.scale_y,
        "matrix": [list(row) for row in correction.matrix],
    }
