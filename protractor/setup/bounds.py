"""How far off measuring, printing and seeing may be, and what instruments reach: constants."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from protractor.inputs.declaration import Input, declared, take_all
from protractor.setup import sight

FAN_RANGE_DEG = 4.0
"""The fan of a template reads this far to either side."""

READING_BOUND_DEG = sight.READING_BOUND_DEG
"""What a reading of the fan by the pointer may be off (`sight.pointer_errors_deg`)."""

OVERHANG_BOUND_MM = sight.OVERHANG_BOUND_MM
"""What a reading of the overhang's marks may be off (`sight.overhang_errors_mm`)."""

FAN_STEP_DEG = sight.DIVISION_DEG
"""The finest division of a fan: readings that are all multiples of it were rounded to it."""

MOVED_SLIDE_BOUND_MM = 0.2
MOVED_TURN_BOUND_DEG = 0.25
"""How far off a hand ends that slides and turns a cartridge with its screws just slack, tightening
included: a hair's breadth or two at the cartridge's edge (from memory)."""

STYLUS_TO_SCREWS_MM = 9.5
"""Stylus tip ahead of the mounting holes' centres, ± 1 mm (IEC 98:1987)."""

PIVOT_TO_SPINDLE_BOUND_MM = 0.5
"""A ruler read with care (common practice)."""

RECORD_ABOVE_SHEET_MM = 1.8
"""A record's usual thickness (common practice)."""

LONGEST_SLIDE_MM = 15.0
"""No headshell's slots are longer (common practice)."""

DEFAULT_DRAWS = 100_000
DRAWS_RANGE = (1_000, 10_000_000)
SEED = 1938


def bound_as_read(angles_deg: Sequence[float], bound_deg: float) -> float:
    """The bound of readings [deg], no less than what their rounding to divisions takes.

    >>> bound_as_read([0.5, -1.0], 0.1), bound_as_read([0.5, -0.9], 0.1)
    (0.25, 0.1)
    """
    divisions = all(angle % FAN_STEP_DEG == 0 for angle in angles_deg)
    return max(bound_deg, FAN_STEP_DEG / 2) if divisions else bound_deg


def _bound(name: str, unit: str, usual: float, most: float, help: str) -> Any:
    """The field of one bound: what care with simple means keeps, and the most that makes sense."""
    asked = Input(
        name=f"{name}-bound",
        kind="length" if unit == "mm" else "number",
        unit=unit,
        low=0.0,
        high=most,
        default=f"{usual:g}",
        help=help,
        remedy="say how far off this may be at most",
    )
    return declared(asked, default=usual)


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupBounds:
    """How far off each step may be, at most; the truth lies anywhere within with equal chance.

    The defaults are what care with simple means keeps (common practice). Raises `InputError` for
    what is negative or absurd.
    """

    pivot_to_spindle_mm: float = _bound(
        "pivot-to-spindle", "mm", 0.5, 10.0, "How far off the measured pivot to spindle may be."
    )
    print_scale_percent: float = _bound(
        "print-scale", "%", 0.2, 5.0, "How far off the print's scale may be, along either side."
    )
    hole_play_mm: float = _bound(
        "hole-play", "mm", 0.2, 2.0, "The sheet's hole less the spindle: diameters."
    )
    aim_mm: float = _bound(
        "aim", "mm", 1.0, 10.0, "How far beside the pivot's centre the sight line may point."
    )
    arc_mm: float = _bound(
        "arc", "mm", 0.25, 5.0, "How far off the stylus may stand when it seems to be on the arc."
    )
    grid_deg: float = _bound(
        "grid",
        "deg",
        0.5,
        5.0,
        "How far askew the cartridge may stand when it seems along the grid.",
    )
    zenith_deg: float = _bound(
        "zenith", "deg", 1.0, 10.0, "How far askew the stylus may stand in its cartridge."
    )

    def __post_init__(self) -> None:
        take_all(self)
