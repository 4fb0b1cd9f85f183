"""Least peak of the tracking error, weighted or not, by the equality of its peaks.

The error's slopes by offset angle and by place form a Haar system while r² < L² + d², so the least
peak is the one alignment whose error reaches the same height three times with alternating sign
(Chebyshev); with one freedom less, twice. Arms stand in rows (N, 1), radii in columns (N or 1, K).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np

from protractor.alignments.moving import Moving
from protractor.alignments.newton import increasing_root
from protractor.arms.arm import Floats

Number = TypeVar("Number", float, Floats)

OffsetOf = Callable[[Floats], tuple[Floats, Floats, Floats]]
"""Offset angle as a function of the place, with its first and second derivative."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Peaks:
    """The peak objective over one or several spans of radius.

    `inner_mm`, `outer_mm` are (N or 1, K); `factor` (1, K) multiplies the error on each span;
    `weighted` divides it by the radius. `null_at_mm` (N or 1, 1) is the radius at which the error
    is held at zero, nan when there is none.
    """

    moving: Moving
    inner_mm: Floats
    outer_mm: Floats
    factor: Floats
    weighted: bool
    null_at_mm: Floats

    def turning(self, p: Floats, beta: Floats) -> Floats:
        """Radius between all spans' ends at which the weighted error turns; nan if none (N, 1)."""
        low = self.inner_mm.min(axis=-1, keepdims=True) + 0 * p
        high = self.outer_mm.max(axis=-1, keepdims=True) + 0 * p
        with np.errstate(invalid="ignore"):
            if not self.weighted:
                radius = np.sqrt(p)
                return np.where((radius > low) & (radius < high), radius, np.nan)

            def rise(r: Floats) -> tuple[Floats, Floats]:
                angle, slope, bend = self.moving.slopes(r, p)
                return sign * (r * slope - angle + beta), sign * r * bend

            sign = np.ones_like(p)
            at_low, at_high = rise(low)[0], rise(high)[0]
            crosses = at_low * at_high < 0
            sign = np.where(at_high < at_low, -1.0, 1.0)
            half = self.moving.effective_length(p) * np.sin(beta)
            guess: Floats = np.clip(np.divide(p, half, where=half != 0, out=low.copy()), low, high)
            return np.where(crosses, increasing_root(rise, low, high, guess), np.nan)

    def peaks(self, p: Floats, beta: Floats) -> tuple[Floats, Floats, Floats]:
        """Radii at which the error can peak, the errors there, and the weights they bear.

        Each of shape (N, 3 K): ends of every span, and the turning radius in the spans it is in.
        """
        turn = self.turning(p, beta)
        shape = np.broadcast_shapes(turn.shape, self.inner_mm.shape)
        inner, outer, factor = (
            np.broadcast_to(v, shape) for v in (self.inner_mm, self.outer_mm, self.factor)
        )
        inside = (turn > inner) & (turn < outer)
        radius = np.concatenate([inner, outer, np.where(inside, turn, inner)], axis=-1)
        weight = np.concatenate([factor] * 3, axis=-1)
        if self.weighted:
            weight = weight / radius
        return radius, weight * (self.moving.angle(radius, p)[0] - beta), weight

    def level(self, p: Floats, beta: Floats) -> Floats:
        """Greatest weighted error without sign (N, 1)."""
        level: Floats = np.abs(self.peaks(p, beta)[1]).max(axis=-1, keepdims=True)
        return level

    def free(self, p: Floats, beta: Floats) -> tuple[Floats, Floats]:
        """Place and offset angle of the least peak, both free, from a first guess (N, 1).

        Exchange: the three greatest alternating peaks are taken as the reference, one Newton step
        makes them equal, and so on until neither moves.
        """
        for _ in range(40):
            radius, error, weight = self.peaks(p, beta)
            turn = self.turning(p, beta)
            middle = np.argmin(error, axis=-1, keepdims=True)
            turn = np.where(np.isnan(turn), np.take_along_axis(radius, middle, -1), turn)
            left = np.argmax(np.where(radius <= turn, error, -np.inf), axis=-1, keepdims=True)
            right = np.argmax(np.where(radius >= turn, error, -np.inf), axis=-1, keepdims=True)
            chosen = np.concatenate([left, middle, right], axis=-1)
            angle, slope, _ = self.moving.angle(np.take_along_axis(radius, chosen, -1), p)
            (a1, a0, a2), (s1, s0, s2), (w1, w0, w2) = (
                np.split(v, 3, axis=-1)
                for v in (angle, slope, 1 / np.take_along_axis(weight, chosen, -1))
            )
            peak, peak_slope = (a2 - a0) / (w2 + w0), (s2 - s0) / (w2 + w0)
            gap, gap_slope = a1 - a2 + (w2 - w1) * peak, s1 - s2 + (w2 - w1) * peak_slope
            step = gap / gap_slope
            p = p - step
            beta = a2 - w2 * peak - step * (s2 - w2 * peak_slope)
            if not (np.abs(step) > 1e-14 * np.abs(p)).any():
                break
        return p, beta

    def at_place(self, p: Floats, low: Floats, high: Floats) -> Floats:
        """Offset angle of the least peak between two bounds, the place given (N, 1)."""

        def excess(beta: Floats) -> tuple[Floats, Floats]:
            _, error, weight = self.peaks(p, beta)
            return _excess(-error, weight)

        return increasing_root(excess, low + 0 * p, high + 0 * p, (low + high) / 2 + 0 * p)

    def along(self, offset: OffsetOf, low: Floats, high: Floats, start: Floats) -> Floats:
        """Place of the least peak between two bounds, the offset angle given by the place."""

        def excess(p: Floats) -> tuple[Floats, Floats]:
            beta, beta_slope, _ = offset(p)
            radius, error, weight = self.peaks(p, beta)
            # outside a null that is held, the error falls with the place; else it rises
            side = np.where(radius > self.null_at_mm, -1.0, 1.0)
            rate = weight * (self.moving.angle(radius, p)[1] - beta_slope)
            return _excess(side * error, side * rate)

        return increasing_root(excess, low, high, np.clip(start, low, high))


def _excess(error: Floats, rate: Floats) -> tuple[Floats, Floats]:
    """Highest peak plus lowest peak (zero when they balance), with its slope (N, 1)."""
    high = np.argmax(error, axis=-1, keepdims=True)
    low = np.argmin(error, axis=-1, keepdims=True)
    return (
        np.take_along_axis(error, high, -1) + np.take_along_axis(error, low, -1),
        np.take_along_axis(rate, high, -1) + np.take_along_axis(rate, low, -1),
    )


def equal_peaks(
    fixed_mm: Number, slides: bool, inner_mm: Number, outer_mm: Number, weighted: bool
) -> tuple[Number, Number, Number]:
    """Place, offset angle and height of the least peak over one span, nothing held back.

    The same as `Peaks.free`, for the common case and in about eighty operations a step: plain
    floats stay plain floats, arrays of any one shape are solved at once.

    On the plane of radius and angle the line through the curve at both ends has the slope of the
    greatest weighted error, and its mirror image about the offset angle touches the curve: two
    equations for the place and the radius of touch, solved by Newton from Löfgren A. Without weight
    the ends are equal at p = ri ro, whatever the arm.
    """
    plain = isinstance(fixed_mm, float)
    sqrt: Any
    asin: Any
    sqrt, asin = (math.sqrt, math.asin) if plain else (np.sqrt, np.arcsin)
    moved = bool if plain else np.any
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
    for _ in range(12):
        length = sqrt(fixed_mm * fixed_mm + p) if slides else fixed_mm
        twice, rate = 2 * length, moves / (2 * length * length)
        # sine, cosine and angle, and their slopes by p, at both ends and at the radius of touch
        s1 = (inner_mm + p / inner_mm) / twice
        s2 = (outer_mm + p / outer_mm) / twice
        s0 = (touch + p / touch) / twice
        a1, a2, a0 = asin(s1), asin(s2), asin(s0)
        cosine = sqrt(1 - s0 * s0)
        b1 = (1 / (inner_mm * twice) - rate * s1) / sqrt(1 - s1 * s1)
        b2 = (1 / (outer_mm * twice) - rate * s2) / sqrt(1 - s2 * s2)
        t0 = 1 / (touch * twice) - rate * s0
        b0 = t0 / cosine
        # the greatest weighted error, from the outer end and the touch, and its slope by p
        peak, peak_slope = (a2 - a0) / (outer_mm + touch), (b2 - b0) / (outer_mm + touch)
        gap = a1 - a2 + (outer_mm - inner_mm) * peak
        step = gap / (b1 - b2 + (outer_mm - inner_mm) * peak_slope)
        # the curve's slope by radius at the touch, and how that changes with radius and with p
        rise = (1 - p / (touch * touch)) / twice
        climb, bend = rise / cosine, 2 * p / (touch**3 * twice * cosine) + s0 * rise**2 / cosine**3
        turn = (s0 * rise * t0 / cosine**2 - 1 / (touch * touch * twice) - rate * rise) / cosine
        touch = touch - (climb + peak - step * (turn + peak_slope)) / bend
        p = p - step
        if not moved(abs(step) > 1e-14 * p):
            break
    peak = peak - step * peak_slope
    return p, a2 - step * b2 - outer_mm * peak, peak
