"""The parts of a deck as the steps show them: platter, arm, headshell, cartridge, from above and
from the side, in millimetres.

Seen from above as on the sheets: from the front of the deck, the pivot to the right. What is not of
his deck is as decks usually are (common practice): a platter of 300 mm, a headshell 22 mm wide, a
body 17 mm wide and 17 mm high.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from protractor.alignments.alignment import Alignment
from protractor.app.pictures.picture import (
    BODY,
    FINE,
    HEAVY,
    HIDDEN,
    PLAIN,
    Look,
    Mark,
    View,
)
from protractor.drawing.shapes import Line, Point, Shape, Stroke, bearing, polar
from protractor.sheets.piece import Piece
from protractor.sheets.target import FOOT_MM, Target
from protractor.sheets.tool import Tool

PLATTER_MM, PARKED_MM, SPINDLE_MM = 150.0, 176.0, 3.6
"""Radius of a platter, of the tip's place while the arm is parked, and of a spindle."""

BEHIND_PIVOT_MM = 72.0
"""How far the counterweight reaches behind the pivot."""

TIP = Look(accent=True, solid=True)

HEADSHELL = ((9.0, 10.0), (-30.0, 10.0), (-42.0, 5.5), (-42.0, -5.5), (-30.0, -10.0), (9.0, -10.0))
"""Corners of a headshell: ahead of the tip and aside of it [mm]."""

CARTRIDGE = ((5.0, 8.5), (-22.0, 8.5), (-22.0, -8.5), (5.0, -8.5))

SCREWS = ((-9.5, 6.35), (-9.5, -6.35))
"""The screws lie half an inch apart, 9.5 mm behind the tip (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DeckView:
    """A deck from above: where spindle, pivot and tip are [mm], spindle in the origin.

    `zenith_rad` is how far the stylus stands clockwise of its cartridge; `two_null` whether the
    sheet is the one of two nulls.
    """

    alignment: Alignment
    zenith_rad: float = 0.0
    two_null: bool = False

    @property
    def tool(self) -> Tool:
        """The tool of the sheet, about the spindle."""
        return Tool(
            alignment=self.alignment,
            spindle=(0.0, 0.0),
            tongue_end=1000.0,
            zenith_rad=self.zenith_rad,
        )

    @property
    def pivot(self) -> Point:
        """The arm's pivot."""
        return self.tool.pivot

    def tip(self, radius_mm: float) -> Point:
        """The tip at a radius."""
        return self.tool.at(radius_mm)

    def forward(self, radius_mm: float) -> float:
        """Where the cartridge looks at a radius [rad]."""
        return bearing(self.pivot, self.tip(radius_mm)) - self.alignment.arm.offset_angle_rad

    def whole(self) -> View:
        """A view of the whole deck."""
        reach = PLATTER_MM + self.pivot[0] + BEHIND_PIVOT_MM
        scale = min(194.0 / reach, 0.42)
        return View(scale=scale, place=(3.0 + PLATTER_MM * scale, 67.0))

    def platter(self, view: View) -> list[Mark]:
        """The platter with its spindle."""
        return [view.disc((0.0, 0.0), PLATTER_MM), view.disc((0.0, 0.0), SPINDLE_MM, HEAVY)]

    def arm(self, view: View, radius_mm: float, look: Look = BODY) -> list[Mark]:
        """The arm with its tip at a radius."""
        tip, ahead = self.tip(radius_mm), self.forward(radius_mm)
        rear = polar(tip, -42.0, ahead)
        along = bearing(self.pivot, rear)
        behind = polar(self.pivot, -40.0, along)
        weight = [(0.0, 14.0), (-32.0, 14.0), (-32.0, -14.0), (0.0, -14.0)]
        marks: list[Mark] = [
            view.path(_beside(behind, rear, 4.5), look, closed=True),
            view.path((_at(behind, along, *each) for each in weight), look, closed=True),
            view.path((_at(tip, ahead, *each) for each in HEADSHELL), look, closed=True),
        ]
        if look == BODY:
            marks += [view.disc(self.pivot, 15.0, look), view.disc(self.pivot, 2.0, HEAVY)]
            marks.append(view.disc(tip, 2.2, TIP))
        return marks

    def sheet_tool(self, view: View, under: int | None = None) -> list[Mark]:
        """The tool as it lies on the platter: cut line, arc, sight line, targets.

        `under` is the null that lies under the tip, where it is the tool of two nulls.
        """
        if self.two_null:
            piece, strip = self._two_nulls(under)
            return [*_on_paper(view, piece, piece.shapes(strip)), *view.shapes(strip)]
        tool = self.tool
        return [
            *_on_paper(view, tool.piece, _tool_shapes(tool)),
            *(view.arc(piece, PLAIN) for piece in tool.arc()),
            view.path(((10.0, 0.0), (self.pivot[0] - 25.0, 0.0)), HEAVY),
        ]

    def _two_nulls(self, under: int | None) -> tuple[Piece, list[Shape]]:
        """The tool of two nulls, its null points toward the viewer or one of them under the tip."""
        radii, centre = self.tool.null_radii, (0.0, 0.0)
        out = -math.pi / 2 if under is None else bearing(centre, self.tip(radii[under]))
        piece = Piece(
            spindle=centre,
            nulls=tuple(polar(centre, radius, out) for radius in radii),
            record_mm=self.alignment.record.outer_radius_mm,
            zenith_rad=self.zenith_rad,
        )
        return piece, [Line(polar(centre, 10.0, out), piece.nulls[-1], Stroke())]


@lru_cache(maxsize=4)
def _tool_shapes(tool: Tool) -> tuple[Shape, ...]:
    """All that is on a tool; several steps show the same one."""
    return tuple(tool.shapes())


def _on_paper(view: View, piece: Piece, shapes: Iterable[Shape]) -> list[Mark]:
    """A piece of paper with its targets and the spindle through it."""
    lines = [each for each in shapes if isinstance(each, Line) and each.stroke.layer == "cut"]
    marks: list[Mark] = [view.path((each.start for each in lines), BODY, closed=True)]
    for target in piece.targets:
        marks += target_in_short(view, target)
    return [*marks, view.disc(piece.spindle, SPINDLE_MM, HEAVY)]


def target_in_short(view: View, target: Target) -> list[Mark]:
    """A target where it is too small for all its lines: axis, front line, outer rails, fan."""
    ends = [(target.at(-20.0, 0.0), target.at(FOOT_MM, 0.0))]
    ends.append((target.at(0.0, target.outward), target.at(0.0, -target.inward)))
    ends += [(target.at(-20.0, x), target.at(10.0, x)) for x in (-8.0, 8.0)]
    for degrees in (-4, 0, 4):
        way = target.front_rad + math.radians(degrees)
        ends.append((polar(target.foot, 22.0, way), polar(target.foot, target.fan, way)))
    return [view.path(each, FINE) for each in ends]


def cartridge_above(
    view: View, tip: Point, ahead: float, *, shell: bool = True, guard: bool = False
) -> list[Mark]:
    """A cartridge in its headshell, close by; `shell` false leaves the headshell out.

    What a hand's eye cannot see from above, cantilever and tip, is dashed.
    """
    marks: list[Mark] = []
    if shell:
        marks.append(view.path((_at(tip, ahead, *each) for each in HEADSHELL), BODY, closed=True))
        for _, side in SCREWS:
            slot = [
                (-3.0, side - 1.5),
                (-3.0, side + 1.5),
                (-16.0, side + 1.5),
                (-16.0, side - 1.5),
            ]
            marks.append(view.path((_at(tip, ahead, *each) for each in slot), FINE, closed=True))
    under = HIDDEN if shell else PLAIN
    marks.append(view.path((_at(tip, ahead, *each) for each in CARTRIDGE), under, closed=True))
    if shell:
        marks += [view.disc(_at(tip, ahead, *each), 2.4, BODY) for each in SCREWS]
        for each in SCREWS:
            blade = [
                _at(tip, ahead, each[0] + side * 1.4, each[1] + side * 1.4) for side in (1, -1)
            ]
            marks.append(view.path(blade, FINE))
    if guard:
        cap = [(-4.0, 5.0), (9.0 if not shell else 12.0, 5.0)]
        ends = [*cap, *[(x, -y) for x, y in reversed(cap)]]
        marks.append(view.path((_at(tip, ahead, *each) for each in ends), HEAVY, closed=True))
    return marks


def cantilever(view: View, tip: Point, ahead: float, look: Look = PLAIN) -> list[Mark]:
    """The cantilever from above, with the tip at its end."""
    return [
        view.path((_at(tip, ahead, -9.0, 0.0), tip), look),
        view.disc(tip, 0.6, TIP),
    ]


def arm_above(view: View, tip: Point, ahead: float, length_mm: float = 17.5) -> list[Mark]:
    """The end of the arm's tube behind a headshell, close by."""
    rear = polar(tip, -42.0, ahead)
    return [view.path(_beside(rear, polar(rear, -length_mm, ahead), 4.5), BODY, closed=True)]


def cartridge_side(
    view: View, *, height: float = 0.0, guard: float | None = None, tube_mm: float = 53.0
) -> list[Mark]:
    """A cartridge in its headshell from the side, its front to the left; the tip above the origin.

    `guard` is how far in front of its place the guard is, None for none; `tube_mm` how much of the
    arm's tube is shown.
    """
    h = height

    def path(points: Iterable[Point], look: Look = BODY, *, closed: bool = True) -> Mark:
        return view.path(((x, y + h) for x, y in points), look, closed=closed)

    marks = []
    if tube_mm:
        end = 42.0 + tube_mm
        marks.append(path([(42.0, 16.5), (end, 16.5), (end, 23.5), (42.0, 23.5)]))
    marks.append(path([(-9.0, 17.0), (-9.0, 19.0), (34.0, 21.0), (42.0, 22.5), (42.0, 17.0)]))
    marks.append(path([(-9.0, 18.0), (-15.0, 19.0), (-20.0, 23.0)], HEAVY, closed=False))
    body = [(-5.0, 17.0), (22.0, 17.0), (22.0, 9.0), (16.0, 5.5), (4.0, 5.5), (-5.0, 8.5)]
    marks.append(path(body))
    marks.append(path([(9.0, 5.5), (0.4, 1.2)], PLAIN, closed=False))
    marks.append(path([(0.4, 1.2), (0.0, 0.0)], HEAVY, closed=False))
    marks.append(path([(7.5, 19.8), (7.5, 22.8), (11.5, 22.8), (11.5, 19.9)]))
    if guard is not None:
        cap = [(-7.0, 12.0), (-7.0, -2.5), (11.0, -2.5)]
        marks.append(path([(x - guard, y) for x, y in cap], HEAVY, closed=False))
        marks.append(path([(-7.0 - guard, 12.0), (-5.0 - guard, 12.0)], HEAVY, closed=False))
    return marks


def _at(origin: Point, ahead_rad: float, ahead: float, aside: float) -> Point:
    """A point ahead of an origin and to the left of the way ahead [mm]."""
    return polar(polar(origin, ahead, ahead_rad), aside, ahead_rad + math.pi / 2)


def _beside(start: Point, end: Point, half: float) -> list[Point]:
    """The corners of a bar from a point to another."""
    across = bearing(start, end) + math.pi / 2
    near = [polar(start, side * half, across) for side in (1, -1)]
    return [*near, *[polar(end, side * half, across) for side in (-1, 1)]]


def rest_side(view: View) -> list[Mark]:
    """The arm's rest from the side: a fork under the tube."""
    fork = [(70.0, 26.0), (70.0, 15.0), (82.0, 15.0), (82.0, 26.0)]
    return [view.path(fork, HEAVY), view.path(((76.0, 15.0), (76.0, -10.0)), HEAVY)]


def rest_above(view: View) -> list[Mark]:
    """The arm's rest from above: its clip round the tube."""
    clip = [(46.0, -7.0), (53.0, -7.0), (53.0, 7.0), (46.0, 7.0)]
    return [view.path(clip, HEAVY, closed=True)]
