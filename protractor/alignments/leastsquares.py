"""Least rms of the tracking error, weighted or not: Gauss-Legendre quadrature and Newton.

Arms stand in rows (N, 1), radii in columns (N or 1, K), as in `protractor.alignments.minimax`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from protractor.alignments.minimax import OffsetOf
from protractor.alignments.moving import Moving
from protractor.alignments.newton import increasing_root
from protractor.arms.arm import Floats
from protractor.arms.distortion import gauss_legendre

NODES = 32
"""Nodes a span: more than double precision asks for on any span that a disc has."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeanSquare:
    """The mean-square objective over one or several spans of radius, uniform in radius on each.

    `radius_mm` and `weight` are (N or 1, K): nodes, and what the squared error counts at each.
    """

    moving: Moving
    radius_mm: Floats
    weight: Floats

    @classmethod
    def over(
        cls,
        moving: Moving,
        inner_mm: Floats,
        outer_mm: Floats,
        factor: Floats,
        share: Floats,
        weighted: bool,
    ) -> MeanSquare:
        """The objective over spans (N or 1, K) with their factors and shares of time (1, K)."""
        nodes, weights = gauss_legendre(NODES)
        radius = ((inner_mm + outer_mm) / 2)[..., None] + ((outer_mm - inner_mm) / 2)[
            ..., None
        ] * nodes
        weight = (share * factor**2)[..., None] * weights / 2 + 0 * radius
        if weighted:
            weight = weight / radius**2
        flat = (*radius.shape[:-2], radius.shape[-2] * radius.shape[-1])
        return cls(moving=moving, radius_mm=radius.reshape(flat), weight=weight.reshape(flat))

    def level(self, p: Floats, beta: Floats) -> Floats:
        """Root of the mean square of the weighted error (N, 1)."""
        error = self.moving.angle(self.radius_mm, p)[0] - beta
        level: Floats = np.sqrt((self.weight * error**2).sum(axis=-1, keepdims=True))
        return level

    def at_place(self, p: Floats, low: Floats, high: Floats) -> Floats:
        """Offset angle of the least rms between two bounds, the place given: the mean angle."""
        return np.clip(self._mean(self.moving.angle(self.radius_mm, p)[0]), low, high)

    def free(self, p: Floats, beta: Floats) -> tuple[Floats, Floats]:
        """Place and offset angle of the least rms, both free, from a first guess (N, 1)."""

        def mean_angle(place: Floats) -> tuple[Floats, Floats, Floats]:
            angle, first, second = (self._mean(v) for v in self.moving.angle(self.radius_mm, place))
            return angle, first, second

        low, high = self.moving.places(
            self.radius_mm.min(axis=-1, keepdims=True), self.radius_mm.max(axis=-1, keepdims=True)
        )
        p = self.along(mean_angle, low, high, p)
        return p, mean_angle(p)[0]

    def along(self, offset: OffsetOf, low: Floats, high: Floats, start: Floats) -> Floats:
        """Place of the least rms between two bounds, the offset angle given by the place."""

        def slope(p: Floats) -> tuple[Floats, Floats]:
            beta, beta_first, beta_second = offset(p)
            angle, first, second = self.moving.angle(self.radius_mm, p)
            error, rate = angle - beta, first - beta_first
            pull = self.weight * error * rate
            bend = self.weight * (rate * rate + error * (second - beta_second))
            return pull.sum(axis=-1, keepdims=True), bend.sum(axis=-1, keepdims=True)

        return increasing_root(slope, low, high, np.clip(start, low, high))

    def _mean(self, value: Floats) -> Floats:
        """Mean over the nodes by their weights (N, 1)."""
        mean: Floats = (self.weight * value).sum(axis=-1, keepdims=True) / self.weight.sum(
            axis=-1, keepdims=True
        )
        return mean
