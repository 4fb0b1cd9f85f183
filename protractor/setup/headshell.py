"""A cartridge in its headshell: a slide along the slots and a turn, and where they lead."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from protractor.arms.arm import Floats


def slide_and_turn(
    effective_length_mm: ArrayLike,
    offset_angle_rad: ArrayLike,
    target_length_mm: ArrayLike,
    target_offset_rad: ArrayLike,
    *,
    slot_angle_rad: ArrayLike,
    turning_point_mm: float = 0.0,
) -> tuple[Floats, Floats]:
    """The slide along the slots and the turn that bring one setting into another.

    The cartridge turns about a point of its own, `turning_point_mm` behind the stylus (0 for the
    stylus itself): the slide brings this point to the distance from the pivot that it has in the
    target, the turn then brings the cartridge to its angle.

    Args:
        effective_length_mm: L now, any shape [mm].
        offset_angle_rad: beta now, broadcast [rad].
        target_length_mm: L wanted, broadcast [mm].
        target_offset_rad: beta wanted, broadcast [rad].
        slot_angle_rad: between the slots and the line stylus to pivot as it is now, broadcast
            [rad].
        turning_point_mm: distance of the point behind the stylus along the cartridge [mm].

    Returns:
        (slide, turn): away from the pivot [mm], and clockwise seen from above [rad]; nan where no
        slide reaches.

    >>> import math
    >>> slide, turn = slide_and_turn(238.0, 0.4, 238.8, 0.4, slot_angle_rad=0.4)
    >>> round(float(slide), 3), round(math.degrees(float(turn)), 3)
    (0.868, 0.081)

    Source: the law of cosines in the triangle pivot, point before, point after.
    """
    length, beta, wanted, wanted_beta, slot = (
        np.asarray(v, float)
        for v in (
            effective_length_mm,
            offset_angle_rad,
            target_length_mm,
            target_offset_rad,
            slot_angle_rad,
        )
    )
    # pivot in the origin, stylus on the x axis, angles clockwise seen from above
    point = length - turning_point_mm * np.exp(1j * beta)
    goal = np.abs(wanted - turning_point_mm * np.exp(1j * wanted_beta))
    along = np.exp(1j * slot)
    forward = (point * np.conj(along)).real
    gain = (goal - np.abs(point)) * (goal + np.abs(point))
    with np.errstate(invalid="ignore"):
        slide: Floats = gain / (forward + np.sqrt(forward * forward + gain))
    moved = point + slide * along
    # the cartridge's angle to the line from its turning point to the pivot
    goal_angle = wanted_beta - np.angle(wanted - turning_point_mm * np.exp(1j * wanted_beta))
    turn: Floats = goal_angle - (beta - np.angle(moved))
    return slide, turn


def slid_and_turned(
    effective_length_mm: ArrayLike,
    offset_angle_rad: ArrayLike,
    slide_mm: ArrayLike,
    turn_rad: ArrayLike,
    *,
    slot_angle_rad: ArrayLike,
    turning_point_mm: float = 0.0,
) -> tuple[Floats, Floats]:
    """Where a slide along the slots and a turn lead: the inverse of `slide_and_turn`.

    Args:
        effective_length_mm: L now, any shape [mm].
        offset_angle_rad: beta now, broadcast [rad].
        slide_mm: away from the pivot, broadcast [mm].
        turn_rad: clockwise seen from above, broadcast [rad].
        slot_angle_rad: between the slots and the line stylus to pivot as it is now, broadcast
            [rad].
        turning_point_mm: distance of the point that stays in the turn behind the stylus [mm].

    Returns:
        (L, beta) after both, the broadcast shape [mm, rad].

    >>> import math
    >>> length, beta = slid_and_turned(238.0, 0.4, 0.868, math.radians(0.081), slot_angle_rad=0.4)
    >>> round(float(length), 2), round(float(beta), 3)
    (238.8, 0.4)

    Source: vector addition, pivot in the origin and stylus on the x axis.
    """
    beta = np.asarray(offset_angle_rad, float)
    angle = beta + np.asarray(turn_rad, float)
    point = np.asarray(effective_length_mm, float) - turning_point_mm * np.exp(1j * beta)
    point = point + np.asarray(slide_mm, float) * np.exp(1j * np.asarray(slot_angle_rad, float))
    stylus = point + turning_point_mm * np.exp(1j * angle)
    # angles clockwise: the line to the pivot has turned by the stylus's own angle
    return np.abs(stylus), angle - np.angle(stylus)
