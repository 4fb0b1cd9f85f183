"""Straight arms without offset: the underhung arm and its single null.

With offset 0 the tracking error's sine is (r - K/r) / (2 L) with K = d² - L²: one null, at sqrt(K),
and nothing else to choose. Each scheme's objective then fixes K alone.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from protractor.arms.arm import PIVOT_TO_SPINDLE_RANGE_MM, Arm, Floats, check_one_length
from protractor.arms.records import Record
from protractor.errors import InputError


def _peak_weighted(ri: Floats, ro: Floats) -> Floats:
    """1 - K u² of equal size and opposite sign at both edges: twice Radiotron's constant."""
    constant: Floats = 2 / (1 / ri**2 + 1 / ro**2)
    return constant


def _rms_weighted(ri: Floats, ro: Floats) -> Floats:
    """The integral of (1 - K u²)² over r made least: u is 1/r, dr is -du/u²."""
    u1, u2 = 1 / ro, 1 / ri
    constant: Floats = 3 / (u2 * u2 + u2 * u1 + u1 * u1)
    return constant


SINGLE_NULLS: dict[str, Callable[[Floats, Floats], Floats]] = {
    "lofgren-a": _peak_weighted,
    "lofgren-b": _rms_weighted,
    "lofgren-c": _rms_weighted,
    "stevenson": lambda ri, ro: ri * ri + 0 * ro,
    "equal-angle": lambda ri, ro: ri * ro,
}
"""K [mm²] by the scheme whose objective it serves. B and C are one: there is no linear offset."""


def single_null_radius(
    scheme: str, inner_radius_mm: ArrayLike, outer_radius_mm: ArrayLike
) -> Floats:
    """Null radius of a straight arm without offset, by the error of sines.

    Args:
        scheme: a key of `SINGLE_NULLS`.
        inner_radius_mm: ri, any shape [mm].
        outer_radius_mm: ro > ri, broadcast [mm].

    Returns:
        sqrt(d² - L²), the broadcast shape [mm].

    Raises:
        InputError: for a name that is not in `SINGLE_NULLS`.

    >>> inch = 25.4
    >>> r = single_null_radius("lofgren-a", 1.875 * inch, 5.75 * inch) / inch
    >>> round(float(r) ** 2 / 2, 2)
    3.18

    Source: F. Langford-Smith, Radiotron Designer's Handbook, 4th ed., 1953, ch. 17 (the worked
    line: its constant for the 12-inch record at 78 rpm, read second-hand); the others follow from
    the objectives of `protractor.arms.schemes`.
    """
    if scheme not in SINGLE_NULLS:
        raise InputError("scheme", scheme, ", ".join(SINGLE_NULLS), "name one of these")
    ri, ro = np.broadcast_arrays(
        np.asarray(inner_radius_mm, float), np.asarray(outer_radius_mm, float)
    )
    radius: Floats = np.sqrt(SINGLE_NULLS[scheme](ri, ro))
    return radius


def straight_arm(
    scheme: str,
    record: Record,
    *,
    pivot_to_spindle_mm: float | None = None,
    effective_length_mm: float | None = None,
) -> Arm:
    """The underhung arm without offset that a scheme's objective asks for.

    Args:
        scheme: a key of `SINGLE_NULLS`.
        record: the recorded area.
        pivot_to_spindle_mm: d, when it is the length that stays [mm].
        effective_length_mm: L, when it is the length that stays [mm]; one of the two.

    Raises:
        InputError: when not exactly one length is given, or when no deck has such an arm.

    >>> from protractor.arms.records import record
    >>> arm = straight_arm("lofgren-a", record(), pivot_to_spindle_mm=240.0)
    >>> round(arm.overhang_mm, 2), arm.offset_angle_deg
    (-13.32, 0.0)

    Source: `single_null_radius`.
    """
    check_one_length(pivot_to_spindle_mm, effective_length_mm)
    null = float(single_null_radius(scheme, record.inner_radius_mm, record.outer_radius_mm))
    low, high = PIVOT_TO_SPINDLE_RANGE_MM
    if effective_length_mm is not None:
        length, d = effective_length_mm, math.hypot(effective_length_mm, null)
    else:
        assert pivot_to_spindle_mm is not None
        d = pivot_to_spindle_mm
        length = math.sqrt((d - null) * (d + null)) if d > null else 0.0
    if not (low - 1e-9 <= d <= high + 1e-9 and length > record.outer_radius_mm / 2):
        name, got = (
            ("pivot-to-spindle", d) if effective_length_mm is None else ("effective-length", length)
        )
        raise InputError(
            name,
            f"{got:g} mm",
            f"an arm whose pivot to spindle is {low:g} to {high:g} mm and which reaches "
            f"{record.outer_radius_mm:g} mm with underhang",
            "measure again, or choose a smaller record",
        )
    return Arm(pivot_to_spindle_mm=d, effective_length_mm=length, offset_angle_rad=0.0)
