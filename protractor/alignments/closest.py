"""Which scheme an arm comes closest to, and which would serve it best."""

from __future__ import annotations

import contextlib
import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from protractor.alignments.alignment import Alignment
from protractor.arms.arm import Arm
from protractor.arms.records import Record
from protractor.arms.schemes import SCHEMES, scheme_null_radii
from protractor.arms.straight import SINGLE_NULLS, straight_arm
from protractor.errors import InputError

STRAIGHT_BELOW_RAD = math.radians(3.0)
"""An underhung arm with less offset than this is compared with straight arms."""


def scheme_nulls(record: Record) -> dict[str, tuple[float, float]]:
    """Null radii of every scheme on a record, by name."""
    found = {}
    for name in SCHEMES:
        inner, outer = scheme_null_radii(name, record.inner_radius_mm, record.outer_radius_mm)
        found[name] = float(inner), float(outer)
    return found


def is_straight(arm: Arm) -> bool:
    """Whether an arm is underhung and has next to no offset."""
    return arm.overhang_mm < 0 and abs(arm.offset_angle_rad) < STRAIGHT_BELOW_RAD


def scheme_arm(scheme: str, arm: Arm, record: Record) -> Arm:
    """The arm of a scheme on the same deck; a straight one for a straight underhung arm."""
    if is_straight(arm) and scheme in SINGLE_NULLS:
        return straight_arm(scheme, record, pivot_to_spindle_mm=arm.pivot_to_spindle_mm)
    inner, outer = scheme_null_radii(scheme, record.inner_radius_mm, record.outer_radius_mm)
    return Arm.through_nulls(
        (float(inner), float(outer)), pivot_to_spindle_mm=arm.pivot_to_spindle_mm
    )


def scheme_arms(
    arm: Arm, record: Record, schemes: Sequence[str] = tuple(SCHEMES)
) -> dict[str, Arm]:
    """The arm of every scheme that has one on the same deck, by the scheme's name."""
    found = {}
    for scheme in schemes:
        with contextlib.suppress(InputError):
            found[scheme] = scheme_arm(scheme, arm, record)
    return found


def closest_scheme(
    arm: Arm, record: Record, schemes: Sequence[str] = tuple(SCHEMES)
) -> tuple[str, float]:
    """The scheme whose arm on this deck tracks most nearly the same, and by how much [rad].

    The measure is the greatest difference of the tracking angles to the cartridge over the side.
    """
    radii = np.linspace(record.inner_radius_mm, record.outer_radius_mm, 33)
    error = arm.tracking_error(radii)
    found = {
        scheme: float(np.max(np.abs(error - other.tracking_error(radii))))
        for scheme, other in scheme_arms(arm, record, schemes).items()
    }
    if not found:
        raise InputError(
            "pivot-to-spindle",
            f"{arm.pivot_to_spindle_mm:.1f} mm by these statements",
            "a deck on which one of the schemes has an arm",
            "read the statements again",
        )
    name = min(found, key=lambda scheme: found[scheme])
    return name, found[name]


def best_scheme(like: Alignment) -> Alignment:
    """The alignment of least peak second harmonic among all schemes on the deck of another one."""
    options = [
        replace(like, arm=arm, scheme=scheme)
        for scheme, arm in scheme_arms(like.arm, like.record).items()
    ]
    return min(options, key=lambda option: option.peak_second_harmonic_percent)
