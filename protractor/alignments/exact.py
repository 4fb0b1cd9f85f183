"""The exact alignment of a deck: the optimum for this arm, what is held, limits, what is played."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from protractor.alignments.alignment import Alignment
from protractor.alignments.moving import Moving
from protractor.alignments.objective import OWN_OBJECTIVE, Objective, Terms, spans_of
from protractor.alignments.optimum import Optimum, best_arms
from protractor.arms import distortion
from protractor.arms.play import Play
from protractor.arms.records import Record
from protractor.arms.records import record as preset_record
from protractor.arms.schemes import DEFAULT_SCHEME, HELD, OWN_NULLS, Held
from protractor.errors import InputError


def solve_exact(
    *,
    pivot_to_spindle_mm: float | None = None,
    effective_length_mm: float | None = None,
    offset_angle_rad: float | None = None,
    held: Held | None = None,
    scheme: str | None = None,
    objective: Objective | None = None,
    record: Record | None = None,
    play: Play | None = None,
    overhang_range_mm: tuple[float, float] | None = None,
    offset_range_rad: tuple[float, float] | None = None,
    velocity_cm_s: float = distortion.DEFAULT_VELOCITY_CM_S,
    velocity_is: str = "peak",
    equalisation: distortion.Equalisation = distortion.NOT_EQUALISED,
) -> Alignment:
    """The alignment of a deck that is best on true angles for this arm.

    Args:
        pivot_to_spindle_mm: d, when it stays [mm].
        effective_length_mm: L, when it stays [mm]; one of the two.
        offset_angle_rad: beta, when it stays as well [rad].
        held: what stays; default the length that is given. `offset-angle` needs the angle and one
            length, and moves the other length only.
        scheme: a name of `protractor.arms.schemes.SCHEMES`; default `lofgren-a`.
        objective: what is made small instead, when it is no scheme.
        record: the recorded area and speed; default the 12-inch IEC pair at 33 1/3 rpm.
        play: the records that are played, when it is not the one record.
        overhang_range_mm: least and greatest overhang that the slots allow [mm].
        offset_range_rad: least and greatest offset angle [rad].
        velocity_cm_s: recorded velocity that the distortion is stated for [cm/s].
        velocity_is: whether that is `peak` or `rms`.
        equalisation: what replay makes of the harmonics.

    Raises:
        InputError: for anything missing, excluded or out of range, and when the limits leave no
            arm: it names the limit to loosen and by how much.

    >>> best = solve_exact(pivot_to_spindle_mm=222.0)
    >>> round(best.arm.overhang_mm, 3), round(best.arm.offset_angle_deg, 3)
    (17.311, 23.0)

    Source: `protractor.alignments.optimum`.
    """
    side = preset_record() if record is None else record
    _what_is_held(held, pivot_to_spindle_mm, effective_length_mm, offset_angle_rad)
    if scheme == OWN_NULLS:
        raise InputError(
            "scheme", scheme, "a scheme that makes something small", "leave out --exact"
        )
    aim = Objective.of(scheme or DEFAULT_SCHEME) if objective is None else objective
    given: dict[str, Any] = {
        "pivot_to_spindle_mm": pivot_to_spindle_mm,
        "effective_length_mm": effective_length_mm,
        "offset_angle_rad": offset_angle_rad,
    }
    spans = spans_of(play or Play.of(side))
    best = best_arms(
        aim, spans, **given, overhang_range_mm=overhang_range_mm, offset_range_rad=offset_range_rad
    )
    if math.isnan(float(best.level)):
        _explain(aim, play or Play.of(side), given, overhang_range_mm, offset_range_rad)
    return Alignment(
        arm=best.arm,
        scheme=(scheme or DEFAULT_SCHEME) if objective is None else OWN_OBJECTIVE,
        record=side,
        velocity_cm_s=velocity_cm_s,
        velocity_is=velocity_is,
        equalisation=equalisation,
        play=play,
        held=_length_held(pivot_to_spindle_mm) if offset_angle_rad is None else "offset-angle",
        terms=Terms(
            objective=aim,
            overhang_range_mm=overhang_range_mm,
            offset_range_rad=offset_range_rad,
            overhang_limit=int(best.overhang_limit),
            offset_limit=int(best.offset_limit),
            limit_cost=_cost(best),
        ),
    )


def _length_held(pivot_to_spindle_mm: float | None) -> Held:
    return "effective-length" if pivot_to_spindle_mm is None else "pivot-to-spindle"


def _what_is_held(
    held: Held | None,
    pivot_to_spindle_mm: float | None,
    effective_length_mm: float | None,
    offset_angle_rad: float | None,
) -> None:
    """Raise `InputError` when what is given is not what is held."""
    if (pivot_to_spindle_mm is None) == (effective_length_mm is None):
        raise InputError(
            "pivot-to-spindle",
            "neither length" if pivot_to_spindle_mm is None else "both lengths",
            "one of pivot-to-spindle and effective-length",
            "give the one that stays as it is",
        )
    if held is not None and held not in HELD:
        raise InputError("held", held, ", ".join(HELD), "name one of these")
    length = _length_held(pivot_to_spindle_mm)
    if held == "offset-angle" and offset_angle_rad is None:
        raise InputError(
            "offset-angle",
            "nothing",
            "the offset angle that is held",
            "add `offset-angle` DEGREES, 0 for a straight arm",
        )
    if held != "offset-angle" and offset_angle_rad is not None:
        raise InputError(
            "offset-angle",
            f"{math.degrees(offset_angle_rad):g} deg that nothing holds",
            "an offset angle beside held offset-angle",
            "add `held` offset-angle, or leave the angle out",
        )
    if held not in (None, "offset-angle", length):
        raise InputError(
            "held",
            f"{held} beside {length}",
            f"{length} or offset-angle, when {length} is given",
            f"give `{held}` instead, or leave `held` out",
        )


def _cost(best: Optimum) -> float:
    """By how much the limits make the objective worse [1]; nan if only limits leave an arm."""
    return float(best.level / best.unlimited_level) - 1 if best.limited else 0.0


def _explain(
    aim: Objective,
    play: Play,
    given: dict[str, Any],
    overhangs: tuple[float, float] | None,
    offsets: tuple[float, float] | None,
) -> None:
    """Raise the `InputError` that says why there is no arm, and which limit to loosen."""
    spans = spans_of(play)
    free = best_arms(aim, spans, **given)
    if math.isnan(float(free.level)):
        name = "pivot-to-spindle" if given["effective_length_mm"] is None else "effective-length"
        raise InputError(
            name,
            f"{given[name.replace('-', '_') + '_mm']:g} mm",
            "an arm that can reach the recorded area as it is asked to",
            "check the length, the radii and the offset angle",
        )
    held = given["offset_angle_rad"]
    if held is not None and offsets is not None and not offsets[0] <= held <= offsets[1]:
        raise _loosen("offset-range", "deg", [math.degrees(v) for v in (*offsets, held, held)])
    alone = best_arms(aim, spans, **given, overhang_range_mm=overhangs)
    if overhangs is not None and math.isnan(float(alone.level)):
        if held is not None and aim.null_at_mm is not None:
            raise _loosen("overhang-range", "mm", [*overhangs, *[float(free.overhang_mm)] * 2])
        raise _loosen("overhang-range", "mm", [*overhangs, *_reach(aim, play, given)])
    ends = overhangs or _reach(aim, play, given)
    meets = [best_arms(aim, spans, **given, overhang_range_mm=(x, x)) for x in ends]
    angles = [math.degrees(float(arm.offset_angle_rad)) for arm in (alone, *meets)]
    known = [angle for angle in angles if not math.isnan(angle)]
    assert offsets is not None
    raise _loosen(
        "offset-range", "deg", [*(math.degrees(v) for v in offsets), min(known), max(known)]
    )


def _reach(aim: Objective, play: Play, given: dict[str, Any]) -> tuple[float, float]:
    """Least and greatest overhang at which the arm plays all that is asked for [mm]."""
    d, length = given["pivot_to_spindle_mm"], given["effective_length_mm"]
    moving = Moving(fixed_mm=np.asarray(length if d is None else d), slides=d is not None)
    kept = [aim.null_at_mm] if isinstance(aim.null_at_mm, float) else []
    low, high = moving.places(
        np.asarray(min([play.inner_radius_mm, *kept])),
        np.asarray(max([play.outer_radius_mm, *kept])),
    )
    if aim.as_lofgren_a:
        linear = best_arms(Objective(), spans_of(play), **given).arm.linear_offset_mm
        first, last = moving.places_of_linear_offset(
            np.asarray(linear), np.asarray(-1.5), np.asarray(1.5)
        )
        low, high = np.maximum(low, first), np.minimum(high, last)
    return float(moving.overhang(low)), float(moving.overhang(high))


def _loosen(name: str, unit: str, values: list[float]) -> InputError:
    """The error of a range (first two values) that misses what can be (last two)."""
    low, high, least, most = values
    upper = high < least
    # rounded so that the limit as printed does
    wanted = math.ceil(least * 1000) / 1000 if upper else math.floor(most * 1000) / 1000
    end, missing = ("upper", wanted - high) if upper else ("lower", low - wanted)
    can_be = f"{least:.3f}" if least == most else f"{least:.3f} to {most:.3f}"
    return InputError(
        name,
        f"{low:g} to {high:g} {unit}",
        f"a range that meets {can_be} {unit}, where an arm is left",
        f"loosen its {end} limit to {wanted:.3f} {unit}, by {missing:.3f}",
    )
