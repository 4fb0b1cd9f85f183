"""What is left, what it costs, and the worksheet."""

from __future__ import annotations

from flask import Blueprint

from protractor.app.answers import Answer, answers
from protractor.app.asked import asked_deck
from protractor.app.owner import on_the_way

pages = Blueprint("prove", __name__)


@answers(pages, "/prove")
def prove() -> Answer:
    """What is left, what it costs, and the worksheet."""
    asked = asked_deck(("pivot_to_spindle_mm",))
    return Answer(
        template="prove.html",
        title="Prove",
        shown=on_the_way(asked, "prove"),
        errors=asked.form.errors if asked.asked else (),
    )
