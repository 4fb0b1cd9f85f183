"""The plate: a stiff gauge for one deck, to be cut and engraved from clear or opaque stock.

It lies on the platter with its hole over the spindle, drawn as one sees it from the front of the
deck: the pivot to the right. At each null point the stylus stands on the stock between rails;
beside the rails two windows, whose long edges run along the groove, let the eye compare the
cartridge's sides with a dark edge. With a notch the plate rests against the pillar under the arm's
pivot and so points at the pivot by itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from protractor import __version__
from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.alignments.sheet_code import sheet_code
from protractor.arms.arm import Arm
from protractor.drawing.cut_lines import CutLine, Hole, cut_shapes
from protractor.drawing.extent import bounds, geometries, place_free
from protractor.drawing.movement import flip, from_the_front, shift
from protractor.drawing.shapes import (
    BOLD,
    FINE,
    HEAVY,
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
from protractor.drawing.type import SMALLEST_PT, capital_mm, wrap
from protractor.errors import InputError
from protractor.sheets import marks, names
from protractor.sheets.cutting import Cutting
from protractor.sheets.frame import centre_lines, set_lines
from protractor.sheets.piece import APART_MM
from protractor.sheets.target import FRONT_LINE_MM, GAP_MM, NAME_PT, Target
from protractor.sheets.tool import CLOSEST_NULLS_MM, Tool

MARGIN_MM = 5.0
"""From the stock's edge to the plate, and from the plate's edge to what is engraved on it."""

CORNER_MM, EDGE_MM = 5.0, 3.0
"""The plate's rounding, and half the length of the tick at an edge of the recorded area."""

HALF_RAILS_MM = 6.0
WINDOW_GAP_MM, WINDOW_WIDTH_MM, WINDOW_CORNER_MM = 1.5, 5.0, 2.0
WINDOW_REAR_MM, WINDOW_FRONT_MM = 22.0, 6.0
"""A window lies beside the rails, from behind the null point to before it."""

FAN_MM = 40.0
"""Length of a plate's fans: half a degree is 0.35 mm at their ends."""

LEAST_WEB_MM = 4.0
REFERENCE_SQUARE_MM = 20.0
PRONG_MM, PRONG_BEYOND_MM, PRONG_CORNER_MM = 12.0, 10.0, 3.0
"""How wide the prongs beside the notch are, how far they reach past the pivot, their rounding."""

SIGHT_LINE_MM = 58.0
"""Least length right of the spindle hole's edge, for the sight line and its words."""

ARC_BEYOND_MM, ARC_PAST_SPINDLE_MM = 4.0, 9.0
"""How far the arc runs past the outer edge, and past the line through pivot and spindle."""

HEADING_PT, TEXT_PT = 12.0, 8.0


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
    half, facing = _room(arm)
    room = min(FRONT_LINE_MM, (arm.null_radii_mm[1] - arm.null_radii_mm[0] - APART_MM) / 2)
    tool = Tool(alignment=alignment, spindle=(0.0, 0.0), tongue_end=0.0)
    nulls = list(tool.nulls)
    windows = _windows(nulls, half, facing)
    hole = Hole(name="spindle hole", centre=(0.0, 0.0), diameter_mm=cutting.hole_mm)
    openings = [shape for window in windows for shape in window.shapes()]
    targets = [
        Target(centre=(0.0, 0.0), null=null, inward=room, outward=room, fan=FAN_MM, rails_mm=half)
        for null in nulls
    ]
    drawn = [
        *_spindle_ticks(cutting.hole_mm / 2),
        *_arc(alignment, cutting.hole_mm / 2, facing),
        *(shape for target in targets for shape in target.shapes()),
    ]
    choices = [
        tool.ladders(),
        *(t.names(radius) for t, radius in zip(targets, arm.null_radii_mm, strict=True)),
        *_edge_figures(alignment, facing),
    ]
    scribed = [*drawn, *_place_on_stock([*drawn, *openings], windows, choices)]
    left, low, right, high = bounds([*scribed, *openings])
    left, right, top = left - MARGIN_MM, right + MARGIN_MM, high + MARGIN_MM
    right = max(right, cutting.hole_mm / 2 + SIGHT_LINE_MM)
    if cutting.notch_mm:
        top = max(top, cutting.notch_mm / 2 + PRONG_MM)
    sight_end = arm.pivot_to_spindle_mm - cutting.notch_mm / 2 if cutting.notch_mm else right
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


def _room(arm: Arm) -> tuple[float, bool]:
    """Half width of the rails [mm], and whether the windows between the two targets fit.

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
    facing = gap >= 2 * (HALF_RAILS_MM + WINDOW_GAP_MM + WINDOW_WIDTH_MM) + LEAST_WEB_MM
    return min(HALF_RAILS_MM + 0.4, gap / 2 - APART_MM / 2), facing


def _windows(nulls: list[Point], half: float, facing: bool) -> list[CutLine]:
    """The windows beside the rails; `facing` is whether those between the two are wanted."""
    windows = []
    near = min(half, HALF_RAILS_MM) + WINDOW_GAP_MM
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
        ((right, -column), CORNER_MM),
        ((tip, -column), PRONG_CORNER_MM),
        ((tip, -half), PRONG_CORNER_MM),
        ((d - half, -half), half),
        ((d - half, half), half),
        ((tip, half), PRONG_CORNER_MM),
        ((tip, top), PRONG_CORNER_MM),
        ((left, top), CORNER_MM),
    )
    return CutLine(
        name="plate's outline with its notch",
        corners=tuple(corner for corner, _ in rounded),
        radii_mm=tuple(radius for _, radius in rounded),
    )


def _spindle_ticks(hole: float) -> Iterator[Shape]:
    """Four ticks that show the spindle's centre beside its hole, of radius `hole` [mm]."""
    for quarter in (1, 2, 3):
        angle = quarter * math.pi / 2
        yield Line(
            polar((0.0, 0.0), hole + 1.5, angle),
            polar((0.0, 0.0), hole + (5.5 if quarter == 3 else 2.5), angle),
            Stroke(PLAIN),
        )


def _gaps(arm: Arm, facing: bool) -> list[tuple[float, float]]:
    """The radii that windows take of the arc, from and to [mm]."""
    near, far = HALF_RAILS_MM + 1, HALF_RAILS_MM + WINDOW_GAP_MM + WINDOW_WIDTH_MM + 0.6
    inner, outer = arm.null_radii_mm
    gaps = [(inner - far, inner - near), (outer + near, outer + far)]
    if facing:
        gaps[1:1] = [(inner + near, inner + far), (outer - far, outer - near)]
    return gaps


def _arc(alignment: Alignment, hole: float, facing: bool) -> Iterator[Shape]:
    """The path of the stylus, open over windows and at the nulls, with a tick at each edge."""
    arm, side = alignment.arm, alignment.record
    pivot, length = (arm.pivot_to_spindle_mm, 0.0), arm.effective_length_mm
    tips = [(radius - GAP_MM, radius + GAP_MM) for radius in arm.null_radii_mm]
    gaps = sorted([*_gaps(arm, facing), *tips])
    end = max(side.outer_radius_mm, arm.null_radii_mm[1]) + ARC_BEYOND_MM

    def heading(radius: float) -> float:
        x, y = arm.stylus(radius).tolist()
        return bearing(pivot, from_the_front((x, y))) % (2 * math.pi)

    past_spindle = abs(arm.overhang_mm) > hole + 3
    start = abs(arm.overhang_mm) if past_spindle else max(hole + 1.5, abs(arm.overhang_mm) + 0.01)
    first = math.pi - math.asin(ARC_PAST_SPINDLE_MM / length) if past_spindle else None
    for low, high in [*gaps, (end, end)]:
        begin = heading(start) if first is None else first
        first = None
        if low > start + 0.5:
            yield Arc(pivot, length, begin, heading(low), Stroke(BOLD))
        start = max(start, high)
    for radius in _edges(alignment, facing):
        x, y = from_the_front(tuple(arm.stylus(radius).tolist()))
        middle, reach = math.atan2(y, x), EDGE_MM / radius
        yield Arc((0.0, 0.0), radius, middle - reach, middle + reach, Stroke(PLAIN))


def _edges(alignment: Alignment, facing: bool) -> list[float]:
    """The edges of the recorded area that lie on the stock, clear of the rails [mm]."""
    near = HALF_RAILS_MM + 1
    taken = _gaps(alignment.arm, facing) + [
        (n - near, n + near) for n in alignment.arm.null_radii_mm
    ]
    return [
        radius
        for radius in (alignment.record.inner_radius_mm, alignment.record.outer_radius_mm)
        if not any(low - 1 < radius < high + 1 for low, high in taken)
    ]


def _edge_figures(alignment: Alignment, facing: bool) -> Iterator[list[list[Shape]]]:
    """Places for the radius of each edge of the recorded area, beside its tick."""
    size = SMALLEST_PT
    for radius in _edges(alignment, facing):
        x, y = from_the_front(tuple(alignment.arm.stylus(radius).tolist()))
        across = math.atan2(y, x)
        places: list[list[Shape]] = []
        for side, anchor in ((1, "start"), (-1, "end")):
            at = polar((x, y), side * (EDGE_MM + 0.8), across + math.pi / 2)
            for drop in (capital_mm(size) / 2, -0.4, capital_mm(size) + 0.4):
                text = f"edge {to_hundredth(radius)}"
                label = Label(text, (at[0], at[1] - drop), size, "start")
                places.append([label if anchor == "start" else replace(label, anchor="end")])
        yield places


def _place_on_stock(
    drawn: list[Shape], windows: list[CutLine], choices: Iterable[Iterable[Sequence[Shape]]]
) -> list[Shape]:
    """What of each choice runs into nothing and lies on the stock, clear of every window."""
    import shapely

    closed = shapely.union_all([w.polygon() for w in windows]).buffer(1.0)

    def on_stock(group: Sequence[Shape]) -> bool:
        return not any(closed.intersects(shapely.convex_hull(g)) for g in geometries(list(group)))

    return place_free(drawn, [filter(on_stock, choice) for choice in choices])


def _sight_line(arm: Arm, hole: float, end: float) -> Iterator[Shape]:
    """The line from the spindle toward the pivot, up to `end` [mm], and what it is."""
    start = hole + 3.0
    yield Line((start, 0.0), (end, 0.0), Stroke(HEAVY))
    for side in (1.7, -1.7):
        yield Line((end - 5.0, side), (end, 0.0), Stroke(HEAVY))
    text = f"toward the pivot, {to_hundredth(arm.pivot_to_spindle_mm)} mm"
    yield Label(text, (start, 2.9), NAME_PT, bold=True)


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
    arm = alignment.arm
    inner, outer = arm.null_radii_mm
    x = corner[0]
    paragraphs = [
        f"{names.made_from(alignment)}. Overhang {names.length(arm.overhang_mm)}, offset "
        f"{arm.offset_angle_deg:.2f}°, null radii {to_hundredth(inner)} and "
        f"{to_hundredth(outer)} mm, effective length {names.length(arm.effective_length_mm)}. "
        f"Sheet {sheet_code(alignment)}.",
        "Guard on, power off, plug out. Clear stock: lay white paper under it. Never set the tip "
        "down over a window. Manufacturers' instructions take precedence.",
        f"Hole {cutting.hole_mm:g} mm, stock {cutting.thickness_mm:g} mm, kerf "
        f"{cutting.kerf_mm:g} mm. protractor {__version__}",
    ]
    heading = wrap(title, right - x, HEADING_PT, bold=True)[:2]
    labels, y = set_lines(heading, corner, HEADING_PT, step_mm=4.6, bold=True)
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

    pivot = at((arm.pivot_to_spindle_mm, 0.0))
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
            "pivot": pivot if pivot[0] <= width and cutting.notch_mm else None,
            "reference_square": [
                at(square),
                at((square[0] + REFERENCE_SQUARE_MM, square[1] + REFERENCE_SQUARE_MM)),
            ],
        },
    )
    return flip(page) if cutting.mirror else page
