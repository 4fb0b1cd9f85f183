"""The two norms of the tracking error of an arm while one of its lengths moves.

The place of the arm is p = L² - d², the product of the null radii: it grows with the overhang
whichever length moves. On a finished deck d stays and the cartridge slides; on a new arm board L
stays and the hole for the pivot moves. Each norm answers three questions: how large it is, which
offset angle makes it least at a place, and how it changes with the place.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from protractor.alignments.objective import Span
from protractor.arms.distortion import gauss_legendre

NODES = 32
"""Gauss-Legendre nodes a span: more than double precision asks for on any span of a disc."""


def first_above(value: Callable[[float], float], low: float, high: float) -> float:
    """Where a function that rises through zero between two ends does so, by halving.

    `low` when it is above zero all along, `high` when it never is. The function may jump.

    >>> round(first_above(lambda x: x**3 - 2, 0.0, 2.0), 12)
    1.259921049895
    """
    if value(low) >= 0:
        return low
    if value(high) <= 0:
        return high
    while low < (middle := (low + high) / 2) < high:
        if value(middle) < 0:
            low = middle
        else:
            high = middle
    return high


@dataclass(frozen=True, slots=True, kw_only=True)
class Moving:
    """An arm of which one length stays, `fixed_mm`: d when the cartridge `slides`, else L."""

    fixed_mm: float
    slides: bool

    def effective_length(self, p: float) -> float:
        """L at the place p [mm]."""
        return math.sqrt(self.fixed_mm**2 + p) if self.slides else self.fixed_mm

    def pivot_to_spindle(self, p: float) -> float:
        """d at the place p [mm]."""
        return self.fixed_mm if self.slides else math.sqrt(self.fixed_mm**2 - p)

    def place(self, overhang_mm: float) -> float:
        """p at an overhang [mm²]."""
        return overhang_mm * (2 * self.fixed_mm + (overhang_mm if self.slides else -overhang_mm))

    def overhang(self, p: float) -> float:
        """Overhang at the place p [mm], without the loss of digits of a difference."""
        return p / (self.effective_length(p) + self.pivot_to_spindle(p))

    def reach(self, nearest_mm: float, farthest_mm: float) -> tuple[float, float]:
        """Least and greatest p at which the stylus plays between two radii as arms do [mm²].

        That is |L - d| < nearest, with 2 % to spare, and farthest² < L² + d²: the arm does not
        swing beyond a right angle to the line pivot to spindle, where the tracking angle would
        fall again with growing overhang.
        """
        least, most = self.place(-0.98 * nearest_mm), self.place(0.98 * nearest_mm)
        swing = farthest_mm**2 - 2 * self.fixed_mm**2
        return (max(least, swing), most) if self.slides else (least, min(most, -swing))

    def angle(self, radius_mm: float, p: float) -> tuple[float, float]:
        """Tracking angle phi and its slope by p [rad, rad/mm²]: sin(phi) = (r² + p) / (2 r L)."""
        length = self.effective_length(p)
        sine = (radius_mm * radius_mm + p) / (2 * radius_mm * length)
        rise = 1 / (2 * radius_mm * length)
        if self.slides:  # L grows with p, by 1 / (2 L)
            rise -= sine / (2 * length * length)
        return math.asin(sine), rise / math.sqrt(1 - sine * sine)

    def angle_of_linear_offset(self, linear_mm: float, p: float) -> tuple[float, float]:
        """Offset angle beta that makes L sin(beta) a linear offset, and its slope by p."""
        length = self.effective_length(p)
        sine = linear_mm / length
        rise = -sine / (2 * length * length) if self.slides else 0.0
        return math.asin(sine), rise / math.sqrt(1 - sine * sine)


@dataclass(frozen=True, slots=True, kw_only=True)
class Peak:
    """The greatest weighted error over spans of radius.

    The error counts f / r times when `weighted`, once when not, with the span's factor f.
    """

    moving: Moving
    spans: Sequence[Span]
    weighted: bool

    def level(self, p: float, beta: float) -> float:
        """The greatest weighted error, without sign."""
        return max(abs(error) for error, _, _ in self._peaks(p, beta))

    def offset(self, p: float) -> tuple[float, float]:
        """The offset angle of the least peak at a place, and its slope by p.

        It makes the highest and the lowest error equal but for their sign: a constant's best
        approximation (Chebyshev). Which two those are is found by exchange: balance the two,
        look again.
        """
        beta = self.moving.angle(self.spans[0].inner_mm, p)[0]
        for _ in range(30):
            peaks = self._peaks(p, beta)
            (high, w1, rise1), (low, w2, rise2) = max(peaks), min(peaks)
            step = (high + low) / (w1 + w2)
            beta += step
            if abs(step) < 1e-15:
                break
        return beta, (w1 * rise1 + w2 * rise2) / (w1 + w2)

    def slope(self, p: float, beta: float, beta_rise: float) -> float:
        """Half the slope of the greatest error's square by p, as beta rises by `beta_rise`."""
        error, weight, rise = max(self._peaks(p, beta), key=lambda peak: abs(peak[0]))
        return error * weight * (rise - beta_rise)

    def _peaks(self, p: float, beta: float) -> list[tuple[float, float, float]]:
        """Weighted error, its weight and the slope of the angle by p, where the error can peak.

        That is at both ends of every span, and where the weighted error turns.
        """
        turning = self._turning(p, beta)
        found = []
        for span in self.spans:
            inside = [turning] if span.inner_mm < turning < span.outer_mm else []
            for radius in (span.inner_mm, span.outer_mm, *inside):
                angle, rise = self.moving.angle(radius, p)
                weight = span.factor / radius if self.weighted else 1.0
                found.append((weight * (angle - beta), weight, rise))
        return found

    def _turning(self, p: float, beta: float) -> float:
        """Radius at which the weighted error turns [mm]; an end or beyond it when it does not.

        The angle itself turns at sqrt(p). Divided by r it turns where r phi'(r) = phi - beta, which
        is r = p / (L (sin(phi) - (phi - beta) cos(phi))). That settles by repetition: each time
        the error shrinks about (phi - beta)² times.
        """
        if not self.weighted:
            return math.sqrt(max(p, 0.0))
        length = self.moving.effective_length(p)
        low, high = min(s.inner_mm for s in self.spans), max(s.outer_mm for s in self.spans)
        radius = high
        for _ in range(60):
            sine = (radius + p / radius) / (2 * length)
            error = math.asin(sine) - beta
            pull = length * (sine - error * math.sqrt(1 - sine * sine))
            before, radius = radius, min(max(p / pull, low), high) if pull else high
            if abs(radius - before) <= 1e-10 * radius:
                break
        return radius


@dataclass(frozen=True, slots=True, kw_only=True)
class Rms:
    """The root of the mean square of the weighted error, uniform in radius on each span.

    `nodes` are Gauss-Legendre nodes, radii with what the squared error counts there.
    """

    moving: Moving
    nodes: Sequence[tuple[float, float]]

    @classmethod
    def over(cls, moving: Moving, spans: Sequence[Span], weighted: bool) -> Rms:
        """The norm over spans, which count by their shares of time; weights as in `Peak`."""
        nodes = []
        for span in spans:
            middle, half = (span.outer_mm + span.inner_mm) / 2, (span.outer_mm - span.inner_mm) / 2
            for x, part in zip(*(v.tolist() for v in gauss_legendre(NODES)), strict=True):
                radius = middle + half * x
                weight = span.factor / radius if weighted else 1.0
                nodes.append((radius, span.share * part / 2 * weight**2))
        return cls(moving=moving, nodes=nodes)

    def level(self, p: float, beta: float) -> float:
        """Root of the mean square."""
        return math.sqrt(sum(w * (self.moving.angle(r, p)[0] - beta) ** 2 for r, w in self.nodes))

    def offset(self, p: float) -> tuple[float, float]:
        """The offset angle of the least rms at a place, and its slope by p: weighted means."""
        total = angles = rises = 0.0
        for radius, w in self.nodes:
            angle, rise = self.moving.angle(radius, p)
            total, angles, rises = total + w, angles + w * angle, rises + w * rise
        return angles / total, rises / total

    def slope(self, p: float, beta: float, beta_rise: float) -> float:
        """Half the slope of the mean square by p, as beta rises by `beta_rise`."""
        slope = 0.0
        for radius, w in self.nodes:
            angle, rise = self.moving.angle(radius, p)
            slope += w * (angle - beta) * (rise - beta_rise)
        return slope
