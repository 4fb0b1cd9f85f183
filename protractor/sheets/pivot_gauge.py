"""The pivot gauge: two scales from the spindle, a window for the pivot, and a slider with verniers.

The pivot stands in the window between the scales, in the plane of the platter. The slider bridges
the window; its flaps stand up beside the pivot and carry the line of sight to the pivot's height.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

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
from protractor.drawing.type import MM_PER_POINT, SMALLEST_PT
from protractor.errors import InputError
from protractor.printing.paper import PAPERS, Paper
from protractor.sheets import marks
from protractor.sheets.marks import CAPITAL_HEIGHT, Paragraph, Region
from protractor.sheets.pivot_gauge_wording import HEIGHT_TEXT, steps
from protractor.sheets.vernier import VERNIER_LINES, VERNIER_STEP_MM
from protractor.sheets.wording import CARD_TEXT

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

TEXT_SIZES_PT = (9.0, 8.5, 8.0, 7.5, SMALLEST_PT)

CUT = Stroke(PLAIN, layer="cut")
INNER_CUT = Stroke(PLAIN, layer="inner cut")
FOLD = Stroke(FINE, (4.0, 1.0, 1.0, 1.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Places:
    """Where the main things stand on the page [mm]; `origin` is where the scale reads 0."""

    origin: Point
    first: float
    last: float
    slider: Point
    card: Point
    x_bar: tuple[Point, float]
    y_bar: tuple[Point, float]

    @property
    def least(self) -> float:
        """Least distance that the gauge reads: the vernier needs the scale below its index."""
        return self.first + READ_FROM_MM

    @property
    def most(self) -> float:
        """Greatest distance that the gauge reads: the pivot's housing needs the window."""
        return self.last - HOUSING_MM


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
    places = _place(paper, start_mm)
    name = title or ("Pivot gauge" if start_mm == 0 else f"Pivot gauge from {start_mm:g} mm")
    drawing = [
        *(marks.spindle(places.origin) if start_mm == 0 else _tongue(places, start_mm)),
        *_window(places, start_mm),
        *_scales(places),
        *_outline(places, start_mm),
        *_slider(places.slider),
        *marks.card(places.card),
        *marks.bar(*places.x_bar, 0.0, "X bar"),
        *marks.bar(*places.y_bar, math.pi / 2, "Y bar"),
    ]
    return Page(
        title=name,
        subject=f"Pivot gauge, {places.least:g} to {places.most:g} mm from the spindle, "
        f"{paper.label}",
        paper=paper.name,
        width_mm=paper.width_mm,
        height_mm=paper.height_mm,
        shapes=(*drawing, *_text(paper, places, start_mm, (name, note))),
        features=_features(places, start_mm),
    )


def _place(paper: Paper, start_mm: float) -> _Places:
    x = paper.left + RAIL_MM
    column = x + RAIL_MM + 3.0
    bar_y = paper.bottom + (19.0 + marks.BAR_REACH_MM if start_mm == 0 else marks.BAR_REACH_MM)
    card_y = bar_y + marks.BAR_REACH_MM + 2.0
    ladder = card_y + marks.CARD_HEIGHT_MM + 4.0
    if start_mm == 0:
        first = FIRST_READING_MM
        origin = (x, paper.bottom + 10.0)
        ladder = origin[1] + first
    else:
        first = start_mm
        ladder += TONGUE_MM
        origin = (x, ladder - start_mm)
    last = math.floor(paper.top - BRIDGE_MM - 2.0 - origin[1])
    y_bar_x = paper.right - marks.BAR_REACH_MM
    y_bar_y = bar_y + marks.BAR_REACH_MM + 4.0
    x_bar_length = math.floor((paper.right - paper.left - 6 - 14) / 10) * 10.0
    y_bar_length = math.floor((paper.top - y_bar_y - 14) / 10) * 10.0
    room = y_bar_x - marks.BAR_REACH_MM - column
    needed = (paper.width_mm + 2 * SCALE_MM - room, paper.height_mm + 150 - y_bar_length)
    if room < 2 * SCALE_MM or y_bar_length < 150 or last - first < 60:
        fitting = [
            p.label
            for p in sorted(PAPERS.values(), key=lambda p: p.width_mm * p.height_mm)
            if p.width_mm >= needed[0] and p.height_mm >= needed[1]
        ]
        raise InputError(
            "paper",
            paper.label,
            f"a sheet of at least {needed[0]:.0f} x {needed[1]:.0f} mm",
            f"take {fitting[0]}" if fitting else "no paper known here is large enough",
        )
    return _Places(
        origin=origin,
        first=first,
        last=float(last),
        slider=(column + room / 2, paper.top - 20.0 - FLAP_MM),
        card=(paper.left + 3.0, card_y),
        x_bar=((paper.left + 6.0, bar_y), x_bar_length),
        y_bar=((y_bar_x, y_bar_y), y_bar_length),
    )


def _scales(places: _Places) -> Iterator[Shape]:
    """Millimetres along both rails, from the scale line outward."""
    x, y = places.origin
    for side in (-1, 1):
        edge = x + side * SCALE_MM
        yield Line((edge, y + places.first), (edge, y + places.last), Stroke(FINE))
        for mm in range(round(places.first), round(places.last) + 1):
            tick = 5.5 if mm % 10 == 0 else 4.0 if mm % 5 == 0 else 2.8
            yield Line((edge, y + mm), (edge + side * tick, y + mm), Stroke(THINNEST))
            if mm % 10 == 0 and places.first < mm < places.last:
                drop = CAPITAL_HEIGHT * SMALLEST_PT * MM_PER_POINT / 2
                at = (edge + side * 6.3, y + mm - drop)
                yield Label(f"{mm}", at, SMALLEST_PT, "start" if side > 0 else "end")


def _window(places: _Places, start_mm: float) -> Iterator[Shape]:
    """The window that the pivot stands in; open at the tongue of a second sheet."""
    x, y = places.origin
    bottom = y + places.first - (TONGUE_MM if start_mm else 0.0)
    top = y + places.last
    corners = [(x - WINDOW_MM, bottom), (x - WINDOW_MM, top), (x + WINDOW_MM, top)]
    corners.append((x + WINDOW_MM, bottom))
    for start, end in pairwise(corners):
        yield Line(start, end, INNER_CUT)
    if not start_mm:
        yield Line(corners[-1], corners[0], INNER_CUT)
    yield Label("window: cut out", (x, (bottom + top) / 2), 8, "middle")


def _outline(places: _Places, start_mm: float) -> Iterator[Shape]:
    """The gauge's outer edge, where it is not the paper's own."""
    x, y = places.origin
    low, high = y + places.first, y + places.last + BRIDGE_MM
    right = x + RAIL_MM
    if start_mm == 0:
        # the foot with the spindle and the X bar keeps the paper's full width
        foot = places.x_bar[0][1] + marks.BAR_REACH_MM + 2.0
        yield Line((right, foot), (right, high), CUT)
        yield Line((right, foot), (places.y_bar[0][0] + marks.BAR_REACH_MM, foot), CUT)
        return
    left = x - RAIL_MM
    yield Line((right, low), (right, high), CUT)
    yield Line((left, low), (left, high), CUT)
    for side in (-1, 1):
        yield Line((x + side * RAIL_MM, low), (x + side * SCALE_MM, low), CUT)
        yield Line((x + side * SCALE_MM, low), (x + side * SCALE_MM, low - TONGUE_MM), CUT)
        yield Line(
            (x + side * SCALE_MM, low - TONGUE_MM), (x + side * WINDOW_MM, low - TONGUE_MM), CUT
        )


def _vernier(edge: Point, side: int) -> Iterator[Shape]:
    """Ten lines below an index, from the edge inward; `side` is that of the scale, -1 or 1."""
    x, y = edge
    for line in range(VERNIER_LINES + 1):
        place = y - line * VERNIER_STEP_MM
        length = 4.5 if line % 5 == 0 else 3.0
        yield Line((x, place), (x - side * length, place), Stroke(THINNEST))
        if line % 5 == 0:
            drop = CAPITAL_HEIGHT * SMALLEST_PT * MM_PER_POINT * (0.5 if line else 1.0) + (
                0.0 if line else 0.6
            )
            at = (x - side * 5.2, place - drop)
            yield Label(f"{line}", at, SMALLEST_PT, "end" if side > 0 else "start")


def _tongue(places: _Places, start_mm: float) -> Iterator[Shape]:
    """Where a second sheet lies on the first: the line of its start, and verniers to read it by."""
    x, y = places.origin
    for side in (-1, 1):
        edge = (x + side * SCALE_MM, y + start_mm)
        yield Line(edge, (x + side * WINDOW_MM, edge[1]), Stroke(FINE))
        yield from _vernier(edge, side)


def _slider(zero: Point) -> Iterator[Shape]:
    """The slider, index line through `zero`: opening toward the pivot, flaps beyond the fold."""
    x, y = zero
    foot, top = y - OPENING_MM - BAR_MM, y + FLAP_MM
    for side in (-1, 1):
        outer, inner = x + side * SCALE_MM, x + side * WINDOW_MM
        yield Line((outer, foot), (outer, top), CUT)
        yield Line((outer, top), (inner, top), CUT)
        yield Line((inner, top), (inner, y - OPENING_MM), CUT)
        yield Line((outer, y), (inner, y), FOLD)
        yield from _vernier((outer, y), side)
        for row, text in enumerate(("flap", "fold up", "at 0")):
            at = ((outer + inner) / 2, y + FLAP_MM / 2 + 3 - row * marks.leading_mm(SMALLEST_PT))
            yield Label(text, at, SMALLEST_PT, "middle")
    yield Line((x - WINDOW_MM, y - OPENING_MM), (x + WINDOW_MM, y - OPENING_MM), CUT)
    yield Line((x - SCALE_MM, foot), (x + SCALE_MM, foot), CUT)
    for row, text in enumerate(
        ("slider: this bar toward the spindle,", "its edges along the scales")
    ):
        at = (x, foot + BAR_MM / 2 + 0.8 - row * marks.leading_mm(8))
        yield Label(text, at, 8, "middle")


def _text(paper: Paper, places: _Places, start_mm: float, head: tuple[str, str]) -> Iterator[Shape]:
    """Title, card note and steps; the largest type that fits is taken."""
    left = places.slider[0] - SCALE_MM
    right = places.slider[0] + SCALE_MM
    y = paper.top - 5.0
    title, about = head
    yield Label(_short(title, right - left), (left, y), 14, bold=True)
    for row, text in enumerate(
        (
            f"{paper.label}. Print at 100 % (actual size), borderless off.",
            f"For pivots {places.least:g} to {places.most:g} mm from the spindle.",
            f"protractor {__version__}",
        )
    ):
        yield Label(text, (left, y - 5.0 - row * marks.leading_mm(8)), 8)
    x, card_y = places.card
    note = Region(
        left=x + 6,
        right=x + marks.CARD_WIDTH_MM - 6,
        bottom=card_y,
        top=card_y + marks.CARD_HEIGHT_MM - 6,
    )
    yield from marks.flow([Paragraph(text=CARD_TEXT)], [note], 8.0) or []
    below = places.slider[1] - OPENING_MM - BAR_MM - 4.0
    regions = [
        Region(
            left=left, right=right, bottom=places.x_bar[0][1] + marks.BAR_REACH_MM + 4, top=below
        ),
        Region(
            left=note.left,
            right=note.right,
            bottom=card_y + 2,
            top=note.top - 4 * marks.leading_mm(8.0),
        ),
    ]
    words = steps(places.x_bar[1], places.y_bar[1], start_mm)
    words += [Paragraph(text=about)] if about else []
    # the reason for the flaps gives way to what is said about a correction
    brief = [word for word in words if word.text != HEIGHT_TEXT]
    for some, size in ((some, size) for some in (words, brief) for size in TEXT_SIZES_PT):
        labels = marks.flow(some, regions, size)
        if labels is not None:
            yield from labels
            return
    raise InputError("paper", paper.label, "a sheet with room for the steps", "take a larger one")


def _short(title: str, room_mm: float) -> str:
    """The title's first line, ending in an ellipsis when there is more."""
    from protractor.drawing.type import wrap

    lines = wrap(title, room_mm, 14, bold=True)
    return lines[0] if len(lines) == 1 else lines[0][:-1] + "…"


def _features(
    places: _Places, start_mm: float
) -> dict[str, list[float] | list[list[float]] | None]:
    """Where a reader may measure [mm]; a scale by its first and last mark."""
    x, y = places.origin
    zx, zy = places.slider
    (bx, by), x_length = places.x_bar
    (cx, cy), y_length = places.y_bar
    card_x, card_y = places.card

    def scale(side: int) -> list[list[float]]:
        edge = x + side * SCALE_MM
        return [[edge, y + places.first], [edge, y + places.last]]

    return {
        "spindle": [x, y] if start_mm == 0 else None,
        "scale_left": scale(-1),
        "scale_right": scale(1),
        "scale_mm": [places.first, places.last],
        "pivots_mm": [places.least, places.most],
        "slider_zero": [[zx - SCALE_MM, zy], [zx + SCALE_MM, zy]],
        "joint": None
        if start_mm == 0
        else [[x - SCALE_MM, y + start_mm], [x + SCALE_MM, y + start_mm]],
        "x_bar": [[bx, by], [bx + x_length, by]],
        "y_bar": [[cx, cy], [cx, cy + y_length]],
        "card": [
            [card_x, card_y],
            [card_x + marks.CARD_WIDTH_MM, card_y + marks.CARD_HEIGHT_MM],
        ],
    }
