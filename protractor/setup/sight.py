"""What an eye can tell on the sheets, and how well a pointer of card reads an angle.

Each error is the most it may be, with every value inside equally likely; together they are worth
the root of the sum of their squares, which has the same standard uncertainty.
"""

from __future__ import annotations

import math

DISTANCE_MM = 400.0
"""From the eye to the sheet: bent over a deck (common practice)."""

ACUITY_ARCMIN = 2.0
"""What 20/40 sight resolves: decimal acuity 0.5 is a gap of two arc minutes (ISO 8596)."""

FAN_LENGTH_MM, SHORTEST_FAN_MM = 48.0, 27.0
"""From the fan's foot to its end: as a rule, and where a null lies far out."""

DIVISION_DEG = 0.5
"""The finest division of the fan."""

CARD_LIFTS_MM = 1.0
"""How high the pointer's end may lie over the fan: card, a fold and a curl (common practice)."""

EYE_ASIDE_DEG = 10.0
"""How far the eye may be from straight above the pointer's edge, seen along it: both eyes open, or
the head a hand's breadth aside at `DISTANCE_MM` (common practice)."""

BAR_GAP_MM, FLAT_FRONT_MM = 0.1, 12.0
"""How far one end of the bar may be from the cartridge's front, and how wide a front is flat."""

SQUARE_DEG = 0.25
"""How far the pointer's fold and edge may be from square once its zero has been checked on the fan:
half of the fan's division."""


def resolved_mm(distance_mm: float = DISTANCE_MM, arcmin: float = ACUITY_ARCMIN) -> float:
    """The finest detail that an eye resolves at a distance [mm].

    >>> round(resolved_mm(), 3)
    0.233
    """
    return distance_mm * math.radians(arcmin / 60)


def arcmin(size_mm: float, distance_mm: float = DISTANCE_MM) -> float:
    """How large a detail looks at a distance [arc minutes].

    >>> round(arcmin(0.42), 1)
    3.6
    """
    return 60 * math.degrees(size_mm / distance_mm)


def division_mm(fan_mm: float = FAN_LENGTH_MM, degrees: float = DIVISION_DEG) -> float:
    """What an angle is along the end of a fan [mm]."""
    return fan_mm * math.radians(degrees)


def beside_the_foot_deg(aside_mm: float, fan_mm: float = FAN_LENGTH_MM) -> float:
    """What a pointer misreads that stands beside the fan's foot at one end [deg].

    A pencil lead stuck to a cartridge 8 mm beside its axis misreads a fan of 55 mm by

    >>> round(beside_the_foot_deg(8.0, 55.0), 1)
    8.3
    """
    return math.degrees(math.atan2(aside_mm, fan_mm))


def pointer_errors_deg(fan_mm: float = FAN_LENGTH_MM) -> dict[str, float]:
    """What may be wrong with one reading of the pointer, at most [deg], by cause.

    The edge is set over the foot to half of what the eye resolves, since a dot is halved by it.
    """
    aside = CARD_LIFTS_MM * math.tan(math.radians(EYE_ASIDE_DEG))
    return {
        "edge over the foot": beside_the_foot_deg(resolved_mm() / 2, fan_mm),
        "card above the paper, eye aside": beside_the_foot_deg(aside, fan_mm),
        "reading the fan": DIVISION_DEG / 2,
        "bar against the front": beside_the_foot_deg(BAR_GAP_MM, FLAT_FRONT_MM),
        "fold and edge out of square": SQUARE_DEG,
    }


def pointer_bound_deg(fan_mm: float = FAN_LENGTH_MM) -> float:
    """The bound of one reading of the pointer [deg].

    >>> round(pointer_bound_deg(), 2), round(pointer_bound_deg(SHORTEST_FAN_MM), 2)
    (0.65, 0.74)
    """
    return math.hypot(*pointer_errors_deg(fan_mm).values())


MARK_MM = 0.5
"""The finest division of the overhang's marks."""

AIM_MM = 1.0
"""How far beside the pivot's centre the sight line may point (`SetupBounds.aim_mm`)."""

NINE_INCH_MM, MARKS_AT_MM = 222.0, 93.0
"""Pivot to spindle of a usual arm, and how far from the spindle the marks then lie."""


def overhang_errors_mm(
    pivot_to_spindle_mm: float = NINE_INCH_MM, marks_at_mm: float = MARKS_AT_MM
) -> dict[str, float]:
    """What may be wrong with one reading of the overhang's marks, at most [mm], by cause.

    A sheet that is turned about the spindle moves the marks across the line to it; what that does
    to their distance from the pivot is its share along the arm, at most all of it.
    """
    turned = AIM_MM / pivot_to_spindle_mm * marks_at_mm
    length = math.hypot(pivot_to_spindle_mm, marks_at_mm)
    return {
        "reading the marks": MARK_MM / 2,
        "sight line beside the pivot": turned * pivot_to_spindle_mm / length,
    }


def overhang_bound_mm(
    pivot_to_spindle_mm: float = NINE_INCH_MM, marks_at_mm: float = MARKS_AT_MM
) -> float:
    """The bound of one reading of the overhang's marks [mm].

    >>> round(overhang_bound_mm(), 2)
    0.46
    """
    return math.hypot(*overhang_errors_mm(pivot_to_spindle_mm, marks_at_mm).values())


OVERHANG_BOUND_MM = math.ceil(4 * overhang_bound_mm() - 1e-9) / 4
"""The bound of a reading of the overhang unless the user says another, up to the next quarter."""

READING_BOUND_DEG = math.ceil(4 * pointer_bound_deg() - 1e-9) / 4
"""The bound of a reading unless the user says another: the pointer's, up to the next quarter."""
