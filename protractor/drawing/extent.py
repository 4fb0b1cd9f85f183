"""How far shapes reach, and which labels they would run into."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from protractor.drawing.shapes import Arc, Circle, Label, Line, Page, Point, Shape, polar
from protractor.drawing.type import MM_PER_POINT, width_mm

if TYPE_CHECKING:
    from shapely import Geometry

ASCENT, DESCENT = 0.76, 0.22
"""What the letters of a line of text fill above and below the baseline, over their size."""


def label_corners(label: Label) -> list[Point]:
    """The four corners of the box that a label's letters fill [mm]."""
    width = width_mm(label.text, label.size_pt, label.bold)
    left = -width * {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor]
    size = label.size_pt * MM_PER_POINT
    return [
        polar(polar(label.at, s, label.angle_rad), t, label.angle_rad + math.pi / 2)
        for s, t in (
            (left, -DESCENT * size),
            (left + width, -DESCENT * size),
            (left + width, ASCENT * size),
            (left, ASCENT * size),
        )
    ]


def outline(shape: Shape) -> list[Point]:
    """Points along a shape, close enough together to tell where it is to 0.05 mm."""
    if isinstance(shape, Line):
        return [shape.start, shape.end]
    if isinstance(shape, Label):
        return label_corners(shape)
    if isinstance(shape, Circle):
        shape = Arc(shape.centre, shape.radius_mm, 0.0, 2 * math.pi, shape.stroke)
    sweep = shape.end_rad - shape.start_rad
    # a chord strays from its arc by r (1 - cos(step / 2))
    step = 2 * math.acos(max(0.0, 1 - 0.05 / shape.radius_mm))
    count = max(2, math.ceil(sweep / step))
    return [shape.at(shape.start_rad + sweep * i / count) for i in range(count + 1)]


def _between(points: list[Point], left: float, right: float) -> Iterator[float]:
    """Heights that a polyline has between two abscissae."""
    for (x1, y1), (x2, y2) in pairwise(points):
        low, high = max(left, min(x1, x2)), min(right, max(x1, x2))
        if low > high:
            continue
        if x1 == x2:
            yield from (y1, y2)
            continue
        for x in (low, high):
            yield y1 + (y2 - y1) * (x - x1) / (x2 - x1)


def heights(shapes: Iterable[Shape], left: float, right: float) -> tuple[float, float] | None:
    """Lowest and highest y [mm] of shapes between two abscissae [mm]; None when none is there."""
    found: list[float] = []
    for shape in shapes:
        points = outline(shape)
        if isinstance(shape, Label):
            points.append(points[0])
        found.extend(_between(points, left, right))
    return (min(found), max(found)) if found else None


def _geometry(shape: Shape) -> Geometry:
    """A label's box, or a stroke's middle line."""
    import shapely

    if isinstance(shape, Label):
        return shapely.Polygon(label_corners(shape))
    return shapely.LineString(outline(shape))


CLEARANCE_MM = 0.3
"""A label's box comes no closer to another label or to the middle of a stroke."""


def _clashes(these: Sequence[Shape], those: Sequence[Shape]) -> Iterator[tuple[Shape, Shape]]:
    """Pairs of one shape here and one there, of which one is a label that the other runs into."""
    import shapely

    near = shapely.STRtree([_geometry(shape) for shape in those]).query(
        [_geometry(shape) for shape in these], predicate="dwithin", distance=CLEARANCE_MM
    )
    for here, there in zip(*near.tolist(), strict=True):
        one, other = these[here], those[there]
        if one is not other and (isinstance(one, Label) or isinstance(other, Label)):
            yield one, other


def first_free(
    candidates: Iterable[Sequence[Shape]], shapes: Sequence[Shape]
) -> Sequence[Shape] | None:
    """The first group of shapes that can stand beside `shapes` without a label being run into.

    None when there is no such group.
    """
    return next(
        (group for group in candidates if not any(_clashes(group, [*shapes, *group]))), None
    )


def collisions(page: Page) -> list[str]:
    """What runs into a label of the page or leaves the paper, in words; empty when all is well."""
    import shapely

    paper = shapely.box(0, 0, page.width_mm, page.height_mm)
    shapes = page.shapes
    labels = [shape for shape in shapes if isinstance(shape, Label)]
    return [
        *(f"off the paper: {shape}" for shape in shapes if not paper.covers(_geometry(shape))),
        *(f"{one} runs into {other}" for one, other in _clashes(labels, shapes)),
    ]
