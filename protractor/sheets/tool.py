"""The tool of an alignment sheet: one piece to cut out and lay on the platter.

Drawn as one sees it from the front of the deck: the line to the pivot runs to the right and the
null points lie toward the viewer. Formulas keep their frame, with the pivot on +y and the stylus on
+x; `movement.from_the_front` turns it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.arms.arm import Arm
from protractor.arms.records import CENTRE_HOLE_DIAMETER_MM
from protractor.drawing.extent import bounds, place_free
from protractor.drawing.movement import from_the_front
from protractor.drawing.piece import outline_of, piece_round
from protractor.drawing.shapes import (
    FINE,
    HEAVY,
    PLAIN,
    Arc,
    Circle,
    Label,
    Line,
    Point,
    Shape,
    Stroke,
    bearing,
    polar,
)
from protractor.drawing.type import SMALLEST_PT, capital_mm
from protractor.errors import InputError
from protractor.sheets.target import FRONT_LINE_MM, NAME_PT, Target, fan_for

if TYPE_CHECKING:
    from shapely import Polygon

PLATTER_MM = 147.0
"""No point of the tool but the tongue lies further from the spindle: platters are as large."""

MARGIN_MM, ARC_MARGIN_MM, INSIDE_MM, OUTSIDE_MM = 3.2, 8.0, 12.0, 6.0
"""Paper round what is drawn and beside the arc; the cut line's roundings, inward and outward."""

HUB_MM, TONGUE_MM = 10.0, 15.0
"""Radius of the paper round the spindle, inside its margin, and width of the tongue."""

CUT = Stroke(PLAIN, layer="cut")

ARC_PAST_SPINDLE_MM = 9.0
"""How far the arc runs past the line through pivot and spindle."""

CLOSEST_NULLS_MM = 16.0
"""Null radii that lie closer leave no room for two targets."""

APART_MM = 2.0
"""Between the front lines of two targets, and of one and the spindle's rings."""

FLAP_MM, CROSS_MM = 0.8, 2.6
"""Where the slits of the spindle's hole start, and half the length of its cross."""

RINGS_MM = (5.0, 6.5, 8.0)

SIGHT_FROM_MM, TONGUE_BEFORE_PIVOT_MM = 10.0, 25.0
"""Where the sight line starts, and where the tongue ends: short of the arm's pillar."""

LADDER_MM = 3
"""The overhang's marks run so far to either side of the target."""


def check_targets(arm: Arm) -> None:
    """Raise `InputError` for an arm whose null radii leave no room for their targets."""
    inner, outer = arm.null_radii_mm
    if outer > 0 and not inner > 0:
        return
    if not outer - inner >= CLOSEST_NULLS_MM:
        raise InputError(
            "null-radii",
            f"nulls at {to_hundredth(inner)} and {to_hundredth(outer)} mm"
            if outer > 0
            else "an arm without a null",
            f"null radii at least {CLOSEST_NULLS_MM:g} mm apart on a sheet with two targets",
            "choose radii further apart or another scheme",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """An alignment laid out on a page: where spindle, pivot and null points lie [mm].

    `tongue_end` is how far to the right the sight line may run. The targets are turned for a stylus
    that stands `zenith_rad` clockwise of its cartridge.
    """

    alignment: Alignment
    spindle: Point
    tongue_end: float
    zenith_rad: float = 0.0

    @property
    def arm(self) -> Arm:
        """The arm that is aligned."""
        return self.alignment.arm

    @property
    def null_radii(self) -> tuple[float, ...]:
        """The null radii that a record can have, inner first: two, or one of a straight arm."""
        return tuple(radius for radius in self.arm.null_radii_mm if radius > 0)

    @property
    def pivot(self) -> Point:
        """The arm's pivot."""
        return self.spindle[0] + self.arm.pivot_to_spindle_mm, self.spindle[1]

    def at(self, radius_mm: float) -> Point:
        """The point of the arc at a radius from the spindle."""
        x, y = self.arm.stylus(radius_mm).tolist()
        right, up = from_the_front((x, y))
        return self.spindle[0] + right, self.spindle[1] + up

    @property
    def nulls(self) -> tuple[Point, ...]:
        """The null points, inner first."""
        return tuple(self.at(radius) for radius in self.null_radii)

    @property
    def limit_mm(self) -> float:
        """How far from the spindle the tool may reach [mm].

        Further than `PLATTER_MM` where the record is larger, or where a null is so far out that its
        fan asks for it.
        """
        record = self.alignment.record.outer_radius_mm
        least = PLATTER_MM if record < PLATTER_MM else record + 1.0
        outer = self.null_radii[-1]
        while not fan_for(least - MARGIN_MM, outer):
            least += 1.0
        return least

    @property
    def targets(self) -> tuple[Target, ...]:
        """The targets, inner first, each as large as there is room for."""
        edge = self.limit_mm - MARGIN_MM
        radii = self.null_radii
        made = []
        for number, (null, radius) in enumerate(zip(self.nulls, radii, strict=True)):
            inner = radii[number - 1] if number else None
            outer = radii[number + 1] if number + 1 < len(radii) else None
            inward = radius - RINGS_MM[-1] if inner is None else (radius - inner) / 2
            outward = edge - radius if outer is None else (outer - radius) / 2
            made.append(
                Target(
                    centre=self.spindle,
                    null=null,
                    inward=min(FRONT_LINE_MM, inward - APART_MM / 2),
                    outward=min(FRONT_LINE_MM, outward - (APART_MM / 2 if outer else 0.0)),
                    fan=fan_for(edge, radius),
                    zenith_rad=self.zenith_rad,
                )
            )
        return tuple(made)

    def arc(self) -> Arc:
        """The path of the stylus, from the tool's edge to past the spindle."""
        length = self.arm.effective_length_mm
        start = bearing(self.pivot, self.at(self.limit_mm - 0.5)) % (2 * math.pi)
        past = math.pi - math.asin(ARC_PAST_SPINDLE_MM / length)
        return Arc(self.pivot, length, past, start, Stroke(HEAVY))

    def shapes(self) -> list[Shape]:
        """All that is drawn within the cut line, and the cut line."""
        targets, arc = self.targets, self.arc()
        marks = [list(target.shapes()) for target in targets]
        spindle, sight = list(_spindle(self.spindle)), list(self._sight_line())
        drawn: list[Shape] = [*spindle, arc, *sight, *(s for mark in marks for s in mark)]
        names = [
            target.names(radius) for target, radius in zip(targets, self.null_radii, strict=True)
        ]
        placed = place_free(drawn, [self._ladders(), *names])
        grounds = [ground for target in targets for ground in target.grounds()]
        piece = self._piece([*grounds, *([label] for label in placed)], sight)
        return [*drawn, *placed, *outline_of(piece, CUT)]

    def _piece(self, groups: list[list[Shape]], sight: list[Shape]) -> Polygon:
        """The piece of paper: round the spindle, along the arc, under the targets, and a tongue."""
        points = self.arc().points(0.05)
        hub: list[Shape] = [Circle(self.spindle, HUB_MM, Stroke())]
        strip = [Line(a, b, Stroke()) for a, b in pairwise(points)]
        (x, y), end = self.spindle, bounds(sight)[2] - 2.0
        half = TONGUE_MM / 2 - MARGIN_MM
        tongue: list[Shape] = [
            Line((x, y + side * half), (end, y + side * half), Stroke()) for side in (1, -1)
        ]
        return piece_round(
            [hub, *groups],
            [(strip, ARC_MARGIN_MM)],
            margin_mm=MARGIN_MM,
            inside_mm=INSIDE_MM,
            outside_mm=OUTSIDE_MM,
            centre=self.spindle,
            limit_mm=self.limit_mm,
            beyond=tongue,
        )

    def _ladders(self) -> Iterator[list[Shape]]:
        """Places for the overhang's marks: between the targets, or wherever the arc has room."""
        radii = self.null_radii
        inner, outer = radii[0], radii[-1]
        middle = (inner + outer) / 2
        for radius in (middle, middle - 3, middle + 3, inner / 2 + 8, inner / 2, outer + 18, 30.0):
            if radius > abs(self.arm.overhang_mm) + 12:
                for side in (1, -1):
                    yield list(self._ladder(radius, side))

    def _ladder(self, radius_mm: float, side: int) -> Iterator[Shape]:
        """Half millimetres of overhang to either side of the arc, the target's figure before them.

        The marks run along the arc; longer is away from the pivot. The figure and the line that
        leads from it to the arc lie on the longer side (`side` 1) or on the shorter one (-1).
        """
        pivot, length = self.pivot, self.arm.effective_length_mm
        along = bearing(pivot, self.at(radius_mm)) % (2 * math.pi)

        def rung(off: float, start: float, end: float) -> Arc:
            r = length + off
            return Arc(pivot, r, along + start / r, along + end / r, Stroke(FINE))

        for halves in range(1, 2 * LADDER_MM + 1):
            half = 2.0 if halves % 2 else 3.2
            yield rung(-side * halves / 2, -half, half)
            yield rung(side * halves / 2, -half, -0.7)
            yield rung(side * halves / 2, 0.7, half)
        near, far = length + side * 0.25, length + side * (LADDER_MM + 0.9)
        yield Line(polar(pivot, near, along), polar(pivot, far, along), Stroke(FINE))
        size, capital = NAME_PT, capital_mm(NAME_PT)
        x, y = polar(pivot, far + side * 0.6, along)
        text = to_hundredth(self.arm.overhang_mm).replace("-", "–")
        yield Label(text, (x, y - capital / 2), size, "end" if side > 0 else "start", bold=True)
        small = SMALLEST_PT
        for sign in (1, -1):
            x, y = polar(pivot, length + sign * LADDER_MM, along - 5.0 / length)
            text = f"{'+' if sign > 0 else '–'}{LADDER_MM}"
            yield Label(text, (x, y), small, "middle", bold=True)

    def _sight_line(self) -> Iterator[Shape]:
        """The line toward the pivot, its arrow and its one word."""
        x, y = self.spindle
        end = min(self.tongue_end, self.pivot[0] - TONGUE_BEFORE_PIVOT_MM)
        yield Line((x + SIGHT_FROM_MM, y), (end, y), Stroke(HEAVY))
        for side in (1.7, -1.7):
            yield Line((end - 5.0, y + side), (end, y), Stroke(HEAVY))
        size = NAME_PT
        yield Label("pivot", (end - 8.0, y + 1.6), size, "end", bold=True)


def _spindle(centre: Point) -> Iterator[Shape]:
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
