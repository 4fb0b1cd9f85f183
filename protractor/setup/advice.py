"""What a correction comes to, in words: the verdict, the moves in their order, the figures.

Sentences stand without line breaks; a face shows them as it can.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.setup.correction import Correction
from protractor.setup.inputs import Seen

Interval = tuple[float, float]

LEAST_SLIDE_MM = 0.05
LEAST_TURN_DEG = 0.05
"""Less than this is no move: it would be printed as 0.0."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One move by hand.

    Attributes:
        kind: what is done.
        amount: how far, in `unit`, without a sign; 0 for a move that is left out.
        way: the direction in words.
        about: what stays in place while the cartridge turns.
        between: what the move may be at 95 %.
    """

    kind: Literal["slide", "turn", "tighten"]
    amount: float = 0.0
    unit: str = ""
    way: str = ""
    about: str = ""
    between: str = ""

    @property
    def sentence(self) -> str:
        """The move as it is told to the one who makes it, without its end."""
        match self.kind:
            case "slide" if self.amount:
                return f"Slide the cartridge {self.amount:.1f} mm {self.way} along the slots"
            case "slide":
                return "Do not slide it along the slots"
            case "turn" if self.amount:
                return f"Turn it {self.amount:.1f} deg {self.way}, seen from above, {self.about}"
            case "turn":
                return "Do not turn it"
            case _:
                return (
                    "Tighten the screws a little in turn, set the stylus on the targets, and read "
                    "both fans again."
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A figure of the cartridge: as it is, between what at 95 %, and what is aimed at."""

    name: str
    now: str
    between: str
    target: str
    unit: str


def towards(slide_mm: float) -> str:
    """Where a slide goes, in words."""
    return "toward the front" if slide_mm >= 0 else "back toward the pivot"


def clockwise(turn_deg: float) -> str:
    """Which way a turn goes, in words."""
    return "clockwise" if turn_deg >= 0 else "counter-clockwise"


def between(interval: Interval, digits: int, unit: str) -> str:
    """An interval in words."""
    low, high = interval
    return f"{low:z.{digits}f} to {high:z.{digits}f} {unit}"


def surely(interval: Interval, unit: str, minus: str) -> str:
    """What a move may be at 95 %, and what a minus means where there is one."""
    words = between(interval, 1, unit)
    return f"({words} at 95 %" + (f"; minus is {minus})" if "-" in words else ")")


def spread(ratios: Interval, own: float) -> str:
    """A peak's interval in percent, from its ratios to the target's own."""
    low, high = ratios
    if not math.isfinite(low + high):
        return "not known"
    return f"{low * own:.2f} to {high * own:.2f} %"


def moves(found: Correction, turn_about: str) -> tuple[Move, ...]:
    """The moves in the order in which they are made."""
    slide, turn = found.slide_mm, found.turn_deg
    return (
        Move(
            kind="slide",
            amount=abs(slide) if abs(slide) >= LEAST_SLIDE_MM else 0.0,
            unit="mm",
            way=towards(slide),
            between=surely(found.slide_interval_mm, "mm", "toward the pivot"),
        ),
        Move(
            kind="turn",
            amount=abs(turn) if abs(turn) >= LEAST_TURN_DEG else 0.0,
            unit="deg",
            way=clockwise(turn),
            about="about the stylus: its tip stays where it is"
            if turn_about == "stylus"
            else "about its screws: they stay where they are",
            between=surely(found.turn_interval_deg, "deg", "counter-clockwise"),
        ),
        Move(kind="tighten"),
    )


HEADS = {
    "matches": "Leave it as it is",
    "costs-little": "Leave it as it is",
    "no-gain": "Leave it as it is",
    "read-again": "Read again before anything is moved",
    "move": "Move the cartridge",
}
"""What to do, in a few words, by the verdict."""


def advice(found: Correction, seen: Seen, own_percent: float) -> tuple[str, ...]:
    """The verdict in sentences, a paragraph each; for a move, what it is worth.

    `own_percent` is the target's peak second harmonic [%].
    """
    own = own_percent
    now = spread(found.outlook.now_interval, own)
    after = spread(found.outlook.after_interval, own)
    with_overhang = (seen.overhang_mark_mm, seen.overhang_mm) != (None, None)
    overhang = (
        ()
        if with_overhang
        else ("Read the overhang marks on the arc too, and give `overhang-mark`.",)
    )
    match found.verdict:
        case "matches":
            return (
                "Stop here: every reading matches the target within your reading accuracy.",
                f"The peak second harmonic is {now} at 95 %; the target's own is {own:.2f} %.",
            )
        case "costs-little":
            most = (found.outlook.now_interval[1] - 1) * own
            return (
                f"Stop here: what is left costs less than {most:.2f} % of distortion. The peak "
                f"second harmonic is {now} at 95 %; the target's own is {own:.2f} %. "
                f"After a move by hand it would be {after}.",
            )
        case "no-gain":
            return (
                "Stop here: a move by hand is not sure to gain anything. The peak second "
                f"harmonic is {now} now and would be {after} after it, "
                f"both at 95 %; the target's own is {own:.2f} %.",
                *overhang,
            )
        case "read-again":
            return (
                "Nothing to move so far: every reading matches the target within your reading "
                "accuracy. To be surer, read again."
                if found.matches
                else "Not settled: these readings do not show whether a move would help. Move "
                "nothing yet, and read again.",
                "Lift the tip, put it and the pointer on both targets anew, read both fans, and "
                "give the new readings beside the old ones.",
                *overhang,
            )
        case "move":
            return (
                f"The peak second harmonic is {now} now and {after} after the move, both at 95 %.",
            )


def figures(found: Correction, target: Alignment, now: Alignment) -> tuple[Figure, ...]:
    """Where the cartridge is now and where it belongs."""
    return (
        Figure(
            name="effective length",
            now=to_hundredth(found.now.effective_length_mm),
            between=between(found.effective_length_interval_mm, 2, "mm"),
            target=to_hundredth(target.arm.effective_length_mm),
            unit="mm",
        ),
        Figure(
            name="overhang",
            now=to_hundredth(found.now.overhang_mm),
            between=between(found.overhang_interval_mm, 2, "mm"),
            target=to_hundredth(target.arm.overhang_mm),
            unit="mm",
        ),
        Figure(
            name="offset angle",
            now=f"{found.now.offset_angle_deg:.2f}",
            between=between(found.offset_angle_interval_deg, 2, "deg"),
            target=f"{target.arm.offset_angle_deg:.2f}",
            unit="deg",
        ),
        Figure(
            name="peak 2nd harmonic",
            now=f"{now.peak_second_harmonic_percent:.2f}",
            between="",
            target=f"{target.peak_second_harmonic_percent:.2f}",
            unit="%",
        ),
    )


SIGN = (
    "An error above 0 asks for a cartridge turned clockwise, seen from above; the fan shows the "
    "same angle with the opposite sign."
)
"""What the sign of the tracking error says beside readings of a fan."""
