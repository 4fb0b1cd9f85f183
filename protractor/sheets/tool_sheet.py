"""A sheet with a tool and a card: where both lie on the paper, and on how many pages.

The tool is drawn as one sees it from the front of the deck, on a page on its side. What proves the
scale stands beside it; the card too where there is room, else it has a page of its own. On a small
paper the tool has its page alone, under a line of title.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Protocol

from protractor.drawing.shapes import Label, Page, Point, Shape
from protractor.drawing.type import capital_mm, wrap
from protractor.errors import InputError
from protractor.printing.paper import Paper, larger, turn_sheet
from protractor.sheets import frame, grid
from protractor.sheets.frame import Bars, Card, Region
from protractor.sheets.pointer import HEIGHT_MM, LENGTH_MM, pointer
from protractor.sheets.setup_card import SetupCard
from protractor.sheets.signs import scissors

BESIDE_MM = 8.0
"""Between the tool and what stands beside it."""

FROM_BAR_MM = 4.0
"""Between the X bar and what stands above it."""

CAPTION_MM = 44.0
"""Width of the words to the right of the pointer, gap included."""

POINTER_WORDS_MM = 16.0
"""What the words below the pointer take in height."""

STRIP_MM, STRIP_PT = 11.0, 12.0
"""Height of a title above a tool that has its page alone, and the title's size."""

POINTER_WORDS = (
    "Pointer, best on card: cut out with its window, fold the bar up. With the fold on a front "
    "line and the straight edge on the dot it must read zero."
)


class OnPlatter(Protocol):
    """A tool as a sheet needs it."""

    @property
    def reach_mm(self) -> tuple[float, float, float, float]:
        """How far it reaches left, below, right of and above the spindle, the tongue apart [mm]."""
        ...

    @property
    def sight_mm(self) -> float:
        """How long a sight line from the spindle has to be at the least [mm]."""
        ...

    @property
    def scissors(self) -> Point:
        """Where the sign stands on its cut line."""
        ...

    @property
    def features(self) -> dict[str, Any]:
        """Where its measured things are, as in `Page.features`."""
        ...

    def shapes(self) -> list[Shape]:
        """All that is drawn within the cut line, and the cut line."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolSheet:
    """What a sheet shows, whatever its paper.

    `tool` makes the tool for a place of the spindle and an end of the sight line; `card` the card
    for the bars' lengths in words. `made_from` and `note` are lines under the title, `needs` says
    in errors what takes the room.
    """

    title: str
    subject: str
    made_from: str
    note: str
    code: str
    needs: str
    tool: Callable[[Point, float], OnPlatter]
    card: Callable[[str], SetupCard]

    def pages(self, paper: Paper) -> tuple[Page, ...]:
        """The pages on a paper; raises `InputError` that names the smallest one that would do."""
        found = self._try(paper)
        if found is None:
            width, height = self._least(paper)
            raise InputError(
                "paper",
                paper.label,
                f"a sheet of at least {width:.0f} x {height:.0f} mm for {self.needs}",
                larger(lambda known: self._try(known) is not None),
            )
        return found

    def _try(self, paper: Paper) -> tuple[Page, ...] | None:
        """The pages on a paper on its side, else upright and alone; None when they do not fit."""
        side = paper if paper.turned else turn_sheet(paper)
        ways = ((side, True), (side, False), (turn_sheet(side), False))
        for sheet, beside in ways:
            if all(short <= 0 for short in self._short_of(sheet, beside=beside)):
                try:
                    return self._beside(sheet) if beside else self._alone(sheet)
                except InputError as error:
                    if error.name != "paper":
                        raise
        return None

    def _short_of(self, sheet: Paper, *, beside: bool) -> tuple[float, float]:
        """What a sheet lacks in width and height [mm]; negative where there is room left."""
        tool = self.tool((0.0, 0.0), 0.0)
        left, low, right, high = tool.reach_mm
        bars = Bars.along_edges(sheet)
        across = right + BESIDE_MM + frame.CARD_WIDTH_MM if beside else max(right, tool.sight_mm)
        width = across - left
        height = high - low + (1.0 if beside else STRIP_MM + 1.0)
        return (
            width - (sheet.right - bars.right_of_y - 2.0),
            height - (sheet.top - bars.top_of_x),
        )

    def _least(self, paper: Paper) -> tuple[float, float]:
        """Width and height of the smallest upright sheet with this one's margins [mm]."""
        side = paper if paper.turned else turn_sheet(paper)
        needed = []
        for sheet, beside in ((side, True), (side, False), (turn_sheet(side), False)):
            across, up = self._short_of(sheet, beside=beside)
            needed.append(sorted((sheet.width_mm + across, sheet.height_mm + up)))
        width, height = min(needed, key=lambda size: size[0] * size[1])
        return math.ceil(width), math.ceil(height)

    def _page(self, sheet: Paper, tool: OnPlatter, shapes: list[Shape], card: Card | None) -> Page:
        bars = Bars.along_edges(sheet)
        return frame.page_on(
            sheet,
            title=self.title,
            subject=f"{self.subject}, {sheet.label}",
            shapes=(*tool.shapes(), *scissors(tool.scissors), *bars.shapes(), *shapes),
            features={
                **tool.features,
                **bars.features,
                "card": card.feature if card else None,
            },
        )

    def _lines(self, sheet: Paper) -> tuple[str, ...]:
        """The small lines under the title of the tool's page."""
        note = (
            f"{self.note} X is the paper's short side." if self.note and sheet.turned else self.note
        )
        return self.made_from, frame.print_line(sheet), note

    def _beside(self, sheet: Paper) -> tuple[Page, ...]:
        """Tool and proof of scale on one page, the card on it too or on the next ones."""
        left, low, right, high = self.tool((0.0, 0.0), 0.0).reach_mm
        bars = Bars.along_edges(sheet)
        spindle = (bars.right_of_y + 2.0 - left, sheet.top - high)
        tool = self.tool(spindle, sheet.right - 4.0)
        side = Region(
            left=spindle[0] + right + BESIDE_MM,
            right=sheet.right,
            bottom=bars.top_of_x + FROM_BAR_MM,
            top=spindle[1] - 16.0,
        )
        below = Region(
            left=bars.right_of_y + 4.0,
            right=side.left - BESIDE_MM,
            bottom=side.bottom,
            top=spindle[1] + low - 4.0,
        )
        together = self._together(side, below, sheet)
        if together is not None:
            return (self._page(sheet, tool, *together),)
        lines = (*self._lines(sheet), f"Sheet {self.code}; figures and steps are on its card.")
        head, y = grid.head(self.title, lines, (side.left, side.top), side.width)
        shapes = [*head, *_pointer((side.left, y - BESIDE_MM - HEIGHT_MM), side.right)]
        card = Card.standing_on((side.left, side.bottom))
        room = y - BESIDE_MM - HEIGHT_MM - 12.0 > card.high[1]
        proof = [*card.corners(), *card.note()] if room else []
        first = self._page(sheet, tool, [*shapes, *proof], card if room else None)
        return first, *self._card_pages(sheet, bars, with_pointer=False)

    def _together(
        self, side: Region, below: Region, sheet: Paper
    ) -> tuple[list[Shape], Card] | None:
        """The card beside the tool and the proof of scale below it; None without the room."""
        high = frame.CARD_HEIGHT_MM + BESIDE_MM + HEIGHT_MM
        if below.top - below.bottom < high or below.width < LENGTH_MM + CAPTION_MM:
            return None
        card = self.card(Bars.along_edges(sheet).lengths)
        shapes = replace(card, lines=self._lines(sheet)).shapes(side)
        if shapes is None:
            return None
        outline = Card.standing_on((below.left, below.bottom))
        corner = below.left, outline.high[1] + BESIDE_MM
        cut = _pointer(corner, below.right, aside=True)
        return [*shapes, *outline.corners(), *outline.note(), *cut], outline

    def _alone(self, sheet: Paper) -> tuple[Page, ...]:
        """The tool under a line of title, and the card with the pointer on the next pages."""
        left, _, _, high = self.tool((0.0, 0.0), 0.0).reach_mm
        bars = Bars.along_edges(sheet)
        x, y = bars.right_of_y + 2.0, sheet.top - capital_mm(STRIP_PT)
        tool = self.tool((x - left, sheet.top - STRIP_MM - high), sheet.right - 4.0)
        title = frame.clip(wrap(self.title, sheet.right - x, STRIP_PT, bold=True), 1)
        head: list[Shape] = [Label(line, (x, y), STRIP_PT, bold=True) for line in title]
        lines, _ = frame.set_lines([frame.print_line(sheet)], (x, y - 0.6), frame.NOTE_PT)
        return (
            self._page(sheet, tool, [*head, *lines], None),
            *self._card_pages(sheet, bars, with_pointer=True),
        )

    def _card_pages(self, sheet: Paper, bars: Bars, *, with_pointer: bool) -> tuple[Page, ...]:
        """The card on a page of its own, or on two when the steps take one."""
        card = self.card(bars.lengths)
        region = Region(left=sheet.left, right=sheet.right, bottom=sheet.bottom, top=sheet.top)
        whole = None if with_pointer else card.shapes(region)
        if whole is not None:
            return (self._card_page(sheet, whole),)
        shapes, free = card.without_steps(region)
        needs = HEIGHT_MM + POINTER_WORDS_MM if with_pointer else 0.0
        steps = card.steps_alone(region)
        if steps is None or free.top - free.bottom < needs:
            raise frame.no_room(sheet)
        if with_pointer:
            shapes += _pointer((free.left, free.top - HEIGHT_MM), free.right)
        return self._card_page(sheet, shapes), self._card_page(sheet, steps)

    def _card_page(self, sheet: Paper, shapes: list[Shape]) -> Page:
        return frame.page_on(
            sheet,
            title=f"{self.title}: card",
            subject=f"{self.subject}, {sheet.label}",
            shapes=shapes,
            features={},
        )


def _pointer(corner: Point, right: float, *, aside: bool = False) -> list[Shape]:
    """The pointer, and how to cut it and prove it: below it, or to its right."""
    x, y = corner
    size = grid.FIGURES_PT
    at = (x + LENGTH_MM + 6.0, y + HEIGHT_MM + 1.2) if aside else (x, y - 1.5)
    labels, _ = frame.set_lines([POINTER_WORDS], at, size, width=right - at[0])
    return [*pointer(corner), *labels]
