"""The answers about cartridge, arm and phono stage as a page beside a deck's worksheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from protractor import __version__
from protractor.drawing.shapes import FINE, Label, Line, Page, Shape, Stroke
from protractor.drawing.type import capital_mm, printable, wrap
from protractor.printing.paper import Paper
from protractor.sheets import grid
from protractor.sheets.frame import Region, leading_mm, no_room, page_on

SIZES_PT = (9.0, 8.5, 8.0, 7.5)
"""Sizes of the table, the best first."""

COLUMNS = (("", 0.0), ("value", 0.27), ("between", 0.285), ("verdict", 0.44), ("what to do", 0.61))
"""Headings of the columns and where each is, as a share of the width; a value ends at its own."""

GAP_MM = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FitRow:
    """One answer in words: what it is about, value with unit, interval, verdict, what to do.

    `plain` is a verdict that asks for nothing.
    """

    name: str
    value: str
    interval: str
    verdict: str
    change: str
    plain: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class FitPart:
    """The answers of one subject under its heading."""

    heading: str
    rows: tuple[FitRow, ...]


def fit_page(
    title: str,
    parts: Sequence[FitPart],
    open_questions: Sequence[str],
    cautions: Sequence[tuple[str, str]],
    paper: Paper,
) -> Page:
    """The answers as a page; nothing on it is to scale.

    `open_questions` are sentences on what could not be answered, `cautions` as `grid.cautions` has
    them. Raises `InputError` for a paper
    that has no room for all of it.
    """
    for size in SIZES_PT:
        shapes, low = _page(title, parts, open_questions, cautions, paper, size)
        if low >= paper.bottom:
            return page_on(
                paper,
                title=f"Cartridge, arm and phono stage: {title}",
                subject=f"Whether they suit, {paper.label}",
                shapes=shapes,
                features={},
            )
    raise no_room(paper, "a sheet with room for every answer")


def _page(
    title: str,
    parts: Sequence[FitPart],
    open_questions: Sequence[str],
    cautions: Sequence[tuple[str, str]],
    paper: Paper,
    size: float,
) -> tuple[list[Shape], float]:
    """The shapes at one size of the table, and the y of what is lowest."""
    left, right = paper.left, paper.right
    width = right - left
    about = (
        "Do cartridge, arm and phono stage suit one another? By their data sheets; where a sheet "
        f"leaves something open, the interval does. Nothing is to scale. protractor {__version__}"
    )
    shapes, y = grid.head(title, [about], (left, paper.top), width)
    y -= GAP_MM + capital_mm(size)
    at = [left + share * width for _, share in COLUMNS]
    for (name, _), x in zip(COLUMNS, at, strict=True):
        shapes.append(Label(name, (x, y), size, "end" if name == "value" else "start", bold=True))
    for part in parts:
        y -= 1.45 * leading_mm(size)
        shapes.append(Label(printable(part.heading), (left, y), size, bold=True))
        shapes.append(Line((left, y - 1.5), (right, y - 1.5), Stroke(FINE)))
        y -= 0.8
        for row in part.rows:
            drawn, y = _row(row, at, right, y, size)
            shapes += drawn
    if open_questions:
        y -= 1.45 * leading_mm(size)
        shapes.append(Label("Not answered", (left, y), size, bold=True))
        shapes.append(Line((left, y - 1.5), (right, y - 1.5), Stroke(FINE)))
        y -= 0.8
        for text in open_questions:
            for line in wrap(text, width, size):
                y -= leading_mm(size)
                shapes.append(Label(line, (left, y), size))
    region = Region(left=left, right=right, bottom=paper.bottom, top=y - GAP_MM)
    drawn, y = grid.cautions(cautions, region, size)
    return [*shapes, *drawn], y


def _row(
    row: FitRow, at: Sequence[float], right: float, y: float, size: float
) -> tuple[list[Shape], float]:
    """One answer, its last cell on as many lines as it takes; and the y of the lowest."""
    top = y - leading_mm(size)
    shapes: list[Shape] = [
        Label(row.name, (at[0], top), size),
        Label(row.value, (at[1], top), size, "end"),
        Label(row.interval, (at[2], top), size),
        Label(row.verdict, (at[3], top), size, bold=not row.plain),
    ]
    lines = wrap(printable(row.change), right - at[4], size) or [""]
    for line in lines:
        y -= leading_mm(size)
        shapes.append(Label(line, (at[4], y), size))
    return [each for each in shapes if not isinstance(each, Label) or each.text], y - 0.6
