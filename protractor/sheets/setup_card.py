"""The card: what is held in the hand while the tool lies on the platter.

Title, figures in the order of use, steps, boxes for three rounds of readings, the command that goes
on with them, cautions. It stands beside the tool where there is room, else on a page of its own.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from protractor.drawing.shapes import Label, Shape
from protractor.drawing.type import capital_mm, width_mm, wrap
from protractor.sheets import grid
from protractor.sheets.frame import Region, leading_mm
from protractor.sheets.grid import FIGURES_PT, Group
from protractor.sheets.steps import Step

BLOCK_GAP_MM = 4.5
"""Between the blocks of the card."""

WIDE_MM = 230.0
"""A region as wide has three columns of steps."""

ROW_MM = 7.0
"""Height of a box for a reading."""

COMMAND_MM = 4.0
"""From the left edge to the continued lines of the command."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupCard:
    """What is on the card, in the order in which it stands there."""

    title: str
    lines: tuple[str, ...]
    groups: tuple[Group, ...]
    steps: tuple[Step, ...]
    readings: tuple[str, ...]
    code: str
    command: str
    cautions: Sequence[tuple[str, str]]

    def shapes(self, region: Region) -> list[Shape] | None:
        """The card in a region, its steps as large as fits; None when they do not fit at 9 pt."""
        shapes, middle = self.without_steps(region)
        steps = self._steps(middle)
        return None if steps is None else [*shapes, *steps]

    def steps_alone(self, region: Region) -> list[Shape] | None:
        """Title and steps; None when they do not fit at 9 pt."""
        head, y = grid.head(self.title, self.lines, (region.left, region.top), region.width)
        steps = self._steps(replace(region, top=y - BLOCK_GAP_MM))
        return None if steps is None else [*head, *steps]

    def without_steps(self, region: Region) -> tuple[list[Shape], Region]:
        """Everything but the steps, and the region that is left for them.

        A wide card has its cautions beside the title and the command beside the readings; a narrow
        one has them below.
        """
        wide = region.width > WIDE_MM
        left, right = grid.columns(region, 2) if wide else (region, region)
        head, y = grid.head(self.title, self.lines, (left.left, left.top), left.width)
        shapes = list(head)
        if wide:
            warned, low = grid.cautions(self.cautions, right)
            shapes += warned
            y = min(y, low)
        count = min(len(self.groups), max(1, int(region.width // 58)))
        figures, y = grid.groups(self.groups, replace(region, top=y - BLOCK_GAP_MM), count=count)
        foot, top = self._foot(region, wide)
        middle = replace(region, top=y - BLOCK_GAP_MM, bottom=top + BLOCK_GAP_MM)
        return [*shapes, *figures, *foot], middle

    def _steps(self, region: Region) -> list[Shape] | None:
        count = 3 if region.width > WIDE_MM else 2 if region.width > 110 else 1
        return grid.largest_steps(self.steps, region, count)

    def _foot(self, region: Region, wide: bool) -> tuple[list[Shape], float]:
        """Readings, command and, on a narrow card, cautions, at the foot; and their top."""
        rows = (len(self.readings) + 1) * ROW_MM
        if wide:
            left, right = grid.columns(region, 2)
            table = replace(left, top=left.bottom + rows)
            command, low = self._command(replace(right, top=table.top - 1.0))
            lift = max(0.0, right.bottom - low)
            table = replace(table, top=table.top + lift, bottom=table.bottom + lift)
            command, _ = self._command(replace(right, top=table.top - 1.0))
            return [*grid.rounds_table(table, self.readings), *command], table.top
        _, low = self._command(replace(region, top=0.0))
        top = region.bottom - low
        command, _ = self._command(replace(region, top=top))
        table = replace(region, bottom=top + 4.0, top=top + 4.0 + rows)
        _, low = grid.cautions(self.cautions, replace(region, top=0.0))
        top = table.top + 4.0 - low
        warned, _ = grid.cautions(self.cautions, replace(region, top=top))
        return [*command, *grid.rounds_table(table, self.readings), *warned], top

    def _command(self, region: Region) -> tuple[list[Shape], float]:
        """Code and command from the region's top down; and the y of the last baseline."""
        size = FIGURES_PT
        lines = command_lines(self.command, region.width - COMMAND_MM, size)
        more = ", continue with your readings in the gaps, as one line:" if lines else ""
        y = region.top - capital_mm(size)
        shapes: list[Shape] = [Label(f"Sheet {self.code}{more}", (region.left, y), size, bold=True)]
        for line in lines:
            y -= leading_mm(size)
            shapes.append(Label(line, (region.left + COMMAND_MM, y), size))
        return shapes, y


def command_lines(command: str, width: float, size_pt: float) -> list[str]:
    """A command in lines no wider than a width [mm] that break between options alone.

    An option that is wider by itself is broken where it has spaces.

    >>> command_lines("protractor correct --pivot-to-spindle 222 --code ABC", 60.0, 9.0)
    ['protractor correct --pivot-to-spindle 222', '--code ABC']
    """
    pieces = re.split(r" (?=--)", command) if command else []
    lines: list[str] = []
    for piece in pieces:
        joined = f"{lines[-1]} {piece}" if lines else piece
        if lines and width_mm(joined, size_pt) <= width:
            lines[-1] = joined
        elif width_mm(piece, size_pt) <= width:
            lines.append(piece)
        else:
            lines += wrap(piece, width, size_pt)
    return lines
