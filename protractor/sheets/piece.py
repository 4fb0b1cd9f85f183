"""The piece of paper that lies on the platter: spindle, targets, cut line, as large as may be.

What it bears beside them, an arc or a line, is the sheet's own: `strip`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from protractor.arms.records import CENTRE_HOLE_DIAMETER_MM
from protractor.drawing.extent import bounds, outline, place_free
from protractor.drawing.piece import outline_of, piece_round
from protractor.drawing.shapes import (
    FINE,
    PLAIN,
    Circle,
    Line,
    Point,
    Shape,
    Stroke,
    polar,
)
from protractor.sheets.target import FRONT_LINE_MM, RAILS, Target, fan_for

PLATTER_MM = 147.0
"""No point of the piece but the tongue lies further from the spindle: platters are as large."""

MARGIN_MM, STRIP_MM, INSIDE_MM, OUTSIDE_MM = 3.2, 8.0, 16.0, 6.0
"""Paper round what is drawn and beside a strip; the cut line's roundings, inward and outward."""

HUB_MM, TONGUE_MM = 10.0, 15.0
"""Radius of the paper round the spindle, inside its margin, and width of a tongue."""

CUT = Stroke(PLAIN, layer="cut")

APART_MM, WINDOW_MM = 2.0, 14.0
"""Between the front lines of two targets, at the least and where there is room for marks between
them; half of it from the spindle's rings."""

LEAST_OUTWARD_MM = 12.5
"""Outward of the outermost null the rails have at least so much room."""

FLAP_MM, CROSS_MM = 0.8, 2.6
"""Where the slits of the spindle's hole start, and half the length of its cross."""

RINGS_MM = (5.0, 6.5, 8.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Where spindle and null points lie on the page [mm], inner null first.

    `record_mm` is the outer radius of the record that the platter takes. The targets are turned for
    a stylus that stands `zenith_rad` clockwise of its cartridge.
    """

    spindle: Point
    nulls: tuple[Point, ...]
    record_mm: float
    zenith_rad: float

    @property
    def radii(self) -> tuple[float, ...]:
        """The null radii [mm]."""
        return tuple(math.dist(self.spindle, null) for null in self.nulls)

    @property
    def limit_mm(self) -> float:
        """How far from the spindle the piece may reach [mm].

        Further than `PLATTER_MM` where the record is larger, or where a null is so far out that its
        fan asks for it.
        """
        least = PLATTER_MM if self.record_mm < PLATTER_MM else self.record_mm + 1.0
        outer = self.radii[-1]
        least = max(least, outer + MARGIN_MM + LEAST_OUTWARD_MM)
        while not fan_for(least - MARGIN_MM, outer, self.zenith_rad):
            least += 1.0
        return least

    @property
    def targets(self) -> tuple[Target, ...]:
        """The targets, inner first, each as large as there is room for."""
        edge, radii = self.limit_mm - MARGIN_MM, self.radii
        made = []
        for number, (null, radius) in enumerate(zip(self.nulls, radii, strict=True)):
            inner = radii[number - 1] if number else None
            outer = radii[number + 1] if number + 1 < len(radii) else None
            inward = radius - RINGS_MM[-1] - APART_MM / 2
            outward = edge - radius
            inward = inward if inner is None else _between(radius - inner)
            outward = outward if outer is None else _between(outer - radius)
            made.append(
                Target(
                    centre=self.spindle,
                    null=null,
                    inward=min(FRONT_LINE_MM, inward),
                    outward=min(FRONT_LINE_MM, outward),
                    fan=fan_for(edge, radius, self.zenith_rad),
                    zenith_rad=self.zenith_rad,
                )
            )
        return tuple(made)

    def reach_mm(self, strip: Sequence[Shape]) -> tuple[float, float, float, float]:
        """How far the piece reaches left, below, right of and above the spindle [mm].

        A tongue is left out, and roundings only take from it.
        """
        (x, y), limit = self.spindle, self.limit_mm
        reaches = [bounds(ground) for target in self.targets for ground in target.grounds()]
        wide = STRIP_MM - MARGIN_MM
        left, low, right, high = bounds(strip)
        reaches.append((left - wide, low, right + wide, high + wide))
        reaches.append((x - HUB_MM, y - HUB_MM, x + HUB_MM, y + HUB_MM))
        lefts, lows, rights, highs = zip(*reaches, strict=True)
        return (
            max(min(lefts) - MARGIN_MM - x, -limit),
            max(min(lows) - MARGIN_MM - y, -limit),
            min(max(rights) + MARGIN_MM - x, limit),
            max(highs) + MARGIN_MM - y,
        )

    def marks(
        self,
        strip: Sequence[Shape],
        choices: Iterable[Iterable[Sequence[Shape]]] = (),
        tongue: Sequence[Shape] = (),
    ) -> tuple[list[Shape], list[Shape]]:
        """Spindle, strip, tongue and targets; and what was placed beside them.

        `choices` are groups of marks, of each the first that has room; `tongue` runs to the right
        of the spindle. The null radii are placed too.
        """
        targets = self.targets
        marks = [shape for target in targets for shape in target.shapes()]
        drawn = [*spindle_marks(self.spindle), *strip, *tongue, *marks]
        names = [
            filter(self._inside, target.names(radius))
            for target, radius in zip(targets, self.radii, strict=True)
        ]
        return drawn, place_free(drawn, [*choices, *names])

    def shapes(
        self,
        strip: Sequence[Shape],
        choices: Iterable[Iterable[Sequence[Shape]]] = (),
        tongue: Sequence[Shape] = (),
    ) -> list[Shape]:
        """All marks, as above, and the cut line round them."""
        drawn, placed = self.marks(strip, choices, tongue)
        grounds = [ground for target in self.targets for ground in target.grounds()]
        groups: list[list[Shape]] = [*grounds, [Circle(self.spindle, HUB_MM, CUT)]]
        groups += [[shape] for shape in placed]
        piece = piece_round(
            groups,
            [(strip, STRIP_MM)],
            margin_mm=MARGIN_MM,
            inside_mm=INSIDE_MM,
            outside_mm=OUTSIDE_MM,
            centre=self.spindle,
            limit_mm=self.limit_mm,
            beyond=self._ground_of(tongue),
        )
        return [*drawn, *placed, *outline_of(piece, CUT)]

    def _inside(self, shapes: Sequence[Shape]) -> bool:
        """Whether shapes keep the margin from the platter's edge."""
        edge = self.limit_mm - MARGIN_MM
        points = (point for shape in shapes for point in outline(shape))
        return all(math.dist(self.spindle, point) <= edge for point in points)

    def _ground_of(self, tongue: Sequence[Shape]) -> list[Shape]:
        """The paper under a tongue, inside its margin."""
        if not tongue:
            return []
        (x, y), half = self.spindle, TONGUE_MM / 2 - MARGIN_MM
        end = bounds(tongue)[2] - 2.0
        return [Line((x, y + side * half), (end, y + side * half), CUT) for side in (1, -1)]


def _between(apart: float) -> float:
    """How far a front line runs toward another target whose null is so far away [mm]."""
    return max((apart - WINDOW_MM) / 2, min((apart - APART_MM) / 2, RAILS + 1.0))


def spindle_marks(centre: Point) -> Iterator[Shape]:
    """The place of the spindle: cross, hole, slits to cut, and rings to centre it by."""
    hole = CENTRE_HOLE_DIAMETER_MM / 2
    yield Circle(centre, hole, Stroke(FINE, layer="inner cut"))
    for eighth in range(8):
        angle = math.radians(22.5 + 45 * eighth)
        yield Line(
            polar(centre, FLAP_MM, angle),
            polar(centre, hole, angle),
            Stroke(FINE, layer="inner cut"),
        )
    for quarter in range(4):
        yield Line(centre, polar(centre, CROSS_MM, quarter * math.pi / 2), Stroke(PLAIN))
    for radius in RINGS_MM:
        yield Circle(centre, radius, Stroke(FINE))
