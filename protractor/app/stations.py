"""The owner's way: its stations, what is done at each for a deck, and where he left off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from urllib.parse import parse_qsl, urlencode

from flask import request, url_for
from werkzeug.wrappers import Response

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.bench.inputs import DECK
from protractor.bench.remembered import Remembered
from protractor.errors import InputError
from protractor.setup.rounds import deck_of, read_rounds, this_series

COOKIE = "place"

A_YEAR_S = 31_536_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A station: its key, which is also its page's name, its label, and what is done there."""

    key: str
    label: str
    what: str


WAY = (
    Kind(key="measure", label="Measure", what="Pivot to spindle, and what the seller wrote"),
    Kind(key="printer", label="Printer", what="Paper, and whether it prints true to scale"),
    Kind(key="sheet", label="Sheet", what="Scheme, preview, the PDF to print"),
    Kind(key="align", label="Align", what="The steps at the deck, one at a time"),
    Kind(key="read", label="Read and correct", what="The fans, and what to move"),
    Kind(key="prove", label="Prove", what="What is left, what it costs, the worksheet"),
)
"""The stations in their order. A page's endpoint is the key twice, as in `sheet.sheet`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A station as a page shows it: its address, empty where a deck is wanted first, and its state.

    `state` says in a few words what is done there, empty for nothing yet.
    """

    kind: Kind
    address: str
    here: bool
    state: str


def stations(file: Remembered | None, deck: Deck | None) -> list[Station]:
    """The owner's stations for a remembered deck, or before there is one."""
    states = {} if file is None or deck is None else _states(file, deck)
    endpoint = (request.endpoint or "").partition(".")[0]
    return [
        Station(
            kind=kind,
            address=_address(kind.key, deck) if deck is not None or number == 0 else "",
            here=endpoint == kind.key,
            state=states.get(kind.key, ""),
        )
        for number, kind in enumerate(WAY)
    ]


def _address(key: str, deck: Deck | None) -> str:
    named: dict[str, Any] = {DECK.name: deck.name} if deck is not None else {}
    return url_for(f"{key}.{key}", **named)


def _states(file: Remembered, deck: Deck) -> dict[str, str]:
    """What is done at each station for a deck, in a few words."""
    length = deck.pivot_to_spindle_mm or deck.effective_length_mm
    printer = deck.printer or file.defaults.printer
    paper = deck.paper or file.defaults.paper
    on = f"corrected for {printer}" if printer else f"paper {paper}, as it prints" if paper else ""
    states = {"measure": f"{length:.10g} mm" if length else "", "printer": on}
    try:
        series = this_series(read_rounds(file.log(deck.name)), deck_of(align(deck)))
    except InputError:
        return states
    if series:
        count = len(series)
        states |= {"sheet": "made", "align": "done once"}
        states["read"] = f"{count} round{'s' if count > 1 else ''}"
        states["prove"] = "leave it as it is" if series[-1].get("leave_it") else "not yet"
    return states


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where the owner left off: the station, the deck's name, and the step of aligning."""

    station: str
    deck: str
    step: int = 1

    @property
    def address(self) -> str:
        """The address of the page."""
        more: dict[str, Any] = {"step": self.step} if self.station == "align" else {}
        return url_for(f"{self.station}.{self.station}", **{DECK.name: self.deck, **more})

    @property
    def label(self) -> str:
        """The station's label."""
        return next(kind.label for kind in WAY if kind.key == self.station)


def place() -> Place | None:
    """Where this browser left off, None where it did not or what it says is no place."""
    said = dict(parse_qsl(request.cookies.get(COOKIE, "")[:2000]))
    step = said.get("step", "1")
    if said.get("station") not in [kind.key for kind in WAY] or not said.get("deck"):
        return None
    number = int(step) if step.isascii() and step.isdigit() and len(step) < 3 else 1
    return Place(station=said["station"], deck=said["deck"], step=number)


def keep_place(response: Response, here: Place) -> Response:
    """Lets the browser remember where the owner is."""
    said = urlencode({"station": here.station, "deck": here.deck, "step": here.step})
    response.set_cookie(COOKIE, said, max_age=A_YEAR_S, samesite="Strict", httponly=True)
    return response
