"""The second station: paper, and whether the printer prints true to scale."""

from __future__ import annotations

from flask import Blueprint

from protractor.app.answers import Answer, answers
from protractor.app.asked import asked_deck
from protractor.app.owner import on_the_way

pages = Blueprint("printer", __name__)


@answers(pages, "/printer")
def printer() -> Answer:
    """The second station: paper, and whether the printer prints true to scale."""
    asked = asked_deck(("pivot_to_spindle_mm",))
    return Answer(
        template="printer.html",
        title="Printer",
        shown=on_the_way(asked, "printer"),
        errors=asked.form.errors if asked.asked else (),
    )
