"""The one skeleton of every sheet's words: head, groups of figures, steps, cautions.

One left edge, columns of one width, and the same thing in the same place. Nothing here flows into
what is left over: a block is set where the sheet puts it, in the size that was chosen for it, or it
does not fit and says so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from protractor.drawing.shapes import FINE, Label, Line, Point, Shape, Stroke
from protractor.drawing.type import capital_mm, width_mm, wrap
from protractor.sheets import signs
from protractor.sheets.frame import NOTE_PT, Region, clip, leading_mm, set_lines
from protractor.sheets.steps import Step

HEAD_PT, FIGURES_PT = 16.0, 9.0
"""Sizes of a sheet's title and of its figures."""

STEP_SIZES_PT = (11.0, 10.5, 10.0, 9.5, 9.0)
"""Sizes of steps, the best first: nothing that is read while a hand is busy is smaller."""

GUTTER_MM = 7.0
"""Between two columns."""

NUMBER_MM = 7.0
"""From a step's number to its words."""

SIGN_ROOM_MM = 9.0
"""From the left edge of a caution to its words, its sign between."""

TITLE_LINES = 2


def columns(region: Region, count: int, gutter_mm: float = GUTTER_MM) -> list[Region]:
    """A region's columns, all of one width."""
    width = (region.width - (count - 1) * gutter_mm) / count
    lefts = [region.left + at * (width + gutter_mm) for at in range(count)]
    return [replace(region, left=left, right=left + width) for left in lefts]


def head(
    title: str, lines: Sequence[str], at: Point, width: float, size_pt: float = HEAD_PT
) -> tuple[list[Shape], float]:
    """A sheet's title and the small lines under it; and the y of the last baseline.

    `at` is the upper left corner. Empty lines are left out.
    """
    x, y = at
    shapes: list[Shape] = []
    for line in clip(wrap(title, width, size_pt, bold=True), TITLE_LINES):
        y -= capital_mm(size_pt) if not shapes else leading_mm(size_pt)
        shapes.append(Label(line, (x, y), size_pt, bold=True))
    y -= 1.2
    labels, y = set_lines([line for line in lines if line], (x, y), NOTE_PT, width=width)
    return [*shapes, *labels], y


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Figures that belong together: a heading, and names with their values."""

    heading: str
    rows: tuple[tuple[str, str], ...]

    def height(self, size_pt: float = FIGURES_PT) -> float:
        """What it takes from its top to its last baseline [mm]."""
        return capital_mm(size_pt) + len(self.rows) * leading_mm(size_pt) + 0.8


def groups(
    these: Sequence[Group], region: Region, size_pt: float = FIGURES_PT, count: int = 0
) -> tuple[list[Shape], float]:
    """Groups side by side in columns of one width, values on one edge; and the y below them.

    A group begins at the top of its column; with fewer columns (`count`) than groups the rest
    stands below. A value that is too long for its column is set on a line of its own.
    """
    shapes: list[Shape] = []
    count = count or len(these)
    top = region.top
    for start in range(0, len(these), count):
        bottoms = []
        for group, column in zip(these[start:], columns(region, count), strict=False):
            drawn, low = _group(group, column, top, size_pt)
            shapes += drawn
            bottoms.append(low)
        top = min(bottoms) - leading_mm(size_pt)
    return shapes, top + leading_mm(size_pt)


def _group(group: Group, column: Region, top: float, size_pt: float) -> tuple[list[Shape], float]:
    """One group in its column, and the y of its last baseline."""
    y = top - capital_mm(size_pt)
    shapes: list[Shape] = [
        Label(group.heading, (column.left, y), size_pt, bold=True),
        Line((column.left, y - 1.5), (column.right, y - 1.5), Stroke(FINE)),
    ]
    y -= 0.8
    tab = max((width_mm(name, size_pt) for name, _ in group.rows), default=0.0) + 3.0
    for name, value in group.rows:
        y -= leading_mm(size_pt)
        shapes.append(Label(name, (column.left, y), size_pt))
        beside = column.width - tab
        if width_mm(value, size_pt) <= beside:
            shapes.append(Label(value, (column.left + tab, y), size_pt))
            continue
        if width_mm(value, size_pt) + width_mm(name, size_pt) + 3.0 <= column.width:
            shapes.append(Label(value, (column.right, y), size_pt, "end"))
            continue
        for line in wrap(value, column.width - 3.0, size_pt):
            y -= leading_mm(size_pt)
            shapes.append(Label(line, (column.left + 3.0, y), size_pt))
    return shapes, y


def step_columns(
    steps: Sequence[Step],
    region: Region,
    count: int = 2,
    size_pt: float = STEP_SIZES_PT[-1],
    first: int = 1,
) -> list[Shape] | None:
    """Steps in even columns, numbered from `first`; None when they do not fit into the region.

    A step's number hangs in front of what to do; a tick hangs in front of how one knows that it is
    right. No step is torn, and the columns end as evenly as the order allows.
    """
    cells = columns(region, count)
    blocks = [_lines(step, cells[0].width - NUMBER_MM, size_pt) for step in steps]
    gap = 0.45 * leading_mm(size_pt)
    heights = [len(lines) * leading_mm(size_pt) + gap for lines in blocks]
    breaks = _even(heights, count)
    if (
        breaks is None
        or max(sum(heights[a:b]) for a, b in breaks) - gap > region.top - region.bottom
    ):
        return None
    shapes: list[Shape] = []
    for (start, end), cell in zip(breaks, cells, strict=True):
        y = region.top - capital_mm(size_pt)
        for number in range(start, end):
            mark = True
            for line, (text, is_check) in enumerate(blocks[number]):
                if line == 0:
                    shapes.append(Label(f"{number + first}", (cell.left, y), size_pt, bold=True))
                elif is_check and mark:
                    shapes += signs.tick((cell.left + 4.4, y + capital_mm(size_pt) / 2))
                    mark = False
                shapes.append(Label(text, (cell.left + NUMBER_MM, y), size_pt))
                y -= leading_mm(size_pt)
            y -= gap
    return shapes


def largest_steps(
    steps: Sequence[Step], region: Region, count: int = 2, first: int = 1
) -> list[Shape] | None:
    """The steps in the largest size in which they fit; None when not even the smallest does."""
    tries = (step_columns(steps, region, count, size, first) for size in STEP_SIZES_PT)
    return next((shapes for shapes in tries if shapes is not None), None)


def _lines(step: Step, width: float, size_pt: float) -> list[tuple[str, bool]]:
    """The lines of a step, and whether each says how one knows that it is right."""
    return [
        *((line, False) for line in wrap(step.what, width, size_pt)),
        *((line, True) for line in wrap(step.know, width, size_pt)),
    ]


def _even(heights: Sequence[float], count: int) -> list[tuple[int, int]] | None:
    """Where to break a row of heights into `count` runs whose highest is as low as can be."""
    for limit in sorted(
        {sum(heights[a:b]) for a in range(len(heights)) for b in range(a + 1, len(heights) + 1)}
    ):
        runs: list[tuple[int, int]] = []
        start = 0
        while start < len(heights) and len(runs) < count:
            end, used = start, 0.0
            while end < len(heights) and used + heights[end] <= limit + 1e-9:
                used += heights[end]
                end += 1
            if end == start:
                break
            runs.append((start, end))
            start = end
        if start == len(heights):
            return runs + [(start, start)] * (count - len(runs))
    return None


def cautions(
    texts: Sequence[tuple[str, str]], region: Region, size_pt: float = FIGURES_PT
) -> tuple[list[Shape], float]:
    """Cautions together, a sign before each; and the y below them.

    Each is the name of a sign (`signs.SIGNS`, or empty) and one or two short sentences.
    """
    shapes: list[Shape] = []
    y = region.top
    for name, text in texts:
        lines = wrap(text, region.width - SIGN_ROOM_MM, size_pt)
        height = max(signs.SIGN_MM, len(lines) * leading_mm(size_pt))
        if name:
            shapes += signs.SIGNS[name]((region.left + signs.SIGN_MM / 2, y - height / 2))
        block = (len(lines) - 1) * leading_mm(size_pt) + capital_mm(size_pt)
        baseline = y - height / 2 + block / 2 - capital_mm(size_pt)
        for line in lines:
            shapes.append(Label(line, (region.left + SIGN_ROOM_MM, baseline), size_pt))
            baseline -= leading_mm(size_pt)
        y -= height + 1.6
    return shapes, y + 1.6


def rounds_table(region: Region, readings: Sequence[str], rounds: int = 3) -> Iterator[Shape]:
    """Boxes for what is read in each round: a row for each reading, named at its left."""
    size = FIGURES_PT
    name = max(width_mm(text, size) for text in readings) + 4.0
    row = (region.top - region.bottom) / (len(readings) + 1)
    step = (region.width - name) / rounds
    for at in range(len(readings) + 1):
        y = region.top - (at + 1) * row
        yield Line((region.left, y), (region.right, y), Stroke(FINE))
    for at in range(rounds + 1):
        x = region.left + name + at * step
        yield Line((x, region.top - row), (x, region.bottom), Stroke(FINE))
    for at in range(rounds):
        middle = region.left + name + (at + 0.5) * step
        yield Label(f"round {at + 1}", (middle, region.top - row + 1.3), size, "middle", bold=True)
    for at, text in enumerate(readings, start=1):
        y = region.top - at * row - row / 2 - capital_mm(size) / 2
        yield Label(text, (region.left, y), size)
