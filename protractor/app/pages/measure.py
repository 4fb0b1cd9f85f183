"""The first station: pivot to spindle, and what was stated of the arm."""

from __future__ import annotations

from flask import Blueprint

from protractor.app.answers import Answer, answers
from protractor.app.asked import asked_deck
from protractor.app.owner import on_the_way

pages = Blueprint("measure", __name__)


@answers(pages, "/measure")
def measure() -> Answer:
    """The first station: pivot to spindle, and what was stated of the arm."""
    asked = asked_deck(("pivot_to_spindle_mm",))
    return Answer(
        template="measure.html",
        title="Measure",
        shown=on_the_way(asked, "measure"),
        errors=asked.form.errors if asked.asked else (),
    )
