"""Greatest error and distortion over a side for many arms at once, from the curve's few extrema.

The tracking error is greatest at an edge of the recorded area or where it turns, at
sqrt(L² - d²); the distortion at an edge or where tan(error) / r turns, between the nulls. Three
evaluations take the place of a grid.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from protractor.arms.arm import Floats
from protractor.arms.records import Record


def peak_tracking_errors(
    pivot_to_spindle_mm: ArrayLike,
    effective_length_mm: ArrayLike,
    offset_angle_rad: ArrayLike,
    record: Record,
) -> Floats:
    """Greatest tracking error over the recorded area, without sign.

    The sine of the tracking angle is greatest at an edge and least where it turns or at an edge,
    so two arcsines settle it.

    Args:
        pivot_to_spindle_mm: d, any shape [mm].
        effective_length_mm: L, broadcast [mm].
        offset_angle_rad: beta, broadcast [rad].
        record: the recorded area.

    Returns:
        max |phi - beta|, the broadcast shape [rad]; nan where the arm does not reach.

    >>> from protractor.arms.records import record
    >>> peak = peak_tracking_errors(222.0, 239.2992, np.radians(22.9904), record())
    >>> round(float(np.degrees(peak)), 2)
    1.8

    Source: the derivative of the formula of `protractor.arms.arm.tracking_angle`.
    """
    d, length, beta = (
        np.asarray(v, float) for v in (pivot_to_spindle_mm, effective_length_mm, offset_angle_rad)
    )
    inner, outer = record.inner_radius_mm, record.outer_radius_mm
    p = (length - d) * (length + d)
    turn = np.sqrt(np.clip(p, inner * inner, outer * outer))
    with np.errstate(invalid="ignore"):
        high = np.arcsin(np.maximum(inner + p / inner, outer + p / outer) / (2 * length))
        # r + p/r is least at sqrt(p), or at the edge that is nearer to it
        low = np.arcsin((turn + p / turn) / (2 * length))
    peak: Floats = np.maximum(high - beta, beta - low)
    return peak


def peak_weighted_errors(
    pivot_to_spindle_mm: ArrayLike,
    effective_length_mm: ArrayLike,
    offset_angle_rad: ArrayLike,
    record: Record,
) -> Floats:
    """Greatest tan|error| / r over the recorded area, which the second harmonic is proportional to.

    Args:
        pivot_to_spindle_mm: d, any shape [mm].
        effective_length_mm: L, broadcast [mm].
        offset_angle_rad: beta, broadcast [rad].
        record: the recorded area.

    Returns:
        max tan|phi - beta| / r, the broadcast shape [1/mm]; nan where the arm does not reach.

    One Newton step on r error'(r) = sin(error) cos(error) from the harmonic mean of the null radii,
    which is exact for the error of sines; the little that it leaves is squared in the peak.

    >>> from protractor.arms.records import record
    >>> peak = peak_weighted_errors(222.0, 239.2992, np.radians(22.9904), record())
    >>> round(float(peak) * 1e4, 3)
    2.154

    Source: as `protractor.arms.distortion.weighted_turning_radius`.
    """
    d, length, beta = (
        np.asarray(v, float) for v in (pivot_to_spindle_mm, effective_length_mm, offset_angle_rad)
    )
    inner, outer = record.inner_radius_mm, record.outer_radius_mm
    p = (length - d) * (length + d)
    tangent = np.tan(beta)
    sine_beta = tangent / np.sqrt(1 + tangent * tangent)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        r = p / (length * sine_beta)
        r = np.where(np.isfinite(r), np.clip(r, inner, outer), inner)
        r = np.clip(_newton(r, p, length, tangent), inner, outer)
        # an arm without a turn between the edges ends at an edge, which costs nothing
        r = np.where(np.isfinite(r), r, inner)
        peak: Floats = np.maximum(
            np.maximum(_weighted(inner, p, length, tangent), _weighted(outer, p, length, tangent)),
            _weighted(r, p, length, tangent),
        )
    return peak


def _weighted(r: ArrayLike, p: Floats, length: Floats, tangent: Floats) -> Floats:
    """tan|error| / r without an arc function: p is L² - d² [mm²], `tangent` that of beta."""
    radius = np.asarray(r, float)
    sine = (radius + p / radius) / (2 * length)
    slope = sine / np.sqrt(1 - sine * sine)
    value: Floats = np.abs((slope - tangent) / (1 + slope * tangent)) / radius
    return value


def _newton(r: Floats, p: Floats, length: Floats, tangent: Floats) -> Floats:
    """One step toward the turn of tan(error) / r."""
    sine = (r + p / r) / (2 * length)
    cosine = np.sqrt(1 - sine * sine)
    t = (sine - tangent * cosine) / (cosine + tangent * sine)  # tan(error)
    slope = (1 - p / (r * r)) / (2 * length)  # d sin(phi) / dr
    rate = slope / cosine
    bend = p / (r * r * r * length) / cosine + sine * slope * slope / (cosine * cosine * cosine)
    square = 1 + t * t
    value = r * rate - t / square
    step: Floats = value / (rate + r * bend - rate * (1 - t * t) / square)
    return r - step
