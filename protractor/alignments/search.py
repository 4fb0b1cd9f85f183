"""The search for the best arm under an objective, with something kept and within limits.

With nothing kept the optimum is free in two ways, place and offset angle; if it lies outside the
limits, the best on the limits' edges takes its place, since the objective has one valley only. A
null, an offset angle or a linear offset that is kept leaves one way: a path.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from protractor.alignments.leastsquares import MeanSquare
from protractor.alignments.minimax import OffsetOf, Peaks
from protractor.alignments.moving import Moving
from protractor.alignments.objective import Objective
from protractor.arms.arm import Floats
from protractor.arms.schemes import scheme_null_radii

Limits = tuple[float, float] | None


def _constant(held_rad: Floats) -> OffsetOf:
    """An offset angle that stays wherever the arm is."""
    return lambda p: (held_rad + 0 * p, 0 * p, 0 * p)


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """The search for the optimum of arms in rows (N, 1) over spans in columns (N, K).

    `held_rad` is an offset angle that is held (N, 1), or None.
    """

    objective: Objective
    moving: Moving
    inner_mm: Floats
    outer_mm: Floats
    share: Floats
    factor: Floats
    held_rad: Floats | None

    def rows(self, first: int, last: int) -> Search:
        """The same search for some of the arms."""
        part = slice(first, last)
        return replace(
            self,
            moving=replace(self.moving, fixed_mm=self.moving.fixed_mm[part]),
            inner_mm=self.inner_mm[part],
            outer_mm=self.outer_mm[part],
            held_rad=None if self.held_rad is None else self.held_rad[part],
        )

    def solve(self, overhangs: Limits, offsets: Limits) -> tuple[Floats, Floats]:
        """Place and offset angle of the optimum within the limits (N, 1)."""
        low, high = self.places(overhangs)
        start, offset = self._start()
        path = self._path()
        norm = self._norm()
        nowhere = low > high
        if path is not None:
            first, last = self._on_path(low, high, offsets)
            p = norm.along(path, first, np.maximum(first, last), start)
            p = np.where((last >= first) & ~nowhere, p, np.nan)
            return p, path(p)[0]
        p, beta = norm.free(start, offset)
        below, above = offsets or (-np.inf, np.inf)
        inside = (p >= low) & (p <= high) & (beta >= below) & (beta <= above)
        if (overhangs, offsets) == (None, None):
            return np.where(inside, p, np.nan), np.where(inside, beta, np.nan)
        best = np.full(p.shape, np.inf)
        for edge_p, edge_beta in self._edges(norm, low, high, offsets, start):
            level = norm.level(edge_p, edge_beta)
            better = ~inside & (level < best)
            p, beta = np.where(better, edge_p, p), np.where(better, edge_beta, beta)
            best = np.where(better, level, best)
        return np.where(nowhere, np.nan, p), np.where(nowhere, np.nan, beta)

    def level(self, p: Floats, beta: Floats) -> Floats:
        """What is made small, at a place and an offset angle (N, 1)."""
        return self._norm().level(p, beta)

    def _norm(self) -> Peaks | MeanSquare:
        if self.objective.norm == "rms":
            return MeanSquare.over(
                self.moving,
                self.inner_mm,
                self.outer_mm,
                self.factor,
                self.share,
                self.objective.weighted,
            )
        return Peaks(
            moving=self.moving,
            inner_mm=self.inner_mm,
            outer_mm=self.outer_mm,
            factor=self.factor,
            weighted=self.objective.weighted,
            null_at_mm=self._null_at(),
        )

    def _null_at(self) -> Floats:
        """Radius at which a null is kept (N or 1, 1); nan when none is."""
        kept = self.objective.null_at_mm
        if kept == "inner":
            inner: Floats = self.inner_mm.min(axis=-1, keepdims=True)
            return inner
        return np.array([[np.nan if kept is None else kept]], float)

    def _start(self) -> tuple[Floats, Floats]:
        """Löfgren A's closed form over all spans together, to start from (N, 1)."""
        inner = self.inner_mm.min(axis=-1, keepdims=True) + 0 * self.moving.fixed_mm
        outer = self.outer_mm.max(axis=-1, keepdims=True) + 0 * self.moving.fixed_mm
        r1, r2 = scheme_null_radii("lofgren-a", inner, outer)
        p = r1 * r2
        return p, np.arcsin((r1 + r2) / (2 * self.moving.effective_length(p)))

    def places(self, overhangs: Limits) -> tuple[Floats, Floats]:
        """Least and greatest place within the overhang's limits and the arm's reach (N, 1)."""
        kept = self._null_at()
        low, high = self.moving.places(
            np.fmin(self.inner_mm.min(axis=-1, keepdims=True), kept),
            np.fmax(self.outer_mm.max(axis=-1, keepdims=True), kept),
        )
        if overhangs is None:
            return low, high
        zero = 0 * self.moving.fixed_mm
        return (
            np.maximum(low, self.moving.place(zero + overhangs[0])),
            np.minimum(high, self.moving.place(zero + overhangs[1])),
        )

    def _linear_offset(self) -> Floats:
        """Linear offset of the true Löfgren A of these arms (N, 1) [mm]."""
        p, beta = replace(self, objective=Objective()).solve(None, None)
        linear: Floats = self.moving.effective_length(p) * np.sin(beta)
        return linear

    def _path(self) -> OffsetOf | None:
        """Offset angle as a function of the place when something is kept; None when it is free."""
        if self.held_rad is not None:
            return _constant(self.held_rad)
        if self.objective.null_at_mm is not None:
            radius = self._null_at()
            return lambda p: self.moving.angle(radius, p)
        if self.objective.as_lofgren_a:
            return self.moving.offset_of(self._linear_offset())
        return None

    def _on_path(self, low: Floats, high: Floats, offsets: Limits) -> tuple[Floats, Floats]:
        """Those of the places `low` to `high` that what is kept leaves (N, 1); swapped if none."""
        kept = self.objective.null_at_mm is not None
        if kept and self.held_rad is not None:
            place = self.moving.place_of_null(self._null_at(), self.held_rad)
            low, high = np.maximum(low, place), np.minimum(high, place)
        if offsets is None and not self.objective.as_lofgren_a:
            return low, high
        below, above = (np.full_like(low, v) for v in offsets or (-1.5, 1.5))
        if self.held_rad is not None:
            fits = (self.held_rad >= below) & (self.held_rad <= above)
            return low, np.where(fits, high, -np.inf)
        if kept:
            first, last = (self.moving.place_of_null(self._null_at(), v) for v in (below, above))
        else:
            first, last = self.moving.places_of_linear_offset(self._linear_offset(), below, above)
        # nan: an angle smaller than any on the path
        return np.fmax(low, first), np.minimum(high, np.where(np.isnan(last), -np.inf, last))

    def _edges(
        self,
        norm: Peaks | MeanSquare,
        low: Floats,
        high: Floats,
        offsets: Limits,
        start: Floats,
    ) -> Iterator[tuple[Floats, Floats]]:
        """The optimum along each edge of the limits: overhang at an end, offset angle at an end."""
        below, above = (np.full_like(low, v) for v in offsets or (-math.pi / 2, math.pi / 2))
        for place in (low, high):
            yield place, norm.at_place(place, below, above)
        for held in (below, above) if offsets else ():
            yield norm.along(_constant(held), low, high, start), held
