"""How far shapes reach, and which labels they would run into."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from protractor.drawing.shapes import Arc, Circle, Label, Line, Page, Point, Shape
from protractor.drawing.type import MM_PER_POINT, width_mm

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from shapely import STRtree

ASCENT, DESCENT = 0.76, 0.22
"""What the letters of a line of text fill above and below the baseline, over their size."""


def label_corners(label: Label) -> list[Point]:
    """The corners of the box that a label's letters fill, the first one again at the end [mm]."""
    width = width_mm(label.text, label.size_pt, label.bold)
    left = -width * {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor]
    right = left + width
    size = label.size_pt * MM_PER_POINT
    low, high = -DESCENT * size, ASCENT * size
    cos, sin = math.cos(label.angle_rad), math.sin(label.angle_rad)
    x, y = label.at
    return [
        (x + s * cos - t * sin, y + s * sin + t * cos)
        for s, t in ((left, low), (right, low), (right, high), (left, high), (left, low))
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


def heights(
    outlines: Iterable[Sequence[Point]], left: float, right: float
) -> tuple[float, float] | None:
    """Lowest and highest y [mm] of polylines between two abscissae [mm]; None when none is."""
    found: list[float] = []
    for points in outlines:
        for (x1, y1), (x2, y2) in pairwise(points):
            if x1 > x2:
                x1, y1, x2, y2 = x2, y2, x1, y1  # noqa: PLW2901  # from left to right
            if x2 < left or x1 > right:
                continue
            if x1 >= left:
                found.append(y1)
            if x2 <= right:
                found.append(y2)
            for edge in (left, right):
                if x1 < edge < x2:
                    found.append(y1 + (y2 - y1) * (edge - x1) / (x2 - x1))
    return (min(found), max(found)) if found else None


CLEARANCE_MM = 0.3
"""A label's box comes no closer to another label or to the middle of a stroke."""


def _geometries(shapes: Sequence[Shape]) -> NDArray[np.object_]:
    """A label's box, or a stroke's middle line, for each shape."""
    import numpy as np
    import shapely

    outlines = [outline(shape) for shape in shapes]
    counts = [len(points) for points in outlines]
    lines: NDArray[np.object_] = shapely.linestrings(
        np.array([point for points in outlines for point in points]),
        indices=np.repeat(np.arange(len(shapes)), counts),
    )
    labels = [number for number, shape in enumerate(shapes) if isinstance(shape, Label)]
    if labels:
        lines[labels] = shapely.polygons([outlines[number] for number in labels])
    return lines


def _clashes(
    these: Sequence[Shape],
    those: Sequence[Shape],
    tree: STRtree | None = None,
    clearance_mm: float = CLEARANCE_MM,
) -> Iterator[tuple[Shape, Shape]]:
    """Pairs of one shape here and one there, of which one is a label that the other runs into.

    `tree` holds the geometries of `those`, when they are asked about more than once.
    """
    import shapely

    if tree is None:
        tree = shapely.STRtree(_geometries(those))
    near = tree.query(_geometries(these), predicate="dwithin", distance=clearance_mm)
    for here, there in zip(*near.tolist(), strict=True):
        one, other = these[here], those[there]
        if one is not other and (isinstance(one, Label) or isinstance(other, Label)):
            yield one, other


def place_free(
    shapes: Sequence[Shape], choices: Iterable[Iterable[Sequence[Shape]]]
) -> list[Shape]:
    """What of each choice can stand beside `shapes` and beside what was placed before.

    A choice is a row of groups; its first group in which no label is run into is taken, and none
    when there is no such group.
    """
    import shapely

    tree = shapely.STRtree(_geometries(shapes))
    placed: list[Shape] = []
    for groups in choices:
        for group in groups:
            if any(_clashes(group, shapes, tree)) or any(_clashes(group, [*placed, *group])):
                continue
            placed += group
            break
    return placed


def collisions(page: Page, clearance_mm: float = CLEARANCE_MM) -> list[str]:
    """What runs into a label of the page or leaves the paper, in words; empty when all is well."""
    import shapely

    paper = shapely.box(0, 0, page.width_mm, page.height_mm)
    shapes = page.shapes
    inside = shapely.covers(paper, _geometries(shapes))
    labels = [shape for shape in shapes if isinstance(shape, Label)]
    return [
        *(f"off the paper: {shape}" for shape, ok in zip(shapes, inside, strict=True) if not ok),
        *(
            f"{one} runs into {other}"
            for one, other in _clashes(labels, shapes, clearance_mm=clearance_mm)
        ),
    ]
