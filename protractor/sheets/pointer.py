"""The pointer: a piece of card whose bar stands against the cartridge's front, over the fan.

The bar folds up on two legs, and between them stays room for the stylus; the rest lies flat on the
tool, so that nothing stands between the eye and the fan. One edge of the stem is what reads: laid
over the fan's foot, it shows the angle wherever across the front the bar stands.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from protractor.drawing.shapes import BOLD, FINE, HEAVY, PLAIN, Line, Point, Shape, Stroke
from protractor.sheets.target import FAN_LENGTH_MM, FOOT_MM

BAR_HALF_MM = 10.0
"""Half the bar's length: bodies are 15 to 18 mm wide (common practice)."""

BAR_FROM_MM, BAR_TO_MM = 7.0, 14.0
"""The bar's height over the paper once it is folded up, where bodies have their fronts."""

WINDOW_HALF_MM, WINDOW_DEPTH_MM = 4.0, 3.0
"""Half the window for the stylus, and how far it reaches in front of the bar."""

BASE_MM = 7.0
"""What lies in front of the bar and hides the paper there; the foot lies further ahead."""

STEM_MM = FOOT_MM + FAN_LENGTH_MM - 3.0
"""From the fold to the stem's end, which then lies on the fan of any cartridge."""

STEM_WIDTH_MM, TIP_WIDTH_MM = 8.0, 4.0

HEIGHT_MM, LENGTH_MM = 2 * BAR_HALF_MM, STEM_MM + BAR_TO_MM

OUTLINE: tuple[Point, ...] = (
    (-BAR_TO_MM, -BAR_HALF_MM),
    (BASE_MM, -BAR_HALF_MM),
    (BASE_MM + 2.0, -STEM_WIDTH_MM),
    (STEM_MM, -TIP_WIDTH_MM),
    (STEM_MM, 0.0),
    (BASE_MM, 0.0),
    (BASE_MM, BAR_HALF_MM),
    (-BAR_TO_MM, BAR_HALF_MM),
)
WINDOW: tuple[Point, ...] = (
    (-BAR_FROM_MM, -WINDOW_HALF_MM),
    (WINDOW_DEPTH_MM, -WINDOW_HALF_MM),
    (WINDOW_DEPTH_MM, WINDOW_HALF_MM),
    (-BAR_FROM_MM, WINDOW_HALF_MM),
)
"""Corners of the piece and of its window [mm]: the fold on x = 0, the edge that reads on y = 0."""


def pointer(corner: Point) -> Iterator[Shape]:
    """The pointer, its stem to the left; `corner` is the lower left one of what it covers [mm]."""
    origin = (corner[0] + STEM_MM, corner[1] + BAR_HALF_MM)

    def at(point: Point) -> Point:
        return origin[0] - point[0], origin[1] + point[1]

    for corners, layer in ((OUTLINE, "cut"), (WINDOW, "inner cut")):
        stroke = Stroke(PLAIN, layer="cut" if layer == "cut" else "inner cut")
        for start, end in pairwise([*corners, corners[0]]):
            yield Line(at(start), at(end), stroke)
    for side in (1, -1):
        ends = (0.0, side * (WINDOW_HALF_MM + 0.6)), (0.0, side * (BAR_HALF_MM - 0.6))
        yield Line(at(ends[0]), at(ends[1]), Stroke(FINE, (1.0, 0.8)))
    edge = -HEAVY / 2 - PLAIN / 2
    yield Line(at((BASE_MM + 3.0, edge)), at((STEM_MM - 0.4, edge)), Stroke(BOLD))
