"""A page that was drawn for a sheet on its side, turned so that the sheet stands upright."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from protractor.drawing.shapes import Arc, Circle, Line, Page, Point, Shape

QUARTER = math.pi / 2


def upright(page: Page) -> Page:
    """The page turned by a quarter, counter-clockwise: the drawing is turned, never the paper.

    What lay along the width of the page on its side runs up the upright page.
    """
    height = page.height_mm

    def at(point: Point) -> Point:
        return height - point[1], point[0]

    def turn(shape: Shape) -> Shape:
        if isinstance(shape, Line):
            return replace(shape, start=at(shape.start), end=at(shape.end))
        if isinstance(shape, Arc):
            return replace(
                shape,
                centre=at(shape.centre),
                start_rad=shape.start_rad + QUARTER,
                end_rad=shape.end_rad + QUARTER,
            )
        if isinstance(shape, Circle):
            return replace(shape, centre=at(shape.centre))
        return replace(shape, at=at(shape.at), angle_rad=shape.angle_rad + QUARTER)

    def feature(value: Any) -> Any:
        if value is None:
            return None
        if isinstance(value[0], list):
            return [feature(point) for point in value]
        return list(at((value[0], value[1])))

    return replace(
        page,
        width_mm=page.height_mm,
        height_mm=page.width_mm,
        shapes=tuple(turn(shape) for shape in page.shapes),
        features={name: feature(value) for name, value in page.features.items()},
    )
