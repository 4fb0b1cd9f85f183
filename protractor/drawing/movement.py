"""Shapes moved, and a page seen from behind."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from protractor.drawing.shapes import Arc, Circle, Line, Page, Point, Shape


def shifted(shapes: Iterable[Shape], by: Point) -> list[Shape]:
    """The shapes moved by x and y [mm]."""

    def place(point: Point) -> Point:
        return point[0] + by[0], point[1] + by[1]

    moved: list[Shape] = []
    for shape in shapes:
        if isinstance(shape, Line):
            moved.append(replace(shape, start=place(shape.start), end=place(shape.end)))
        elif isinstance(shape, (Arc, Circle)):
            moved.append(replace(shape, centre=place(shape.centre)))
        else:
            moved.append(replace(shape, at=place(shape.at)))
    return moved


def flipped(page: Page) -> Page:
    """The page mirrored left to right about its middle, text and features with it.

    Engraved on the underside of clear stock and seen through from above, it reads as the page does.
    Flipping twice gives the page back.
    """
    return replace(
        page,
        shapes=tuple(_flip(shape, page.width_mm) for shape in page.shapes),
        features={name: _flip_feature(f, page.width_mm) for name, f in page.features.items()},
    )


def _point(point: Point, width_mm: float) -> Point:
    return width_mm - point[0], point[1]


def _flip(shape: Shape, width_mm: float) -> Shape:
    if isinstance(shape, Line):
        return replace(shape, start=_point(shape.start, width_mm), end=_point(shape.end, width_mm))
    if isinstance(shape, Arc):
        return replace(
            shape,
            centre=_point(shape.centre, width_mm),
            start_rad=math.pi - shape.end_rad,
            end_rad=math.pi - shape.start_rad,
        )
    if isinstance(shape, Circle):
        return replace(shape, centre=_point(shape.centre, width_mm))
    return replace(
        shape,
        at=_point(shape.at, width_mm),
        angle_rad=-shape.angle_rad,
        mirrored=not shape.mirrored,
    )


def _flip_feature(feature: Any, width_mm: float) -> Any:
    if feature is None:
        return None
    if isinstance(feature[0], list):
        return [_flip_feature(point, width_mm) for point in feature]
    return [width_mm - feature[0], feature[1]]
