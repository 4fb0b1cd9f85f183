"""How far shapes reach, and which labels they would run into."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from protractor.drawing.shapes import SHARE_BEFORE, Circle, Label, Line, Point, Shape
from protractor.drawing.type import MM_PER_POINT, width_mm

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from shapely import STRtree

ASCENT, DESCENT = 0.76, 0.22
"""What the letters of a line of text fill above and below the baseline, over their size."""

STRAY_MM = 0.05
"""How far the chords of an outline may stray from its arcs."""


def _label_corners(label: Label) -> list[Point]:
    """The corners of the box that a label's letters fill, the first one again at the end [mm]."""
    width = width_mm(label.text, label.size_pt, label.bold)
    left = -width * SHARE_BEFORE[label.anchor]
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
    """Points along a shape, close enough together to tell where it is to `STRAY_MM`."""
    if isinstance(shape, Line):
        return [shape.start, shape.end]
    if isinstance(shape, Label):
        return _label_corners(shape)
    arc = shape.arc() if isinstance(shape, Circle) else shape
    return arc.points(STRAY_MM)


def bounds(shapes: Iterable[Shape]) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of what the shapes cover [mm]."""
    xs, ys = zip(*(point for shape in shapes for point in outline(shape)), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


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


def geometries(shapes: Sequence[Shape]) -> NDArray[np.object_]:
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


def clashes(
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
        tree = shapely.STRtree(geometries(those))
    near = tree.query(geometries(these), predicate="dwithin", distance=clearance_mm)
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

    tree = shapely.STRtree(geometries(shapes))
    placed: list[Shape] = []
    for groups in choices:
        for group in groups:
            if any(clashes(group, shapes, tree)) or any(clashes(group, [*placed, *group])):
                continue
            placed += group
            break
    return placed


def taken_ground(strokes: Sequence[Shape], apart_mm: float, areas: Iterable[Any] = ()) -> Any:
    """What lies within a distance of strokes [mm], and areas that are taken as they are."""
    import shapely

    # each stroke by itself: a buffer of hundreds that lie side by side takes twenty times as long
    return shapely.union_all([*shapely.buffer(geometries(strokes), apart_mm), *areas])


def stays_off(group: Sequence[Shape], ground: Any) -> bool:
    """Whether no shape of a group, nor what lies between its ends, touches taken ground."""
    import shapely

    return not any(ground.intersects(shapely.convex_hull(one)) for one in geometries(group))
