"""Every kind of sheet that this package prints, by name, for tests that hold for all of them."""

from __future__ import annotations

from collections.abc import Callable

from protractor.alignments.align import align, chosen_nulls
from protractor.alignments.deck import Deck
from protractor.drawing.movement import turn_upright
from protractor.drawing.shapes import Page
from protractor.printing.paper import Paper, paper, place_on_paper
from protractor.sheets.alignment_sheet import alignment_page
from protractor.sheets.calibration import calibration_page
from protractor.sheets.numbers import numbers_page
from protractor.sheets.pivot_gauge import pivot_gauge_page
from protractor.sheets.two_null import two_null_page

ALIGNMENT = align(Deck(pivot_to_spindle_mm=222.0))
SCHEME, SIDE, NULLS = chosen_nulls(Deck())

Maker = Callable[[Paper, str], Page]

MAKERS: dict[str, Maker] = {
    "alignment": lambda sheet, note: alignment_page(
        ALIGNMENT, sheet, "An invented deck", note=note
    ),
    "two-null": lambda sheet, note: two_null_page(NULLS, SCHEME, SIDE, sheet, note=note),
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
    """A sheet on a paper, upright or on its side, as the commands place it."""
    page, on_its_side = place_on_paper(
        lambda sheet: MAKERS[kind](sheet, note), paper(name, clear_margin_mm)
    )
    return turn_upright(page) if on_its_side else page
