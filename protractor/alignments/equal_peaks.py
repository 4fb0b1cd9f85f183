"""The quick way to the least peak of the tracking error: one span, nothing kept or limited."""

from __future__ import annotations

from math import asin, sqrt


def equal_peaks(
    fixed_mm: float, slides: bool, inner_mm: float, outer_mm: float, weighted: bool
) -> tuple[float, float, float]:
    """Place p = L² - d² [mm²], offset angle [rad] and height [rad, or rad/mm] of the least peak.

    Args:
        fixed_mm: the length that stays [mm].
        slides: whether that is d, so that L moves; else L stays and d moves.
        inner_mm: innermost radius [mm].
        outer_mm: outermost radius [mm].
        weighted: whether the error is divided by the radius.

    Raises:
        ValueError: from a root or an arc sine, when the arm does not reach the radii.

    The least peak is the one alignment whose error is equally high at both ends and, with the other
    sign, where it turns between. On the plane of radius and angle the line through the curve at
    both ends then has the slope of the greatest weighted error, and its mirror image about the
    offset angle touches the curve: two equations for the place and the radius of touch, solved by
    Newton from Löfgren A. Without weight the ends are equal at p = ri ro, whatever the arm.

    >>> p, beta, peak = equal_peaks(222.0, True, 60.325, 146.05, True)
    >>> round(sqrt(222.0**2 + p) - 222.0, 3), round(beta, 4), round(peak * 1e4, 3)
    (17.311, 0.4014, 2.146)

    Source: P. L. Chebyshev's alternation; valid while the outer radius squared is under L² + d².
    """
    if not weighted:
        p = inner_mm * outer_mm
        length = sqrt(fixed_mm * fixed_mm + p) if slides else fixed_mm
        edge = asin((inner_mm + outer_mm) / (2 * length))
        middle = asin(sqrt(p) / length)
        return p, (edge + middle) / 2, (edge - middle) / 2
    moves = 1.0 if slides else 0.0
    centre, half = (1 / inner_mm + 1 / outer_mm) / 2, (1 / inner_mm - 1 / outer_mm) / 2
    p = 1 / (centre * centre - half * half / 2)
    touch = 1 / centre
    for _ in range(20):
        length = sqrt(fixed_mm * fixed_mm + p) if slides else fixed_mm
        twice, rate = 2 * length, moves / (2 * length * length)
        # sine, angle and its slope by p, at both ends (1, 2) and at the radius of touch (0)
        s1 = (inner_mm + p / inner_mm) / twice
        s2 = (outer_mm + p / outer_mm) / twice
        s0 = (touch + p / touch) / twice
        a1, a2, a0 = asin(s1), asin(s2), asin(s0)
        cosine = sqrt(1 - s0 * s0)
        b1 = (1 / (inner_mm * twice) - rate * s1) / sqrt(1 - s1 * s1)
        b2 = (1 / (outer_mm * twice) - rate * s2) / sqrt(1 - s2 * s2)
        b0 = (1 / (touch * twice) - rate * s0) / cosine
        # the greatest weighted error, from the outer end and the touch, and its slope by p
        peak, peak_slope = (a2 - a0) / (outer_mm + touch), (b2 - b0) / (outer_mm + touch)
        gap = a1 - a2 + (outer_mm - inner_mm) * peak
        step = gap / (b1 - b2 + (outer_mm - inner_mm) * peak_slope)
        # the curve's slope by radius at the touch, and how that changes with the radius
        rise = (1 - p / (touch * touch)) / twice
        bend = 2 * p / (touch**3 * twice * cosine) + s0 * rise**2 / cosine**3
        touch -= (rise / cosine + peak) / bend
        p -= step
        if abs(step) <= 1e-14 * p:
            break
    peak -= step * peak_slope
    return p, a2 - step * b2 - outer_mm * peak, peak
