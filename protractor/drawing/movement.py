"""Shapes and pages moved: shifted, seen from behind, or from the front of the deck."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from protractor.drawing.shapes import Arc, Circle, Line, Page, Point, Shape


def from_the_front(point: Point) -> Point:
    """A point of the formulas' frame as one sees it from the front of the deck [mm].

    The pivot, on +y, then lies to the right, and the null points, on +x, toward the viewer: a
    quarter turn clockwise.
    """
    return point[1], -point[0]


Move = Callable[[Point], Point]
"""Where a point goes."""


def shift(shapes: Iterable[Shape], by: Point) -> list[Shape]:
    """The shapes moved by x and y [mm]."""
    return [_move(shape, lambda point: (point[0] + by[0], point[1] + by[1])) for shape in shapes]


def flip(page: Page) -> Page:
    """The page mirrored left to right about its middle, text and features with it.

    Engraved on the underside of clear stock and seen through from above, it reads as the page does.
    Flipping twice gives the page back.
    """
    return _move_page(page, lambda point: (page.width_mm - point[0], point[1]), mirror=True)


def _move_page(page: Page, move: Move, *, mirror: bool = False) -> Page:
    return replace(
        page,
        shapes=tuple(_move(shape, move, mirror=mirror) for shape in page.shapes),
        features={name: _move_feature(value, move) for name, value in page.features.items()},
    )


def _move(shape: Shape, move: Move, *, mirror: bool = False) -> Shape:
    """The shape with its points moved, or mirrored left to right."""
    if isinstance(shape, Line):
        return replace(shape, start=move(shape.start), end=move(shape.end))
    if isinstance(shape, Circle):
        return replace(shape, centre=move(shape.centre))
    if isinstance(shape, Arc):
        span = shape.start_rad, shape.end_rad
        start, end = (math.pi - span[1], math.pi - span[0]) if mirror else span
        return replace(shape, centre=move(shape.centre), start_rad=start, end_rad=end)
    return replace(
        shape,
        at=move(shape.at),
        angle_rad=-shape.angle_rad if mirror else shape.angle_rad,
        mirrored=shape.mirrored != mirror,
    )


def _move_feature(feature: Any, move: Move) -> Any:
    """A point, several points, or None, moved."""
    if feature is None:
        return None
    if isinstance(feature[0], list):
        return [_move_feature(point, move) for point in feature]
    return list(move((feature[0], feature[1])))
