"""The steps of setting up a cartridge, in the order that spares the stylus.

One table that the sheets, the README and any other page share: what to do, and how one knows that
it is right. The platter and the cartridge move only while the tip is up.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Step:
    """One step: what to do, and how one knows that it is right; each at most two sentences.

    `key` names what is done, whatever the step's number on a sheet.
    """

    what: str
    know: str = ""
    key: str = ""


_GUARD = Step(
    "Put the guard on the stylus. Switch the deck off and pull its plug.",
    "Nothing lights up.",
    "guard",
)
_FORCE = Step(
    "Set tracking force roughly as the maker says and anti-skating to zero. Level the arm and "
    "screw the cartridge down just snug.",
    "It moves when pushed and stays where it is.",
    "force",
)
_CUT = Step(
    "Cut out tool and pointer, and cut the eight slits. Press the tool over the spindle.",
    "The rings lie evenly round it.",
    "cut",
)
_WEDGE = Step(
    "Wedge the platter with folded paper. Set a lamp low in front.",
    "A light touch moves nothing.",
    "wedge",
)
_POINTER = Step(
    "Slide the pointer in from the front: bar against the flat front, straight edge on the dot. "
    "Read the fan, then draw it out.",
    "Zero. On the + side the cartridge stands clockwise, seen from above.",
    "pointer",
)
_TURN = Step(
    "Park the arm, guard on. Turn the cartridge back by what you read.",
    "Guard off, lowered again: zero, and the tip is in the gap.",
    "turn",
)
_TIGHTEN = Step(
    "Park the arm, guard on. Tighten the screws alternately, a little at a time.",
    "Guard off, lowered again: all reads as before.",
    "tighten",
)
_FINISH = Step(
    "Take the tool away. Set tracking force, anti-skating, height and azimuth as the makers say.",
    "A scale confirms the force.",
    "finish",
)


def _print(bars: str) -> Step:
    return Step(
        f"Print at 100 %. Measure {bars} between the centres of the end marks.",
        "Both within 0.2 mm. If not, correct the print settings.",
        "print",
    )


def _look(place: str, askew: bool) -> Step:
    turned = " The rails are turned for your askew stylus." if askew else ""
    return Step(
        f"Lower the tip into the gap of {place}. Look with one eye from straight ahead.",
        f"The sides run along the rails; where the body tapers, the cantilever counts.{turned}",
        "look",
    )


def alignment_steps(
    bars: str = "both bars", *, nulls: int = 2, askew: bool = False
) -> tuple[Step, ...]:
    """The steps with a sheet made for one deck.

    `bars` says what to measure; a straight arm has a single null (`nulls` 1); `askew` is true when
    the targets are turned for a stylus that stands askew.
    """
    two = nulls == 2
    return (
        _GUARD,
        _print(bars),
        _FORCE,
        _CUT,
        Step(
            "Turn platter and tool until the sight line points at the pivot's centre. Cut off any "
            "paper the arm could touch.",
            "Seen with one eye, line and pivot are one.",
            "sight",
        ),
        _WEDGE,
        Step(
            "Guard off. Lower the tip with the lift at the overhang marks, look, raise.",
            "Half a millimetre from mark to mark; + is too long.",
            "overhang",
        ),
        Step(
            "Park the arm, guard on. Slide the cartridge toward the pivot if too long, else away.",
            "Guard off, lowered again: the tip is on the arc.",
            "slide",
        ),
        Step(
            "Look along the sight line again. Lower the tip at the arc's outer end and as far in "
            "as the arm goes freely.",
            "It meets the arc at both: pivot to spindle is right.",
            "arc",
        ),
        _look("the inner target" if two else "the target", askew),
        _POINTER,
        _TURN,
        Step(
            "Read the outer target the same way." if two else "Look at the overhang again.",
            ("Zero too. " if two else "As before. ")
            + "If not, repeat from 7: adjusting one alters the other.",
            "outer" if two else "again",
        ),
        _TIGHTEN,
        _FINISH,
    )


def two_null_steps(bars: str = "both bars", *, askew: bool = False) -> tuple[Step, ...]:
    """The steps with the sheet of two nulls, which knows no deck."""
    return (
        _GUARD,
        _print(bars),
        _FORCE,
        _CUT,
        _WEDGE,
        Step(
            "Guard off, tip up: turn the platter until the inner target lies under the tip, and "
            "wedge it again.",
            "Lowered with the lift, the tip is in the gap.",
            "inner",
        ),
        _look("the inner target", askew),
        _POINTER,
        _TURN,
        Step(
            "Raise, turn the platter to the outer target, wedge, lower, read. Do not turn the "
            "cartridge here.",
            "Zero too: go on with 12.",
            "other",
        ),
        Step(
            "Park the arm, guard on. Slide the cartridge back toward the pivot if you read +, "
            "forward if –, and repeat from 6.",
            "Both targets read zero.",
            "slide-by-fan",
        ),
        _TIGHTEN,
        _FINISH,
    )


CAUTIONS = (
    ("guard", "A bare stylus breaks at a touch: move platter and cartridge only while it is up."),
    (
        "plug",
        "An automatic deck may start its cycle as the arm swings in: stop where you feel "
        "resistance. Take the tool off before you plug it in.",
    ),
    ("scissors", "Cut away from your fingers, on a mat, never on the deck."),
    (
        "lamp",
        "Keep the lamp clear of lid and paper. Manufacturers' instructions take precedence; this "
        "sheet comes without warranty.",
    ),
)
"""Cautions, each with its sign."""


def as_markdown(steps: Sequence[Step]) -> str:
    """The steps as a README has them: numbered, how one knows after a dash.

    >>> as_markdown([Step("Raise the tip.", "It is up.")])
    '1. Raise the tip. *It is up.*'
    """
    return "\n".join(
        f"{number}. {step.what}" + (f" *{step.know}*" if step.know else "")
        for number, step in enumerate(steps, start=1)
    )
