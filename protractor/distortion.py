"""What a tracking error costs: second-harmonic distortion of a velocity-sensing cartridge."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from protractor.arm import Arm, Floats
from protractor.errors import InputError
from protractor.records import Record

VELOCITY_RANGE_CM_S = (0.1, 100.0)
DEFAULT_VELOCITY_CM_S = 10.0
"""A loud passage (common practice)."""


def peak_velocity(velocity_cm_s: float, velocity_is: str) -> float:
    """Peak velocity of a sine [cm/s] whose velocity is stated as `peak` or as `rms`.

    Raises `InputError` when the velocity is outside `VELOCITY_RANGE_CM_S` or the word is another.
    """
    low, high = VELOCITY_RANGE_CM_S
    if not (math.isfinite(velocity_cm_s) and low <= velocity_cm_s <= high):
        raise InputError(
            "velocity",
            f"{velocity_cm_s:g} cm/s",
            f"{low:g} to {high:g} cm/s",
            "give the recorded velocity of the groove in cm/s",
        )
    if velocity_is not in ("peak", "rms"):
        raise InputError("velocity-is", velocity_is, "peak, rms", "name one of these")
    return velocity_cm_s * (math.sqrt(2.0) if velocity_is == "rms" else 1.0)


def second_harmonic(
    error_rad: ArrayLike, radius_mm: ArrayLike, rpm: ArrayLike, peak_velocity_cm_s: ArrayLike
) -> Floats:
    """Second harmonic over fundamental, to first order in the tracking error.

    Args:
        error_rad: tracking error, any shape [rad].
        radius_mm: r, broadcast [mm].
        rpm: speed of the record, broadcast [rpm].
        peak_velocity_cm_s: v, peak of the recorded sine, broadcast [cm/s].

    Returns:
        ratio of velocities, not equalised, the broadcast shape [1].

    v tan|error| / (Omega r); first order in v tan(error) / (Omega r), which stays under 0.1 for
    any arm that is set up.

    >>> round(100 * float(second_harmonic(math.radians(1.0), 60.0, 100 / 3, 10.0)), 2)
    0.83

    Source: H. G. Baerwald, J. Soc. Motion Picture Eng., Dec 1941 (first term of the series).
    """
    omega = np.asarray(rpm, float) * (2 * math.pi / 60)
    speed_mm_s = omega * np.asarray(radius_mm, float)
    velocity_mm_s = 10 * np.asarray(peak_velocity_cm_s, float)
    ratio: Floats = velocity_mm_s * np.abs(np.tan(error_rad)) / speed_mm_s
    return ratio


def _inside(radii: list[float], record: Record) -> Floats:
    """The ends of the recorded area and those of `radii` [mm] that lie between them."""
    inner, outer = record.inner_radius_mm, record.outer_radius_mm
    return np.array([inner, outer, *(r for r in radii if inner < r < outer)])


def turning_radius(arm: Arm) -> float:
    """Radius [mm] at which the tracking error turns: sqrt(L² - d²); nan for an underhung arm.

    Source: the derivative of the formula of `protractor.arm.tracking_angle`.
    """
    d, length = arm.pivot_to_spindle_mm, arm.effective_length_mm
    squared = (length - d) * (length + d)
    return math.sqrt(squared) if squared >= 0 else math.nan


def weighted_turning_radius(arm: Arm) -> float:
    """Radius [mm] at which tan(error) / r turns between the nulls; nan when it does not.

    Newton on r error'(r) = sin(error) cos(error), from the harmonic mean of the null radii, which
    is exact for the error of sines.
    """
    d, length = arm.pivot_to_spindle_mm, arm.effective_length_mm
    p = (length - d) * (length + d)
    half = arm.linear_offset_mm
    r = p / half if half > 0 and p > 0 else math.nan
    for _ in range(20):
        sine = (r * r + p) / (2 * r * length)
        if not abs(sine) < 1:
            return math.nan
        cosine = math.sqrt(1 - sine * sine)
        slope = (1 - p / (r * r)) / (2 * length)  # d sin(phi) / dr
        rate = slope / cosine  # d phi / dr
        bend = p / (r**3 * length) / cosine + sine * slope * slope / cosine**3  # d² phi / dr²
        error = math.asin(sine) - arm.offset_angle_rad
        value = r * rate - math.sin(error) * math.cos(error)
        step = value / (rate + r * bend - math.cos(2 * error) * rate)
        r -= step
        if abs(step) <= 1e-13 * abs(r):
            return r
    return r


def peak_tracking_error(arm: Arm, record: Record) -> float:
    """Greatest tracking error over the recorded area, without sign [rad].

    The error can be greatest at the edges and at `turning_radius` only.
    """
    return float(np.max(np.abs(arm.tracking_error(_inside([turning_radius(arm)], record)))))


def peak_second_harmonic(arm: Arm, record: Record, peak_velocity_cm_s: float) -> float:
    """Greatest `second_harmonic` over the recorded area [1].

    It can be greatest at the edges and at `weighted_turning_radius` only.
    """
    radii = _inside([weighted_turning_radius(arm)], record)
    return float(
        np.max(second_harmonic(arm.tracking_error(radii), radii, record.rpm, peak_velocity_cm_s))
    )


def side_nodes(record: Record, count: int = 48) -> tuple[Floats, Floats]:
    """Gauss-Legendre nodes [mm] and weights over the recorded area; the weights sum to 1.

    The mean they give is uniform in radius, which at constant pitch is uniform in time.
    """
    nodes, weights = np.polynomial.legendre.leggauss(count)
    inner, outer = record.inner_radius_mm, record.outer_radius_mm
    return (inner + outer) / 2 + (outer - inner) / 2 * nodes, weights / 2


def rms_tracking_error(arm: Arm, record: Record) -> float:
    """Root of the mean square of the tracking error, uniform in radius [rad]."""
    radii, weights = side_nodes(record)
    return math.sqrt(float(weights @ arm.tracking_error(radii) ** 2))


def rms_second_harmonic(arm: Arm, record: Record, peak_velocity_cm_s: float) -> float:
    """Root of the mean square of `second_harmonic`, uniform in radius [1]."""
    radii, weights = side_nodes(record)
    ratio = second_harmonic(arm.tracking_error(radii), radii, record.rpm, peak_velocity_cm_s)
    return math.sqrt(float(weights @ ratio**2))
