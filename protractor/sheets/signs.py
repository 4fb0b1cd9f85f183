"""Small signs of our own drawing: scissors, plug, stylus guard, lamp, tick.

Each is drawn about its middle and fills `SIGN_MM` from side to side. Strokes are never thinner
than `PLAIN`, so that a sign is told at arm's length by eyes that resolve two arc minutes.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from protractor.drawing.shapes import (
    BOLD,
    PLAIN,
    Arc,
    Circle,
    Line,
    Point,
    Shape,
    Stroke,
)

SIGN_MM = 6.0
"""From side to side of a sign."""

_PEN, _HEAVY = Stroke(PLAIN), Stroke(BOLD)


def _path(
    at: Point, points: list[Point], stroke: Stroke, *, closed: bool = False
) -> Iterator[Line]:
    """Strokes from point to point; the points count from `at`."""
    moved = [(at[0] + x, at[1] + y) for x, y in points]
    for start, end in zip(moved, moved[1:] + (moved[:1] if closed else []), strict=False):
        yield Line(start, end, stroke)


def scissors(at: Point) -> Iterator[Shape]:
    """Scissors that open to the right: cut here."""
    x, y = at
    for side in (1, -1):
        yield Circle((x - 2.05, y + side * 1.45), 0.85, _HEAVY)
        yield from _path(at, [(-1.35, side * 0.98), (3.0, -side * 1.6)], _HEAVY)
    yield Circle((x + 0.25, y), 0.25, _PEN)


def plug(at: Point) -> Iterator[Shape]:
    """A mains plug that is out of its socket: pull it."""
    body = [(-1.6, 1.3), (0.4, 1.3), (0.4, -1.3), (-1.6, -1.3)]
    yield from _path(at, body, _HEAVY, closed=True)
    yield from _path(at, [(-3.0, 0.0), (-1.6, 0.0)], _HEAVY)
    for side in (0.7, -0.7):
        yield from _path(at, [(0.4, side), (1.6, side)], _HEAVY)
    yield from _path(at, [(2.9, 1.7), (2.3, 1.7), (2.3, -1.7), (2.9, -1.7)], _HEAVY)


def guard(at: Point) -> Iterator[Shape]:
    """A cartridge whose stylus is under its guard: keep it on."""
    x, y = at
    body = [(-2.8, 2.6), (1.6, 2.6), (1.6, 0.9), (-2.8, 0.9)]
    yield from _path(at, body, _HEAVY, closed=True)
    yield from _path(at, [(-1.7, 0.9), (0.9, -0.7), (0.9, -1.4)], _PEN)
    yield from _path(at, [(1.6, 1.7), (2.2, 1.7)], _HEAVY)
    yield Arc((x + 2.2, y + 1.0), 0.7, 0.0, math.pi / 2, _HEAVY)
    yield from _path(at, [(2.9, 1.0), (2.9, -2.4), (-1.6, -2.4)], _HEAVY)


def lamp(at: Point) -> Iterator[Shape]:
    """A lamp that shines from low in front: light it so."""
    x, y = at
    yield Circle((x - 1.7, y - 0.9), 0.95, _HEAVY)
    for ray in (-10, 20, 50, 80):
        cos, sin = math.cos(math.radians(ray)), math.sin(math.radians(ray))
        near, far = (1.6 * cos, 1.6 * sin), (2.9 * cos, 2.9 * sin)
        yield from _path((x - 1.7, y - 0.9), [near, far], _PEN)
    yield from _path(at, [(-3.0, -2.4), (3.0, -2.4)], _HEAVY)


def tick(at: Point) -> Iterator[Shape]:
    """A tick: how one knows that a step is right. Small: it is set beside a line of text."""
    yield from _path(at, [(-0.9, 0.1), (-0.25, -0.65), (1.0, 1.0)], _HEAVY)


def turning(
    centre: Point, radius_mm: float, start_rad: float, end_rad: float, stroke: Stroke = _HEAVY
) -> Iterator[Shape]:
    """An arrow along a circle from one angle to another: this way round."""
    low, high = sorted((start_rad, end_rad))
    yield Arc(centre, radius_mm, low, high, stroke)
    way = math.copysign(1.0, end_rad - start_rad)
    tip = (centre[0] + radius_mm * math.cos(end_rad), centre[1] + radius_mm * math.sin(end_rad))
    back = end_rad - way * math.pi / 2
    for spread in (0.42, -0.42):
        angle = back + spread - way * 0.9 / radius_mm
        yield Line(tip, (tip[0] + 2.0 * math.cos(angle), tip[1] + 2.0 * math.sin(angle)), stroke)


SIGNS: dict[str, Callable[[Point], Iterator[Shape]]] = {
    "scissors": scissors,
    "plug": plug,
    "guard": guard,
    "lamp": lamp,
}
"""The signs by name, for steps and cautions."""
