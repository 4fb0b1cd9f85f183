"""The two-null sheet: two targets and no arc, for any deck and for small paper."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from protractor import __version__
from protractor.alignments.alignment import to_hundredth
from protractor.arms.records import Record
from protractor.drawing.extent import outline
from protractor.drawing.shapes import THINNEST, Label, Line, Page, Point, Shape, Stroke
from protractor.drawing.type import SMALLEST_PT, wrap
from protractor.errors import InputError
from protractor.printing.paper import Paper
from protractor.sheets import marks
from protractor.sheets.marks import Paragraph, Region
from protractor.sheets.wording import CARD_TEXT

SPINDLE_FROM_LEFT_MM = 25.0
"""Spindle from the clear area's left edge: beside the Y bar."""

CLOSEST_NULLS_MM, INNERMOST_NULL_MM = 17.0, 30.0
"""Nulls that lie closer, to each other or to the spindle, leave no room for two targets."""

LINE_BEYOND_MM = 15.0
"""How far the line outward runs past the outer null point."""

TEXT_SIZES_PT = (10.0, 9.5, 9.0, 8.5, 8.0, 7.5, SMALLEST_PT)


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
    if not (outer - inner > CLOSEST_NULLS_MM - 1e-9 and inner > INNERMOST_NULL_MM - 1e-9):
        raise InputError(
            "null-radii",
            f"nulls at {to_hundredth(inner)} and {to_hundredth(outer)} mm",
            f"radii over {INNERMOST_NULL_MM:g} mm, at least {CLOSEST_NULLS_MM:g} mm apart",
            "choose other radii or another scheme",
        )
    targets = _Targets(
        spindle=(
            paper.left + SPINDLE_FROM_LEFT_MM,
            paper.bottom + 2 * marks.BAR_REACH_MM + 3 + marks.FAN_REACH_MM,
        ),
        nulls_mm=nulls_mm,
        zenith_rad=zenith_rad,
    )
    working = list(_working(targets))
    _fits(working, outer, paper)
    name = title or "Two-null sheet"
    x_bar, y_bar = marks.bar_ends(paper)
    spindle = targets.spindle
    text, card = _text(targets, paper, name, list(_words(targets, scheme, record, note)))
    return Page(
        title=name,
        subject=f"Two-null sheet, {to_hundredth(inner)} and {to_hundredth(outer)} mm, "
        f"{scheme}, {paper.label}",
        paper=paper.name,
        width_mm=paper.width_mm,
        height_mm=paper.height_mm,
        shapes=(
            *working,
            *marks.bar(x_bar[0], x_bar[1][0] - x_bar[0][0], 0.0, "X bar"),
            *marks.bar(y_bar[0], y_bar[1][1] - y_bar[0][1], math.pi / 2, "Y bar"),
            *text,
        ),
        features={
            "spindle": list(spindle),
            "null_inner": [spindle[0] + inner, spindle[1]],
            "null_outer": [spindle[0] + outer, spindle[1]],
            "pivot": None,
            "x_bar": [list(end) for end in x_bar],
            "y_bar": [list(end) for end in y_bar],
            "card": card,
        },
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Targets:
    """The spindle's place, the null radii and how far the targets are turned."""

    spindle: Point
    nulls_mm: tuple[float, float]
    zenith_rad: float

    @property
    def half_widths(self) -> tuple[float, float]:
        """Half widths of the grids: not into each other, nor into the spindle's rings."""
        inner, outer = self.nulls_mm
        gap = (outer - inner) / 2 - 1.5
        return min(13.0, gap, inner - 14.0), min(13.0, gap)

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


def _fits(working: list[Shape], outer: float, paper: Paper) -> None:
    """Raise `InputError` when the working part does not leave room for margins and the title."""
    points = [point for shape in working for point in outline(shape)]
    right, top = (max(values) for values in zip(*points, strict=True))
    width = paper.width_mm + max(0.0, right - paper.right)
    height = paper.height_mm + max(0.0, top + 12 - paper.top)
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
    yield Line((x + 9.6, y), (x + targets.nulls_mm[1] + LINE_BEYOND_MM, y), Stroke(THINNEST))
    for name, radius, half in zip(
        ("inner null", "outer null"), targets.nulls_mm, targets.half_widths, strict=True
    ):
        yield from marks.target(targets.spindle, (x + radius, y), half, targets.zenith_rad)
        above = y + targets.rear + 2.6
        yield Label(name, (x + radius, above + marks.leading_mm(8)), 8, "middle", bold=True)
        yield Label(f"{to_hundredth(radius)} mm", (x + radius, above), 8, "middle")


def _text(
    targets: _Targets, paper: Paper, title: str, words: list[Paragraph]
) -> tuple[list[Shape], list[list[float]] | None]:
    """Title, card outline and steps; and the card's corners, None when left out."""
    left, right, y = targets.spindle[0] - 9, paper.right, paper.top
    head: list[Shape] = []
    lines = wrap(title, right - left, 12, bold=True)
    for line in lines if len(lines) < 2 else [lines[0][:-1] + "…"]:
        y -= 4.4
        head.append(Label(line, (left, y), 12, bold=True))
    y -= 4.4
    head.append(
        Label(
            f"{paper.label}. Print at 100 % (actual size), borderless off. "
            f"protractor {__version__}",
            (left, y),
            8,
        )
    )
    y -= 3
    band = targets.spindle[1] + targets.rear + 12
    for with_card in (True, False):
        if with_card and (
            y - band < marks.CARD_HEIGHT_MM + 4 or right - left < marks.CARD_WIDTH_MM + 50
        ):
            continue
        column = right - marks.CARD_WIDTH_MM
        low = y - marks.CARD_HEIGHT_MM
        regions = _regions(targets, paper, (y, column - 4 if with_card else right))
        if with_card and low - band > 10:
            regions.insert(1, Region(left=column, right=right, bottom=band, top=low - 4))
        for size in TEXT_SIZES_PT:
            text = marks.flow(words, regions, size)
            if text is None:
                continue
            if not with_card:
                return [*head, *text], None
            inside = Region(left=column + 6, right=right - 6, bottom=low, top=y - 6)
            card_words = marks.flow([Paragraph(text=CARD_TEXT)], [inside], 8.0)
            return (
                [*head, *text, *marks.card((column, low)), *(card_words or [])],
                [[column, low], [right, y]],
            )
    raise InputError("paper", paper.label, "a sheet with room for the steps", "take a larger one")


def _regions(targets: _Targets, paper: Paper, above: tuple[float, float]) -> list[Region]:
    """The free boxes in the order of reading; `above` is top and right edge of the uppermost."""
    (x, y), (inner, outer) = targets.spindle, targets.nulls_mm
    halves, sway, lean = targets.half_widths, targets.sway, targets.lean
    front = marks.GRID_FRONT_MM + 3 + max(halves) * abs(math.sin(targets.zenith_rad))
    inward, outward = 10 - min(0.0, lean), 10 + max(0.0, lean)
    top, above_right = above
    floor = paper.bottom + 2 * marks.BAR_REACH_MM + 3
    band = y + targets.rear + 12
    boxes = [
        (x - 9, above_right, band, top),
        (x + 12, x + inner - halves[0] - sway - 3, y + 3, min(top, band)),
        (x - 9, x + inner - inward, floor, y - front),
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


def _words(targets: _Targets, scheme: str, record: Record, note: str) -> Iterator[Paragraph]:
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
    for number, text in enumerate(texts, start=1):
        yield Paragraph(text=text, mark=str(number), heading="In this order" if number == 1 else "")
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
        skew = f"{math.degrees(targets.zenith_rad):+.1f}°".replace("-", "–")
        yield Paragraph(text=f"Targets turned for a stylus askew by {skew} (+ clockwise).")
    if note:
        yield Paragraph(text=note)
