"""The worksheet of a deck: what was measured, what was aimed at, every round, what is due."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from protractor import __version__
from protractor.drawing.shapes import FINE, Label, Line, Page, Shape, Stroke
from protractor.drawing.type import capital_mm, width_mm, wrap
from protractor.printing.paper import Paper
from protractor.sheets import grid
from protractor.sheets.frame import NOTE_PT, Region, leading_mm, no_room, page_on
from protractor.sheets.grid import FIGURES_PT, Group

NUMBER_MM, READ_MM = 14.0, 62.0
"""From the left edge to what was read in a round, and how wide that column is."""

WRITTEN = ("set up by, on", "tracking force", "anti-skating", "remarks")
"""What is left to be written by hand."""

WRITTEN_MM = 9.0
"""Between two lines to write on."""

BY_HAND = 3
"""Rows that are left for rounds that are written by hand while none is in the log."""

GAP_MM = 6.0
"""Between two blocks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """One round: its number, what was read, what to move, and a heading when a series begins."""

    number: int
    read: str
    move: str
    series: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worksheet:
    """What is known of the work on one deck, in words.

    `due` is what comes next, `command` how it is done, empty when nothing is; `verdicts` are
    further groups of figures, such as whether the cartridge suits the arm.
    """

    title: str
    measured: Group
    target: Group
    rounds: tuple[Round, ...]
    ended: str
    due: str
    command: str = ""
    verdicts: tuple[Group, ...] = ()
    notes: str = ""


def worksheet_page(sheet: Worksheet, paper: Paper) -> Page:
    """The worksheet as a page for the customer's file.

    Where the paper is too small for every round, the latest are shown and the others counted.
    Raises `InputError` when it is too small for the last one.
    """
    for shown in range(len(sheet.rounds), -1, -1):
        if sheet.rounds and not shown:
            break
        shapes, low = _page(sheet, paper, shown)
        if low >= paper.bottom:
            return page_on(
                paper,
                title=f"Worksheet: {sheet.title}",
                subject=f"Worksheet, {paper.label}",
                shapes=shapes,
                features={},
            )
    raise no_room(paper, "a sheet with room for the worksheet")


def _page(sheet: Worksheet, paper: Paper, shown: int) -> tuple[list[Shape], float]:
    """The shapes with the last `shown` rounds, and the y of what is lowest."""
    left, right = paper.left, paper.right
    about = f"Worksheet. Nothing on it is to scale. protractor {__version__}"
    shapes, y = grid.head(
        sheet.title,
        [about, sheet.notes and f"Notes: {sheet.notes}"],
        (left, paper.top),
        right - left,
    )

    def below(gap: float = GAP_MM) -> Region:
        return Region(left=left, right=right, bottom=paper.bottom, top=y - gap)

    drawn, y = grid.groups([sheet.measured, sheet.target], below())
    shapes += drawn
    drawn, y = _rounds(sheet.rounds, shown, below())
    shapes += drawn
    drawn, y = _said([("How it ended", sheet.ended), ("Next", sheet.due)], sheet.command, below())
    shapes += drawn
    if sheet.verdicts:
        drawn, y = grid.groups(sheet.verdicts, below(), count=2)
        shapes += drawn
    for name in WRITTEN:
        y -= WRITTEN_MM
        shapes.append(Label(name, (left, y), FIGURES_PT))
        start = left + max(width_mm(each, FIGURES_PT) for each in WRITTEN) + 3.0
        shapes.append(Line((start, y - 0.8), (right, y - 0.8), Stroke(FINE)))
    return shapes, y - 2.0


def _rounds(rounds: Sequence[Round], shown: int, region: Region) -> tuple[list[Shape], float]:
    """The rounds as a table, with rows to write in when there is none; and the y of its end."""
    y = region.top - capital_mm(FIGURES_PT)
    read_at, move_at = region.left + NUMBER_MM, region.left + NUMBER_MM + READ_MM
    shapes: list[Shape] = [
        Label(text, (x, y), FIGURES_PT, bold=True)
        for text, x in (("Round", region.left), ("Read", read_at), ("What to move", move_at))
    ]
    shapes.append(Line((region.left, y - 1.5), (region.right, y - 1.5), Stroke(FINE)))
    y -= 0.8
    left_out = len(rounds) - shown
    for text in [f"{left_out} earlier in the log"] if left_out else []:
        y -= leading_mm(FIGURES_PT)
        shapes.append(Label(text, (read_at, y), FIGURES_PT))
    for each in rounds[left_out:]:
        if each.series:
            for line in wrap(each.series, region.right - read_at, FIGURES_PT):
                y -= leading_mm(FIGURES_PT)
                shapes.append(Label(line, (read_at, y), FIGURES_PT))
        cells = [
            (region.left, [str(each.number)]),
            (read_at, wrap(each.read, READ_MM - 4.0, FIGURES_PT)),
            (move_at, wrap(each.move, region.right - move_at, FIGURES_PT)),
        ]
        rows = max(len(lines) for _, lines in cells)
        for x, lines in cells:
            for row, line in enumerate(lines):
                at = (x, y - (row + 1) * leading_mm(FIGURES_PT))
                shapes.append(Label(line, at, FIGURES_PT))
        y -= rows * leading_mm(FIGURES_PT)
    for _ in range(0 if rounds else BY_HAND):
        y -= WRITTEN_MM
        shapes.append(Line((region.left, y), (region.right, y), Stroke(FINE)))
    return shapes, y


def _said(
    pairs: Sequence[tuple[str, str]], command: str, region: Region
) -> tuple[list[Shape], float]:
    """Names in bold with a sentence beside each, the command on a line of its own; and the y."""
    tab = region.left + max(width_mm(name, FIGURES_PT, True) for name, _ in pairs) + 4.0
    y = region.top - capital_mm(FIGURES_PT) + leading_mm(FIGURES_PT)
    shapes: list[Shape] = []
    for name, text in pairs:
        shapes.append(Label(name, (region.left, y - leading_mm(FIGURES_PT)), FIGURES_PT, bold=True))
        for line in wrap(text, region.right - tab, FIGURES_PT):
            y -= leading_mm(FIGURES_PT)
            shapes.append(Label(line, (tab, y), FIGURES_PT))
    for line in wrap(command, region.right - tab, NOTE_PT):
        y -= leading_mm(FIGURES_PT)
        shapes.append(Label(line, (tab, y), NOTE_PT))
    return shapes, y
