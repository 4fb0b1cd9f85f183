"""The page of numbers: what an alignment comes to, its tracking error as a table and as a curve."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.alignments.sheet_code import sheet_code
from protractor.arms.arm import ERROR_SIGN
from protractor.arms.distortion import second_harmonic
from protractor.drawing.shapes import (
    BOLD,
    FINE,
    HEAVY,
    PLAIN,
    Circle,
    Label,
    Line,
    Page,
    Point,
    Shape,
    Stroke,
)
from protractor.drawing.type import SMALLEST_PT, capital_mm
from protractor.printing.paper import Paper, turn_sheet
from protractor.sheets import frame, grid, names
from protractor.sheets.alignment_sheet import figure_groups
from protractor.sheets.frame import Bars, Region, leading_mm
from protractor.sheets.grid import FIGURES_PT, Group

FROM_BAR_MM = 4.0
"""From a bar's figures to the words."""

GAP_MM = 5.0
"""Between blocks."""

COLUMNS_MM = (19.0, 45.0, 67.0, 92.0)
"""Where the columns of the table end, from its left edge."""

HEADS = ("radius mm", "tracking angle", "error", "2nd harmonic")

CURVE_LEFT_MM, CURVE_FOOT_MM = 11.0, 9.0
"""From the curve's region to its axes, for their figures."""

LEAST_CURVE_MM, MOST_CURVE_MM = 28.0, 90.0
"""The curve's panel is at least so high, and at most."""

LOG_ROW_MM = 8.0
LOG = ("set up on", "tracking force", "anti-skating", "remarks")
"""What is written by hand, and the height of a row for it."""

PIECES = 150
"""Straight pieces of the curve: it strays less than a hundredth of a millimetre from them."""


def numbers_page(alignment: Alignment, paper: Paper, title: str = "", note: str = "") -> Page:
    """The page that keeps the numbers of a deck beside its alignment sheet, on the paper's side.

    `note` is what is said about a printer's correction. Raises `InputError` when the paper is too
    small for the table.
    """
    side = turn_sheet(paper) if paper.width_mm < paper.height_mm else paper
    bars = Bars.along_edges(side)
    name = f"{title}: numbers" if title else "Numbers"
    region = Region(
        left=bars.right_of_y + FROM_BAR_MM,
        right=side.right,
        bottom=bars.top_of_x + FROM_BAR_MM,
        top=side.top,
    )
    lines = (
        names.made_from(alignment),
        f"{frame.print_line(side)}, sheet {sheet_code(alignment)}",
        note,
    )
    head, y = grid.head(name, lines, (region.left, region.top), region.width)
    these = [*figure_groups(alignment), *_records(alignment)]
    count = max(1, min(len(these), int(region.width // 54)))
    figures, y = grid.groups(
        these, Region(left=region.left, right=region.right, bottom=0, top=y - GAP_MM), count=count
    )
    top = y - GAP_MM
    for step in (5, 10, 20):
        table, low = _table(alignment, (region.left, top), step)
        if low >= region.bottom:
            break
    else:
        raise frame.no_room(paper, "a sheet with room for the table of numbers")
    beside = Region(
        left=region.left + COLUMNS_MM[-1] + 2 * GAP_MM,
        right=region.right,
        bottom=region.bottom,
        top=top,
    )
    return frame.page_on(
        side,
        title=name,
        subject=f"Numbers, pivot to spindle {to_hundredth(alignment.arm.pivot_to_spindle_mm)} mm, "
        f"{alignment.scheme}, {paper.label}",
        shapes=(*head, *figures, *table, *_beside(alignment, beside), *bars.shapes()),
        features={**bars.features, "card": None},
    )


def table_radii(alignment: Alignment, step: int) -> list[float]:
    """The radii of the table [mm]: the edges, the null radii, and every `step` mm between."""
    inner, outer = alignment.record.inner_radius_mm, alignment.record.outer_radius_mm
    named = [inner, outer, *(r for r in alignment.arm.null_radii_mm if inner < r < outer)]
    rounds = range(math.ceil(inner / step) * step, math.floor(outer) + 1, step)
    return sorted([*named, *(r for r in rounds if all(abs(r - t) > 1.5 for t in named))])


def _records(alignment: Alignment) -> Iterator[Group]:
    """What is played, where several records count by their shares."""
    if alignment.play is None:
        return
    rows = tuple(
        (
            f"{100 * share:.3g} % {names.record_name(side)}",
            f"{to_hundredth(side.inner_radius_mm)} to {to_hundredth(side.outer_radius_mm)} mm, "
            f"{names.speed(side)}",
        )
        for share, side in zip(alignment.play.shares, alignment.play.records, strict=True)
    )
    yield Group(heading="records", rows=rows)


def _table(alignment: Alignment, corner: Point, step: int) -> tuple[list[Shape], float]:
    """Tracking angle, error and second harmonic along the record's side; and the y of the last."""
    radii = np.array(table_radii(alignment, step))
    angle = np.degrees(alignment.arm.tracking_angle(radii))
    error = alignment.arm.tracking_error(radii)
    harmonic = (
        100
        * alignment.equalisation.factor()
        * second_harmonic(error, radii, alignment.record.rpm, alignment.peak_velocity_cm_s)
    )
    cells = [HEADS]
    for row in zip(radii, angle, np.degrees(error), harmonic, strict=True):
        r, a, e, h = (float(value) for value in row)
        # a null's error is zero: no sign in front of it
        bare = abs(e) < 0.005
        cells.append(
            (to_hundredth(r), f"{a:.2f}°", "0.00°" if bare else f"{e:+.2f}°", f"{h:.2f} %")
        )
    left, y = corner
    shapes: list[Shape] = []
    for number, texts in enumerate(cells):
        y -= capital_mm(FIGURES_PT) if number == 0 else leading_mm(FIGURES_PT)
        for stop, text in zip(COLUMNS_MM, texts, strict=True):
            at = (left + stop, y)
            shapes.append(Label(text.replace("-", "–"), at, FIGURES_PT, "end", bold=number == 0))
        if number == 0:
            shapes.append(Line((left, y - 1.5), (left + COLUMNS_MM[-1], y - 1.5), Stroke(FINE)))
            y -= 0.8
    return shapes, y


def _beside(alignment: Alignment, region: Region) -> list[Shape]:
    """The curve, how to read its sign, and lines to write on where there is room for them."""
    text = how_to_read(alignment)
    words, low = frame.set_lines([text], (0.0, 0.0), FIGURES_PT, width=region.width)
    shapes: list[Shape] = []
    if region.top - region.bottom + low < LEAST_CURVE_MM + 2 * GAP_MM:
        # no room for a curve: the sign of the table is given all the same
        corner = region.left, region.top
        return [*frame.set_lines([how_to_read(None)], corner, FIGURES_PT, width=region.width)[0]]
    room = region.top - region.bottom + low - 2 * GAP_MM
    log = len(LOG) * LOG_ROW_MM
    with_log = room - log >= LEAST_CURVE_MM
    height = min(MOST_CURVE_MM, room - log if with_log else room)
    panel = Region(left=region.left, right=region.right, bottom=region.top - height, top=region.top)
    shapes += _curve(alignment, panel)
    y = panel.bottom - GAP_MM + 1.0
    shapes += _moved(words, (region.left, y))
    y += low - 1.0
    for name in LOG if with_log else ():
        y -= LOG_ROW_MM
        shapes.append(Label(name, (region.left, y), FIGURES_PT))
        shapes.append(Line((region.left + 28.0, y - 1.0), (region.right, y - 1.0), Stroke(FINE)))
    return shapes


def how_to_read(alignment: Alignment | None) -> str:
    """What the sign of the error means in the table, and in the curve of an alignment beside it."""
    if alignment is None:
        return f"In this table {ERROR_SIGN}."
    text = f"In this table and curve {ERROR_SIGN}."
    if alignment.arm.null_radii_mm[0] > 0:
        text += " Between the null radii it points clockwise, outside them counter-clockwise."
    return f"{text} At a ring it points along the groove."


def _moved(labels: list[Label], by: Point) -> list[Label]:
    """Labels that were set from the origin, moved to where they belong."""
    return [
        Label(label.text, (label.at[0] + by[0], label.at[1] + by[1]), label.size_pt)
        for label in labels
    ]


def _curve(alignment: Alignment, region: Region) -> Iterator[Shape]:
    """Tracking error over radius: axes with figures, a ring at each null, the curve."""
    arm, side = alignment.arm, alignment.record
    radii = np.linspace(side.inner_radius_mm, side.outer_radius_mm, PIECES + 1)
    error = np.degrees(arm.tracking_error(radii))
    step = next(s for s in (0.5, 1.0, 2.0, 5.0, 10.0, 20.0) if np.ptp(error) / s <= 8)
    low = min(-step, math.floor(float(error.min()) / step) * step)
    high = max(step, math.ceil(float(error.max()) / step) * step)
    first = math.floor(side.inner_radius_mm / 10) * 10
    last = math.ceil(side.outer_radius_mm / 10) * 10
    left, right = region.left + CURVE_LEFT_MM, region.right - 2.0
    bottom = region.bottom + CURVE_FOOT_MM
    top = region.top - leading_mm(FIGURES_PT) - 2.0

    def at(radius: float, degrees: float) -> Point:
        return (
            left + (right - left) * (radius - first) / (last - first),
            bottom + (top - bottom) * (degrees - low) / (high - low),
        )

    yield Label(
        "Tracking error over radius, degrees",
        (region.left, region.top - capital_mm(FIGURES_PT)),
        FIGURES_PT,
        bold=True,
    )
    count = round((high - low) / step)
    for number in range(count + 1):
        value = low + number * step
        zero = abs(value) < 1e-9
        start, end = at(first, value), at(last, value)
        yield Line(start, end, Stroke(PLAIN) if zero else Stroke(FINE, (0.5, 1.5)))
        text = "0" if zero else f"{value:+g}".replace("-", "–")
        low_edge = start[1] - capital_mm(FIGURES_PT) / 2
        yield Label(text, (left - 1.5, low_edge), FIGURES_PT, "end")
    for mm in range(first, last + 1, 10):
        x, _ = at(mm, low)
        yield Line((x, bottom), (x, bottom - 1.5), Stroke(FINE))
        if mm % 20 == 0:
            y = bottom - 2.6 - capital_mm(FIGURES_PT)
            yield Label(f"{mm}", (x, y), FIGURES_PT, "middle")
    yield Label(
        "radius, mm", (right, bottom - 3.4 - capital_mm(FIGURES_PT) - 3.0), SMALLEST_PT, "end"
    )
    for edge in (side.inner_radius_mm, side.outer_radius_mm):
        yield Line(at(edge, low), at(edge, high), Stroke(FINE, (3.0, 1.5)))
    points = [at(float(r), float(e)) for r, e in zip(radii, error, strict=True)]
    for start, end in pairwise(points):
        yield Line(start, end, Stroke(HEAVY))
    for radius in arm.null_radii_mm:
        if side.inner_radius_mm <= radius <= side.outer_radius_mm:
            yield Circle(at(radius, 0.0), 1.2, Stroke(BOLD))
