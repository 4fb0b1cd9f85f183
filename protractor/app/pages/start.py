"""The first page: the remembered decks, and where to begin."""

from __future__ import annotations

from flask import Blueprint, render_template
from flask.typing import ResponseReturnValue

from protractor.app.answers import Answer, answers
from protractor.app.house import house
from protractor.errors import InputError

pages = Blueprint("start", __name__)


@answers(pages, "/")
def start() -> Answer:
    """The remembered decks, and the ways to begin."""
    try:
        names, trouble = house().decks().names, ""
    except InputError as error:
        names, trouble = [], error.line()
    return Answer(
        template="start.html",
        title="Start",
        shown={"names": names, "trouble": trouble},
        data={"decks": names},
        command="protractor decks list",
    )


@pages.post("/stop")
def stop() -> ResponseReturnValue:
    """Ends the server."""
    house().stop()
    return render_template("stopped.html")
