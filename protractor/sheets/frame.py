"""What every sheet has beside its instrument: title, proof of scale, bank card, type that fits."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from protractor import __version__
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
)
from protractor.drawing.type import MM_PER_POINT, SMALLEST_PT, capital_mm, width_mm, wrap
from protractor.errors import InputError
from protractor.printing.paper import Paper

SIZES_PT = (10.0, 9.5, 9.0, 8.5, 8.0, 7.5, SMALLEST_PT)
"""Sizes of running text, the best first."""

SMALL_SIZES_PT = SIZES_PT[2:]
"""Those for a sheet that is full of marks."""

NOTE_PT = 8.0
"""Size of what is read once: the print line, names of marks, the card's note."""

TITLE_PT = 14.0

BAR_REACH_MM = 6.1
"""How far a bar's ticks and figures reach on either side of its line."""

BAR_END_MM = 3.2
"""Half the length of a bar's end marks, and the length of its longest ticks."""

FIGURES_MM = 4.1
"""From a bar's line to its figures."""

CAPTION_MM = 14.0
"""Room beyond a bar's end for its caption."""

INCH_TICKS_MM = {16: 3.2, 8: 2.8, 4: 2.4, 2: 2.0, 1: 1.5}
"""Length of a tick by the largest power of two sixteenths of an inch that divides its place."""

CARD_WIDTH_MM, CARD_HEIGHT_MM, CARD_CORNER_MM = 85.60, 53.98, 3.18
"""Bank card, ISO/IEC 7810 ID-1 (from memory)."""

CARD_CORNER_ARM_MM = 8.0
"""How far the two arms of a corner run, where only the corners are drawn."""

CARD_MARGIN_MM = 6.0
"""Between the card's outline and the note inside."""

CARD_NOTE = (
    "Scale check without a ruler: a bank card laid here meets all four corners, no more and no "
    "less."
)


def _svg_preview(page: Page) -> str:
    """The page as a notebook shows it; its text is text, ten times shorter than outlines."""
    from protractor.output.style import Style
    from protractor.output.svg import svg_bytes

    return svg_bytes(page, Style(text="text")).decode("utf-8")


Page.preview = _svg_preview


def page_on(
    paper: Paper,
    *,
    title: str,
    subject: str,
    shapes: Iterable[Shape],
    features: dict[str, Any],
) -> Page:
    """The page of a sheet on its paper; `features` as in `Page`."""
    return Page(
        title=title,
        subject=subject,
        paper=paper.name,
        width_mm=paper.width_mm,
        height_mm=paper.height_mm,
        shapes=tuple(shapes),
        features=features,
    )


def print_line(paper: Paper) -> str:
    """The line on every sheet: its paper, how to print it, and the version that drew it."""
    return f"{paper.label}. Print at 100 % (actual size), borderless off. protractor {__version__}"


def on_side_note(note: str) -> str:
    """What is said of a printer's correction on a page on its side, where X runs up the page."""
    return f"{note} X is the paper's short side." if note else ""


def no_room(paper: Paper, needed: str = "a sheet with room for the steps") -> InputError:
    """The error of a paper whose drawing fits and whose words do not."""
    return InputError("paper", paper.label, needed, "take a larger one")


def bar(origin: Point, length_mm: float, angle_rad: float, caption: str) -> Iterator[Shape]:
    """A bar that proves the scale in one direction: mm on its left side, inches on its right.

    It runs from `origin` in the direction of `angle_rad`; what is to be measured is the distance of
    its two long end marks, centre to centre. Without a caption the room beyond its end stays free.
    """
    along = (math.cos(angle_rad), math.sin(angle_rad))
    across = (-along[1], along[0])

    def at(s: float, t: float) -> Point:
        return (
            origin[0] + s * along[0] + t * across[0],
            origin[1] + s * along[1] + t * across[1],
        )

    def figure(text: str, s: float, t: float) -> Label:
        return Label(text, at(s, t), SMALLEST_PT, "middle", angle_rad=angle_rad)

    plain, fine = Stroke(PLAIN), Stroke(FINE)
    yield Line(at(0, 0), at(length_mm, 0), Stroke(FINE))
    for end in (0.0, length_mm):
        yield Line(at(end, -BAR_END_MM), at(end, BAR_END_MM), plain)
    for mm in range(round(length_mm) + 1):
        tick = BAR_END_MM if mm % 10 == 0 else 2.3 if mm % 5 == 0 else 1.5
        if 0 < mm < length_mm:
            yield Line(at(mm, 0), at(mm, tick), fine)
        if mm % 10 == 0:
            yield figure(str(mm), mm, FIGURES_MM)
    for sixteenth in range(math.floor(length_mm / 25.4 * 16) + 1):
        inch, part = divmod(sixteenth, 16)
        tick = INCH_TICKS_MM[math.gcd(sixteenth, 16) or 16]
        if sixteenth:
            yield Line(at(sixteenth * 25.4 / 16, 0), at(sixteenth * 25.4 / 16, -tick), fine)
        if part == 0:
            yield figure(str(inch), inch * 25.4, -FIGURES_MM - capital_mm(SMALLEST_PT))
    for text, t in ((f"{caption}, mm", 0.6), ("inch", -2.6)) if caption else ():
        yield Label(text, at(length_mm + 2, t), SMALLEST_PT, angle_rad=angle_rad)


def bar_length(room_mm: float) -> float:
    """The whole centimetres of a bar that has this room, its caption included [mm]."""
    return math.floor((room_mm - CAPTION_MM) / 10) * 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bars:
    """The two bars that prove the scale: where each starts, and how long it is [mm]."""

    x_start: Point
    x_length: float
    y_start: Point
    y_length: float

    @classmethod
    def along_edges(cls, paper: Paper) -> Bars:
        """Along the lower and the left edge, as long as they can be."""
        y = paper.bottom + BAR_REACH_MM
        left, bottom = paper.left + 16, y + BAR_REACH_MM + 4
        return cls(
            x_start=(left, y),
            x_length=bar_length(paper.right - left),
            y_start=(paper.left + BAR_REACH_MM, bottom),
            y_length=bar_length(paper.top - bottom),
        )

    @property
    def top_of_x(self) -> float:
        """Upper edge of the X bar's figures [mm]."""
        return self.x_start[1] + BAR_REACH_MM

    @property
    def right_of_y(self) -> float:
        """Right edge of the Y bar's figures [mm]."""
        return self.y_start[0] + BAR_REACH_MM

    @property
    def lengths(self) -> str:
        """Both lengths in words."""
        return f"X bar {self.x_length:.1f} mm, Y bar {self.y_length:.1f} mm"

    @property
    def features(self) -> dict[str, Any]:
        """The ends of both, for `Page.features`."""
        (x, y), (u, v) = self.x_start, self.y_start
        return {
            "x_bar": [[x, y], [x + self.x_length, y]],
            "y_bar": [[u, v], [u, v + self.y_length]],
        }

    def shapes(self) -> list[Shape]:
        """Both bars with their captions."""
        return [
            *bar(self.x_start, self.x_length, 0.0, "X bar"),
            *bar(self.y_start, self.y_length, math.pi / 2, "Y bar"),
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """The outline of a bank card: its lower left and its upper right corner [mm]."""

    low: Point
    high: Point

    @classmethod
    def standing_on(cls, low: Point) -> Card:
        """The card whose lower left corner is given."""
        return cls(low=low, high=(low[0] + CARD_WIDTH_MM, low[1] + CARD_HEIGHT_MM))

    @classmethod
    def hung_from(cls, high: Point) -> Card:
        """The card whose upper right corner is given."""
        return cls(low=(high[0] - CARD_WIDTH_MM, high[1] - CARD_HEIGHT_MM), high=high)

    @property
    def feature(self) -> list[list[float]]:
        """Both corners, for `Page.features`."""
        return [list(self.low), list(self.high)]

    @property
    def inside(self) -> Region:
        """The room for text inside."""
        return Region(
            left=self.low[0] + CARD_MARGIN_MM,
            right=self.high[0] - CARD_MARGIN_MM,
            bottom=self.low[1],
            top=self.high[1] - CARD_MARGIN_MM,
        )

    def note(self) -> list[Label]:
        """What the card is for, to stand inside."""
        return flow([Paragraph(text=CARD_NOTE)], [self.inside], NOTE_PT) or []

    def corners(self) -> list[Shape]:
        """The four corners alone: text may stand between them."""
        (left, low), (right, high) = self.low, self.high
        stroke, r, arm = Stroke(FINE, layer="reference"), CARD_CORNER_MM, CARD_CORNER_ARM_MM
        shapes: list[Shape] = []
        for x, y, east, north in (
            (left, low, 1, 1),
            (right, low, -1, 1),
            (right, high, -1, -1),
            (left, high, 1, -1),
        ):
            centre = (x + east * r, y + north * r)
            start = {(1, 1): 2, (-1, 1): 3, (-1, -1): 0, (1, -1): 1}[east, north] * math.pi / 2
            shapes += [
                Line((centre[0], y), (x + east * arm, y), stroke),
                Line((x, centre[1]), (x, y + north * arm), stroke),
                Arc(centre, r, start, start + math.pi / 2, stroke),
            ]
        return shapes

    def outline(self) -> list[Shape]:
        """Four edges and four rounded corners."""
        x, y = self.low
        w, h, r = CARD_WIDTH_MM, CARD_HEIGHT_MM, CARD_CORNER_MM
        stroke = Stroke(FINE, layer="reference")
        edges = (
            ((x + r, y), (x + w - r, y)),
            ((x + w, y + r), (x + w, y + h - r)),
            ((x + w - r, y + h), (x + r, y + h)),
            ((x, y + h - r), (x, y + r)),
        )
        centres = ((x + w - r, y + h - r), (x + r, y + h - r), (x + r, y + r), (x + w - r, y + r))
        return [
            *(Line(start, end, stroke) for start, end in edges),
            *(
                Arc(centre, r, quarter * math.pi / 2, (quarter + 1) * math.pi / 2, stroke)
                for quarter, centre in enumerate(centres)
            ),
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """A box that text may fill [mm]."""

    left: float
    right: float
    bottom: float
    top: float

    @property
    def width(self) -> float:
        """Width [mm]."""
        return self.right - self.left


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """Running text, with a number or mark that hangs in front of it, or a heading over it."""

    text: str
    mark: str = ""
    heading: str = ""


def in_order(texts: Sequence[str]) -> list[Paragraph]:
    """Numbered steps under their heading."""
    return [
        Paragraph(text=text, mark=str(number), heading="In this order" if number == 1 else "")
        for number, text in enumerate(texts, start=1)
    ]


def leading_mm(size_pt: float) -> float:
    """Distance of two baselines [mm]."""
    return 1.28 * size_pt * MM_PER_POINT


def clip(lines: list[str], most: int) -> list[str]:
    """At most `most` lines, the last ending in an ellipsis when some are left out."""
    return lines if len(lines) <= most else [*lines[: most - 1], lines[most - 1][:-1] + "…"]


def set_lines(
    texts: Iterable[str],
    at: Point,
    size_pt: float,
    *,
    width: float = math.inf,
    step_mm: float | None = None,
    most: int | None = None,
    bold: bool = False,
) -> tuple[list[Label], float]:
    """Texts below each other, the first line one step below `at`; and the y of the last.

    Lines no wider than `width` [mm], and `most` of them; a step is the leading where `step_mm`
    does not say otherwise.
    """
    x, y = at
    lines = [line for text in texts for line in wrap(text, width, size_pt, bold)]
    labels = []
    for line in clip(lines, most) if most else lines:
        y -= leading_mm(size_pt) if step_mm is None else step_mm
        labels.append(Label(line, (x, y), size_pt, bold=bold))
    return labels, y


def centre_lines(
    lines: Sequence[str], at: Point, size_pt: float = SMALLEST_PT, *, bold_first: bool = False
) -> list[Label]:
    """Lines below each other about a middle, the first one's baseline in `at`."""
    x, y = at
    return [
        Label(text, (x, y - row * leading_mm(size_pt)), size_pt, "middle", bold_first and row == 0)
        for row, text in enumerate(lines)
    ]


def flow_largest(
    texts: Iterable[Sequence[Paragraph]], regions: Sequence[Region], sizes_pt: Sequence[float]
) -> list[Label] | None:
    """The first of several texts that fits, in the largest type in which it does."""
    tries = (flow(text, regions, size) for text in texts for size in sizes_pt)
    return next((labels for labels in tries if labels is not None), None)


def flow(
    paragraphs: Iterable[Paragraph], regions: Sequence[Region], size_pt: float
) -> list[Label] | None:
    """Sets paragraphs into regions in order, none of them torn; None when they do not fit."""
    step, gap = leading_mm(size_pt), 0.35 * leading_mm(size_pt)
    rest = iter(regions)
    region = next(rest, None)
    y = region.top if region else 0.0
    labels: list[Label] = []
    for paragraph in paragraphs:
        while region is not None:
            lines = _lines(paragraph, region.width, size_pt)
            if y - len(lines) * step >= region.bottom:
                break
            region = next(rest, None)
            y = region.top if region else 0.0
        if region is None:
            return None
        for pieces, bold in lines:
            baseline = y - capital_mm(size_pt)
            for x, piece in pieces:
                labels.append(Label(piece, (region.left + x, baseline), size_pt, bold=bold))
            y -= step
        y -= gap
    return labels


Pieces = tuple[tuple[float, str], ...]
"""The pieces of one line of text, each with its place on the line [mm]."""


def _lines(paragraph: Paragraph, width: float, size_pt: float) -> list[tuple[Pieces, bool]]:
    """The lines of a paragraph, and whether each is bold."""
    indent = width_mm("00 ", size_pt) if paragraph.mark else 0.0
    heading = wrap(paragraph.heading, width, size_pt, bold=True)
    lines: list[tuple[Pieces, bool]] = [(((0.0, line),), True) for line in heading]
    for number, line in enumerate(wrap(paragraph.text, width - indent, size_pt)):
        mark: Pieces = ((0.0, paragraph.mark),) if number == 0 and paragraph.mark else ()
        lines.append(((*mark, (indent, line)), False))
    return lines
