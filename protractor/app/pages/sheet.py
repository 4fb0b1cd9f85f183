"""The sheet of one deck: scheme, paper, printer, preview, and the file to print."""

from __future__ import annotations

import math

from flask import Blueprint
from werkzeug.wrappers import Response

from protractor.alignments.align import align
from protractor.alignments.sheet_code import continuing, sheet_code
from protractor.app.answers import Answer, answers, file_answer
from protractor.app.asked import AskedDeck, asked_deck
from protractor.app.house import house
from protractor.app.owner import on_the_way
from protractor.drawing.shapes import Page
from protractor.output.formats import page_bytes
from protractor.printing.inputs import PAPER
from protractor.printing.paper import paper
from protractor.sheets.alignment_sheet import alignment_pages

pages = Blueprint("sheet", __name__)

ASKED = (
    "pivot_to_spindle_mm",
    "scheme",
    "record",
    "inner_radius_mm",
    "outer_radius_mm",
    "null_radii_mm",
    "zenith_deg",
    "paper",
    "printer",
    "name",
)


@answers(pages, "/sheet")
def sheet() -> Answer:
    """The sheet of one deck."""
    asked = asked_deck(ASKED)
    deck = asked.deck
    alignment = asked.form.asks(lambda: align(deck)) if deck and asked.asked else None
    return Answer(
        template="sheet.html",
        title="The sheet",
        shown={**on_the_way(asked, "sheet"), "alignment": alignment},
        data=alignment and alignment.as_dict(),
        errors=asked.form.errors if asked.asked else (),
        command=asked.command("template") if alignment else "",
        python=asked.python(
            "from protractor import Deck, align, alignment_pages, paper, save",
            'save(alignment_pages(align(deck), paper("a4"), deck.name), "sheet.pdf")',
        )
        if alignment
        else "",
    )


def _made(asked: AskedDeck) -> tuple[Page, ...]:
    """The pages of the sheet; raises `InputError` for a deck that has none."""
    if asked.form.errors:
        raise asked.form.errors[0]
    deck = asked.deck
    assert deck is not None
    alignment = align(deck)
    askew = math.radians(deck.zenith_deg or 0.0)
    code = sheet_code(alignment, askew)
    return alignment_pages(
        alignment,
        paper(PAPER.or_default(deck.paper), deck.clear_margin_mm),
        deck.name,
        askew,
        "",
        continuing(alignment, deck, remembered=asked.remembered, code=code),
    )


@pages.get("/sheet.svg")
def preview() -> Response:
    """The first page of the sheet as an image."""
    with house().desk.drawing():
        return file_answer(page_bytes(_made(asked_deck(ASKED)), "svg"), "svg")
