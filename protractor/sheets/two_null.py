"""The two-null sheet: two targets and no arc, for any deck and for small paper."""

from __future__ import annotations

import math
from collections.abc import Iterator

from protractor import __version__
from protractor.alignment import to_hundredth
from protractor.drawing.shapes import THINNEST, Label, Line, Page, Point, Shape, Stroke
from protractor.drawing.type import SMALLEST_PT, wrap
from protractor.errors import InputError
from protractor.paper import Paper
from protractor.records import Record
from protractor.sheets import marks
from protractor.sheets.marks import Paragraph, Region
from protractor.sheets.wording import CARD_TEXT

SPINDLE_FROM_LEFT_MM = 25.0
"""Spindle from the clear area's left edge: beside the Y bar."""

CLOSEST_NULLS_MM, INNERMOST_NULL_MM = 17.0, 30.0
"""Nulls that lie closer, to each other or to the spindle, leave no room for two targets."""

TEXT_SIZES_PT = (10.0, 9.5, 9.0, 8.5, 8.0, 7.5, SMALLEST_PT)


def two_null_page(
    nulls_mm: tuple[float, float],
    scheme: str,
    record: Record,
    paper: Paper,
    title: str = "",
    note: str = "",
) -> Page:
    """The page that sets a cartridge tangent to the groove at two null radii, on any deck.

    Both null points lie on a line to the right of the spindle, seen from above on a clockwise
    platter. `scheme` and `record` tell where the radii come from, `note` what is said about a
    printer's correction. Raises `InputError` when the radii leave no room for two targets, or when
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
    spindle = _spindle(outer, paper)
    name = title or "Two-null sheet"
    x_bar, y_bar = marks.bar_ends(paper)
    working = list(_working(spindle, nulls_mm))
    text, card = _text(spindle, nulls_mm, paper, name, list(_words(nulls_mm, scheme, record, note)))
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


def _half_widths(nulls_mm: tuple[float, float]) -> tuple[float, float]:
    """Half widths of the two targets' grids: not into each other, nor into the spindle's rings."""
    inner, outer = nulls_mm
    gap = (outer - inner) / 2 - 1.5
    return min(13.0, gap, inner - 14.0), min(13.0, gap)


def _spindle(outer: float, paper: Paper) -> Point:
    """The spindle's place: targets above the X bar, and everything on the paper."""
    x = paper.left + SPINDLE_FROM_LEFT_MM
    y = paper.bottom + 2 * marks.BAR_REACH_MM + 3 + marks.FAN_REACH_MM
    wanted = (
        x + outer + 16 + paper.width_mm - paper.right,
        y + marks.TARGET_REAR_REACH_MM + 13 + paper.height_mm - paper.top,
    )
    if paper.width_mm < wanted[0] or paper.height_mm < wanted[1]:
        raise InputError(
            "paper",
            paper.label,
            f"a sheet of at least {wanted[0]:.0f} x {wanted[1]:.0f} mm for a null at "
            f"{to_hundredth(outer)} mm",
            "take a larger one",
        )
    return x, y


def _working(spindle: Point, nulls_mm: tuple[float, float]) -> Iterator[Shape]:
    """Spindle, the line outward, and both targets with their names."""
    x, y = spindle
    inner, outer = nulls_mm
    yield from marks.spindle(spindle)
    yield Line((x + 9.6, y), (x + outer + 15, y), Stroke(THINNEST))
    for name, radius, half in zip(
        ("inner null", "outer null"), (inner, outer), _half_widths(nulls_mm), strict=True
    ):
        yield from marks.target(spindle, (x + radius, y), half)
        above = y + marks.GRID_REAR_MM + 2.6
        yield Label(name, (x + radius, above + marks.leading_mm(8)), 8, "middle", bold=True)
        yield Label(f"{to_hundredth(radius)} mm", (x + radius, above), 8, "middle")


def _text(
    spindle: Point,
    nulls_mm: tuple[float, float],
    paper: Paper,
    title: str,
    words: list[Paragraph],
) -> tuple[list[Shape], list[list[float]] | None]:
    """Title, card outline and steps; and the card's corners, None when left out."""
    left, right, y = spindle[0] - 9, paper.right, paper.top
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
    band = spindle[1] + marks.TARGET_REAR_REACH_MM + 2
    for with_card in (True, False):
        if with_card and (
            y - band < marks.CARD_HEIGHT_MM + 4 or right - left < marks.CARD_WIDTH_MM + 50
        ):
            continue
        column = right - marks.CARD_WIDTH_MM
        low = y - marks.CARD_HEIGHT_MM
        regions = _regions(spindle, nulls_mm, paper, (y, column - 4 if with_card else right))
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


def _regions(
    spindle: Point, nulls_mm: tuple[float, float], paper: Paper, above: tuple[float, float]
) -> list[Region]:
    """The free boxes in the order of reading; `above` is top and right edge of the uppermost."""
    (x, y), (inner, outer) = spindle, nulls_mm
    halves = _half_widths(nulls_mm)
    top, above_right = above
    floor = paper.bottom + 2 * marks.BAR_REACH_MM + 3
    band = y + marks.TARGET_REAR_REACH_MM + 2
    boxes = [
        (x - 9, above_right, band, top),
        (x + 12, x + inner - halves[0] - 3, y + 3, min(top, band)),
        (x - 9, x + inner - 10, floor, y - 13),
        (x + inner + 10, x + outer - 10, floor, y - marks.GRID_FRONT_MM - 3),
        (x + outer + halves[1] + 4, paper.right, floor, min(top, band)),
    ]
    return [
        Region(left=left, right=right, bottom=bottom, top=upper)
        for left, right, bottom, upper in boxes
        if right - left > 22 and upper - bottom > 6
    ]


def _words(
    nulls_mm: tuple[float, float], scheme: str, record: Record, note: str
) -> Iterator[Paragraph]:
    """Steps in the order of doing, cautions, and where the radii come from."""
    inner, outer = (to_hundredth(radius) for radius in nulls_mm)
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
    if note:
        yield Paragraph(text=note)
