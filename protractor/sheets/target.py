"""A target: where the tip goes, rails for the cartridge's sides, and a fan that reads its angle.

Seen by a hand that has just lowered a stylus: a body 17 mm wide hides what lies behind the tip and
under it. So the tip's place is a gap that four lines leave free, the rails are long where a body's
sides come to lie, the front line goes on where body and headshell hide its middle, and all that is
read lies in front. The fan starts at a foot in front of the body: a pointer laid over the foot
reads the angle wherever across the body it stands.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from protractor.alignments.alignment import to_hundredth
from protractor.drawing.shapes import (
    BOLD,
    FINE,
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
from protractor.drawing.type import SMALLEST_PT, capital_mm, width_mm
from protractor.sheets import signs

FAN_LIMIT_DEG = 4

GAP_MM = 0.9
"""Half the gap for the tip: its ends are halved by eye."""

FOOT_MM = 18.0
"""From the tip's place to the fan's foot, in front of the body and of the pointer's bar."""

FAN_LENGTH_MM = 48.0
"""From the foot to the end of the fan, where there is room: half a degree is 0.42 mm there."""

SHORTEST_FAN_MM = 27.0
"""The shortest fan: half a degree is two arc minutes at 400 mm, what 20/40 sight resolves."""

FAN_DEPTH_MM = 26.0
"""How much of the fan's end bears wedges and figures."""

FIGURES_MM = 6.4
"""From the fan's end to the far side of its figures."""

HALVES_MM = 5.0
"""Length of the half degrees' rays, at the fan's end; the tint ends where they begin."""

TINT_PITCH_MM = 0.7
"""From line to line of the tint in every other wedge."""

RAIL_PITCH_MM, RAILS = 1.0, 12
"""The rails lie a millimetre apart, out to this many on either side."""

USUAL_HALF_WIDTHS_MM = (7, 8, 9)
"""Half the width of most bodies, 15 to 18 mm (common practice): these rails are longer."""

RAIL_FRONT_MM, RAIL_REAR_MM, LONG_FRONT_MM, LONG_REAR_MM = 8.0, 17.0, 11.0, 22.0
"""How far rails run in front of the tip's place and behind it; the longer ones."""

INSIDE_FROM_MM = 2.5
"""Rails under a body start here, in front of the tip."""

FRONT_LINE_MM = 24.0
"""Half the length of the front line, where there is room: a headshell is 20 to 25 mm wide."""

BLOCK_MM, LEG_MM = 14.0, 24.0
"""How far the paper under the rails goes in front, and the width of the fan's leg; no margin."""

TURN_MM = 11.8
"""How far to the side the signs of the turning arrows lie, where there is room."""

NAME_PT, TURN_PT = 9.0, 11.0

FOLLOWED, COUNTED = Stroke(BOLD), Stroke(FINE)
"""What is followed by eye or tip, and what is counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """A target at a null point, seen from the spindle [mm].

    `inward` and `outward` are what there is room for on either side of the null, toward the spindle
    and away from it; `fan` is the fan's length from its foot; rails and front line reach no further
    than `rails_mm`. For a stylus that stands `zenith_rad`
    clockwise of its cartridge, everything but the tip's place is turned by as much the other way:
    a cartridge along the rails then has its stylus along the groove.
    """

    centre: Point
    null: Point
    inward: float
    outward: float
    fan: float = FAN_LENGTH_MM
    zenith_rad: float = 0.0
    rails_mm: float = math.inf

    @property
    def outward_rad(self) -> float:
        """Direction of the front line, away from the spindle [rad]."""
        return bearing(self.centre, self.null) + self.zenith_rad

    @property
    def front_rad(self) -> float:
        """Direction of the rails, the way that the cartridge looks [rad]."""
        return self.outward_rad - math.pi / 2

    def at(self, ahead: float, outward: float) -> Point:
        """A point in front of the null and outward of it [mm]."""
        return polar(polar(self.null, ahead, self.front_rad), outward, self.outward_rad)

    @property
    def foot(self) -> Point:
        """The fan's foot: where the pointer's edge is laid."""
        return self.at(FOOT_MM, 0.0)

    @property
    def reach(self) -> float:
        """How far the target reaches in front of the null, figures included [mm]."""
        return FOOT_MM + self.fan + FIGURES_MM

    def shapes(self) -> Iterator[Shape]:
        """Everything but the name."""
        yield from self._lines()
        yield from self._rails()
        yield from self._fan()
        yield from self._figures()
        yield from self._turns()

    def _lines(self) -> Iterator[Shape]:
        """The axis and the front line, open where the tip goes; and the foot."""
        yield Line(self.at(GAP_MM, 0), self.at(FOOT_MM, 0), FOLLOWED)
        yield Line(self.at(-GAP_MM, 0), self.at(-LONG_REAR_MM, 0), FOLLOWED)
        yield Line(self.at(0, GAP_MM), self.at(0, min(self.outward, self.rails_mm)), FOLLOWED)
        yield Line(self.at(0, -GAP_MM), self.at(0, -min(self.inward, self.rails_mm)), FOLLOWED)
        yield Circle(self.foot, 0.3, Stroke(0.6))

    def _rails(self) -> Iterator[Shape]:
        for side, room in ((1, self.outward), (-1, self.inward)):
            for rail in range(2, RAILS + 1):
                x = side * rail * RAIL_PITCH_MM
                if abs(x) > min(room, self.rails_mm) - 0.4:
                    break
                if rail < USUAL_HALF_WIDTHS_MM[0]:
                    yield Line(self.at(INSIDE_FROM_MM, x), self.at(RAIL_FRONT_MM, x), COUNTED)
                elif rail in USUAL_HALF_WIDTHS_MM:
                    yield Line(self.at(-LONG_REAR_MM, x), self.at(LONG_FRONT_MM, x), FOLLOWED)
                else:
                    yield Line(self.at(-RAIL_REAR_MM, x), self.at(RAIL_FRONT_MM, x), COUNTED)

    def _fan(self) -> Iterator[Shape]:
        """The zero ray, whole and half degrees, and the tint of every other wedge."""
        near, far = max(10.0, self.fan - FAN_DEPTH_MM), self.fan
        foot, front = self.foot, self.front_rad
        for halves in range(-2 * FAN_LIMIT_DEG, 2 * FAN_LIMIT_DEG + 1):
            angle = front - math.radians(halves / 2)
            start, end, stroke = near, far, COUNTED
            if halves == 0:
                start, end, stroke = near - 4.0, far + 4.0, FOLLOWED
            elif halves % 2:
                start = far - HALVES_MM
            yield Line(polar(foot, start, angle), polar(foot, end, angle), stroke)
        rows = math.floor((far - HALVES_MM - near) / TINT_PITCH_MM + 1e-9)
        for low in (-4, -2, 1, 3):
            span = front - math.radians(low + 1), front - math.radians(low)
            for row in range(rows):
                yield Arc(foot, far - HALVES_MM - row * TINT_PITCH_MM, *span, COUNTED)

    def _figures(self) -> Iterator[Label]:
        """Degrees with their signs: two beside the zero ray, zero at its end, four at the sides."""
        size, capital = SMALLEST_PT, capital_mm(SMALLEST_PT)
        middle = width_mm("+2", size, bold=True) / 2
        end, far = FOOT_MM + self.fan, self.fan - 2.0
        two = max(2.15, (self.fan + 2.0) * math.tan(math.radians(2.0)) + 0.3)
        four = far * math.tan(math.radians(4.0)) + 1.25 + capital / 2
        zero = width_mm("0", size, bold=True) / 2
        for text, ahead, outward in (
            ("+2", end + 0.9 + middle, -two),
            ("–2", end + 0.9 + middle, two),
            ("0", end + 4.5 + zero, 0.0),
            ("+4", FOOT_MM + far, -four),
            ("–4", FOOT_MM + far, four),
        ):
            yield self._upright(text, self.at(ahead, outward), size)

    def _upright(self, text: str, middle: Point, size: float, anchor: Anchor = "middle") -> Label:
        """A bold label, to be read along the rails, whose capitals' middle lies in a point."""
        tilt = self.front_rad - math.pi
        tilt = (tilt + math.pi) % (2 * math.pi) - math.pi
        at = polar(middle, -capital_mm(size) / 2, tilt + math.pi / 2)
        return Label(text, at, size, anchor, bold=True, angle_rad=tilt)

    def _turns(self) -> Iterator[Shape]:
        """Arrows about the tip that say which way round is plus and which is minus.

        Where another target is close, they are shorter.
        """
        radius = FOOT_MM + 9.0
        aside = min(TURN_MM, self.inward - 2.0, self.outward - 2.0)
        for sign, side in (("+", -1.0), ("–", 1.0)):
            start, end = (
                self.front_rad + side * math.asin(lateral / radius)
                for lateral in (min(2.4, aside / 4), aside - 3.0)
            )
            yield from signs.turning(self.null, radius, start, end)
            beyond = self.front_rad + side * math.asin(aside / radius)
            yield self._upright(sign, polar(self.null, radius, beyond), TURN_PT)

    def grounds(self) -> list[list[Shape]]:
        """The paper that the target stands on: a block under the rails, a leg under the fan."""
        low, high, leg = -self.inward, self.outward, LEG_MM / 2
        back, tip = -LONG_REAR_MM, self.reach
        blocks = (
            [(back, high), (back, low), (BLOCK_MM, low), (BLOCK_MM, high)],
            [(0.0, leg), (0.0, -leg), (tip, -leg), (tip, leg)],
        )
        return [
            [Line(self.at(*a), self.at(*b), COUNTED) for a, b in pairwise(corners)]
            for corners in blocks
        ]

    def names(self, radius_mm: float) -> Iterator[list[Shape]]:
        """Places for the null's radius, the best first: in front of the front line, outward."""
        text = to_hundredth(radius_mm)
        half = capital_mm(NAME_PT) / 2
        for aside in (RAILS + 2.0, -RAILS - 2.0, RAILS + 5.0, -RAILS - 5.0):
            for ahead in (1.6, 8.0, 13.0):
                x, y = self.at(ahead, aside + math.copysign(half, aside))
                tilt = self._upright("", (x, y), NAME_PT).angle_rad
                at = polar((x, y), -half, tilt + math.pi / 2)
                yield [Label(text, at, NAME_PT, "end", bold=True, angle_rad=tilt)]


def fan_for(limit_mm: float, radius_mm: float, zenith_rad: float = 0.0) -> float:
    """The longest fan at a null radius whose figures stay inside a circle round the spindle [mm].

    0 where not even the shortest does. With the outward direction along x, a point so far ahead and
    so far outward of the null lies `radius + ahead sin + outward cos` out.
    """
    cos, sin = math.cos(zenith_rad), math.sin(zenith_rad)
    fan = FAN_LENGTH_MM
    while fan >= SHORTEST_FAN_MM:
        corners = [
            (FOOT_MM + fan + ahead, side * outward)
            for ahead, outward in ((FIGURES_MM, 3.5), (-1.0, 7.0))
            for side in (1, -1)
        ]
        if all(
            math.hypot(radius_mm + x * sin + y * cos, x * cos - y * sin) <= limit_mm
            for x, y in corners
        ):
            return fan
        fan -= 0.5
    return 0.0
