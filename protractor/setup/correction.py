"""From readings on the template to what to move.

A reading is the angle of the cartridge to the grid, positive when the cartridge stands clockwise of
it seen from above. With the pivot at the top of the sheet the stylus plays right of the spindle and
the cartridge looks down the page, so a clockwise cartridge points to the left: the side of the fan
that is marked +. Turning a cartridge clockwise makes the offset angle larger, so the reading is
`beta - phi(r)`, the tracking error with its sign turned.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from protractor.alignments.alignment import Alignment
from protractor.alignments.closest import scheme_arms
from protractor.arms.arm import Arm, Floats, check_reach
from protractor.arms.pivot_height import length_on_record
from protractor.arms.records import RECORDED_RADIUS_RANGE_MM, Record
from protractor.arms.records import record as usual_record
from protractor.errors import InputError
from protractor.setup.bounds import (
    FAN_RANGE_DEG,
    LONGEST_SLIDE_MM,
    OVERHANG_BOUND_MM,
    PIVOT_TO_SPINDLE_BOUND_MM,
    READING_BOUND_DEG,
    STYLUS_TO_SCREWS_MM,
)
from protractor.setup.estimate import (
    Estimate,
    Observation,
    arm_of,
    estimate,
    interval,
    predict,
    theta_of,
)
from protractor.setup.headshell import slide_and_turn
from protractor.setup.verdict import Outlook, Verdict, outlook, verdict

TurnAbout = Literal["stylus", "screws"]

LEAST_APART_MM = 5.0
"""Two targets that are nearer to each other settle no length."""

AS_PRINTED = 0.02
"""Share of its bound that a reading may exceed it by: a radius is printed to a tenth or hundredth,
and a reading of exactly its bound agrees."""

MOST_CONFLICT = 2.0
"""Readings whose bounds would have to grow by more than this are believed to be mixed up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """The cartridge's angle to the grid at one radius: `angle_deg` clockwise seen from above.

    Raises `InputError` for an angle beyond the fan.
    """

    radius_mm: float
    angle_deg: float
    bound_deg: float = READING_BOUND_DEG

    def __post_init__(self) -> None:
        low, high = RECORDED_RADIUS_RANGE_MM
        if not low <= self.radius_mm <= high:
            raise InputError(
                "reading",
                f"radius {self.radius_mm:g} mm",
                f"a radius of {low:g} to {high:g} mm",
                "give the radius marked beside the target, as in 66.0:-0.5",
            )
        if not abs(self.angle_deg) <= FAN_RANGE_DEG:
            raise InputError(
                "reading",
                f"{self.angle_deg:g} deg at {self.radius_mm:g} mm",
                f"-{FAN_RANGE_DEG:g} to {FAN_RANGE_DEG:g} degrees, what the fan can show",
                "turn the cartridge until it is roughly along the grid, then read both again",
            )
        if not (math.isfinite(self.bound_deg) and self.bound_deg > 0):
            raise InputError(
                "reading-bound",
                f"{self.bound_deg:g} deg",
                "above 0 degrees",
                "say how far off a reading may be",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """The arm as it is set up now, and what to move to bring it to the target.

    `slide_mm` is positive away from the pivot, `turn_deg` clockwise seen from above; each interval
    holds the truth with 95 % probability. `verdict` says whether the moves are worth making, and
    `outlook` what they would gain.
    """

    now: Arm
    target: Arm
    estimate: Estimate
    slide_mm: float
    turn_deg: float
    effective_length_interval_mm: tuple[float, float]
    overhang_interval_mm: tuple[float, float]
    offset_angle_interval_deg: tuple[float, float]
    slide_interval_mm: tuple[float, float]
    turn_interval_deg: tuple[float, float]
    outlook: Outlook
    verdict: Verdict

    @property
    def leave_it(self) -> bool:
        """Whether these readings ask for no move."""
        return self.verdict != "move"

    def as_alignment(self, target: Alignment) -> Alignment:
        """The arm as it is set up now, on the target's record, for its figures."""
        return replace(target, arm=self.now)


def estimate_setting(
    readings: Sequence[Reading],
    target: Arm,
    *,
    overhang_mm: float | None = None,
    overhang_bound_mm: float = OVERHANG_BOUND_MM,
    pivot_to_spindle_bound_mm: float = PIVOT_TO_SPINDLE_BOUND_MM,
    zenith_rad: float = 0.0,
) -> Estimate:
    """The arm as it is set up now; arguments and what is raised as in `correct`."""
    _check_enough(readings, overhang_mm)
    for reading in readings:
        check_reach(target, {"reading": reading.radius_mm})
    distance = Observation(
        name="pivot-to-spindle",
        kind="pivot-to-spindle",
        value=target.pivot_to_spindle_mm,
        bound=max(pivot_to_spindle_bound_mm, 1e-9),
    )
    seen = [distance, *(_observe(reading, zenith_rad) for reading in readings)]
    if overhang_mm is not None:
        read = replace(distance, name="the overhang", kind="overhang", value=overhang_mm)
        seen.append(replace(read, bound=overhang_bound_mm))
    return estimate(seen, target)


def correct_arm(
    readings: Sequence[Reading],
    target: Arm,
    *,
    overhang_mm: float | None = None,
    overhang_bound_mm: float = OVERHANG_BOUND_MM,
    pivot_to_spindle_bound_mm: float = PIVOT_TO_SPINDLE_BOUND_MM,
    zenith_rad: float = 0.0,
    slot_angle_rad: float | None = None,
    turn_about: TurnAbout = "stylus",
    stylus_to_screws_mm: float = STYLUS_TO_SCREWS_MM,
    slot_room_mm: tuple[float, float] | None = None,
    pivot_height_mm: float = 0.0,
    lift_mm: float = 0.0,
    record: Record | None = None,
    played: Sequence[Record] = (),
) -> Correction:
    """What to move, from readings of the fan at two or more radii.

    Args:
        readings: at least two, at different radii; or one beside `overhang_mm`.
        target: the arm that is wanted; its pivot to spindle is what was measured.
        overhang_mm: read on the overhang scale, when it was [mm].
        overhang_bound_mm: how far off that reading may be [mm].
        pivot_to_spindle_bound_mm: how far off the target's pivot to spindle may be [mm].
        zenith_rad: stylus clockwise of the cartridge body seen from above; added to every
            reading of the body [rad].
        slot_angle_rad: angle of the slots to the line stylus to pivot; default the target's
            offset angle, the angle at which headshells are made [rad].
        turn_about: what stays in place in the turn.
        stylus_to_screws_mm: for `turn_about="screws"` [mm].
        slot_room_mm: how far the cartridge can still slide back and to the front [mm].
        pivot_height_mm: pivot above the stylus on the sheet; with `lift_mm`, how much higher a
            record lies than the sheet, it makes the arm longer when it plays [mm].
        lift_mm: see `pivot_height_mm` [mm].
        record: when given, a slide that the slots do not allow is answered with the schemes on
            this record that they do.
        played: the records whose distortion decides whether a move is worth making; default
            `record`, or the usual one.

    Returns:
        the correction.

    Raises:
        InputError: for too few readings, readings that no arm gives or that contradict one
            another, and a slide that the slots do not allow.

    >>> target = Arm.through_nulls((66.0, 120.9), pivot_to_spindle_mm=222.0)
    >>> found = correct_arm([Reading(radius_mm=66.0, angle_deg=2.5),
    ...                      Reading(radius_mm=120.9, angle_deg=1.5)], target)
    >>> round(found.slide_mm, 1), round(found.turn_deg, 1), found.verdict
    (2.5, -0.3, 'move')

    Source: `protractor.setup.estimate`, `slide_and_turn`.
    """
    found = estimate_setting(
        readings,
        target,
        overhang_mm=overhang_mm,
        overhang_bound_mm=overhang_bound_mm,
        pivot_to_spindle_bound_mm=pivot_to_spindle_bound_mm,
        zenith_rad=zenith_rad,
    )
    radii = [reading.radius_mm for reading in readings]
    slot = target.offset_angle_rad if slot_angle_rad is None else slot_angle_rad
    point = stylus_to_screws_mm if turn_about == "screws" else 0.0
    playing = _on_record(found.theta, pivot_height_mm, lift_mm)
    slide_mm, turn_rad = (float(v) for v in _moves(playing, target, slot, point))
    _check_believable(found, slide_mm, target)
    if slot_room_mm is not None and not -slot_room_mm[0] <= slide_mm <= slot_room_mm[1]:
        fitting = _schemes_within(slot_room_mm, playing, record, slot, point) if record else []
        raise _too_short(slot_room_mm, slide_mm, fitting)
    drawn = _on_record(found.draws(), pivot_height_mm, lift_mm)
    slides, turns = _moves(drawn, target, slot, point)
    gained = playing[1] - found.theta[1]
    wanted = theta_of(target) - np.array([0.0, gained, 0.0])
    expected = outlook(
        playing,
        drawn,
        (slide_mm, turn_rad),
        target,
        played or (record or usual_record(),),
        slot_angle_rad=slot,
        turning_point_mm=point,
    )
    return Correction(
        now=arm_of(playing),
        target=target,
        estimate=found,
        slide_mm=slide_mm,
        turn_deg=math.degrees(turn_rad),
        effective_length_interval_mm=interval(drawn[1]),
        overhang_interval_mm=interval(drawn[1] - drawn[0]),
        offset_angle_interval_deg=_in_degrees(interval(drawn[2])),
        slide_interval_mm=interval(slides),
        turn_interval_deg=_in_degrees(interval(turns)),
        outlook=expected,
        verdict=verdict(
            expected,
            matches=all(_agrees(o, wanted) for o in found.observations),
            read=min(radii.count(radius) for radius in radii),
        ),
    )


def _agrees(seen: Observation, theta: Floats) -> bool:
    """Whether an arm keeps the bound of an observation, to the digits that a sheet prints."""
    return abs(seen.value - predict(seen, theta)[0]) <= seen.bound * (1 + AS_PRINTED)


def _observe(reading: Reading, zenith_rad: float) -> Observation:
    """A reading of the cartridge's body as a tracking error of its stylus."""
    return Observation(
        name=f"the reading at {reading.radius_mm:g} mm",
        kind="tracking-error",
        value=-math.radians(reading.angle_deg) - zenith_rad,
        bound=math.radians(reading.bound_deg),
        radius_mm=reading.radius_mm,
    )


def _in_degrees(bounds: tuple[float, float]) -> tuple[float, float]:
    """An interval in radians as one in degrees."""
    return math.degrees(bounds[0]), math.degrees(bounds[1])


def _too_short(
    slot_room_mm: tuple[float, float], slide_mm: float, fitting: Sequence[str]
) -> InputError:
    """The complaint about slots that do not allow a slide, with the schemes that they do."""
    where = "to the front" if slide_mm > 0 else "toward the pivot"
    remedy = (
        "no scheme fits these slots: take a headshell with longer ones, or another "
        "mounting distance"
    )
    if fitting:
        remedy = f"these slots would do for {', '.join(fitting)}"
    return InputError(
        "slot-room",
        f"{slot_room_mm[0]:g} mm back and {slot_room_mm[1]:g} mm forward",
        f"slots that allow the slide, which is {abs(slide_mm):.1f} mm {where}",
        remedy,
    )


def _on_record(theta: Floats, pivot_height_mm: float, lift_mm: float) -> Floats:
    """Arms (3, ...) as they were on the sheet, as they are when a record is played."""
    d, length, beta = theta
    return np.stack([d, length_on_record(length, pivot_height_mm, lift_mm), beta])


def _moves(
    theta: Floats, target: Arm, slot_angle_rad: float, turning_point_mm: float
) -> tuple[Floats, Floats]:
    """`slide_and_turn` from arms `theta` (3, ...) to the target's null radii at each one's d."""
    d, length, beta = theta
    product = target.effective_length_mm**2 - target.pivot_to_spindle_mm**2
    with np.errstate(invalid="ignore"):
        wanted = np.sqrt(d * d + product)
        wanted_beta = np.arcsin(target.linear_offset_mm / wanted)
    return slide_and_turn(
        length,
        beta,
        wanted,
        wanted_beta,
        slot_angle_rad=slot_angle_rad,
        turning_point_mm=turning_point_mm,
    )


def _schemes_within(
    slot_room_mm: tuple[float, float],
    playing: Floats,
    record: Record,
    slot_angle_rad: float,
    turning_point_mm: float,
) -> list[str]:
    """The schemes whose slide stays within the slots, each with its slide."""
    fitting = []
    for scheme, target in scheme_arms(arm_of(playing), record).items():
        slide = float(_moves(playing, target, slot_angle_rad, turning_point_mm)[0])
        if -slot_room_mm[0] <= slide <= slot_room_mm[1]:
            fitting.append(f"{scheme} ({slide:+.1f} mm)")
    return fitting


def _check_enough(readings: Sequence[Reading], overhang_mm: float | None) -> None:
    """Raise `InputError` when the readings cannot settle length and offset angle."""
    radii = sorted(r.radius_mm for r in readings)
    if radii and (radii[-1] - radii[0] >= LEAST_APART_MM or overhang_mm is not None):
        return
    raise InputError(
        "reading",
        "none" if not radii else "readings at " + ", ".join(f"{r:g} mm" for r in radii),
        f"two radii at least {LEAST_APART_MM:g} mm apart, or one beside the overhang",
        "read the fan at another target too, or the overhang scale",
    )


def _check_believable(found: Estimate, slide_mm: float, target: Arm) -> None:
    """Raise `InputError` for readings that no arm gives, and say which mix-up would explain it."""
    factor, names = found.conflict()
    if found.converged and factor <= MOST_CONFLICT and abs(slide_mm) <= LONGEST_SLIDE_MM:
        return
    mixed_up = []
    for changed, what in (
        (_change_sides(found.observations), "the sides of the fan"),
        (_change_radii(found.observations), "the readings of the targets"),
    ):
        other = estimate(changed, target)
        if other.converged:
            shift = float(_moves(other.theta, target, target.offset_angle_rad, 0.0)[0])
            if other.conflict()[0] <= 1 and abs(shift) <= LONGEST_SLIDE_MM:
                mixed_up.append(what)
    explained, apart = "check each reading and its radius", ""
    if mixed_up:
        explained = f"they would agree with {' or '.join(mixed_up)} changed over"
    got = f"readings that ask for a slide of {slide_mm:.0f} mm"
    if factor > MOST_CONFLICT:
        got = f"readings {factor:.1f} times their bounds apart"
        apart = f" ({', '.join(names)} do not go together)"
    raise InputError(
        "reading",
        got,
        f"readings of one arm, within {LONGEST_SLIDE_MM:g} mm of the target{apart}",
        f"{explained}: plus is left of the fan's middle with the pivot at the top",
    )


def _change_sides(observations: Sequence[Observation]) -> list[Observation]:
    """The observations with every reading of the fan on the other side."""
    return [replace(o, value=-o.value) if o.kind == "tracking-error" else o for o in observations]


def _change_radii(observations: Sequence[Observation]) -> list[Observation]:
    """The observations with the readings of the fan in the reverse order of radius."""
    seen = [o for o in observations if o.kind == "tracking-error"]
    radii = sorted(o.radius_mm for o in seen)
    ranked = {o: radii[len(radii) - 1 - radii.index(o.radius_mm)] for o in seen}
    return [replace(o, radius_mm=ranked[o]) if o in ranked else o for o in observations]
