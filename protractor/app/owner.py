"""What every page of the owner's way shares: its stations, and that the place is kept."""

from __future__ import annotations

from typing import Any

from flask import after_this_request

from protractor.app.asked import AskedDeck
from protractor.app.stations import Place, keep_place, stations


def on_the_way(asked: AskedDeck, station: str, step: int = 1) -> dict[str, Any]:
    """What `owner.html` shows for a deck; the browser keeps the place where it is remembered."""
    if asked.known is not None:
        here = Place(station=station, deck=asked.name, step=step)
        after_this_request(lambda response: keep_place(response, here))
    return {
        "asked": asked,
        "form": asked.form,
        "way": stations(asked.file, asked.known),
        "way_deck": asked.name,
    }
