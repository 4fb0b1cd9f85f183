"""What the fans show, and what to move."""

from __future__ import annotations

from flask import Blueprint

from protractor.app.answers import Answer, answers
from protractor.app.asked import asked_deck
from protractor.app.owner import on_the_way

pages = Blueprint("read", __name__)


@answers(pages, "/read")
def read() -> Answer:
    """What the fans show, and what to move."""
    asked = asked_deck(("pivot_to_spindle_mm",))
    return Answer(
        template="read.html",
        title="Read and correct",
        shown=on_the_way(asked, "read"),
        errors=asked.form.errors if asked.asked else (),
    )
