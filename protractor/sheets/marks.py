"""Marks that several sheets share: sight line, rectangle; and an angle in words."""

from __future__ import annotations

import math
from collections.abc import Iterator

from protractor.drawing.shapes import FINE, Line, Point, Shape, Stroke

SIGHT = Stroke(FINE, (8.0, 1.5, 1.5, 1.5))
"""The stroke of a line toward the pivot."""


def signed_degrees(angle_rad: float) -> str:
    """An angle to a tenth of a degree, with its sign."""
    return f"{math.degrees(angle_rad):+.1f}°".replace("-", "–")


def rectangle(low: Point, high: Point, stroke: Stroke) -> Iterator[Shape]:
    """Four edges, from the lower left corner counter-clockwise."""
    corners = [low, (high[0], low[1]), high, (low[0], high[1])]
    for start, end in zip(corners, [*corners[1:], corners[0]], strict=True):
        yield Line(start, end, stroke)
