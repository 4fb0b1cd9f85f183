"""The outline of a piece that holds given shapes: rounded inside and out, within a circle."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from protractor.drawing.extent import geometries
from protractor.drawing.shapes import Line, Point, Shape, Stroke

if TYPE_CHECKING:
    from shapely import Polygon

STRAY_MM = 0.01
"""How far the outline's straight pieces may stray from its roundings."""

SEGMENTS = 12
"""Pieces of a quarter turn while an outline is worked out."""


def piece_round(
    groups: Iterable[Sequence[Shape]],
    strips: Iterable[tuple[Sequence[Shape], float]] = (),
    *,
    margin_mm: float,
    inside_mm: float,
    outside_mm: float,
    centre: Point,
    limit_mm: float,
    beyond: Sequence[Shape] = (),
) -> Polygon:
    """The piece that holds every group's hull with a margin round it, and strips along strokes.

    A strip is strokes and how far it reaches to either side of them [mm]. Corners that point in are
    rounded by `inside_mm`, those that point out by `outside_mm`. Nothing lies further than
    `limit_mm` from `centre` but what holds the shapes in `beyond`.
    """
    import shapely

    def hull(shapes: Sequence[Shape]) -> Any:
        return shapely.unary_union(geometries(shapes)).convex_hull.buffer(margin_mm, SEGMENTS)

    along = [shapely.unary_union(geometries(s)).buffer(wide, SEGMENTS) for s, wide in strips]
    tongue = hull(beyond) if beyond else shapely.Polygon()
    whole = shapely.unary_union([*map(hull, groups), *along, tongue])
    whole = whole.buffer(inside_mm, SEGMENTS).buffer(-inside_mm, SEGMENTS)
    disc = shapely.Point(centre).buffer(limit_mm, 4 * SEGMENTS)
    whole = shapely.unary_union([whole.intersection(disc), tongue])
    whole = whole.buffer(-outside_mm, SEGMENTS).buffer(outside_mm, SEGMENTS)
    if whole.geom_type != "Polygon":
        whole = max(whole.geoms, key=lambda part: part.area)
    return shapely.Polygon(whole.exterior).simplify(STRAY_MM)


def outline_of(piece: Polygon, stroke: Stroke) -> list[Shape]:
    """The piece's edge as straight strokes; their ends are rounded to a micrometre."""
    corners = [(round(x, 3), round(y, 3)) for x, y in piece.exterior.coords]
    return [Line(start, end, stroke) for start, end in pairwise(corners) if start != end]
