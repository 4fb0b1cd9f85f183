"""The tool of an alignment sheet: one piece to cut out and lay on the platter.

Drawn as one sees it from the front of the deck: the line to the pivot runs to the right and the
null points lie toward the viewer. Formulas keep their frame, with the pivot on +y and the stylus on
+x; `movement.from_the_front` turns it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.arms.arm import Arm
from protractor.drawing.movement import from_the_front
from protractor.drawing.shapes import (
    FINE,
    HEAVY,
    Arc,
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
from protractor.sheets.names import signed
from protractor.sheets.piece import TONGUE_MM, Piece
from protractor.sheets.target import GAP_MM, NAME_PT

if TYPE_CHECKING:
    pass

ARC_BEYOND_MM = 12.0
"""How far the arc runs outside the recorded area, where the platter does."""

ARC_PAST_SPINDLE_MM = 6.0
"""How far the arc runs past the line through pivot and spindle."""

CLOSEST_NULLS_MM = 16.0
"""Null radii that lie closer leave no room for two targets."""

SIGHT_FROM_MM, TONGUE_BEFORE_PIVOT_MM = 10.0, 25.0
"""Where the sight line starts, and where the tongue ends: short of the arm's pillar."""

SHORTEST_SIGHT_MM = 75.0
"""A sight line that ends sooner is no use: seen half a millimetre wrong it points 1.5 mm beside a
pivot at 222 mm."""

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
    def piece(self) -> Piece:
        """The piece of paper with its targets."""
        return Piece(
            spindle=self.spindle,
            nulls=self.nulls,
            record_mm=self.alignment.record.outer_radius_mm,
            zenith_rad=self.zenith_rad,
        )

    @property
    def reach_mm(self) -> tuple[float, float, float, float]:
        """How far the piece reaches left, below, right of and above the spindle [mm]."""
        return self.piece.reach_mm(self.arc())

    def shapes(self) -> list[Shape]:
        """All that is drawn within the cut line, and the cut line."""
        return self.piece.shapes(self.arc(), [self.ladders()], list(self._sight_line()))

    def arc(self) -> list[Arc]:
        """The path of the stylus, open at the nulls.

        It runs from past the spindle to outside the record, or as far as the tool reaches.
        """
        outer = max(self.alignment.record.outer_radius_mm, self.null_radii[-1]) + ARC_BEYOND_MM
        last = min(outer, self.piece.limit_mm - 0.5)
        length = self.arm.effective_length_mm
        start = math.pi - math.asin(ARC_PAST_SPINDLE_MM / length)
        pieces = []
        for radius in (*self.null_radii, last):
            end = bearing(self.pivot, self.at(radius)) % (2 * math.pi)
            gap = GAP_MM / length if radius in self.null_radii else 0.0
            pieces.append(Arc(self.pivot, length, start, end - gap, Stroke(HEAVY)))
            start = end + gap
        return pieces

    @property
    def features(self) -> dict[str, Any]:
        """Spindle, nulls and, where the page reaches so far, the pivot."""
        shown = self.pivot[0] <= self.tongue_end
        return {
            "spindle": list(self.spindle),
            "null_inner": list(self.nulls[0]) if len(self.nulls) == 2 else None,
            "null_outer": list(self.nulls[-1]),
            "pivot": list(self.pivot) if shown else None,
        }

    @property
    def sight_mm(self) -> float:
        """How long the sight line has to be at the least, where the pivot allows [mm]."""
        return min(SHORTEST_SIGHT_MM, self.arm.pivot_to_spindle_mm - TONGUE_BEFORE_PIVOT_MM)

    @property
    def scissors(self) -> Point:
        """Where a sign stands on the cut line: under the tongue."""
        return self.spindle[0] + 35.0, self.spindle[1] - TONGUE_MM / 2

    def ladders(self) -> Iterator[list[Shape]]:
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
        text = signed(self.arm.overhang_mm)
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
