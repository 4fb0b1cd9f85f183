"""Marks of an instrument that several sheets share: spindle, target, overhang scale, sight line."""

from __future__ import annotations

import math
from collections.abc import Iterator

from protractor.alignments.alignment import to_hundredth
from protractor.drawing.shapes import (
    FINE,
    PLAIN,
    THINNEST,
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
from protractor.sheets.frame import NOTE_PT, leading_mm

FAN_LIMIT_DEG = 4
FAN_FROM_MM, FAN_HALF_FROM_MM, FAN_TO_MM = 26.0, 40.0, 55.0
FAN_REACH_MM = 60.5
"""How far a target reaches in front of its null point, figures included."""

STEEP_RAD = 0.25
"""A fan that slants more than this from straight down has its figures turned with it."""

GRID_PITCH_MM = 2.0
GRID_FRONT_MM, GRID_REAR_MM = 10.0, 22.0
WIDEST_GRID_MM = 13.0
"""Half the width of a grid where nothing is in its way."""

GRIDS_APART_MM = 3.0
"""Between the grids of two null points that lie close."""

RINGS_MM = 14.0
"""What the spindle's rings and the overhang scale keep free of grids."""

FLAP_MM, CROSS_MM = 0.8, 2.6
"""Where the slits of the spindle's hole start, and half the length of its cross."""

RINGS_RADII_MM = (4.4, 5.2, 6.0, 7.5, 9.0)
BEYOND_RINGS_MM = 9.6
"""Where a line from the spindle starts, so as to leave its rings alone."""

SIGHT = Stroke(FINE, (8.0, 1.5, 1.5, 1.5))
"""The stroke of a line toward the pivot."""

NULL_NAME_MM = 4.8
"""From a grid's rear to the name of its null point."""

SCALE_NAME_MM = 4.2
"""From the end of an overhang scale to its name."""


def scale_figures(above: float, last: int, hang: float) -> tuple[int, ...]:
    """The millimetres of an overhang scale that bear a figure: two at least, clear of the arc.

    Args:
        above: the figures start above this [mm].
        last: the end of the scale [mm].
        hang: where the arc crosses the scale [mm].

    Returns:
        each multiple of five, and where that leaves fewer, the next ones free beyond the arc.

    >>> scale_figures(9, 26, 17.3), scale_figures(9, 16, 7.9)
    ((10, 15, 20, 25), (11, 15))
    """

    def free(mm: int) -> bool:
        return mm > above and abs(mm - hang) > 2.2

    figures = [mm for mm in range(5, last + 1, 5) if free(mm)]
    for mm in sorted(range(1, last + 1), key=lambda mm: (mm < hang, mm)):
        if len(figures) < 2 and free(mm) and all(abs(mm - other) >= 3 for other in figures):
            figures.append(mm)
    return tuple(sorted(figures))


def overhang_scale(
    zero: Point, way: int, start_mm: float, last_mm: int, figures: tuple[int, ...]
) -> Iterator[Shape]:
    """Half millimetres from the spindle's centre, upward or downward as `way` is 1 or -1.

    Ticks run from `start_mm` to `last_mm`; `figures` are the millimetres that bear one.
    """
    x, y = zero
    for half in range(round(2 * start_mm), 2 * last_mm + 1):
        mm = half / 2
        tick = 2.2 if half % 10 == 0 or mm in figures else 1.4 if half % 2 == 0 else 0.8
        yield Line((x - tick, y + way * mm), (x + tick, y + way * mm), Stroke(THINNEST))
        if mm in figures:
            yield Label(f"{mm:g}", (x - 2.9, y + way * mm - 0.9), SMALLEST_PT, "end")


def signed_degrees(angle_rad: float) -> str:
    """An angle to a tenth of a degree, with its sign."""
    return f"{math.degrees(angle_rad):+.1f}°".replace("-", "–")


def arrow_head(tip: Point) -> Iterator[Shape]:
    """The head of an arrow that points up."""
    for side in (-1.6, 1.6):
        yield Line((tip[0] + side, tip[1] - 5), tip, Stroke(PLAIN))


def rectangle(low: Point, high: Point, stroke: Stroke) -> Iterator[Shape]:
    """Four edges, from the lower left corner counter-clockwise."""
    corners = [low, (high[0], low[1]), high, (low[0], high[1])]
    for start, end in zip(corners, [*corners[1:], corners[0]], strict=True):
        yield Line(start, end, stroke)


def null_name(name: str, radius_mm: float, at: Point) -> list[Shape]:
    """The name of a null point and below it, with its baseline's middle in `at`, its radius."""
    x, y = at
    return [
        Label(name, (x, y + leading_mm(NOTE_PT)), NOTE_PT, "middle", bold=True),
        Label(f"{to_hundredth(radius_mm)} mm", at, NOTE_PT, "middle"),
    ]


def half_widths(inner_mm: float, outer_mm: float) -> tuple[float, float]:
    """Half widths of two grids [mm]: not into each other, nor into what is about the spindle."""
    gap = (outer_mm - inner_mm) / 2 - GRIDS_APART_MM / 2
    return min(WIDEST_GRID_MM, gap, inner_mm - RINGS_MM), min(WIDEST_GRID_MM, gap)


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
    radial = bearing(centre, null) + zenith_rad
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
    capital = capital_mm(SMALLEST_PT)
    tilt = front + math.pi / 2
    if abs(tilt) < STEEP_RAD:
        x, y = polar(null, (FAN_TO_MM + 2.0) / math.cos(angle - front), angle)
        return Label(text, (x, y - capital), SMALLEST_PT, "middle", bold)
    at = polar(null, (FAN_TO_MM + 2.0 + capital) / math.cos(angle - front), angle)
    return Label(text, at, SMALLEST_PT, "middle", bold, tilt)
