"""The instrument of the alignment sheet: stylus arc, targets, overhang scale and sight line."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.arms.arm import Arm
from protractor.drawing.extent import place_free
from protractor.drawing.shapes import (
    FINE,
    PLAIN,
    Anchor,
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
from protractor.drawing.type import SMALLEST_PT, width_mm
from protractor.sheets import marks
from protractor.sheets.frame import NOTE_PT, centre_lines, leading_mm

ARC_BEYOND_MM = 6.0
"""How far the arc runs outside the recorded area."""

ARC_PAST_SPINDLE_MM = 9.0
"""How far the arc runs past the line through pivot and spindle."""

ARC_NAME_MM = 3.0
"""From the arc to its name."""

EDGE_BEHIND_MM, EDGES_AHEAD_MM = 4.0, (16.0, 22.0, 29.0, 37.0, 46.0, 5.0)
"""How far the edge of a record runs behind the arc, and the ways to run in front of it."""

SCALE_BEYOND_MM = 8
"""How far the overhang scale runs past the arc."""

PIVOT_RADIUS_MM, PIVOT_CROSS_MM, PIVOT_FOOT_MM = 3.0, 5.0, 4.0
"""The pivot's circle, and how far its cross reaches: to the sides and up, and down."""

SIGHT_WORDS_MM = 6.4
"""From the start of the sight line to its words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StylusArc:
    """An alignment laid out on a page: where spindle, pivot and null points stand [mm].

    The grids are turned for a stylus that stands `zenith_rad` clockwise of its cartridge.
    """

    alignment: Alignment
    spindle: Point
    zenith_rad: float

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
        return self.spindle[0], self.spindle[1] + self.arm.pivot_to_spindle_mm

    @property
    def nulls(self) -> tuple[Point, ...]:
        """The null points, inner first."""
        return tuple(self.at(radius) for radius in self.null_radii)

    @property
    def outermost_mm(self) -> float:
        """The largest radius that the sheet has to show."""
        return max(self.alignment.record.outer_radius_mm, self.arm.null_radii_mm[1])

    def at(self, radius_mm: float) -> Point:
        """The point of the arc at a radius from the spindle."""
        x, y = self.arm.stylus(radius_mm).tolist()
        return self.spindle[0] + x, self.spindle[1] + y

    def shapes(self) -> list[Shape]:
        """Spindle, arc, targets, overhang scale and edges of the recorded area, all named.

        The names keep clear of each other.
        """
        shapes: list[Shape] = [
            *marks.spindle(self.spindle),
            self._arc(),
            *self._overhang_scale(),
            *(
                shape
                for null, half in zip(self.nulls, self._half_widths(), strict=True)
                for shape in marks.target(self.spindle, null, half, self.zenith_rad)
            ),
        ]
        choices = [*self._null_names(), *self._edges(), self._arc_name()]
        return [*shapes, *place_free(shapes, choices)]

    def _arc(self) -> Arc:
        """The path of the stylus, from outside the outer recorded radius to past the spindle."""
        length = self.arm.effective_length_mm
        end = bearing(self.pivot, self.at(self.outermost_mm + ARC_BEYOND_MM))
        start = -math.pi / 2 - math.asin(ARC_PAST_SPINDLE_MM / length)
        return Arc(self.pivot, length, start, end, Stroke(PLAIN))

    def _arc_name(self) -> Iterator[list[Shape]]:
        """The arc's name along it: between the targets, or wherever it has room."""
        inner, outer = self.null_radii[0], self.null_radii[-1]
        for radius in ((inner + outer) / 2, inner / 2 + 4, outer + 20, (2 * inner + outer) / 3):
            if radius < abs(self.arm.overhang_mm) + 5:
                continue
            point = self.at(radius)
            slope = bearing(self.pivot, point) + math.pi / 2
            at = polar(point, -ARC_NAME_MM, slope + math.pi / 2)
            yield [Label("stylus arc", at, SMALLEST_PT, "middle", angle_rad=slope)]

    def _edges(self) -> Iterator[Iterator[list[Shape]]]:
        """The edges of the recorded area: a piece of groove across the arc, named before it."""
        side = self.alignment.record
        yield self._edge("inner edge", side.inner_radius_mm, self.null_radii[0])
        yield self._edge("outer edge", side.outer_radius_mm, self.null_radii[-1])

    def _edge(self, name: str, radius: float, null_radius: float) -> Iterator[list[Shape]]:
        """Ways to draw and name an edge: longer and longer, toward the spindle or away from it."""
        angle = bearing(self.spindle, self.at(radius))
        inward = radius < null_radius - 3 or (name == "inner edge" and radius <= null_radius + 3)
        for ahead in EDGES_AHEAD_MM:
            span = angle - ahead / radius, angle + EDGE_BEHIND_MM / radius
            groove = Arc(self.spindle, radius, *span, Stroke(FINE))
            x, y = groove.at(groove.start_rad)
            for toward in (inward, not inward):
                if toward and x < self.spindle[0]:
                    continue  # there the Y bar is in the way
                beside: tuple[float, Anchor] = (-1.0, "end") if toward else (1.0, "start")
                yield [
                    groove,
                    *(
                        Label(
                            text,
                            (x + beside[0], y - line * leading_mm(SMALLEST_PT)),
                            SMALLEST_PT,
                            beside[1],
                        )
                        for line, text in enumerate((name, f"{to_hundredth(radius)} mm"))
                    ),
                ]

    def _overhang_scale(self) -> Iterator[Shape]:
        """Half millimetres from the spindle's centre along the line from pivot through spindle.

        Of an underhung arm, whose stylus stays short of the spindle, from 10 mm toward the pivot.
        """
        x, y = self.spindle
        hang, last = abs(self.arm.overhang_mm), self._scale_end()
        # toward the pivot the rings are closed, and the scale starts outside them where it can
        over = self.arm.overhang_mm > 0
        way, first, named_from = (-1, 5, 9) if over else (1, 10 if hang > 11 else 5, 12)
        yield Line((x, y + way * (first - 0.5)), (x, y + way * last), Stroke(FINE))
        figures = marks.scale_figures(named_from, last, hang)
        yield from marks.overhang_scale(self.spindle, way, first, last, figures)
        if over:
            yield from centre_lines(("overhang", "mm"), (x, y - last - marks.SCALE_NAME_MM))
        else:
            yield Label("underhang, mm", (x + 3.2, y + last - 2.6), SMALLEST_PT)

    def _scale_end(self) -> int:
        """Where the overhang scale ends: past the arc, and with room for two figures."""
        least = 13 if self.arm.overhang_mm > 0 else 18
        return max(least, math.ceil(abs(self.arm.overhang_mm) + SCALE_BEYOND_MM))

    def _half_widths(self) -> tuple[float, ...]:
        """Half widths of the targets' grids."""
        inner, outer = self.arm.null_radii_mm
        if not inner > 0:
            return (min(marks.WIDEST_GRID_MM, outer - marks.RINGS_MM),)
        return marks.half_widths(inner, outer)

    def _null_names(self) -> Iterator[list[list[Shape]]]:
        """The names of the targets, behind their grids; side by side where the two are close."""
        two = len(self.nulls) == 2
        names = (("inner null", -1), ("outer null", 1)) if two else (("null", -1),)
        for (name, aside), null, radius in zip(names, self.nulls, self.null_radii, strict=True):
            rear = bearing(self.spindle, null) + math.pi / 2 + self.zenith_rad
            x, y = polar(null, marks.GRID_REAR_MM + marks.NULL_NAME_MM, rear)
            # a list, not a generator: it is read after the loop has gone on
            yield [
                marks.null_name(name, radius, (x + aside * shift, y + lift))
                for lift in (0.0, 9.0)
                for shift in (0.0, 3.0, 6.0)
            ]

    def sight_line(self, top: float) -> tuple[list[Shape], bool]:
        """The line from spindle to pivot up to `top`, and whether the pivot is on the page."""
        (x, y), (_, up) = self.spindle, self.pivot
        distance = f"{to_hundredth(self.arm.pivot_to_spindle_mm)} mm"
        visible = up + PIVOT_CROSS_MM <= top
        end = up - PIVOT_FOOT_MM if visible else top
        # an underhung arm has its scale where the line begins
        over = self.arm.overhang_mm > 0
        begin = marks.BEYOND_RINGS_MM if over else self._scale_end() + 1.0
        shapes: list[Shape] = [Line((x, y + begin), (x, end), marks.SIGHT)]
        if visible:
            across = (x - PIVOT_CROSS_MM, up), (x + PIVOT_CROSS_MM, up)
            shapes += [
                Circle(self.pivot, PIVOT_RADIUS_MM, Stroke(FINE)),
                Line(*across, Stroke(PLAIN)),
                Line((x, up - PIVOT_FOOT_MM), (x, up + PIVOT_CROSS_MM), Stroke(PLAIN)),
            ]
            words = f"sight line to the pivot's centre, {distance} from the spindle's centre"
            room = self.arm.pivot_to_spindle_mm - 6
            if begin + SIGHT_WORDS_MM + width_mm(words, NOTE_PT) > room:
                words = f"sight line to the pivot, {distance}"
        else:
            shapes += marks.arrow_head((x, end))
            words = f"sight line: the pivot's centre lies {distance} from the spindle's centre"
        at = (x - 1.6, y + begin + SIGHT_WORDS_MM)
        return [*shapes, Label(words, at, NOTE_PT, angle_rad=math.pi / 2)], visible
