"""The two-null sheet: two targets and no arc, for any deck and for small paper."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from protractor.alignments.alignment import to_hundredth
from protractor.arms.records import Record
from protractor.drawing.extent import bounds
from protractor.drawing.shapes import THINNEST, Label, Line, Page, Point, Shape, Stroke
from protractor.errors import InputError
from protractor.printing.paper import Paper
from protractor.sheets import frame, marks
from protractor.sheets.frame import Bars, Card, Paragraph, Region

SPINDLE_FROM_LEFT_MM = 25.0
"""Spindle from the clear area's left edge: beside the Y bar."""

LEAST_GAP_MM, INNERMOST_NULL_MM = 17.0, 30.0
"""Nulls that lie closer, to each other or to the spindle, leave no room for two targets."""

LINE_BEYOND_MM = 15.0
"""How far the line outward runs past the outer null point."""

NAME_MM, BAND_MM = 2.6, 12.0
"""From a grid's rear to the name of its null point, and to what is above the name."""

EDGE_MM = 9.0
"""From the spindle to the left edge of the text."""

HEADING_PT, HEAD_STEP_MM = 12.0, 4.4


def two_null_page(
    nulls_mm: tuple[float, float],
    scheme: str,
    record: Record,
    paper: Paper,
    title: str = "",
    zenith_rad: float = 0.0,
    note: str = "",
) -> Page:
    """The page that sets a cartridge tangent to the groove at two null radii, on any deck.

    Both null points lie on a line to the right of the spindle, seen from above on a clockwise
    platter. `scheme` and `record` tell where the radii come from, `note` what is said about a
    printer's correction. Grids and fans are turned for a stylus that stands `zenith_rad` clockwise
    of its cartridge. Raises `InputError` when the radii leave no room for two targets, or when
    they do not fit on the paper.
    """
    inner, outer = nulls_mm
    # written so that a radius that is not there (nan) is refused too
    if not (outer - inner > LEAST_GAP_MM - 1e-9 and inner > INNERMOST_NULL_MM - 1e-9):
        raise InputError(
            "null-radii",
            f"nulls at {to_hundredth(inner)} and {to_hundredth(outer)} mm",
            f"radii over {INNERMOST_NULL_MM:g} mm, at least {LEAST_GAP_MM:g} mm apart",
            "choose other radii or another scheme",
        )
    bars = Bars.along_edges(paper)
    targets = _Targets(
        spindle=(paper.left + SPINDLE_FROM_LEFT_MM, _floor(bars) + marks.FAN_REACH_MM),
        nulls_mm=nulls_mm,
        zenith_rad=zenith_rad,
    )
    working = list(_working(targets))
    _check_room(working, outer, paper)
    name = title or "Two-null sheet"
    (x, y), steps = targets.spindle, list(_steps(targets, scheme, record, note))
    text, card = _text(targets, paper, name, steps, _floor(bars))
    return frame.page_on(
        paper,
        title=name,
        subject=f"Two-null sheet, {to_hundredth(inner)} and {to_hundredth(outer)} mm, "
        f"{scheme}, {paper.label}",
        shapes=(*working, *bars.shapes(), *text),
        features={
            "spindle": [x, y],
            "null_inner": [x + inner, y],
            "null_outer": [x + outer, y],
            "pivot": None,
            **bars.features,
            "card": card.feature if card else None,
        },
    )


def _floor(bars: Bars) -> float:
    """Where the drawing and the text may begin above the X bar [mm]."""
    return bars.top_of_x + 3


@dataclass(frozen=True, slots=True, kw_only=True)
class _Targets:
    """The spindle's place, the null radii and how far the targets are turned."""

    spindle: Point
    nulls_mm: tuple[float, float]
    zenith_rad: float

    @property
    def half_widths(self) -> tuple[float, float]:
        """Half widths of the grids [mm]."""
        return marks.half_widths(*self.nulls_mm)

    @property
    def lean(self) -> float:
        """How far the figures before a fan lie outward of its null point [mm]."""
        return marks.FAN_REACH_MM * math.sin(self.zenith_rad)

    @property
    def sway(self) -> float:
        """How far the turned grid reaches to either side beyond its half width [mm]."""
        return marks.GRID_REAR_MM * abs(math.sin(self.zenith_rad))

    @property
    def rear(self) -> float:
        """How far the turned grids reach behind the null points [mm]."""
        width = max(self.half_widths)
        turned = marks.GRID_REAR_MM * math.cos(self.zenith_rad)
        return turned + width * abs(math.sin(self.zenith_rad))


def _check_room(working: list[Shape], outer: float, paper: Paper) -> None:
    """Raise `InputError` when the working part does not leave room for margins and the title."""
    _, _, right, top = bounds(working)
    width = paper.width_mm + max(0.0, right - paper.right)
    height = paper.height_mm + max(0.0, top + BAND_MM - paper.top)
    if width > paper.width_mm or height > paper.height_mm:
        raise InputError(
            "paper",
            paper.label,
            f"a sheet of at least {width:.0f} x {height:.0f} mm for a null at "
            f"{to_hundredth(outer)} mm",
            "take a larger one",
        )


def _working(targets: _Targets) -> Iterator[Shape]:
    """Spindle, the line outward, and both targets with their names."""
    x, y = targets.spindle
    yield from marks.spindle(targets.spindle)
    start, end = x + marks.BEYOND_RINGS_MM, x + targets.nulls_mm[1] + LINE_BEYOND_MM
    yield Line((start, y), (end, y), Stroke(THINNEST))
    for name, radius, half in zip(
        ("inner null", "outer null"), targets.nulls_mm, targets.half_widths, strict=True
    ):
        yield from marks.target(targets.spindle, (x + radius, y), half, targets.zenith_rad)
        yield from marks.null_name(name, radius, (x + radius, y + targets.rear + NAME_MM))


def _text(
    targets: _Targets, paper: Paper, title: str, steps: list[Paragraph], floor: float
) -> tuple[list[Shape], Card | None]:
    """Title, card and steps; and the card, None when left out."""
    left, right = targets.spindle[0] - EDGE_MM, paper.right
    at, width = (left, paper.top), right - left
    heading, y = frame.set_lines(
        [title], at, HEADING_PT, width=width, step_mm=HEAD_STEP_MM, most=1, bold=True
    )
    y -= HEAD_STEP_MM
    head = [*heading, Label(frame.print_line(paper), (left, y), frame.NOTE_PT)]
    y -= 3
    band = targets.spindle[1] + targets.rear + BAND_MM
    card = Card.hung_from((right, y))
    if y - band >= frame.CARD_HEIGHT_MM + 4 and right - left >= frame.CARD_WIDTH_MM + 50:
        regions = _regions(targets, paper, floor, (y, card.low[0] - 4))
        if card.low[1] - band > 10:
            beneath = Region(left=card.low[0], right=right, bottom=band, top=card.low[1] - 4)
            regions.insert(1, beneath)
        text = frame.flow_largest([steps], regions, frame.SIZES_PT)
        if text is not None:
            return [*head, *text, *card.outline(), *card.note()], card
    text = frame.flow_largest([steps], _regions(targets, paper, floor, (y, right)), frame.SIZES_PT)
    if text is None:
        raise frame.no_room(paper)
    return [*head, *text], None


def _regions(
    targets: _Targets, paper: Paper, floor: float, above: tuple[float, float]
) -> list[Region]:
    """The free boxes in the order of reading; `above` is top and right edge of the uppermost."""
    (x, y), (inner, outer) = targets.spindle, targets.nulls_mm
    halves, sway, lean = targets.half_widths, targets.sway, targets.lean
    front = marks.GRID_FRONT_MM + 3 + max(halves) * abs(math.sin(targets.zenith_rad))
    inward, outward = 10 - min(0.0, lean), 10 + max(0.0, lean)
    top, above_right = above
    band = y + targets.rear + BAND_MM
    boxes = [
        (x - EDGE_MM, above_right, band, top),
        (x + 12, x + inner - halves[0] - sway - 3, y + 3, min(top, band)),
        (x - EDGE_MM, x + inner - inward, floor, y - front),
        (x + inner + outward, x + outer - inward, floor, y - front),
        (
            x + outer + max(halves[1] + sway + 4, outward, LINE_BEYOND_MM + 1.5),
            paper.right,
            floor,
            min(top, band),
        ),
    ]
    return [
        Region(left=left, right=right, bottom=bottom, top=upper)
        for left, right, bottom, upper in boxes
        if right - left > 22 and upper - bottom > 6
    ]


def _steps(targets: _Targets, scheme: str, record: Record, note: str) -> Iterator[Paragraph]:
    """Steps in the order of doing, cautions, and where the radii come from."""
    inner, outer = (to_hundredth(radius) for radius in targets.nulls_mm)
    texts = (
        "Print at 100 % (actual size), borderless off. Measure both bars, end mark to end mark. "
        "If one is off by more than 0.2 mm, mend the print settings.",
        "Switch the deck off, pull its plug. Stylus guard on.",
        "Pierce the cross, cut the eight slits to the circle, press the sheet over the spindle, "
        "print up. The rings must lie evenly round it.",
        "Loosen the cartridge's screws until it just slides. Take the guard off.",
        "Turn the platter until the tip, set down with the arm's lift, stands on the inner null "
        "point. Hold the platter. Turn the cartridge until its sides run along the grid.",
        "Do the same at the outer null point, but only look. If the cartridge stands clockwise "
        "there, on the + side of the fan, slide it back toward the pivot; on the – side, slide it "
        "forward. Begin again at 5.",
        "Zero at both points: tighten the screws a little in turn and check again. Set tracking "
        "force and anti-skating as the cartridge's maker says.",
    )
    yield from frame.in_order(texts)
    yield Paragraph(
        heading="Take care",
        text="A bare stylus breaks at a touch. Support the arm, never force it. Cut with a sharp "
        "knife, away from your fingers, the sheet off the deck.",
    )
    yield Paragraph(text="What the makers of deck, arm and cartridge say comes first. No warranty.")
    yield Paragraph(
        heading="This sheet",
        text=f"For any deck whose arm reaches both points: {inner} and {outer} mm, {scheme}, "
        f"record {record.name} ({record.inner_radius_mm:g} to {record.outer_radius_mm:g} mm).",
    )
    if targets.zenith_rad:
        skew = marks.signed_degrees(targets.zenith_rad)
        yield Paragraph(text=f"Targets turned for a stylus askew by {skew} (+ clockwise).")
    if note:
        yield Paragraph(text=note)
