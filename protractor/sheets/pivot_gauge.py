"""The pivot gauge: two scales from the spindle, a window for the pivot, and a slider with verniers.

The pivot stands in the window between the scales, in the plane of the platter. The slider bridges
the window; its flaps stand up beside the pivot and carry the line of sight to the pivot's height.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from protractor import __version__
from protractor.drawing.shapes import (
    FINE,
    PLAIN,
    THINNEST,
    Label,
    Line,
    Page,
    Point,
    Shape,
    Stroke,
)
from protractor.drawing.type import SMALLEST_PT, capital_mm, wrap
from protractor.errors import InputError
from protractor.printing.paper import PAPERS, Paper
from protractor.sheets import frame, marks
from protractor.sheets.frame import Bars, Card, Paragraph, Region

START_RANGE_MM = (100.0, 420.0)
"""Where the scale of a second sheet may start; a first sheet starts at the spindle."""

SCALE_MM = 36.0
"""Scale lines to either side of the axis; the slider is as wide as the two are apart."""

WINDOW_MM = 26.0
"""Half the width of the window: the largest housing that fits is twice that."""

RAIL_MM = 49.5
"""Outer edges of the rails to either side of the axis."""

FIRST_READING_MM = 90.0
"""Start of window and scales on a first sheet: a pivot at 120 mm, less half a housing."""

TONGUE_MM = 30.0
"""What a second sheet lays on the first."""

BRIDGE_MM = 6.0
"""Paper that is left over the window and holds the rails together."""

READ_FROM_MM = 25.0
"""Scale that a reading needs below its index: ten vernier lines, and some."""

HOUSING_MM = 15.0
"""What stands behind the pivot's centre at the window's far end."""

OPENING_MM, BAR_MM, FLAP_MM = 32.0, 14.0, 40.0
"""The slider: depth of its opening, height of its bar, height of its flaps."""

COLUMN_GAP_MM = 3.0
"""From the rail's edge to the slider's column."""

FOOT_MM, SPINDLE_UP_MM = 19.0, 10.0
"""On a first sheet: what is kept free below the X bar, and how high in it the spindle lies."""

LEAST_SCALE_MM, LEAST_BAR_MM = 60.0, 150.0
"""A paper that leaves less for the scales or for the Y bar is too small."""

VERNIER_LINES = 10
VERNIER_STEP_MM = 2.1
"""Ten lines behind the index, one tenth more than two divisions apart: wide enough for paper, and
counting backwards. With the index n tenths past a mark, the n-th line alone meets a mark. After
P. Vernier, 1631 (from memory); the tests check the numbers.
"""

OUTER_EDGE = Stroke(PLAIN, layer="cut")
WINDOW_EDGE = Stroke(PLAIN, layer="inner cut")
FOLD = Stroke(FINE, (4.0, 1.0, 1.0, 1.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Layout:
    """Where the main things stand on the page [mm].

    `origin` is where the scale reads 0, `slider` the middle of the slider's index line.
    """

    origin: Point
    first: float
    last: float
    start: float
    slider: Point
    card: Card
    bars: Bars

    @property
    def least(self) -> float:
        """Least distance that the gauge reads: the vernier needs the scale below its index."""
        return self.first + READ_FROM_MM

    @property
    def most(self) -> float:
        """Greatest distance that the gauge reads: the pivot's housing needs the window."""
        return self.last - HOUSING_MM

    @property
    def window_bottom(self) -> float:
        """Lower edge of the window, or of a second sheet's tongue."""
        return self.origin[1] + self.first - (TONGUE_MM if self.start else 0.0)

    def edge(self, side: int, reading: float) -> Point:
        """The point of a scale line at a reading; `side` is -1 for the left scale, 1 the right."""
        return self.origin[0] + side * SCALE_MM, self.origin[1] + reading


def pivot_gauge_page(paper: Paper, start_mm: float = 0.0, title: str = "", note: str = "") -> Page:
    """The page of the gauge, for scales that start at the spindle or at `start_mm`.

    `note` stands after the steps: what is said about a printer's correction. Raises `InputError`
    for a start outside `START_RANGE_MM`, and for a paper on which the gauge finds no room.
    """
    low, high = START_RANGE_MM
    if start_mm != 0 and not low <= start_mm <= high:
        raise InputError(
            "start",
            f"{start_mm:g} mm",
            f"0 for a first sheet, {low:g} to {high:g} mm for a second one",
            "choose a start that the first sheet's scale still shows",
        )
    if start_mm != round(start_mm):
        raise InputError(
            "start", f"{start_mm:g} mm", "whole millimetres", f"take {round(start_mm)}"
        )
    layout = _lay_out(paper, start_mm)
    name = title or ("Pivot gauge" if start_mm == 0 else f"Pivot gauge from {start_mm:g} mm")
    return frame.page_on(
        paper,
        title=name,
        subject=f"Pivot gauge, {layout.least:g} to {layout.most:g} mm from the spindle, "
        f"{paper.label}",
        shapes=(
            *(_tongue(layout) if start_mm else marks.spindle(layout.origin)),
            *_window(layout),
            *_scales(layout),
            *_outline(layout),
            *_slider(layout.slider),
            *layout.card.outline(),
            *layout.bars.shapes(),
            *_text(paper, layout, name, note),
        ),
        features=_features(layout),
    )


def _lay_out(paper: Paper, start_mm: float) -> _Layout:
    """Rails at the left, the slider and the steps beside them; `InputError` where that fails."""
    x = paper.left + RAIL_MM
    column = x + RAIL_MM + COLUMN_GAP_MM
    bar_y = paper.bottom + (FOOT_MM + frame.BAR_REACH_MM if start_mm == 0 else frame.BAR_REACH_MM)
    card_y = bar_y + frame.BAR_REACH_MM + 2.0
    if start_mm == 0:
        first, origin = FIRST_READING_MM, (x, paper.bottom + SPINDLE_UP_MM)
    else:
        first, origin = start_mm, (x, card_y + frame.CARD_HEIGHT_MM + 4.0 + TONGUE_MM - start_mm)
    last = math.floor(paper.top - BRIDGE_MM - 2.0 - origin[1])
    bars = Bars(
        x_start=(paper.left + 6.0, bar_y),
        x_length=frame.bar_length(paper.right - paper.left - 6),
        y_start=(paper.right - frame.BAR_REACH_MM, bar_y + frame.BAR_REACH_MM + 4.0),
        y_length=frame.bar_length(paper.top - (bar_y + frame.BAR_REACH_MM + 4.0)),
    )
    room = bars.y_start[0] - frame.BAR_REACH_MM - column
    short = room < 2 * SCALE_MM or bars.y_length < LEAST_BAR_MM or last - first < LEAST_SCALE_MM
    if short:
        width = paper.width_mm + 2 * SCALE_MM - room
        raise _too_small(paper, width, paper.height_mm + LEAST_BAR_MM - bars.y_length)
    return _Layout(
        origin=origin,
        first=first,
        last=float(last),
        start=start_mm,
        slider=(column + room / 2, paper.top - 20.0 - FLAP_MM),
        card=Card.standing_on((paper.left + 3.0, card_y)),
        bars=bars,
    )


def _too_small(paper: Paper, width: float, height: float) -> InputError:
    """The error of a paper that is smaller than this [mm]."""
    fitting = [
        known.label
        for known in sorted(PAPERS.values(), key=lambda p: p.width_mm * p.height_mm)
        if known.width_mm >= width and known.height_mm >= height
    ]
    return InputError(
        "paper",
        paper.label,
        f"a sheet of at least {width:.0f} x {height:.0f} mm",
        f"take {fitting[0]}" if fitting else "no paper known here is large enough",
    )


def _scales(layout: _Layout) -> Iterator[Shape]:
    """Millimetres along both rails, from the scale line outward."""
    for side in (-1, 1):
        yield Line(layout.edge(side, layout.first), layout.edge(side, layout.last), Stroke(FINE))
        for mm in range(round(layout.first), round(layout.last) + 1):
            x, y = edge = layout.edge(side, mm)
            tick = 5.5 if mm % 10 == 0 else 4.0 if mm % 5 == 0 else 2.8
            yield Line(edge, (x + side * tick, y), Stroke(THINNEST))
            if mm % 10 == 0 and layout.first < mm < layout.last:
                at = (x + side * 6.3, y - capital_mm(SMALLEST_PT) / 2)
                yield Label(f"{mm}", at, SMALLEST_PT, "start" if side > 0 else "end")


def _window(layout: _Layout) -> Iterator[Shape]:
    """The window that the pivot stands in; open at the tongue of a second sheet."""
    x, y = layout.origin
    bottom, top = layout.window_bottom, y + layout.last
    left, right = x - WINDOW_MM, x + WINDOW_MM
    corners = [(left, bottom), (left, top), (right, top), (right, bottom)]
    for start, end in pairwise(corners if layout.start else [*corners, corners[0]]):
        yield Line(start, end, WINDOW_EDGE)
    yield Label("window: cut out", (x, (bottom + top) / 2), frame.NOTE_PT, "middle")


def _outline(layout: _Layout) -> Iterator[Shape]:
    """The gauge's outer edge, where it is not the paper's own."""
    x, y = layout.origin
    low, high = y + layout.first, y + layout.last + BRIDGE_MM
    right = x + RAIL_MM
    if layout.start == 0:
        # the foot with the spindle and the X bar keeps the paper's full width
        foot = layout.bars.top_of_x + 2.0
        yield Line((right, foot), (right, high), OUTER_EDGE)
        yield Line((right, foot), (layout.bars.y_start[0] + frame.BAR_REACH_MM, foot), OUTER_EDGE)
        return
    left, end = x - RAIL_MM, low - TONGUE_MM
    yield Line((right, low), (right, high), OUTER_EDGE)
    yield Line((left, low), (left, high), OUTER_EDGE)
    for side in (-1, 1):
        scale = x + side * SCALE_MM
        yield Line((x + side * RAIL_MM, low), (scale, low), OUTER_EDGE)
        yield Line((scale, low), (scale, end), OUTER_EDGE)
        yield Line((scale, end), (x + side * WINDOW_MM, end), OUTER_EDGE)


def _vernier(edge: Point, side: int) -> Iterator[Shape]:
    """Ten lines below an index, from the edge inward; `side` is that of the scale, -1 or 1."""
    x, y = edge
    for line in range(VERNIER_LINES + 1):
        place = y - line * VERNIER_STEP_MM
        length = 4.5 if line % 5 == 0 else 3.0
        yield Line((x, place), (x - side * length, place), Stroke(THINNEST))
        if line % 5 == 0:
            drop = capital_mm(SMALLEST_PT) * 0.5 if line else capital_mm(SMALLEST_PT) + 0.6
            at = (x - side * 5.2, place - drop)
            yield Label(f"{line}", at, SMALLEST_PT, "end" if side > 0 else "start")


def _tongue(layout: _Layout) -> Iterator[Shape]:
    """Where a second sheet lies on the first: the line of its start, and verniers to read it by."""
    for side in (-1, 1):
        edge = layout.edge(side, layout.start)
        yield Line(edge, (layout.origin[0] + side * WINDOW_MM, edge[1]), Stroke(FINE))
        yield from _vernier(edge, side)


def _slider(zero: Point) -> Iterator[Shape]:
    """The slider, index line through `zero`: opening toward the pivot, flaps beyond the fold."""
    x, y = zero
    foot, top = y - OPENING_MM - BAR_MM, y + FLAP_MM
    for side in (-1, 1):
        outer, inner = x + side * SCALE_MM, x + side * WINDOW_MM
        yield Line((outer, foot), (outer, top), OUTER_EDGE)
        yield Line((outer, top), (inner, top), OUTER_EDGE)
        yield Line((inner, top), (inner, y - OPENING_MM), OUTER_EDGE)
        yield Line((outer, y), (inner, y), FOLD)
        yield from _vernier((outer, y), side)
        yield from frame.centre_lines(
            ("flap", "fold up", "at 0"), ((outer + inner) / 2, y + FLAP_MM / 2 + 3)
        )
    yield Line((x - WINDOW_MM, y - OPENING_MM), (x + WINDOW_MM, y - OPENING_MM), OUTER_EDGE)
    yield Line((x - SCALE_MM, foot), (x + SCALE_MM, foot), OUTER_EDGE)
    words = ("slider: this bar toward the spindle,", "its edges along the scales")
    yield from frame.centre_lines(words, (x, foot + BAR_MM / 2 + 0.8), frame.NOTE_PT)


def _text(paper: Paper, layout: _Layout, title: str, note: str) -> Iterator[Shape]:
    """Title, card note and steps; the largest type that fits is taken."""
    left, right = layout.slider[0] - SCALE_MM, layout.slider[0] + SCALE_MM
    (heading,) = frame.clip(wrap(title, right - left, frame.TITLE_PT, bold=True), 1)
    y = paper.top - 5.0
    yield Label(heading, (left, y), frame.TITLE_PT, bold=True)
    about = (
        f"{paper.label}. Print at 100 % (actual size), borderless off.",
        f"For pivots {layout.least:g} to {layout.most:g} mm from the spindle.",
        f"protractor {__version__}",
    )
    for row, text in enumerate(about):
        yield Label(text, (left, y - 5.0 - row * frame.leading_mm(frame.NOTE_PT)), frame.NOTE_PT)
    yield from layout.card.note()
    inside = layout.card.inside
    regions = [
        Region(
            left=left,
            right=right,
            bottom=layout.bars.top_of_x + 4,
            top=layout.slider[1] - OPENING_MM - BAR_MM - 4.0,
        ),
        replace(
            inside, bottom=inside.bottom + 2, top=inside.top - 4 * frame.leading_mm(frame.NOTE_PT)
        ),
    ]
    words = _steps(layout.bars, layout.start)
    words += [Paragraph(text=note)] if note else []
    # the reason for the flaps gives way to what is said about a correction
    brief = [word for word in words if word.text != HEIGHT_TEXT]
    labels = frame.flow_largest([words, brief], regions, frame.SMALL_SIZES_PT)
    if labels is None:
        raise frame.no_room(paper)
    yield from labels


def _features(layout: _Layout) -> dict[str, Any]:
    """Where a reader may measure [mm]; a scale by its first and last mark."""
    x, y = layout.slider

    def scale(side: int) -> list[list[float]]:
        return [list(layout.edge(side, layout.first)), list(layout.edge(side, layout.last))]

    joint = [list(layout.edge(side, layout.start)) for side in (-1, 1)]
    return {
        "spindle": list(layout.origin) if layout.start == 0 else None,
        "scale_left": scale(-1),
        "scale_right": scale(1),
        "scale_mm": [layout.first, layout.last],
        "pivots_mm": [layout.least, layout.most],
        "slider_zero": [[x - SCALE_MM, y], [x + SCALE_MM, y]],
        "joint": joint if layout.start else None,
        **layout.bars.features,
        "card": layout.card.feature,
    }


HEIGHT_TEXT = (
    "The pivot stands above the sheet. Looked at from above with the eye 5° off plumb, a pivot "
    "30 mm up reads 2.6 mm wrong. The flaps carry the line up to the pivot's own height: look "
    "across, level with the pivot, never down."
)


def _steps(bars: Bars, start_mm: float) -> list[Paragraph]:
    """The steps in the order of doing for a scale that starts at `start_mm`, and cautions."""
    texts = [
        f"Print at 100 % (actual size), borderless off; let the sheet settle for an hour. Measure "
        f"between the centres of the end marks: {bars.lengths}. "
        "If one is off by more than 0.2 mm, mend the print settings and print again.",
        "Tape the sheet to thin card or spray it on; wet glue stretches paper. Cut out the window, "
        "the outline and the slider. Fold the slider's flaps up along the line 0.",
        "Switch the deck off and pull its plug. Stylus guard on, arm locked in its rest.",
        *(
            [
                "Pierce the cross, cut the eight slits and press the sheet over the spindle "
                "without play. Let the pivot, in a housing up to 50 mm wide, stand in the window "
                "midway between the scales: 2 mm beside costs 0.02 mm. Support the free end level "
                "with the platter.",
            ]
            if start_mm == 0
            else [
                f"Put the first sheet, which starts at the spindle, in place. Lay this sheet's "
                f"tongue on it, edges along its two scale lines, with the line {start_mm:g} near "
                f"its {start_mm:g}, and tape it down. The joint need not be exact: read where the "
                "tongue's verniers stand, left and right, and take the mean as J. Left and right "
                "may differ by 0.5 mm, which costs 0.01 mm. Cut the first sheet off where the "
                "pivot needs room.",
            ]
        ),
        "Lay the slider over the window, its outer edges along the scale lines. Look from the "
        "side, level with the pivot: move the slider until the near flap hides the far flap and "
        "both cut the pivot's centre.",
        "Read left and right: whole millimetres are the last mark below the line 0; tenths are the "
        "number of the vernier line that meets a mark. The two must agree within 0.3 mm; take the "
        "mean." + ("" if start_mm == 0 else f" Add J and take off {start_mm:g}."),
        "Do it three times from the start; the mean is pivot to spindle.",
    ]
    return [
        *frame.in_order(texts),
        Paragraph(
            heading="No mark on the pivot?",
            text="Read the near edge and the far edge of its round housing with the flaps; the "
            "centre is half-way. Or put a paper dot on the cap and swing the arm: the point of the "
            "dot that stays is the centre.",
        ),
        Paragraph(heading="Why flaps?", text=HEIGHT_TEXT),
        Paragraph(
            heading="Take care",
            text="Cut with a sharp knife away from your fingers, off the deck. Never force or lift "
            "the arm by its tube; where the maker prints a distance, that counts.",
        ),
    ]
