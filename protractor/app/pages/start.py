"""The first page: where the owner left off, the remembered decks, and where to begin."""

from __future__ import annotations

from flask import Blueprint, render_template
from flask.typing import ResponseReturnValue

from protractor.app.answers import Answer, answers
from protractor.app.house import house
from protractor.app.stations import Station, place, stations
from protractor.bench.remembered import Remembered
from protractor.errors import InputError

pages = Blueprint("start", __name__)

MOST = 8
"""Decks that the page shows; the workshop has all."""


@answers(pages, "/")
def start() -> Answer:
    """The remembered decks, and the ways to begin."""
    file, trouble = None, ""
    try:
        file = house().decks()
    except InputError as error:
        trouble = error.line()
    names = file.names if file else []
    here = place()
    decks = [_deck(file, name) for name in names[:MOST]] if file else []
    return Answer(
        template="start.html",
        title="Start",
        shown={
            "decks": decks,
            "more": len(names) - len(decks),
            "trouble": trouble,
            "place": here if here and here.deck in names else None,
        },
        data={"decks": names},
    )


def _deck(file: Remembered, name: str) -> dict[str, str]:
    """A deck, the station to go on at, and what is wrong with it."""
    try:
        way = stations(file, file.deck(name))
    except InputError as error:
        return {"name": name, "trouble": error.line()}
    done = " · ".join(f"{each.kind.label}: {each.state}" for each in way if each.state)
    next_one = _next(way)
    return {"name": name, "address": next_one.address, "next": next_one.kind.label, "done": done}


def _next(way: list[Station]) -> Station:
    """The first station at which nothing is done yet, or the last."""
    return next((each for each in way if not each.state), way[-1])


@pages.post("/stop")
def stop() -> ResponseReturnValue:
    """Ends the server."""
    house().stop()
    return render_template("stopped.html")
