"""The alignment sheet: stylus arc, two null targets, overhang scale, proof of scale, steps."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from protractor import __version__
from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.arms.arm import Arm
from protractor.drawing.extent import heights, outline, place_free
from protractor.drawing.shapes import (
    FINE,
    PLAIN,
    THINNEST,
    Arc,
    Circle,
    Label,
    Line,
    Page,
    Point,
    Shape,
    Stroke,
    polar,
)
from protractor.drawing.type import SMALLEST_PT, width_mm, wrap
from protractor.errors import InputError
from protractor.printing.paper import Paper, larger
from protractor.sheets import marks
from protractor.sheets.marks import Region
from protractor.sheets.wording import CARD_TEXT, steps

SPINDLE_FROM_LEFT_MM = 28.0
"""Spindle from the clear area's left edge: room for the Y bar and for the arc's inner end."""

ARC_BEYOND_MM = 6.0
"""How far the arc runs outside the recorded area."""

ARC_PAST_SPINDLE_MM = 9.0
"""How far the arc runs past the line through pivot and spindle."""

TEXT_HEIGHT_MM = 60.0
"""What results and steps need above the drawing at the least."""

CLOSEST_NULLS_MM = 12.0
"""Null radii that lie closer leave no room for two targets."""

TEXT_SIZES_PT = (10.0, 9.5, 9.0, 8.5, 8.0, 7.5, SMALLEST_PT)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Places:
    """Where the main things stand on the page [mm]."""

    spindle: Point
    pivot: Point
    nulls: tuple[Point, ...]
    x_bar: tuple[Point, Point]
    y_bar: tuple[Point, Point]


def alignment_page(
    alignment: Alignment, paper: Paper, title: str = "", zenith_rad: float = 0.0, note: str = ""
) -> Page:
    """The one page that aligns a cartridge on this deck.

    Seen from above with the pivot at the top; the null points lie to the right of the spindle. A
    straight arm has one. The grids are turned for a stylus that stands `zenith_rad` clockwise of
    its cartridge. `note` stands under the title: what is said about a printer's correction.
    Raises `InputError` when the null radii leave no room for two targets, or when the arc does not
    fit on the paper.
    """
    _room_for_targets(alignment.arm)
    places = _place(alignment, paper)
    x_bar, y_bar = places.x_bar, places.y_bar
    bars = [
        *marks.bar(x_bar[0], x_bar[1][0] - x_bar[0][0], 0.0, "X bar"),
        *marks.bar(y_bar[0], y_bar[1][1] - y_bar[0][1], math.pi / 2, "Y bar"),
    ]
    working = _working_part(alignment, places, zenith_rad)
    outlines = [outline(shape) for shape in working]
    _fits(outlines, alignment, paper)
    sight, pivot = _sight_line(alignment.arm, places, paper)
    name = title or "Alignment sheet"
    text, card = _text(alignment, paper, (name, note), places, outlines, zenith_rad)
    arm = alignment.arm
    return Page(
        title=name,
        subject=f"Alignment sheet, pivot to spindle {to_hundredth(arm.pivot_to_spindle_mm)} mm, "
        f"{alignment.scheme}, {paper.label}",
        paper=paper.name,
        width_mm=paper.width_mm,
        height_mm=paper.height_mm,
        shapes=(*working, *sight, *bars, *text),
        features={
            "spindle": list(places.spindle),
            "null_inner": list(places.nulls[0]) if len(places.nulls) == 2 else None,
            "null_outer": list(places.nulls[-1]),
            "pivot": list(places.pivot) if pivot else None,
            "x_bar": [list(end) for end in places.x_bar],
            "y_bar": [list(end) for end in places.y_bar],
            "card": card,
        },
    )


def _null_radii(arm: Arm) -> tuple[float, ...]:
    """The null radii that a record can have, inner first: two, or one of a straight arm."""
    return tuple(r for r in arm.null_radii_mm if r > 0)


def _room_for_targets(arm: Arm) -> None:
    inner, outer = arm.null_radii_mm
    if outer > 0 and not inner > 0:
        return
    if not outer - inner >= CLOSEST_NULLS_MM:
        raise InputError(
            "null-radii",
            f"nulls at {to_hundredth(inner)} and {to_hundredth(outer)} mm"
            if outer > 0
            else "an arm without a null",
            f"null radii at least {CLOSEST_NULLS_MM:g} mm apart on a sheet with two targets",
            "choose radii further apart or another scheme",
        )


def _place(alignment: Alignment, paper: Paper) -> _Places:
    arm = alignment.arm
    left = paper.left + SPINDLE_FROM_LEFT_MM
    lowest = min(
        -arm.overhang_mm - 18.0,
        *(float(y) - marks.FAN_REACH_MM for _, y in arm.stylus(_null_radii(arm))),
    )
    bar_y = paper.bottom + marks.BAR_REACH_MM
    centre = (left, bar_y + marks.BAR_REACH_MM + 3 - lowest)
    x_bar_left, y_bar_bottom = paper.left + 16, bar_y + marks.BAR_REACH_MM + 4
    x_bar = math.floor((paper.right - x_bar_left - 14) / 10) * 10
    y_bar = math.floor((paper.top - y_bar_bottom - 14) / 10) * 10
    y_bar_x = paper.left + marks.BAR_REACH_MM
    nulls = tuple((centre[0] + x, centre[1] + y) for x, y in arm.stylus(_null_radii(arm)).tolist())
    return _Places(
        spindle=centre,
        pivot=(left, centre[1] + arm.pivot_to_spindle_mm),
        nulls=nulls,
        x_bar=((x_bar_left, bar_y), (x_bar_left + x_bar, bar_y)),
        y_bar=((y_bar_x, y_bar_bottom), (y_bar_x, y_bar_bottom + y_bar)),
    )


def _working_part(alignment: Alignment, places: _Places, zenith_rad: float) -> list[Shape]:
    """Spindle, arc, targets, overhang scale and the edges of the recorded area, all named.

    The names keep clear of each other.
    """
    arm = alignment.arm
    shapes: list[Shape] = [
        *marks.spindle(places.spindle),
        *_arc(alignment, places),
        *_overhang_scale(arm, places.spindle),
        *(
            shape
            for null, half in zip(places.nulls, _half_widths(arm), strict=True)
            for shape in marks.target(places.spindle, null, half, zenith_rad)
        ),
    ]
    names = place_free(
        shapes,
        [
            *_null_names(arm, places, zenith_rad),
            *_edges(alignment, places),
            _arc_name(arm, places),
        ],
    )
    return [*shapes, *names]


def _fits(outlines: list[list[Point]], alignment: Alignment, paper: Paper) -> None:
    """Raise `InputError` when the working part does not leave room for margins and text."""
    right, top = (max(v) for v in zip(*(p for points in outlines for p in points), strict=True))
    width = paper.width_mm + max(0.0, right - paper.right)
    height = paper.height_mm + max(0.0, top + TEXT_HEIGHT_MM - paper.top)
    if width == paper.width_mm and height == paper.height_mm:
        return
    raise InputError(
        "paper",
        paper.label,
        f"a sheet of at least {width:.0f} x {height:.0f} mm for this arc, out to "
        f"{_outermost(alignment):g} mm",
        larger(lambda known: known.width_mm >= width and known.height_mm >= height),
    )


def _outermost(alignment: Alignment) -> float:
    """The largest radius that the sheet has to show [mm]."""
    return max(alignment.record.outer_radius_mm, alignment.arm.null_radii_mm[1])


def _on_arc(arm: Arm, places: _Places, radius: float) -> Point:
    x, y = arm.stylus(radius).tolist()
    return places.spindle[0] + x, places.spindle[1] + y


def _bearing(origin: Point, point: Point) -> float:
    """Direction from a point to another, from the x axis [rad]."""
    return math.atan2(point[1] - origin[1], point[0] - origin[0])


def _arc(alignment: Alignment, places: _Places) -> Iterator[Shape]:
    """The path of the stylus, from outside the outer recorded radius to past the spindle."""
    arm = alignment.arm
    outermost = _outermost(alignment) + ARC_BEYOND_MM
    end = _bearing(places.pivot, _on_arc(arm, places, outermost))
    start = -math.pi / 2 - math.asin(ARC_PAST_SPINDLE_MM / arm.effective_length_mm)
    yield Arc(places.pivot, arm.effective_length_mm, start, end, Stroke(PLAIN))


def _arc_name(arm: Arm, places: _Places) -> Iterator[list[Shape]]:
    """The arc's name along it: between the targets, or wherever it has room."""
    inner, outer = _null_radii(arm)[0], arm.null_radii_mm[1]
    for radius in ((inner + outer) / 2, inner / 2 + 4, outer + 20, (2 * inner + outer) / 3):
        if radius < abs(arm.overhang_mm) + 5:
            continue
        point = _on_arc(arm, places, radius)
        slope = _bearing(places.pivot, point) + math.pi / 2
        at = polar(point, -3.0, slope + math.pi / 2)
        yield [Label("stylus arc", at, SMALLEST_PT, "middle", angle_rad=slope)]


def _edges(alignment: Alignment, places: _Places) -> Iterator[Iterator[list[Shape]]]:
    """The edges of the recorded area: a piece of groove across the arc, named in front of it."""
    side = alignment.record
    nulls = _null_radii(alignment.arm)
    inner, outer = nulls[0], nulls[-1]
    yield _edge(alignment.arm, places, "inner edge", side.inner_radius_mm, inner)
    yield _edge(alignment.arm, places, "outer edge", side.outer_radius_mm, outer)


def _edge(
    arm: Arm, places: _Places, name: str, radius: float, null_radius: float
) -> Iterator[list[Shape]]:
    """Ways to draw and name one edge: longer and longer, toward the spindle or away from it."""
    angle = _bearing(places.spindle, _on_arc(arm, places, radius))
    inward = radius < null_radius - 3 or (name == "inner edge" and radius <= null_radius + 3)
    for ahead in (16.0, 22.0, 29.0, 37.0, 46.0, 5.0):
        groove = Arc(
            places.spindle, radius, angle - ahead / radius, angle + 4.0 / radius, Stroke(FINE)
        )
        x, y = groove.at(groove.start_rad)
        for toward in (inward, not inward):
            if toward and x < places.spindle[0]:
                continue  # there the Y bar is in the way
            yield [
                groove,
                *(
                    Label(
                        text,
                        (x + (-1.0 if toward else 1.0), y - line * marks.leading_mm(SMALLEST_PT)),
                        SMALLEST_PT,
                        "end" if toward else "start",
                    )
                    for line, text in enumerate((name, f"{to_hundredth(radius)} mm"))
                ),
            ]


def _overhang_scale(arm: Arm, spindle: Point) -> Iterator[Shape]:
    """Half millimetres from the spindle's centre along the line from pivot through spindle.

    Of an underhung arm, whose stylus stays short of the spindle, from 10 mm toward the pivot.
    """
    x, y = spindle
    hang = abs(arm.overhang_mm)
    last = _scale_end(arm)
    # toward the pivot the rings are closed, and the scale starts outside them where it can
    way, first = (-1, 5) if arm.overhang_mm > 0 else (1, 10 if hang > 11 else 5)
    named_from = 9 if way < 0 else 12
    yield Line((x, y + way * (first - 0.5)), (x, y + way * last), Stroke(FINE))
    numbered = marks.numbered(named_from, last, hang)
    for half in range(2 * first, 2 * last + 1):
        mm = half / 2
        tick = 2.2 if half % 10 == 0 or mm in numbered else 1.4 if half % 2 == 0 else 0.8
        yield Line((x - tick, y + way * mm), (x + tick, y + way * mm), Stroke(THINNEST))
        if mm in numbered:
            yield Label(f"{mm:g}", (x - 2.9, y + way * mm - 0.9), SMALLEST_PT, "end")
    if way > 0:
        yield Label("underhang, mm", (x + 3.2, y + last - 2.6), SMALLEST_PT)
        return
    for line, text in enumerate(("overhang", "mm")):
        yield Label(
            text,
            (x, y - last - 4.2 - line * marks.leading_mm(SMALLEST_PT)),
            SMALLEST_PT,
            "middle",
        )


def _scale_end(arm: Arm) -> int:
    """Where the overhang scale ends [mm]: past the arc, and with room for two figures."""
    return max(13 if arm.overhang_mm > 0 else 18, math.ceil(abs(arm.overhang_mm) + 8))


def _half_widths(arm: Arm) -> tuple[float, ...]:
    """Half widths of the targets' grids: not into each other, nor into the overhang scale."""
    inner, outer = arm.null_radii_mm
    if not inner > 0:
        return (min(13.0, outer - 14.0),)
    gap = (outer - inner) / 2 - 1.5
    return min(13.0, gap, inner - 14.0), min(13.0, gap)


def _null_names(arm: Arm, places: _Places, zenith_rad: float) -> Iterator[list[list[Shape]]]:
    """The names of the targets, behind their grids; side by side where the two are close."""
    radii = _null_radii(arm)
    names = ("inner null", "outer null") if len(radii) == 2 else ("null",)
    for name, null, radius, aside in zip(
        names, places.nulls, radii, (-1, 1)[: len(radii)], strict=True
    ):
        rear = _bearing(places.spindle, null) + math.pi / 2 + zenith_rad
        x, y = polar(null, marks.GRID_REAR_MM + 4.8, rear)
        step = marks.leading_mm(8)
        # a list, not a generator: it is read after the loop has gone on
        yield [
            [
                Label(name, (x + aside * shift, y + lift + step), 8, "middle", bold=True),
                Label(f"{to_hundredth(radius)} mm", (x + aside * shift, y + lift), 8, "middle"),
            ]
            for lift in (0.0, 9.0)
            for shift in (0.0, 3.0, 6.0)
        ]


def _sight_line(arm: Arm, places: _Places, paper: Paper) -> tuple[list[Shape], bool]:
    """The line from spindle to pivot, and whether the pivot is on the page."""
    x, y = places.spindle
    px, py = places.pivot
    dashes = Stroke(FINE, (8.0, 1.5, 1.5, 1.5))
    distance = f"{to_hundredth(arm.pivot_to_spindle_mm)} mm"
    shapes: list[Shape] = []
    visible = py + 5 <= paper.top
    end = py - 4 if visible else paper.top
    # an underhung arm has its scale where the line begins
    begin = 9.6 if arm.overhang_mm > 0 else _scale_end(arm) + 1.0
    shapes.append(Line((x, y + begin), (x, end), dashes))
    if visible:
        shapes += [Circle((px, py), 3.0, Stroke(FINE))]
        shapes += [Line((px - 5, py), (px + 5, py), Stroke(PLAIN))]
        shapes += [Line((px, py - 4), (px, py + 5), Stroke(PLAIN))]
        words = f"sight line to the pivot's centre, {distance} from the spindle's centre"
        if begin + 6.4 + width_mm(words, 8) > arm.pivot_to_spindle_mm - 6:
            words = f"sight line to the pivot, {distance}"
    else:
        for side in (-1.6, 1.6):
            shapes.append(Line((x + side, end - 5), (x, end), Stroke(PLAIN)))
        words = f"sight line: the pivot's centre lies {distance} from the spindle's centre"
    shapes.append(
        Label(words, (x - 1.6, y + begin + 6.4), 8, angle_rad=math.pi / 2),
    )
    return shapes, visible


def _text(
    alignment: Alignment,
    paper: Paper,
    head: tuple[str, str],
    places: _Places,
    outlines: list[list[Point]],
    zenith_rad: float,
) -> tuple[list[Shape], list[list[float]] | None]:
    """Title, results, card outline and steps; and the card's corners, None when left out.

    The largest type that fits is taken; only where none fits does the card outline give way.
    """
    left, right = places.spindle[0] + 8, paper.right
    shapes: list[Shape] = []
    y = paper.top
    title, about = head
    for line in _cut(wrap(title, right - left, 14, bold=True), 2):
        y -= 5.0
        shapes.append(Label(line, (left, y), 14, bold=True))
        y -= 1.2
    y -= 3.4
    shapes.append(
        Label(
            f"{paper.label}. Print at 100 % (actual size), borderless off. "
            f"protractor {__version__}",
            (left, y),
            8,
        )
    )
    for line in wrap(about, right - left, 8):
        y -= marks.leading_mm(8)
        shapes.append(Label(line, (left, y), 8))
    y -= 4.0
    column = right - marks.CARD_WIDTH_MM
    x_length = places.x_bar[1][0] - places.x_bar[0][0]
    y_length = places.y_bar[1][1] - places.y_bar[0][1]
    left_foot = _top_of(outlines, left, column - 4)
    right_foot = _top_of(outlines, column, right)
    pockets = _pockets(outlines, places, paper)
    for with_card in (True, False):
        for size in TEXT_SIZES_PT:
            results, bottom = _results(alignment, left, y, min(size, 9.0), zenith_rad)
            card_bottom = y - marks.CARD_HEIGHT_MM
            regions = [
                Region(left=left, right=column - 4, bottom=left_foot, top=bottom),
                Region(
                    left=column,
                    right=right,
                    bottom=right_foot,
                    top=card_bottom - 3 if with_card else y,
                ),
                *pockets,
            ]
            words = steps(x_length, y_length, with_card, len(places.nulls), bool(zenith_rad))
            text = marks.flow(words, regions, size)
            if text is None:
                continue
            shapes += [*results, *text]
            if not with_card:
                return shapes, None
            shapes += marks.card((column, card_bottom))
            note = marks.flow(
                [marks.Paragraph(text=CARD_TEXT)],
                [Region(left=column + 6, right=right - 6, bottom=card_bottom, top=y - 6)],
                8.0,
            )
            shapes += note or []
            return shapes, [[column, card_bottom], [right, y]]
    raise InputError(
        "paper", paper.label, "a sheet with room for the steps beside the arc", "take a larger one"
    )


def _cut(lines: list[str], most: int) -> list[str]:
    """At most `most` lines, the last ending in an ellipsis when some are left out."""
    return lines if len(lines) <= most else [*lines[: most - 1], lines[most - 1][:-1] + "…"]


def _results(
    alignment: Alignment, left: float, top: float, size: float, zenith_rad: float
) -> tuple[list[Shape], float]:
    """The quiet block of inputs and results, and the y below it."""
    arm, side, played = alignment.arm, alignment.record, alignment.played
    nulls = " and ".join(to_hundredth(r) for r in _null_radii(arm))
    skew = math.degrees(zenith_rad)
    turned = f"{skew:+.1f}° (+ clockwise)".replace("-", "–")
    rows = (
        ("pivot to spindle", f"{to_hundredth(arm.pivot_to_spindle_mm)} mm"),
        ("effective length", f"{to_hundredth(arm.effective_length_mm)} mm"),
        ("overhang", f"{to_hundredth(arm.overhang_mm)} mm"),
        ("offset angle", f"{arm.offset_angle_deg:.2f}°"),
        ("linear offset", f"{to_hundredth(arm.linear_offset_mm)} mm"),
        ("null radii" if arm.null_radii_mm[0] > 0 else "null radius", f"{nulls} mm"),
        *((("stylus askew", turned),) if skew else ()),
        ("scheme", alignment.label),
        ("record", side.name if alignment.play is None else f"{len(played.records)} by shares"),
        ("recorded radii", f"{played.inner_radius_mm:g} to {played.outer_radius_mm:g} mm"),
        ("tracking error", f"up to {alignment.peak_tracking_error_deg:.2f}°"),
        ("second harmonic", f"up to {alignment.peak_second_harmonic_percent:.2f} %"),
        ("", f"({alignment.velocity_cm_s:g} cm/s {alignment.velocity_is}, {side.rpm:.3g} rpm)"),
        *_terms(alignment),
    )
    step = marks.leading_mm(size)
    tab = left + width_mm("second harmonic  ", size)
    shapes: list[Shape] = []
    y = top - 2.2
    for name, value in rows:
        shapes += [Label(name, (left, y), size)] if name else []
        shapes.append(Label(value, (tab, y), size))
        y -= step
    return shapes, y - 1.0


def _terms(alignment: Alignment) -> list[tuple[str, str]]:
    """Further rows of the block: replay, and how an exact optimum was found."""
    rows = []
    replay = alignment.equalisation
    if replay.signal_hz is not None:
        rows.append(("", f"(equalised, {replay.signal_hz:g} Hz)"))
    if replay.slope_db_octave is not None:
        rows.append(("", f"(falling {replay.slope_db_octave:g} dB/octave)"))
    if alignment.terms is not None:
        rows.append(("held", f"{alignment.held}"))
        rows += [("stopped by", end) for end in alignment.terms.binding]
    return rows


def _top_of(outlines: list[list[Point]], left: float, right: float) -> float:
    """Where text may end above the drawing between two abscissae [mm]."""
    reach = heights(outlines, left - 1, right + 1)
    return reach[1] + 2 if reach else 0.0


def _pockets(outlines: list[list[Point]], places: _Places, paper: Paper) -> list[Region]:
    """The free boxes below the arc: beside, between and outside the two fans, if wide enough."""
    bottom = places.x_bar[0][1] + marks.BAR_REACH_MM + 2
    depth = places.spindle[1] - 25
    fans = []
    for x, _ in places.nulls:
        points = [
            p[0] for points in outlines for p in points if p[1] < depth and abs(p[0] - x) < 20
        ]
        fans.append((min(points), max(points)) if points else (x, x))
    edges = [places.spindle[0] + 5, *(x for fan in fans for x in fan), paper.right + 3]
    spans = [(left + 3, right - 3) for left, right in zip(edges[::2], edges[1::2], strict=True)]
    regions = []
    for left, right in spans:
        if right - left < 26:
            continue
        reach = heights(outlines, left - 1, right + 1)
        top = (reach[0] if reach else places.spindle[1]) - 3
        if top > bottom:
            regions.append(Region(left=left, right=right, bottom=bottom, top=top))
    return regions
