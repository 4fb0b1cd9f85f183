"""The steps at the deck for one sheet: what to do, what to mind, what to have at hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from markupsafe import Markup

from protractor.alignments.align import align, without_length
from protractor.alignments.deck import Deck
from protractor.app.pictures.deck_views import DeckView
from protractor.app.pictures.steps import step_drawing
from protractor.errors import InputError
from protractor.sheets.steps import CAUTIONS, Step, alignment_steps, two_null_steps
from protractor.sheets.tool import check_targets

USUAL_MM = 222.0
"""Pivot to spindle of the arm in the drawings of a sheet that knows no deck."""

NAMES: Mapping[str, str] = {
    "guard": "Guard and plug",
    "print": "Print, and measure the bars",
    "force": "Force, level, screws",
    "cut": "Cut out tool and pointer",
    "sight": "Sight line to the pivot",
    "wedge": "Wedge and lamp",
    "overhang": "See the overhang",
    "slide": "Slide the cartridge",
    "arc": "Check the arc at both ends",
    "look": "Sides along the rails",
    "pointer": "Read the fan",
    "turn": "Turn the cartridge",
    "outer": "Read the outer fan",
    "again": "See the overhang again",
    "inner": "Inner target under the tip",
    "other": "Read the outer fan",
    "slide-by-fan": "Slide the cartridge",
    "tighten": "Tighten the screws",
    "finish": "Finish as the makers say",
}
"""What each step is called in a list, by its key."""

_SCREWDRIVER = "a screwdriver that fits the cartridge's screws"

AT_HAND: Mapping[str, tuple[str, ...]] = {
    "guard": ("the stylus guard",),
    "print": ("the printed sheet", "a ruler or calipers"),
    "force": ("the makers' instructions", _SCREWDRIVER),
    "cut": ("scissors or a knife", "a cutting mat"),
    "sight": ("scissors or a knife",),
    "wedge": ("paper to fold", "a lamp"),
    "inner": ("the paper wedges",),
    "other": ("the paper wedges", "the pointer"),
    "slide": (_SCREWDRIVER,),
    "slide-by-fan": (_SCREWDRIVER,),
    "pointer": ("the pointer",),
    "turn": (_SCREWDRIVER,),
    "outer": ("the pointer",),
    "tighten": (_SCREWDRIVER,),
    "finish": ("a scale for tracking force", "the makers' instructions"),
}
"""What a step needs, by its key."""

_SIGNS: Mapping[str, tuple[str, ...]] = {
    "guard": ("guard",),
    "cut": ("scissors",),
    "sight": ("guard", "scissors"),
    "wedge": ("lamp",),
    "overhang": ("guard", "plug"),
    "slide": ("guard",),
    "arc": ("guard", "plug"),
    "look": ("guard",),
    "pointer": ("guard",),
    "turn": ("guard",),
    "outer": ("guard", "plug"),
    "again": ("guard",),
    "tighten": ("guard",),
    "inner": ("guard", "plug"),
    "other": ("guard", "plug"),
    "slide-by-fan": ("guard",),
    "finish": ("plug", "guard"),
}
"""Which of the sheets' cautions concern a step."""

_LAMP = dict(CAUTIONS)["lamp"].partition(". ")[0] + "."
"""What the sheets add there is at the foot of every page."""

_HOLD = "Hold the headshell while you turn a screw, so that no force reaches the arm's bearings."

_OWN: Mapping[str, str] = {
    "guard": "Pull the plug itself, not the cord, before you reach into the deck.",
    "force": "If the maker's instructions take the guard off to balance the arm, put it on again "
    f"before you touch a screw. {_HOLD}",
    "slide": _HOLD,
    "slide-by-fan": _HOLD,
    "turn": _HOLD,
    "tighten": _HOLD,
    "pointer": "The tip is down: slide the pointer gently, flat on the tool, its window about the "
    "tip. Nothing may push the cartridge.",
}
"""What a step adds to the sheets' cautions."""

READ = ("pointer", "outer", "again", "other")
"""Steps that end with a reading to be given to the next station."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """The steps of one sheet for one deck."""

    steps: tuple[Step, ...]
    view: DeckView

    @classmethod
    def of(cls, deck: Deck, kind: str) -> Course:
        """The steps of the sheet of a kind, `arc` or `two-null`.

        Raises `InputError` where there is no such sheet for the deck.
        """
        askew = deck.zenith_rad
        two_null = kind == "two-null"
        if two_null and without_length(deck):
            deck = replace(deck, pivot_to_spindle_mm=USUAL_MM)
        alignment = align(deck)
        check_targets(alignment.arm)
        nulls = sum(radius > 0 for radius in alignment.arm.null_radii_mm)
        if two_null and nulls < 2:
            raise InputError(
                "kind",
                "two-null for an arm with one null",
                "arc for a straight arm",
                "leave `kind` out",
            )
        steps = (
            two_null_steps(askew=bool(askew))
            if two_null
            else alignment_steps(nulls=nulls, askew=bool(askew))
        )
        view = DeckView(alignment=alignment, zenith_rad=askew, two_null=two_null)
        return cls(steps=steps, view=view)

    @property
    def nulls(self) -> int:
        """How many null points a record can have: two, or the one of a straight arm."""
        return len(self.view.tool.null_radii)

    def cautions(self, step: Step) -> Iterator[tuple[str, str]]:
        """What to mind at a step, each with the name of its sign, empty for none."""
        if step.key in _OWN:
            yield "", _OWN[step.key]
        known = dict(CAUTIONS) | {"lamp": _LAMP}
        yield from ((sign, known[sign]) for sign in _SIGNS.get(step.key, ()))

    def at_hand(self, step: Step) -> tuple[str, ...]:
        """What a step needs."""
        return AT_HAND.get(step.key, ())

    @property
    def all_at_hand(self) -> list[str]:
        """What all steps need, each thing once, in the order of use."""
        return list(dict.fromkeys(each for step in self.steps for each in self.at_hand(step)))

    def drawing(self, step: Step) -> Markup:
        """The drawing of a step, as an element of a page. Not beside other threads."""
        return step_drawing(step.key, self.view).svg()

    def as_list(self) -> list[dict[str, Any]]:
        """The steps as data."""
        return [
            {
                "number": number,
                "key": step.key,
                "name": NAMES[step.key],
                "what": step.what,
                "know": step.know,
                "cautions": [text for _, text in self.cautions(step)],
                "at_hand": list(self.at_hand(step)),
            }
            for number, step in enumerate(self.steps, start=1)
        ]
