"""What every page of the owner's way shares: its stations, and that the place is kept."""

from __future__ import annotations

from typing import Any

from flask import after_this_request

from protractor.app.asked import AskedDeck
from protractor.app.stations import Place, keep_place, place, stations


def on_the_way(asked: AskedDeck, station: str, step: int | None = None) -> dict[str, Any]:
    """What `owner.html` shows for a deck; the browser keeps the place where it is remembered.

    Without a `step` the one of aligning that the deck was left at stays.
    """
    if asked.known is not None:
        step = step or step_left(asked.name)
        here = Place(station=station, deck=asked.name, step=step)
        after_this_request(lambda response: keep_place(response, here))
    return {
        "asked": asked,
        "form": asked.form,
        "way": stations(asked.file, asked.known),
        "way_deck": asked.name,
    }


def step_left(deck: str) -> int:
    """The step of aligning that a deck was left at, the first where it was not begun."""
    before = place()
    return before.step if before is not None and before.deck == deck else 1
