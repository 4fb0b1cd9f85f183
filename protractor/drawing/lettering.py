"""Text as outlines: the closed contours of a label's glyphs, in mm.

For what cannot set type: a cutter follows contours, it knows no font. The curves are the typeface's
own quadratic Bézier curves.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Any

from protractor.drawing.shapes import SHARE_BEFORE, Label, Point
from protractor.drawing.type import MM_PER_POINT, TYPEFACE_FILES, printable, width_mm

Piece = tuple[Point | None, Point]
"""One step of a contour: the control point of its quadratic Bézier curve, or None for a straight
step, and the point where it ends."""


Affine = tuple[float, float, float, float, float, float]
"""a, b, c, d, e, f of x' = a x + c y + e, y' = b x + d y + f."""


@dataclass(frozen=True, slots=True)
class Contour:
    """A closed contour: where it starts, and the pieces that lead back there."""

    start: Point
    pieces: tuple[Piece, ...]

    def place(self, affine: Affine) -> Contour:
        """The contour where an affine map puts it."""
        a, b, c, d, e, f = affine

        def at(point: Point) -> Point:
            x, y = point
            return a * x + c * y + e, b * x + d * y + f

        return Contour(
            at(self.start),
            tuple((at(pull) if pull else None, at(end)) for pull, end in self.pieces),
        )

    def flatten(self, tolerance_mm: float) -> list[Point]:
        """The contour's points as a closed polygon that strays at most `tolerance_mm` from it.

        A quadratic curve cut into n parts strays from its chords by |p0 - 2 p1 + p2| / (4 n²).
        """
        points = [self.start]
        for pull, end in self.pieces:
            if pull is not None:
                (x0, y0), (x1, y1), (x2, y2) = points[-1], pull, end
                bend = math.hypot(x0 - 2 * x1 + x2, y0 - 2 * y1 + y2)
                parts = max(1, math.ceil(math.sqrt(bend / (4 * tolerance_mm))))
                for part in range(1, parts):
                    t = part / parts
                    a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t * t
                    points.append((a * x0 + b * x1 + c * x2, a * y0 + b * y1 + c * y2))
            points.append(end)
        if len(points) > 1 and points[-1] == points[0]:
            points.pop()
        return points


def frame_of(label: Label) -> Affine:
    """How the label's own frame lies on the page: origin at the baseline's start, x along it."""
    back = SHARE_BEFORE[label.anchor]
    back *= width_mm(printable(label.text), label.size_pt, label.bold)
    cos, sin = math.cos(label.angle_rad), math.sin(label.angle_rad)
    side = -1.0 if label.mirrored else 1.0
    a, b = side * cos, side * sin
    return a, b, -sin, cos, label.at[0] - back * a, label.at[1] - back * b


def contours(label: Label) -> list[Contour]:
    """The contours of a label's glyphs, where they lie on the page [mm]."""
    a, b, c, d, e, f = frame_of(label)
    em = label.size_pt * MM_PER_POINT
    a, b, c, d = a * em, b * em, c * em, d * em
    laid: list[Contour] = []
    for character in printable(label.text):
        glyph, advance = _glyph(character, label.bold)
        laid += [contour.place((a, b, c, d, e, f)) for contour in glyph]
        e, f = e + a * advance, f + b * advance
    return laid


@cache
def _font(bold: bool) -> Any:
    from fontTools.ttLib import TTFont

    return TTFont(str(TYPEFACE_FILES[bold]), lazy=True)


@cache
def _glyph(character: str, bold: bool) -> tuple[tuple[Contour, ...], float]:
    """The contours of one character and its advance, in ems."""
    from fontTools.pens.basePen import decomposeQuadraticSegment
    from fontTools.pens.recordingPen import DecomposingRecordingPen

    font = _font(bold)
    glyphs = font.getGlyphSet()
    name = font.getBestCmap().get(ord(character), ".notdef")
    pen = DecomposingRecordingPen(glyphs)
    glyphs[name].draw(pen)
    em = font["head"].unitsPerEm

    def ems(point: tuple[float, float]) -> Point:
        return point[0] / em, point[1] / em

    found: list[Contour] = []
    start: Point = (0.0, 0.0)
    pieces: list[Piece] = []
    for verb, points in pen.value:
        if verb == "moveTo":
            start, pieces = ems(points[0]), []
        elif verb == "lineTo":
            pieces.append((None, ems(points[0])))
        elif verb == "qCurveTo":  # each contour of the typeface has a point on the curve
            for pull, end in decomposeQuadraticSegment(points):
                pieces.append((ems(pull), ems(end)))
        else:
            if pieces and pieces[-1][1] != start:
                pieces.append((None, start))
            found.append(Contour(start, tuple(pieces)))
    return tuple(found), glyphs[name].width / em
