"""The pivot gauge: a fork with two scales from the spindle, and a slider with verniers.

The fork lies on the platter with its hole over the spindle; it is open toward the pivot, so that
its prongs slide past the arm's pillar on either side, in the plane of the platter. The slider
bridges the slot; its flaps stand up beside the pivot and carry the line of sight to the pivot's
height. Drawn as one sees it from the front of the deck: the pivot to the right.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from protractor.drawing.cut_lines import CutLine
from protractor.drawing.shapes import (
    FINE,
    PLAIN,
    Label,
    Line,
    Page,
    Point,
    Shape,
    Stroke,
)
from protractor.drawing.type import SMALLEST_PT, capital_mm
from protractor.errors import InputError
from protractor.printing.paper import Paper, larger, turn_sheet
from protractor.sheets import frame, grid, marks
from protractor.sheets.frame import Bars, Card, Region
from protractor.sheets.piece import HUB_MM, spindle_marks
from protractor.sheets.steps import Step

START_RANGE_MM = (100.0, 420.0)
"""Where the scale of a second sheet may start; a first sheet starts at the spindle."""

SLOT_MM = 27.6
"""Half the width of the slot: a pillar of 50 mm with room to either side, and a bank card's
height, whose corners are printed in it."""

HOUSING_MM = 50.0
"""The largest pillar or housing that stands in the slot with 2 mm to spare on either side."""

SCALE_MM = 36.5
"""Scale lines to either side of the axis; the slider is as wide as the two are apart."""

PRONG_MM = 46.5
"""Outer edges of the prongs to either side of the axis."""

NECK_MM, ROOT_MM = 15.0, 12.0
"""Half the width of the paper round the spindle, and what joins the prongs before the slot."""

FIRST_READING_MM = 90.0
"""Start of slot and scales on a first sheet: a pivot at 120 mm, less half a housing."""

TONGUE_MM = 30.0
"""What a second sheet lays on the first."""

READ_FROM_MM = 25.0
"""Scale that a reading needs below its index: ten vernier lines, and some."""

OPENING_MM, BAR_MM, FLAP_MM = 30.0, 12.0, 40.0
"""The slider: depth of its opening, width of its bar, height of its flaps."""

END_MM = 2.0
"""From the last mark to the end of a prong."""

GAP_MM, FROM_BAR_MM = 3.0, 4.0
"""Between one block of the sheet and the next, and from a bar's figures to what is drawn."""

LEAST_SCALE_MM = 110.0
"""A paper that leaves less for the scales is too small."""

CAUTIONS_MM = 13.0
"""What the cautions under the slider need at least."""

VERNIER_LINES = 10
VERNIER_STEP_MM = 2.1
"""Ten lines behind the index, one tenth more than two divisions apart: wide enough for paper, and
counting backwards. With the index n tenths past a mark, the n-th line alone meets a mark. After
P. Vernier, 1631 (from memory); the tests check the numbers.
"""

EDGE = Stroke(PLAIN, layer="cut")
FOLD = Stroke(FINE, (4.0, 1.0, 1.0, 1.0))

HEIGHT_TEXT = "Never look from above: 5° from plumb, a pivot 30 mm up reads 2.6 mm wrong."


@dataclass(frozen=True, slots=True, kw_only=True)
class _Layout:
    """Where the main things are on the page [mm].

    `origin` is where the scale reads 0, `slider` the middle of the slider's index line, `words`
    the room for the steps and `under` the room below the slider.
    """

    origin: Point
    first: float
    last: float
    start: float
    slider: Point
    words: Region
    under: Region
    bars: Bars

    @property
    def least(self) -> float:
        """Least distance that the gauge reads: the vernier needs the scale below its index."""
        return self.first + READ_FROM_MM

    @property
    def most(self) -> float:
        """Greatest distance that the gauge reads: a mark beyond its index."""
        return self.last - 2.0

    @property
    def card(self) -> Card:
        """The bank card's place in the slot, whose paper is cut out."""
        left = self.origin[0] + self.first + 30.0
        return Card.standing_on((left, self.origin[1] - frame.CARD_HEIGHT_MM / 2))

    def at(self, reading: float, across: float = 0.0) -> Point:
        """The point at a reading and so far to the left of the axis, seen toward the pivot."""
        return self.origin[0] + reading, self.origin[1] + across

    def edge(self, side: int, reading: float) -> Point:
        """The point of a scale at a reading; `side` is -1 for the left (rear) scale, 1 the right.

        Left and right are those of a look from the spindle toward the pivot.
        """
        return self.at(reading, -side * SCALE_MM)


def pivot_gauge_page(paper: Paper, start_mm: float = 0.0, title: str = "", note: str = "") -> Page:
    """The page of the gauge, for scales that start at the spindle or at `start_mm`.

    It is drawn on the paper's side. `note` is what is said about a printer's correction. Raises
    `InputError` for a start outside `START_RANGE_MM`, and for a paper on which the gauge finds no
    room.
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
        _on_its_side(paper),
        title=name,
        subject=f"Pivot gauge, {layout.least:g} to {layout.most:g} mm from the spindle, "
        f"{paper.label}",
        shapes=(
            *(_tongue(layout) if start_mm else _neck(layout)),
            *_scales(layout),
            *_outline(layout),
            *_slider(layout.slider),
            *layout.bars.shapes(),
            *_words(paper, layout, name, note),
        ),
        features=_features(layout),
    )


def _on_its_side(paper: Paper) -> Paper:
    return turn_sheet(paper) if paper.width_mm < paper.height_mm else paper


def _lay_out(paper: Paper, start_mm: float) -> _Layout:
    """The fork along the upper edge, slider and words below it; `InputError` where that fails."""
    side = _on_its_side(paper)
    bars = Bars.along_edges(side)
    left = bars.right_of_y + FROM_BAR_MM
    axis = side.top - PRONG_MM
    width = OPENING_MM + BAR_MM + FLAP_MM
    origin_x = left + (NECK_MM if start_mm == 0 else width + GAP_MM + TONGUE_MM - start_mm)
    first = FIRST_READING_MM if start_mm == 0 else start_mm
    last = math.floor(side.right - END_MM - origin_x)
    low = bars.top_of_x + GAP_MM
    slider_top = axis - NECK_MM - GAP_MM
    slider_low = slider_top - 2 * SCALE_MM
    layout = _Layout(
        origin=(origin_x, axis),
        first=first,
        last=float(last),
        start=start_mm,
        slider=(left + BAR_MM + OPENING_MM, (slider_top + slider_low) / 2),
        words=Region(
            left=left + width + 2 * GAP_MM,
            right=side.right,
            bottom=low,
            top=axis - PRONG_MM - 2 * GAP_MM,
        ),
        under=Region(left=left, right=left + width, bottom=low, top=slider_low - GAP_MM - 1.0),
        bars=bars,
    )
    if last - first < LEAST_SCALE_MM or layout.under.top - low < CAUTIONS_MM:
        needed = (
            side.width_mm + first + LEAST_SCALE_MM - last,
            side.height_mm + low + CAUTIONS_MM - layout.under.top,
        )
        raise InputError(
            "paper",
            paper.label,
            f"a sheet of at least {min(needed):.0f} x {max(needed):.0f} mm",
            larger(lambda known: known.width_mm >= min(needed) and known.height_mm >= max(needed)),
        )
    return layout


def _scales(layout: _Layout) -> Iterator[Shape]:
    """Millimetres along both prongs, from the scale line outward."""
    for side in (-1, 1):
        out = -side
        yield Line(layout.edge(side, layout.first), layout.edge(side, layout.last), Stroke(PLAIN))
        for mm in range(round(layout.first), round(layout.last) + 1):
            x, y = edge = layout.edge(side, mm)
            tick = 5.2 if mm % 10 == 0 else 4.0 if mm % 5 == 0 else 2.8
            heavy = PLAIN if mm % 10 == 0 else FINE
            yield Line(edge, (x, y + out * tick), Stroke(heavy))
            if mm % 10 == 0 and layout.first < mm < layout.last - 3:
                low = y + out * 6.3 - (0.0 if out > 0 else capital_mm(grid.FIGURES_PT))
                yield Label(f"{mm}", (x, low), grid.FIGURES_PT, "middle")


def _outline(layout: _Layout) -> Iterator[Shape]:
    """The fork's cut line: round the spindle, out to both prongs, and along the slot.

    A second sheet has a tongue as wide as the scales are apart in the place of the neck.
    """
    end = layout.last + END_MM
    if layout.start:
        back, wide, neck = layout.start - TONGUE_MM, SCALE_MM, 3.0
        root = layout.start
    else:
        back, wide, neck = -NECK_MM, NECK_MM, NECK_MM
        root = layout.first - ROOT_MM
    corners = (
        ((back, -wide), neck - 0.01),
        ((root, -wide), 0.0 if layout.start else 8.0),
        ((root, -PRONG_MM), 3.0),
        ((end, -PRONG_MM), 4.0),
        ((end, -SLOT_MM), 4.0),
        ((layout.first, -SLOT_MM), 4.0),
        ((layout.first, SLOT_MM), 4.0),
        ((end, SLOT_MM), 4.0),
        ((end, PRONG_MM), 4.0),
        ((root, PRONG_MM), 3.0),
        ((root, wide), 0.0 if layout.start else 8.0),
        ((back, wide), neck - 0.01),
    )
    line = CutLine(
        name="the gauge's outline",
        corners=tuple(layout.at(reading, across) for (reading, across), _ in corners),
        radii_mm=tuple(radius for _, radius in corners),
    )
    yield from _cut(line)


def _cut(line: CutLine) -> Iterator[Shape]:
    """A cut line as scissors follow it: heavier than a cutter's."""
    for shape in line.shapes():
        if not isinstance(shape, Label):
            yield replace(shape, stroke=EDGE)


def _neck(layout: _Layout) -> Iterator[Shape]:
    """The spindle's hole, and the axis toward the slot."""
    yield from spindle_marks(layout.origin)
    yield Line(layout.at(HUB_MM), layout.at(layout.first - ROOT_MM / 2), marks.SIGHT)


def _tongue(layout: _Layout) -> Iterator[Shape]:
    """Where a second sheet lies on the first: the line of its start, and verniers to read it by."""
    for side in (-1, 1):
        edge = layout.edge(side, layout.start)
        yield Line(edge, (edge[0], edge[1] + side * (SCALE_MM - SLOT_MM)), Stroke(PLAIN))
        yield from _vernier(edge, side)
    words = ("this tongue on the", "first gauge, edges", "along its scales")
    yield from frame.centre_lines(words, layout.at(layout.start - 14.0, 2.5), frame.NOTE_PT)


def _vernier(edge: Point, side: int) -> Iterator[Shape]:
    """Ten lines below an index, from the edge inward; `side` is that of the scale, -1 or 1."""
    x, y = edge
    for line in range(VERNIER_LINES + 1):
        place = x - line * VERNIER_STEP_MM
        length = 4.4 if line % 5 == 0 else 3.0
        yield Line((place, y), (place, y + side * length), Stroke(FINE))
        if line % 5 == 0:
            # the figure of the index stands before its line, which goes on as the fold
            at = place - (1.2 if line == 0 else 0.0)
            low = y + side * 5.4 - (0.0 if side > 0 else capital_mm(SMALLEST_PT))
            yield Label(f"{line}", (at, low), SMALLEST_PT, "middle")


def _slider(zero: Point) -> Iterator[Shape]:
    """The slider, index line through `zero`: opening toward the pivot, flaps beyond the fold."""
    x, y = zero
    back, bar, tip = x - OPENING_MM - BAR_MM, x - OPENING_MM, x + FLAP_MM
    line = CutLine(
        name="the slider's outline",
        corners=(
            (back, y - SCALE_MM),
            (tip, y - SCALE_MM),
            (tip, y - SLOT_MM),
            (bar, y - SLOT_MM),
            (bar, y + SLOT_MM),
            (tip, y + SLOT_MM),
            (tip, y + SCALE_MM),
            (back, y + SCALE_MM),
        ),
        radii_mm=(0.0, 0.0, 0.0, 3.0, 3.0, 0.0, 0.0, 0.0),
    )
    yield from _cut(line)
    for side in (-1, 1):
        outer, inner = y - side * SCALE_MM, y - side * SLOT_MM
        yield Line((x, outer), (x, inner), FOLD)
        yield from _vernier((x, outer), side)
        middle = (outer + inner) / 2 - capital_mm(frame.NOTE_PT) / 2
        yield Label("flap: fold up at 0", (x + FLAP_MM / 2, middle), frame.NOTE_PT, "middle")
    at = (back + bar) / 2 + 1.0, y
    for text, shift in (("slider", 0.0), ("spindle this side", -4.0)):
        yield Label(
            text,
            (at[0] - 1.0 - shift, at[1]),
            frame.NOTE_PT,
            "middle",
            bold=shift == 0.0,
            angle_rad=math.pi / 2,
        )


def _words(paper: Paper, layout: _Layout, title: str, note: str) -> Iterator[Shape]:
    """Title over the neck, steps below the prongs, cautions under the slider."""
    left, right = layout.under.left, layout.under.right
    about = (
        f"Reads {layout.least:g} to {layout.most:g} mm from spindle to pivot.",
        frame.print_line(paper),
        note,
    )
    top, floor = layout.origin[1] + PRONG_MM, layout.origin[1] + NECK_MM + GAP_MM / 2
    for size in (grid.HEAD_PT, 12.0, 9.0):
        heading, low = grid.head(title, about, (left, top), right - left, size)
        if low > floor:
            break
    else:
        raise frame.no_room(paper)
    yield from heading
    yield from layout.card.corners()
    card = layout.card
    middle = (card.low[0] + card.high[0]) / 2
    check = ("Scale check: a bank card fits these", "four corners exactly.")
    yield from frame.centre_lines(check, (middle, card.high[1] - 4.0), frame.NOTE_PT)
    slot = Label("The slot: cut out", (middle, card.low[1] + 2.0), frame.NOTE_PT, "middle")
    yield slot
    # what is done before the slot is cut out may be printed in it
    inside = Region(
        left=card.low[0] + 3.0,
        right=card.high[0] - 2.0,
        bottom=card.low[1] + frame.CARD_CORNER_ARM_MM,
        top=card.high[1] - frame.CARD_CORNER_ARM_MM - 1.5,
    )
    first = grid.step_columns(_before_cutting(layout), inside, 1)
    assert first is not None
    yield from first
    steps = _steps(layout)
    words = layout.words
    placed = grid.largest_steps(steps, words, 2 if words.width < 260 else 3, 3)
    if placed is None:
        raise frame.no_room(paper)
    yield from placed
    drawn, low = grid.cautions(CAUTIONS, layout.under, grid.FIGURES_PT)
    if low < layout.under.bottom - 1.0:
        raise frame.no_room(paper)
    yield from drawn


CAUTIONS = (
    ("plug", "Power off and plug out; never lift or force the arm by its tube."),
    ("guard", "Guard on the stylus, arm locked in its rest."),
    ("scissors", "Cut away from your fingers, with the sheet off the deck."),
)


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
        "slider_zero": [[x, y + SCALE_MM], [x, y - SCALE_MM]],
        "joint": joint if layout.start else None,
        **layout.bars.features,
        "card": layout.card.feature,
    }


def _before_cutting(layout: _Layout) -> list[Step]:
    """The steps before the slot is cut out."""
    return [
        Step(
            "Print this sheet and let it lie for an hour. Measure both bars between the centres of "
            "their end marks.",
            f"{layout.bars.lengths}, ± 0.2 mm.",
        ),
        Step(
            "Fix it to thin card with spray adhesive or tape; wet glue stretches paper. Cut out "
            f"gauge and slider, {'slit the hole, ' if layout.start == 0 else ''}fold the flaps up."
        ),
    ]


def _steps(layout: _Layout) -> list[Step]:
    """The other steps in the order of doing, for a scale that starts at `layout.start`."""
    start = layout.start
    place = (
        Step(
            "Hold the gauge flat, slot toward the pivot, and slide its prongs under the arm, one "
            "on each side of the pillar. Lower the hole over the spindle.",
            "The pivot is midway between the scales within 2 mm; the free end is propped level.",
        )
        if start == 0
        else Step(
            "Put the gauge that starts at the spindle in place. Lay this one's tongue on its "
            f"prongs, edges along both scales, the line {start:g} near its {start:g}; tape it.",
            "Read the tongue's line on both scales as in step 6; the mean is J. The two may differ "
            "by 0.5 mm.",
        )
    )
    return [
        place,
        Step(
            "Cut away whatever meets the rest, the lift or the base, a whole prong if need be: one "
            "scale is enough.",
            "The gauge lies flat and touches no part of the arm.",
        ),
        Step(
            "Lay the slider over the slot, edges along both scales. Look across it, level with the "
            "pivot, and move it until the near flap hides the far flap.",
            "Both are in line with the pivot's centre.",
        ),
        Step(
            "Read both scales: millimetres at the last mark before the 0, tenths at the vernier "
            "line that meets a mark." + (f" Add J and subtract {start:g}." if start else ""),
            "The two agree within 0.3 mm: take the mean.",
        ),
        Step("Take the slider off and read twice more. The mean of the three is pivot to spindle."),
        Step(
            "One scale alone: keep the slider's edge along it (good to 0.3 mm). No slider: stand a "
            "small box with one side along the scale and look along its front (0.5 mm)."
        ),
        Step(
            "No mark on the pivot: read both edges of its round housing; the centre is half-way. "
            + HEIGHT_TEXT
        ),
    ]
