"""Marks that several sheets share: the proof of scale, the spindle, a target, running text."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from protractor.arms.records import CENTRE_HOLE_DIAMETER_MM
from protractor.drawing.shapes import (
    FINE,
    PLAIN,
    THINNEST,
    Arc,
    Circle,
    Label,
    Line,
    Point,
    Shape,
    Stroke,
    polar,
)
from protractor.drawing.type import MM_PER_POINT, SMALLEST_PT, width_mm, wrap
from protractor.printing.paper import Paper

CARD_WIDTH_MM, CARD_HEIGHT_MM, CARD_CORNER_MM = 85.60, 53.98, 3.18
"""Bank card, ISO/IEC 7810 ID-1 (from memory)."""

CAPITAL_HEIGHT = 0.714
"""Height of a capital letter of the typeface over its size."""

BAR_REACH_MM = 6.1
"""How far a bar's ticks and figures reach on either side of its line."""

INCH_TICKS_MM = {16: 3.2, 8: 2.8, 4: 2.4, 2: 2.0, 1: 1.5}
"""Length of a tick by the largest power of two sixteenths of an inch that divides its place."""

FAN_LIMIT_DEG = 4
FAN_FROM_MM, FAN_HALF_FROM_MM, FAN_TO_MM = 26.0, 40.0, 55.0
FAN_REACH_MM = 60.5
"""How far a target reaches in front of its null point, figures included."""

STEEP_RAD = 0.25
"""A fan that slants more than this from straight down has its figures turned with it."""

GRID_PITCH_MM = 2.0
GRID_FRONT_MM, GRID_REAR_MM = 10.0, 22.0


def bar(origin: Point, length_mm: float, angle_rad: float, caption: str) -> Iterator[Shape]:
    """A bar that proves the scale in one direction: mm on its left side, inches on its right.

    It runs from `origin` in the direction of `angle_rad`; what is to be measured is the distance of
    its two long end marks, centre to centre. Without a caption the room beyond its end stays free.
    """
    along = (math.cos(angle_rad), math.sin(angle_rad))
    across = (-along[1], along[0])

    def at(s: float, t: float) -> Point:
        return (
            origin[0] + s * along[0] + t * across[0],
            origin[1] + s * along[1] + t * across[1],
        )

    def figure(text: str, s: float, t: float) -> Label:
        return Label(text, at(s, t), SMALLEST_PT, "middle", angle_rad=angle_rad)

    plain, fine = Stroke(PLAIN), Stroke(THINNEST)
    yield Line(at(0, 0), at(length_mm, 0), Stroke(FINE))
    for end in (0.0, length_mm):
        yield Line(at(end, -3.2), at(end, 3.2), plain)
    for mm in range(round(length_mm) + 1):
        tick = 3.2 if mm % 10 == 0 else 2.3 if mm % 5 == 0 else 1.5
        if 0 < mm < length_mm:
            yield Line(at(mm, 0), at(mm, tick), fine)
        if mm % 10 == 0:
            yield figure(str(mm), mm, 4.1)
    for sixteenth in range(math.floor(length_mm / 25.4 * 16) + 1):
        inch, part = divmod(sixteenth, 16)
        tick = INCH_TICKS_MM[math.gcd(sixteenth, 16) or 16]
        if sixteenth:
            yield Line(at(sixteenth * 25.4 / 16, 0), at(sixteenth * 25.4 / 16, -tick), fine)
        if part == 0:
            yield figure(str(inch), inch * 25.4, -4.1 - CAPITAL_HEIGHT * SMALLEST_PT * MM_PER_POINT)
    for text, t in ((f"{caption}, mm", 0.6), ("inch", -2.6)) if caption else ():
        yield Label(text, at(length_mm + 2, t), SMALLEST_PT, angle_rad=angle_rad)


def numbered(above: float, last: int, hang: float) -> tuple[int, ...]:
    """The millimetres of an overhang scale that bear a figure: two at least, clear of the arc.

    Args:
        above: the figures start above this [mm].
        last: the end of the scale [mm].
        hang: where the arc crosses the scale [mm].

    Returns:
        each multiple of five, and where that leaves fewer, the next ones free beyond the arc.

    >>> numbered(9, 26, 17.3), numbered(9, 16, 7.9)
    ((10, 15, 20, 25), (11, 15))
    """

    def free(mm: int) -> bool:
        return mm > above and abs(mm - hang) > 2.2

    figures = [mm for mm in range(5, last + 1, 5) if free(mm)]
    for mm in sorted(range(1, last + 1), key=lambda mm: (mm < hang, mm)):
        if len(figures) < 2 and free(mm) and all(abs(mm - other) >= 3 for other in figures):
            figures.append(mm)
    return tuple(sorted(figures))


def bar_ends(paper: Paper) -> tuple[tuple[Point, Point], tuple[Point, Point]]:
    """Ends of the X bar and of the Y bar along the lower and left edge, as long as they can be."""
    y = paper.bottom + BAR_REACH_MM
    left, bottom = paper.left + 16, y + BAR_REACH_MM + 4
    across = math.floor((paper.right - left - 14) / 10) * 10
    up = math.floor((paper.top - bottom - 14) / 10) * 10
    x = paper.left + BAR_REACH_MM
    return ((left, y), (left + across, y)), ((x, bottom), (x, bottom + up))


def card(corner: Point) -> Iterator[Shape]:
    """The outline of a bank card, its lower left corner in `corner`."""
    x, y = corner
    w, h, r = CARD_WIDTH_MM, CARD_HEIGHT_MM, CARD_CORNER_MM
    stroke = Stroke(FINE, layer="reference")
    for start, end in (
        ((x + r, y), (x + w - r, y)),
        ((x + w, y + r), (x + w, y + h - r)),
        ((x + w - r, y + h), (x + r, y + h)),
        ((x, y + h - r), (x, y + r)),
    ):
        yield Line(start, end, stroke)
    for quarter, centre in enumerate(
        ((x + w - r, y + h - r), (x + r, y + h - r), (x + r, y + r), (x + w - r, y + r))
    ):
        yield Arc(centre, r, quarter * math.pi / 2, (quarter + 1) * math.pi / 2, stroke)


def spindle(centre: Point) -> Iterator[Shape]:
    """The place of the spindle: cross, hole outline, slits to cut, and rings to centre it by.

    The rings are open toward the front, where a scale may start.
    """
    hole = CENTRE_HOLE_DIAMETER_MM / 2
    yield Circle(centre, hole, Stroke(FINE, layer="inner cut"))
    for eighth in range(8):
        angle = math.radians(22.5 + 45 * eighth)
        yield Line(
            polar(centre, 0.8, angle),
            polar(centre, hole, angle),
            Stroke(THINNEST, layer="inner cut"),
        )
    for quarter in range(4):
        angle = quarter * math.pi / 2
        yield Line(centre, polar(centre, 2.6, angle), Stroke(PLAIN))
    for radius in (4.4, 5.2, 6.0, 7.5, 9.0):
        yield Arc(centre, radius, math.radians(-60), math.radians(240), Stroke(THINNEST))


def target(
    centre: Point, null: Point, half_width_mm: float, zenith_rad: float = 0.0
) -> Iterator[Shape]:
    """A null point to set the stylus on: grid along the groove, and a fan that reads the error.

    `centre` is the spindle, `null` the null point. The grid's lines run along and square to the
    groove's tangent in `null`, `half_width_mm` to either side. The fan lies in front; a ray at +a
    stands clockwise of the tangent by a, seen from above. For a stylus that stands `zenith_rad`
    clockwise of its cartridge, grid and fan are turned by as much the other way: the cartridge that
    stands along them has its stylus along the tangent.
    """
    radial = math.atan2(null[1] - centre[1], null[0] - centre[0]) + zenith_rad
    front = radial - math.pi / 2
    fine, plain = Stroke(THINNEST), Stroke(PLAIN)

    def at(ahead: float, outward: float) -> Point:
        return polar(polar(null, ahead, front), outward, radial)

    columns = math.floor(half_width_mm / GRID_PITCH_MM + 1e-9)
    edge = columns * GRID_PITCH_MM
    for column in range(-columns, columns + 1):
        x = column * GRID_PITCH_MM
        yield Line(at(-GRID_REAR_MM, x), at(GRID_FRONT_MM, x), fine if column else plain)
    for row in range(-round(GRID_REAR_MM / 2), round(GRID_FRONT_MM / 2) + 1):
        y = row * GRID_PITCH_MM
        yield Line(at(y, -edge), at(y, edge), fine if row else plain)
    yield Circle(null, 0.7, plain)
    for half_degrees in range(-2 * FAN_LIMIT_DEG, 2 * FAN_LIMIT_DEG + 1):
        angle = front - math.radians(half_degrees / 2)
        if half_degrees == 0:
            start, end, stroke = GRID_FRONT_MM, FAN_TO_MM + 1.5, plain
        elif half_degrees % 2:
            start, end, stroke = FAN_HALF_FROM_MM, FAN_TO_MM, fine
        else:
            start, end, stroke = FAN_FROM_MM, FAN_TO_MM + 1.5 * (half_degrees % 4 == 0), fine
        yield Line(polar(null, start, angle), polar(null, end, angle), stroke)
        if half_degrees % 4 == 0:
            yield _figure(f"{abs(half_degrees) // 2}", null, front, angle)
    for sign, degrees in (("+", 6.3), ("–", -6.3)):
        angle = front - math.radians(degrees)
        yield _figure(sign, null, front, angle, bold=True)


def _figure(text: str, null: Point, front: float, angle: float, bold: bool = False) -> Label:
    """A figure in front of the fan on the ray at `angle`; turned with a fan that slants much."""
    capital = CAPITAL_HEIGHT * SMALLEST_PT * MM_PER_POINT
    tilt = front + math.pi / 2
    if abs(tilt) < STEEP_RAD:
        x, y = polar(null, (FAN_TO_MM + 2.0) / math.cos(angle - front), angle)
        return Label(text, (x, y - capital), SMALLEST_PT, "middle", bold)
    at = polar(null, (FAN_TO_MM + 2.0 + capital) / math.cos(angle - front), angle)
    return Label(text, at, SMALLEST_PT, "middle", bold, tilt)


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """A box that text may fill [mm]."""

    left: float
    right: float
    bottom: float
    top: float

    @property
    def width(self) -> float:
        """Width [mm]."""
        return self.right - self.left


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """Running text, with a number or mark that hangs in front of it, or a heading over it."""

    text: str
    mark: str = ""
    heading: str = ""


def leading_mm(size_pt: float) -> float:
    """Distance of two baselines [mm]."""
    return 1.28 * size_pt * MM_PER_POINT


def flow(
    paragraphs: Iterable[Paragraph], regions: Sequence[Region], size_pt: float
) -> list[Label] | None:
    """Sets paragraphs into regions in order, none of them torn; None when they do not fit."""
    step, gap = leading_mm(size_pt), 0.35 * leading_mm(size_pt)
    rest = iter(regions)
    region = next(rest, None)
    y = region.top if region else 0.0
    labels: list[Label] = []
    for paragraph in paragraphs:
        while region is not None:
            lines = _set(paragraph, region.width, size_pt)
            if y - len(lines) * step >= region.bottom:
                break
            region = next(rest, None)
            y = region.top if region else 0.0
        if region is None:
            return None
        for indent, text, bold in lines:
            baseline = y - CAPITAL_HEIGHT * size_pt * MM_PER_POINT
            for x, piece in zip(indent, text, strict=True):
                labels.append(Label(piece, (region.left + x, baseline), size_pt, bold=bold))
            y -= step
        y -= gap
    return labels


def _set(
    paragraph: Paragraph, width: float, size_pt: float
) -> list[tuple[tuple[float, ...], tuple[str, ...], bool]]:
    """The lines of a paragraph: places, pieces of text there, and whether bold."""
    indent = width_mm("00 ", size_pt) if paragraph.mark else 0.0
    lines: list[tuple[tuple[float, ...], tuple[str, ...], bool]] = [
        ((0.0,), (line,), True) for line in wrap(paragraph.heading, width, size_pt, bold=True)
    ]
    for number, line in enumerate(wrap(paragraph.text, width - indent, size_pt)):
        if number == 0 and paragraph.mark:
            lines.append(((0.0, indent), (paragraph.mark, line), False))
        else:
            lines.append(((indent,), (line,), False))
    return lines
