"""Closed cut lines with rounded corners, and where the cutter has to run to leave them true.

A cutter takes away its kerf, half on either side of its path. The path of an outline is moved
out by half of it and that of an opening in, so that what stays has the size drawn. The sharp
corners are moved with shapely; their roundings stay true arcs.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from protractor.drawing.shapes import FINE, Arc, Circle, Line, Point, Shape, Stroke, polar
from protractor.errors import InputError

if TYPE_CHECKING:
    from shapely import Polygon

CUT, INNER_CUT = Stroke(FINE, layer="cut"), Stroke(FINE, layer="inner cut")
"""The strokes of a piece's outline and of an opening."""

TINY_MM = 1e-9
MITRE_LIMIT = 20.0
"""Corners down to 6° are moved as corners, not cut off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLine:
    """A closed cut line: sharp corners counter-clockwise [mm], and the rounding of each [mm].

    `opening` is true for a window in the stock and false for the stock's own outline; `name` says
    in errors which line it is. Raises `ValueError` when two roundings do not fit on their side.
    """

    name: str
    corners: tuple[Point, ...]
    radii_mm: tuple[float, ...]
    opening: bool = False

    def __post_init__(self) -> None:
        reaches = [self._reach(at) for at in range(len(self.corners))]
        for at, reach in enumerate(reaches):
            side = math.dist(self.corners[at - 1], self.corners[at])
            if reaches[at - 1] + reach > side + TINY_MM:
                raise ValueError(f"{self.name}: roundings of corner {at} do not fit on its side")

    def _turn(self, at: int) -> float:
        """By how much the line turns to the left at a corner [rad]."""
        (x0, y0), (x1, y1) = self.corners[at - 1], self.corners[at]
        x2, y2 = self.corners[(at + 1) % len(self.corners)]
        ax, ay, bx, by = x1 - x0, y1 - y0, x2 - x1, y2 - y1
        return math.atan2(ax * by - ay * bx, ax * bx + ay * by)

    def _reach(self, at: int) -> float:
        """How far before and after a corner its rounding starts and ends [mm]."""
        return self.radii_mm[at] * math.tan(abs(self._turn(at)) / 2)

    @property
    def stroke(self) -> Stroke:
        """The stroke that draws it: its layer says what it is."""
        return INNER_CUT if self.opening else CUT

    def shapes(self) -> list[Shape]:
        """The line as straight strokes and true arcs that follow one another."""
        shapes: list[Shape] = []
        count = len(self.corners)
        ends: list[tuple[Point, Point, Arc | None]] = []
        for at in range(count):
            corner, before = self.corners[at], self.corners[at - 1]
            after = self.corners[(at + 1) % count]
            reach, radius, turn = self._reach(at), self.radii_mm[at], self._turn(at)
            heading = math.atan2(corner[1] - before[1], corner[0] - before[0])
            onward = math.atan2(after[1] - corner[1], after[0] - corner[0])
            start, end = polar(corner, -reach, heading), polar(corner, reach, onward)
            arc = None
            if radius > TINY_MM:
                left = math.copysign(math.pi / 2, turn)
                centre = polar(start, radius, heading + left)
                first = heading - left
                span = (first, first + turn) if turn > 0 else (first + turn, first)
                arc = Arc(centre, radius, *span, self.stroke)
            ends.append((start, end, arc))
        for at, (start, _, arc) in enumerate(ends):
            before = ends[at - 1][1]
            if math.dist(before, start) > 1e-6:
                shapes.append(Line(before, start, self.stroke))
            if arc is not None:
                shapes.append(arc)
        return shapes

    def polygon(self, tolerance_mm: float = 1e-4) -> Polygon:
        """The line as a polygon that strays at most `tolerance_mm` from it."""
        import shapely

        points: list[Point] = []
        for shape in self.shapes():
            if isinstance(shape, Line):
                points += [shape.start, shape.end]
            elif isinstance(shape, Arc):
                along = shape.points(tolerance_mm)
                if points and math.dist(points[-1], along[-1]) < math.dist(points[-1], along[0]):
                    along.reverse()
                points += along
        return shapely.Polygon(points)

    def for_kerf(self, kerf_mm: float) -> CutLine:
        """The path of the cutter's middle that leaves this line: half a kerf further out.

        Half a kerf further in for an opening. Raises `InputError` when the kerf does not pass.
        """
        if kerf_mm < TINY_MM:
            return self
        import shapely

        move = -kerf_mm / 2 if self.opening else kerf_mm / 2
        radii = [
            radius + (move if turn > 0 else -move) if radius > TINY_MM else 0.0
            for radius, turn in (
                (self.radii_mm[at], self._turn(at)) for at in range(len(self.corners))
            )
        ]
        moved = shapely.Polygon(self.corners).buffer(
            move, join_style="mitre", mitre_limit=MITRE_LIMIT
        )
        whole = moved.geom_type == "Polygon" and not moved.is_empty and not moved.interiors
        found = list(moved.exterior.coords)[:-1] if whole else []
        if len(found) != len(self.corners) or min(radii) < -TINY_MM:
            raise InputError(
                "kerf",
                f"{kerf_mm:g} mm",
                f"at most {self.widest_kerf_mm():.2f} mm, what passes in the {self.name}",
                "take a narrower cutter",
            )
        corners = tuple(min(found, key=lambda p, c=c: math.dist(p, c)) for c in self.corners)  # type: ignore[misc]
        return CutLine(
            name=self.name,
            corners=corners,
            radii_mm=tuple(max(0.0, radius) for radius in radii),
            opening=self.opening,
        )

    def widest_kerf_mm(self) -> float:
        """The widest kerf that can follow the line: twice its tightest inside corner [mm].

        An inside corner is one that the cutter's path goes round on the inside.
        """
        inside = [
            radius
            for at, radius in enumerate(self.radii_mm)
            if (self._turn(at) > 0) == self.opening and radius > TINY_MM
        ]
        return 2 * min(inside, default=math.inf)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A round opening: its centre [mm] and diameter [mm]."""

    name: str
    centre: Point
    diameter_mm: float

    def shapes(self) -> list[Shape]:
        """The hole as a true circle."""
        return [Circle(self.centre, self.diameter_mm / 2, INNER_CUT)]

    def polygon(self, tolerance_mm: float = 1e-4) -> Polygon:
        """The hole as a polygon that strays at most `tolerance_mm` from it."""
        import shapely

        circle = Circle(self.centre, self.diameter_mm / 2, INNER_CUT)
        return shapely.Polygon(circle.arc().points(tolerance_mm))

    def for_kerf(self, kerf_mm: float) -> Hole:
        """The path of the cutter's middle that leaves this hole.

        Raises `InputError` when the kerf is as wide as the hole.
        """
        if kerf_mm >= self.diameter_mm:
            raise InputError(
                "kerf",
                f"{kerf_mm:g} mm",
                f"under {self.diameter_mm:g} mm, the {self.name}",
                "take a narrower cutter",
            )
        return Hole(name=self.name, centre=self.centre, diameter_mm=self.diameter_mm - kerf_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class StockBetween:
    """The narrowest stock between two cut lines: its width [mm], where it is, and between which."""

    width_mm: float
    at: Point
    between: tuple[str, str]


def narrowest_stock(lines: Sequence[CutLine | Hole]) -> StockBetween:
    """The narrowest stock that stays between any two of the cut lines of one piece."""
    import shapely

    edges = [(line.name, line.polygon().exterior) for line in lines]
    (first, a), (second, b) = min(
        combinations(edges, 2), key=lambda pair: pair[0][1].distance(pair[1][1])
    )
    middle = shapely.shortest_line(a, b).centroid
    return StockBetween(width_mm=a.distance(b), at=(middle.x, middle.y), between=(first, second))


def cut_shapes(lines: Sequence[CutLine | Hole], kerf_mm: float) -> list[Shape]:
    """The paths that cut the lines out with a kerf [mm], openings first.

    Openings come first because a piece that is already free may move. Raises `InputError` when the
    kerf is wider than the narrowest web or does not pass through an opening.
    """
    paths = [line.for_kerf(kerf_mm) for line in lines]
    if len(lines) > 1:
        web = narrowest_stock(lines)
        if kerf_mm > web.width_mm:
            raise InputError(
                "kerf",
                f"{kerf_mm:g} mm",
                f"at most {web.width_mm:.2f} mm, the web between the {web.between[0]} and the "
                f"{web.between[1]} at ({web.at[0]:.1f}, {web.at[1]:.1f}) mm",
                "take a narrower cutter or a smaller hole",
            )
    openings_first = sorted(paths, key=lambda path: isinstance(path, CutLine) and not path.opening)
    return [shape for path in openings_first for shape in path.shapes()]
