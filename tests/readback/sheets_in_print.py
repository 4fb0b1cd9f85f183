"""Every kind of sheet that this package prints, by name, for tests that hold for all of them."""

from __future__ import annotations

from collections.abc import Callable

from protractor.alignments.align import align, chosen_nulls
from protractor.alignments.deck import Deck
from protractor.alignments.sheet_code import continuing, sheet_code
from protractor.drawing.shapes import Page
from protractor.printing.paper import Paper, paper, place_on_paper
from protractor.sheets.alignment_sheet import alignment_pages
from protractor.sheets.calibration import calibration_page
from protractor.sheets.numbers import numbers_page
from protractor.sheets.pivot_gauge import pivot_gauge_page
from protractor.sheets.two_null import two_null_pages

ALIGNMENT = align(Deck(pivot_to_spindle_mm=222.0))
SCHEME, SIDE, NULLS = chosen_nulls(Deck())

COMMAND = continuing(ALIGNMENT, Deck(pivot_to_spindle_mm=222.0), code=sheet_code(ALIGNMENT))

Maker = Callable[[Paper, str], Page | tuple[Page, ...]]

MAKERS: dict[str, Maker] = {
    "alignment": lambda sheet, note: alignment_pages(
        ALIGNMENT, sheet, "An invented deck", note=note, command=COMMAND
    ),
    "two-null": lambda sheet, note: two_null_pages(NULLS, SCHEME, SIDE, sheet, note=note),
    "calibration": lambda sheet, note: calibration_page(sheet, "desk" if note else "", note),
    "gauge": lambda sheet, note: pivot_gauge_page(sheet, note=note),
    "numbers": lambda sheet, note: numbers_page(ALIGNMENT, sheet, "An invented deck", note),
}

CASES = [
    *((kind, name) for kind in MAKERS for name in ("a4", "letter", "legal", "a3", "tabloid")),
    *((kind, "a5") for kind in ("two-null", "calibration", "numbers")),
    *((kind, "212x300mm") for kind in MAKERS),
]


def page_of(kind: str, name: str, note: str = "", clear_margin_mm: float | None = None) -> Page:
    """The first page of a sheet on a paper, upright or on its side, as the commands place it."""
    return pages_of(kind, name, note, clear_margin_mm)[0]


def pages_of(
    kind: str, name: str, note: str = "", clear_margin_mm: float | None = None
) -> tuple[Page, ...]:
    """All pages of a sheet on a paper."""
    made = place_on_paper(lambda sheet: MAKERS[kind](sheet, note), paper(name, clear_margin_mm))[0]
    return (made,) if isinstance(made, Page) else made
