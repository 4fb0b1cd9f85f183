"""A drawing for every step at the deck: who moves what, and where to look.

From above it is the owner's own deck: arm, arc and targets have the figures of his sheet. From the
side, where up and down matter, it is a deck and a cartridge as most are.
"""

from __future__ import annotations

from collections.abc import Callable

from protractor.app.pictures import above, close_by, side
from protractor.app.pictures.deck_views import DeckView
from protractor.app.pictures.picture import Picture

DRAWINGS: dict[str, Callable[[DeckView], Picture]] = {
    "guard": side.guard,
    "print": side.printed,
    "force": side.force,
    "cut": side.cut,
    "sight": above.sight,
    "wedge": side.wedge,
    "overhang": close_by.overhang,
    "slide": close_by.slide,
    "arc": above.arc,
    "look": close_by.look,
    "pointer": close_by.pointer,
    "turn": close_by.turn,
    "outer": above.outer,
    "again": close_by.overhang,
    "tighten": close_by.tighten,
    "finish": side.finish,
    "inner": above.inner,
    "other": above.other,
    "slide-by-fan": close_by.slide_by_fan,
}
"""The drawing of each step, by the step's key."""


def step_drawing(key: str, deck: DeckView) -> Picture:
    """The drawing of a step for a deck."""
    return DRAWINGS[key](deck)
