"""The pointer: a piece of card whose bar stands against the cartridge's front, over the fan.

The bar folds up on two legs, and between them stays room for the stylus; the rest lies flat on the
tool, so that nothing stands between the eye and the fan. One edge of the stem is what reads: laid
over the fan's foot, it shows the angle wherever across the front it stands.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from protractor.drawing.shapes import FINE, PLAIN, Label, Line, Point, Shape, Stroke
from protractor.sheets.target import FAN_LENGTH_MM, FOOT_MM

BAR_HALF_MM = 10.0
"""Half the bar's length: bodies are 15 to 18 mm wide (common practice)."""

BAR_FROM_MM, BAR_TO_MM = 7.0, 14.0
"""The bar's height over the paper once it is folded up, where bodies have their fronts."""

WINDOW_HALF_MM, WINDOW_DEPTH_MM = 4.0, 3.0
"""Half the window for the stylus, and how far it reaches in front of the bar."""

BASE_MM = 7.0
"""What lies in front of the bar and hides the paper there."""

STEM_MM = FOOT_MM + FAN_LENGTH_MM - 3.0
"""From the fold to the stem's end, which then lies on the fan of any cartridge."""

STEM_WIDTH_MM, TIP_WIDTH_MM = 9.0, 4.0

HEIGHT_MM, LENGTH_MM = 2 * BAR_HALF_MM, STEM_MM + BAR_TO_MM

CUT, FOLD = Stroke(PLAIN, layer="cut"), Stroke(FINE, (1.2, 1.2))


def outline_mm() -> list[Point]:
    """The corners of the piece [mm]: the fold on x = 0, the edge that reads on y = 0."""
    bar, window = BAR_HALF_MM, WINDOW_HALF_MM
    return [
        (-BAR_TO_MM, -bar),
        (BASE_MM, -bar),
        (BASE_MM + 2.0, -STEM_WIDTH_MM),
        (STEM_MM, -TIP_WIDTH_MM),
        (STEM_MM, 0.0),
        (BASE_MM, 0.0),
        (BASE_MM, bar),
        (-BAR_TO_MM, bar),
        (-BAR_TO_MM, -bar),
    ], [
        (-BAR_FROM_MM, -window),
        (WINDOW_DEPTH_MM, -window),
        (WINDOW_DEPTH_MM, window),
        (-BAR_FROM_MM, window),
        (-BAR_FROM_MM, -window),
    ]
