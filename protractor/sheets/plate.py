"""The plate: a stiff gauge for one deck, to be cut and engraved from clear or opaque stock.

It lies on the platter with its hole over the spindle. At each null point the stylus stands on the
stock in a grid; beside the grid two windows, whose long edges run along the groove, let the eye
compare the cartridge's sides with a dark edge. With a notch the plate rests against the pillar
under the arm's pivot and so points at the pivot by itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from protractor import __version__
from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.arms.arm import Arm
from protractor.drawing.cut_lines import CutLine, Hole, cut_shapes
from protractor.drawing.extent import bounds
from protractor.drawing.movement import flip, shift
from protractor.drawing.shapes import (
    FINE,
    PLAIN,
    Arc,
    Label,
    Line,
    Page,
    Point,
    Shape,
    Stroke,
    bearing,
    polar,
)
from protractor.drawing.type import SMALLEST_PT, width_mm, wrap
from protractor.errors import InputError
from protractor.sheets import marks
from protractor.sheets.cutting import Cutting
from protractor.sheets.frame import NOTE_PT, centre_lines, set_lines
from protractor.sheets.tool import CLOSEST_NULLS_MM

MARGIN_MM = 5.0
"""From the stock's edge to the plate, and from the plate's edge to what is engraved on it."""

CORNER_MM = 5.0
HALF_GRID_MM = 6.0
WINDOW_GAP_MM, WINDOW_WIDTH_MM, WINDOW_CORNER_MM = 1.5, 5.0, 2.0
WINDOW_REAR_MM, WINDOW_FRONT_MM = 22.0, 6.0
"""A window lies beside the grid, from behind the null point to before it."""

LEAST_WEB_MM = 4.0
REFERENCE_SQUARE_MM = 20.0
PRONG_MM, PRONG_BEYOND_MM, PRONG_CORNER_MM = 12.0, 10.0, 3.0
"""How wide the prongs beside the notch are, how far they reach past the pivot, their rounding."""

SIGHT_LINE_MM = 44.0
"""Least height above the spindle hole's edge, for the sight line and its words."""

ARC_BEYOND_MM = 4.0
SCALE_BEYOND_MM = 8
"""How far arc and overhang scale run past the outer edge and past the arc."""

HEADING_PT, TEXT_PT = 11.0, 7.5


def plate_page(alignment: Alignment, cutting: Cutting | None = None, title: str = "") -> Page:
    """The plate of one deck on its stock, in true scale, with the cut lines moved by half a kerf.

    Raises `InputError` when the stock is too small, when the kerf does not pass, or when the null
    points leave no room for two targets.

    >>> from protractor.alignments.align import align
    >>> from protractor.alignments.deck import Deck
    >>> page = plate_page(align(Deck(pivot_to_spindle_mm=222.0)), Cutting(kerf_mm=0.2))
    >>> sorted({shape.stroke.layer for shape in page.shapes if not isinstance(shape, Label)})
    ['cut', 'engrave', 'inner cut', 'reference']
    """
    cutting = cutting or Cutting()
    arm = alignment.arm
    half, facing = _grid(arm)
    nulls = [(float(x), float(y)) for x, y in arm.stylus(arm.null_radii_mm)]
    windows = _windows(nulls, half, facing)
    hole = Hole(name="spindle hole", centre=(0.0, 0.0), diameter_mm=cutting.hole_mm)
    scribed = [
        *_spindle_ticks(cutting.hole_mm / 2),
        *_overhang_scale(arm, cutting.hole_mm / 2),
        *_arc(alignment, cutting.hole_mm / 2, facing),
        *_targets(arm, nulls, half),
    ]
    left, low, right, top = bounds([*scribed, *(shape for w in windows for shape in w.shapes())])
    column = cutting.notch_mm / 2 + PRONG_MM if cutting.notch_mm else 0.0
    left, right, top = min(left - MARGIN_MM, -column), right + MARGIN_MM, top + MARGIN_MM
    top = max(top, cutting.hole_mm / 2 + SIGHT_LINE_MM)
    sight_end = arm.pivot_to_spindle_mm - cutting.notch_mm / 2 if cutting.notch_mm else top
    scribed += _sight_line(arm, cutting.hole_mm / 2, sight_end - MARGIN_MM)
    name = title or "Alignment plate"
    square = (right - MARGIN_MM - REFERENCE_SQUARE_MM, low - MARGIN_MM - REFERENCE_SQUARE_MM)
    text = _text(alignment, cutting, name, (left + MARGIN_MM, low - MARGIN_MM), square[0] - 4)
    scribed += [*text, *reference_square(square)]
    bottom = math.floor(bounds(scribed)[1] - MARGIN_MM)
    body = _body(arm, cutting.notch_mm, (left, bottom, right, top))
    return _on_stock(
        alignment,
        cutting,
        name,
        cut=[hole, *windows, body],
        scribed=scribed,
        nulls=nulls,
        square=square,
    )


def _grid(arm: Arm) -> tuple[float, bool]:
    """Half width of the grids [mm], and whether the windows between the two fit.

    Raises `InputError` for an arm whose null radii leave no room for two targets.
    """
    inner, outer = arm.null_radii_mm
    gap = outer - inner
    if not inner > 0:
        raise InputError(
            "null-radii",
            "an arm with a single null" if outer > 0 else "an arm without nulls",
            "an arm with two null radii on a plate with two targets",
            "take the alignment sheet for this arm",
        )
    if not gap >= CLOSEST_NULLS_MM:
        raise InputError(
            "null-radii",
            f"nulls at {to_hundredth(inner)} and {to_hundredth(outer)} mm",
            f"null radii at least {CLOSEST_NULLS_MM:g} mm apart on a plate with two targets",
            "choose radii further apart or another scheme",
        )
    facing = gap >= 2 * (HALF_GRID_MM + WINDOW_GAP_MM + WINDOW_WIDTH_MM) + LEAST_WEB_MM
    return min(HALF_GRID_MM, gap / 2 - marks.GRIDS_APART_MM / 2), facing


def _windows(nulls: list[Point], half: float, facing: bool) -> list[CutLine]:
    """The windows beside the grids; `facing` is whether those between the two are wanted."""
    windows = []
    near = half + WINDOW_GAP_MM
    sides = {"inner": (-1, 1) if facing else (-1,), "outer": (-1, 1) if facing else (1,)}
    for (name, where), null in zip(sides.items(), nulls, strict=True):
        radial = math.atan2(null[1], null[0])
        front = radial - math.pi / 2
        for side in where:
            low, high = sorted((side * near, side * (near + WINDOW_WIDTH_MM)))
            windows.append(
                CutLine(
                    name=f"window {'inside' if side < 0 else 'outside'} the {name} null",
                    corners=tuple(
                        polar(polar(null, ahead, front), outward, radial)
                        for ahead, outward in (
                            (WINDOW_FRONT_MM, low),
                            (WINDOW_FRONT_MM, high),
                            (-WINDOW_REAR_MM, high),
                            (-WINDOW_REAR_MM, low),
                        )
                    ),
                    radii_mm=(WINDOW_CORNER_MM,) * 4,
                    opening=True,
                )
            )
    return windows


def _body(arm: Arm, notch: float | None, box: tuple[float, float, float, float]) -> CutLine:
    """The plate's outline; with a notch a column reaches to the pivot's pillar."""
    left, bottom, right, top = box
    if notch is None:
        corners: tuple[Point, ...] = ((left, bottom), (right, bottom), (right, top), (left, top))
        return CutLine(name="plate's outline", corners=corners, radii_mm=(CORNER_MM,) * 4)
    d, half = arm.pivot_to_spindle_mm, notch / 2
    column, tip = half + PRONG_MM, d + PRONG_BEYOND_MM
    rounded = (
        ((left, bottom), CORNER_MM),
        ((right, bottom), CORNER_MM),
        ((right, top), CORNER_MM),
        ((column, top), CORNER_MM),
        ((column, tip), PRONG_CORNER_MM),
        ((half, tip), PRONG_CORNER_MM),
        ((half, d - half), half),
        ((-half, d - half), half),
        ((-half, tip), PRONG_CORNER_MM),
        ((left, tip), PRONG_CORNER_MM),
    )
    return CutLine(
        name="plate's outline with its notch",
        corners=tuple(corner for corner, _ in rounded),
        radii_mm=tuple(radius for _, radius in rounded),
    )


def _spindle_ticks(hole: float) -> Iterator[Shape]:
    """Four ticks that show the spindle's centre beside its hole, of radius `hole` [mm]."""
    for quarter in (0, 2, 3):
        angle = quarter * math.pi / 2
        yield Line(
            polar((0.0, 0.0), hole + 1.5, angle),
            polar((0.0, 0.0), hole + (5.5 if quarter != 3 else 2.5), angle),
            Stroke(PLAIN),
        )


def _overhang_scale(arm: Arm, hole: float) -> Iterator[Shape]:
    """Half millimetres from the spindle's centre along the line from pivot through spindle."""
    last = max(math.ceil(arm.overhang_mm + SCALE_BEYOND_MM), math.ceil(hole) + 6)
    start = math.ceil(2 * (hole + 2.5)) / 2
    yield Line((0.0, -start), (0.0, -last), Stroke(FINE))
    figures = marks.scale_figures(hole + 4, last, arm.overhang_mm)
    yield from marks.overhang_scale((0.0, 0.0), -1, start, last, figures)
    yield from centre_lines(("overhang", "mm"), (0.0, -last - marks.SCALE_NAME_MM))


def _arc(alignment: Alignment, hole: float, facing: bool) -> Iterator[Shape]:
    """The path of the stylus, left out over windows, with a tick at each edge of the record."""
    arm, side = alignment.arm, alignment.record
    pivot = (0.0, arm.pivot_to_spindle_mm)
    near, far = HALF_GRID_MM + 1, HALF_GRID_MM + WINDOW_GAP_MM + WINDOW_WIDTH_MM + 0.6
    inner, outer = arm.null_radii_mm
    gaps = [(inner - far, inner - near), (outer + near, outer + far)]
    if facing:
        gaps[1:1] = [(inner + near, inner + far), (outer - far, outer - near)]
    end = max(side.outer_radius_mm, arm.null_radii_mm[1]) + ARC_BEYOND_MM

    def heading(radius: float) -> float:
        return bearing(pivot, arm.stylus(radius).tolist())

    past_spindle = abs(arm.overhang_mm) > hole + 3
    start = abs(arm.overhang_mm) if past_spindle else max(hole + 1.5, abs(arm.overhang_mm) + 0.01)
    first = -math.pi / 2 - math.asin(9.0 / arm.effective_length_mm) if past_spindle else None
    for low, high in [*gaps, (end, end)]:
        begin = heading(start) if first is None else first
        first = None
        if low > start + 0.5:
            yield Arc(pivot, arm.effective_length_mm, begin, heading(low), Stroke(PLAIN))
        start = max(start, high)
    for radius in (side.inner_radius_mm, side.outer_radius_mm):
        if not any(low - 1 < radius < high + 1 for low, high in gaps):
            x, y = arm.stylus(radius).tolist()
            middle, reach = math.atan2(y, x), 3.0 / radius
            yield Arc((0.0, 0.0), radius, middle - reach, middle + reach, Stroke(PLAIN))


def _targets(arm: Arm, nulls: list[Point], half: float) -> Iterator[Shape]:
    """Both targets with their names."""
    names = ("inner null", "outer null")
    above = [
        polar(
            null,
            marks.GRID_REAR_MM + marks.NULL_NAME_MM,
            math.atan2(null[1], null[0]) + math.pi / 2,
        )
        for null in nulls
    ]
    widest = max(width_mm(name, NOTE_PT, bold=True) for name in names) + 2.0
    apart = max(0.0, widest - (above[1][0] - above[0][0])) / 2  # names of close targets part
    for name, null, radius, (middle, y), side in zip(
        names, nulls, arm.null_radii_mm, above, (-apart, apart), strict=True
    ):
        yield from marks.target((0.0, 0.0), null, half)
        yield from marks.null_name(name, radius, (middle + side, y))


def _sight_line(arm: Arm, hole: float, end: float) -> Iterator[Shape]:
    """The line from the spindle toward the pivot, up to `end` [mm]."""
    start = hole + 7.0
    yield Line((0.0, start), (0.0, end), marks.SIGHT)
    yield from marks.arrow_head((0.0, end))
    text = f"pivot {to_hundredth(arm.pivot_to_spindle_mm)} mm"
    yield Label(text, (-1.6, start + 1.0), SMALLEST_PT, angle_rad=math.pi / 2)


def reference_square(corner: Point) -> Iterator[Shape]:
    """A square to measure the cutter's scale by; it is engraved and no kerf moves it."""
    x, y, side = *corner, REFERENCE_SQUARE_MM
    yield from marks.rectangle(corner, (x + side, y + side), Stroke(FINE, layer="reference"))
    words = (f"{side:g} × {side:g} mm", "line centres")
    yield from centre_lines(words, (x + side / 2, y + side / 2 + 0.6))


def _text(
    alignment: Alignment, cutting: Cutting, title: str, corner: Point, right: float
) -> list[Label]:
    """The plate's name and numbers, downward from its upper left corner."""
    arm, side = alignment.arm, alignment.record
    inner, outer = arm.null_radii_mm
    x = corner[0]
    paragraphs = [
        f"Pivot to spindle {to_hundredth(arm.pivot_to_spindle_mm)} mm, effective length "
        f"{to_hundredth(arm.effective_length_mm)} mm, overhang {to_hundredth(arm.overhang_mm)} mm, "
        f"offset {arm.offset_angle_deg:.2f}°. Scheme {alignment.label}: nulls "
        f"{to_hundredth(inner)} and {to_hundredth(outer)} mm. Record {side.name}, "
        f"{side.inner_radius_mm:g} to {side.outer_radius_mm:g} mm.",
        f"Spindle hole {cutting.hole_mm:g} mm, stock {cutting.thickness_mm:g} mm, kerf "
        f"{cutting.kerf_mm:g} mm. protractor {__version__}",
        "Power off, plug pulled. Stylus guard on until the tip is needed; never set the tip down "
        "over a window. The makers' instructions come first.",
    ]
    heading = wrap(title, right - x, HEADING_PT, bold=True)[:2]
    labels, y = set_lines(heading, corner, HEADING_PT, step_mm=4.2, bold=True)
    return [*labels, *set_lines(paragraphs, (x, y - 1.2), TEXT_PT, width=right - x)[0]]


def _on_stock(
    alignment: Alignment,
    cutting: Cutting,
    title: str,
    *,
    cut: list[Hole | CutLine],
    scribed: list[Shape],
    nulls: list[Point],
    square: Point,
) -> Page:
    """The plate in the lower left corner of its stock."""
    paths = cut_shapes(cut, cutting.kerf_mm)
    left, bottom, right, top = bounds(paths)
    needed = right - left + 2 * MARGIN_MM, top - bottom + 2 * MARGIN_MM
    width, height = cutting.stock_mm or needed
    if not (width >= needed[0] and height >= needed[1]):
        width, height = height, width
    if not (width >= needed[0] and height >= needed[1]):
        raise InputError(
            "stock",
            f"{height:g} x {width:g} mm",
            f"at least {math.ceil(needed[0])} x {math.ceil(needed[1])} mm for this plate",
            "take a larger sheet"
            + (", or leave out `notch`" if cutting.notch_mm is not None else ""),
        )
    by = MARGIN_MM - left, MARGIN_MM - bottom
    arm = alignment.arm

    def at(point: Point) -> list[float]:
        return [point[0] + by[0], point[1] + by[1]]

    pivot = at((0.0, arm.pivot_to_spindle_mm))
    page = Page(
        title=title,
        subject=f"Alignment plate, pivot to spindle {to_hundredth(arm.pivot_to_spindle_mm)} mm, "
        f"{alignment.label}, kerf {cutting.kerf_mm:g} mm"
        + (", mirrored for the underside" if cutting.mirror else ""),
        paper="stock",
        width_mm=width,
        height_mm=height,
        shapes=tuple(shift([*scribed, *paths], by)),
        features={
            "spindle": at((0.0, 0.0)),
            "null_inner": at(nulls[0]),
            "null_outer": at(nulls[1]),
            "pivot": pivot if pivot[1] <= height and cutting.notch_mm else None,
            "reference_square": [
                at(square),
                at((square[0] + REFERENCE_SQUARE_MM, square[1] + REFERENCE_SQUARE_MM)),
            ],
        },
    )
    return flip(page) if cutting.mirror else page
