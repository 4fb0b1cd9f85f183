"""The steps at the deck, one at a time."""

from __future__ import annotations

from flask import Blueprint

from protractor.app.answers import Answer, answers
from protractor.app.asked import asked_deck
from protractor.app.owner import on_the_way

pages = Blueprint("align", __name__)


@answers(pages, "/align")
def align() -> Answer:
    """The steps at the deck, one at a time."""
    asked = asked_deck(("pivot_to_spindle_mm",))
    return Answer(
        template="align.html",
        title="Align",
        shown=on_the_way(asked, "align"),
        errors=asked.form.errors if asked.asked else (),
    )
