"""What a user can give of a set-up: readings, how sure they are, the headshell, the draws."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Literal

from protractor.arms.inputs import OVERHANG as OVERHANG_OF_ARM
from protractor.errors import InputError, shown
from protractor.inputs.declaration import ESSENTIALS, Input, declared, inputs_of, take_all
from protractor.inputs.quantities import LENGTH_UNITS_MM, read_quantity
from protractor.setup.bounds import (
    DEFAULT_DRAWS,
    DRAWS_RANGE,
    FAN_RANGE_DEG,
    OVERHANG_BOUND_MM,
    PIVOT_TO_SPINDLE_BOUND_MM,
    READING_BOUND_DEG,
    RECORD_ABOVE_SHEET_MM,
    SEED,
    STYLUS_TO_SCREWS_MM,
    SetupBounds,
)


def _read_reading(asked: Input, text: str) -> tuple[float, float]:
    """A radius [mm] and what the fan shows there [deg]."""
    radius, colon, angle = text.replace("°", "deg").partition(":")
    first, second = read_quantity(radius), read_quantity(angle)
    given = f"'{shown(text)}'"
    if not colon or first is None or second is None:
        raise asked.refuse(given)
    if first[1] not in LENGTH_UNITS_MM or second[1] not in ("", "deg"):
        allowed = f"{asked.allowed} (mm, cm or in; deg)"
        raise InputError(asked.name, given, allowed, "correct the unit")
    return first[0] * LENGTH_UNITS_MM[first[1]], second[0]


READING = Input(
    name="reading",
    group=ESSENTIALS,
    kind="form",
    metavar="RADIUS:DEGREES",
    many=True,
    allows="RADIUS:DEGREES, as in 66.0:-0.5",
    reads=_read_reading,
    takes=tuple,
    help="Radius of a target and what its fan shows there: degrees, positive on the + side, where "
    "the cartridge stands clockwise of the grid seen from above. Give it once for each target, and "
    "again for each time that you read it anew.",
    remedy="write the target's radius, a colon, and the degrees",
)
ANYWHERE = Input(
    name="anywhere",
    kind="flag",
    help="Take readings at any radius, not at the sheet's targets alone.",
)
READING_BOUND = Input(
    name="reading-bound",
    kind="number",
    unit="deg",
    low=0.01,
    high=FAN_RANGE_DEG,
    default=f"{READING_BOUND_DEG:g}",
    help="How far off a reading of the fan may be, rounding included: readings that are all whole "
    "or half degrees count as ± 0.25 at least.",
    remedy="say how far off a reading may be at most",
)
OVERHANG = replace(
    OVERHANG_OF_ARM,
    help="The overhang, if you measured it too; for the marks on the sheet take `overhang-mark`.",
    remedy="give what you measured from the spindle's centre to the tip",
)
OVERHANG_MARK = Input(
    name="overhang-mark",
    kind="length",
    group=ESSENTIALS,
    unit="mm",
    low=-5.0,
    high=5.0,
    help="What the overhang marks on the sheet's arc show, if you read them too; + is too long.",
    remedy="give the distance from the arc as the marks count it, + away from the pivot",
)
OVERHANG_BOUND = Input(
    name="overhang-bound",
    kind="length",
    unit="mm",
    low=0.01,
    high=5.0,
    default=f"{OVERHANG_BOUND_MM:g}",
    help="How far off that reading may be.",
    remedy="say how far off the reading may be at most",
)
SLOT_ANGLE = Input(
    name="slot-angle",
    kind="number",
    unit="deg",
    low=-45.0,
    high=45.0,
    help="Angle of the slots to the line stylus to pivot; default the target's offset angle.",
    remedy="give degrees from the line stylus to pivot",
)
SLOT_ROOM = Input(
    name="slot-room",
    kind="length",
    unit="mm",
    low=0.0,
    high=40.0,
    count=2,
    help="How far the cartridge can still slide back, toward the pivot, and to the front.",
    remedy="measure what is left of the slots behind and before the screws",
)
TURN_ABOUT = Input(
    name="turn-about",
    kind="choice",
    choices=("stylus", "screws"),
    default="stylus",
    help="What stays in place while you turn the cartridge.",
)
STYLUS_TO_SCREWS = Input(
    name="stylus-to-screws",
    kind="length",
    unit="mm",
    low=0.0,
    high=30.0,
    default=f"{STYLUS_TO_SCREWS_MM:g}",
    help="Stylus tip ahead of the line through the screws, for `turn-about` screws.",
    remedy="take it from the cartridge maker's drawing",
)
RECORD_ABOVE_SHEET = Input(
    name="record-above-sheet",
    kind="length",
    unit="mm",
    low=0.0,
    high=10.0,
    default=f"{RECORD_ABOVE_SHEET_MM:g}",
    help="How much higher a record's surface lies than the sheet; counts with `pivot-height`.",
    remedy="measure a record's thickness less the sheet's",
)
DRAWS = Input(
    name="draws",
    kind="number",
    whole=True,
    low=DRAWS_RANGE[0],
    high=DRAWS_RANGE[1],
    default=str(DEFAULT_DRAWS),
    help="Number of Monte Carlo draws.",
    remedy=f"{DEFAULT_DRAWS} settle the second digit",
)
SEED_INPUT = Input(
    name="seed",
    kind="number",
    whole=True,
    low=0,
    high=2**32 - 1,
    default=str(SEED),
    help="Seed of the draws: the same seed gives the same result.",
    remedy="give a whole number",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What was read on a sheet, how sure that is, and what the headshell allows.

    `reading` are pairs of a target's radius [mm] and what its fan shows there [deg]; what is None
    was not given, and the usual default holds. Raises `InputError` for the first value that is not
    allowed.
    """

    reading: tuple[tuple[float, float], ...] = declared(READING)
    anywhere: bool = declared(ANYWHERE, default=False)
    reading_bound_deg: float = declared(READING_BOUND, default=READING_BOUND_DEG)
    overhang_mark_mm: float | None = declared(OVERHANG_MARK)
    overhang_mm: float | None = declared(OVERHANG)
    overhang_bound_mm: float = declared(OVERHANG_BOUND, default=OVERHANG_BOUND_MM)
    pivot_to_spindle_bound_mm: float = declared(
        inputs_of(SetupBounds)["pivot_to_spindle_mm"], default=PIVOT_TO_SPINDLE_BOUND_MM
    )
    slot_angle_deg: float | None = declared(SLOT_ANGLE)
    slot_room_mm: tuple[float, float] | None = declared(SLOT_ROOM)
    turn_about: Literal["stylus", "screws"] = declared(TURN_ABOUT, default="stylus")
    stylus_to_screws_mm: float = declared(STYLUS_TO_SCREWS, default=STYLUS_TO_SCREWS_MM)
    record_above_sheet_mm: float = declared(RECORD_ABOVE_SHEET, default=RECORD_ABOVE_SHEET_MM)

    def __post_init__(self) -> None:
        take_all(self)
        if self.overhang_mark_mm is not None and self.overhang_mm is not None:
            raise InputError(
                "overhang-mark", "`overhang-mark` and `overhang`", "one of the two", "leave out one"
            )

    def as_dict(self) -> dict[str, Any]:
        """What was read, as a log keeps it."""
        names = ("reading_bound_deg", "overhang_mark_mm", "overhang_mm", "overhang_bound_mm")
        read = [list(each) for each in self.reading]
        return {"reading": read, **{name: getattr(self, name) for name in names}}
