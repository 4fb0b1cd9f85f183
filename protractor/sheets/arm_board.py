"""The arm board: where to drill for a new arm of a given effective length.

The effective length is kept and the pivot moves. Around the spindle runs the circle on which the
pivot gives the alignment, and beside it the ring inside which the slots of the headshell can still
correct what the hole is out of place. Drawn as one sees it from the front of the deck: the pivot to
the right; what can hurt stands first.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.drawing.shapes import (
    FINE,
    PLAIN,
    Arc,
    Circle,
    Label,
    Line,
    Page,
    Point,
    Shape,
    Stroke,
    polar,
)
from protractor.drawing.type import capital_mm
from protractor.errors import InputError
from protractor.printing.paper import PAPERS, Paper, larger, turn_sheet
from protractor.sheets import frame, grid, marks, names
from protractor.sheets.frame import Bars, Region
from protractor.sheets.grid import Group
from protractor.sheets.piece import spindle_marks
from protractor.sheets.steps import Step

CARTRIDGE_SPREAD_MM = 1.0
"""Stylus tip to mounting-hole centres is 9.5 ± 1 mm (IEC 98:1987): the slots' first duty."""

FROM_BAR_MM, GAP_MM = 4.0, 5.0
"""From a bar's figures to the drawing, and between blocks."""

HUB_MM = 9.0
"""What the spindle's rings need to either side."""

RING_REACH_MM = 30.0
"""How far the circle and the ring run to either side of the pivot."""

RING_WORDS_MM = 5.0
"""What the words beyond the ends of the ring need."""

CROSS_MM = 7.0
"""Half the length of the cross in the pivot's centre."""

WARNING_PT = 11.0

THINNEST_RING_MM = 0.3
"""A ring's edge that lies closer to the circle is not drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mounting:
    """What the arm asks of the board, in mm.

    `slots_mm` is the travel of the cartridge's screws in the slots, end to end; `mount_mm` the
    diameter of the hole that the arm's base needs, None when it is not known.
    """

    slots_mm: float = 6.0
    mount_mm: float | None = None


def pivot_ring(alignment: Alignment, slots_mm: float) -> tuple[float, float]:
    """Least and greatest pivot to spindle that the slots can still make good [mm].

    The slots give half their travel either way, of which the cartridge's own spread takes 1 mm.
    They stand at the offset angle, so a slide s makes the length sqrt(L² + 2 L s cos(beta) + s²),
    less than L + s; for a length L' the pivot belongs at sqrt(L'² - r1 r2). The greater one of the
    offset angles before and after counts, which is the safe side.

    >>> from protractor.alignments.align import align
    >>> from protractor.alignments.deck import Deck
    >>> [round(d, 2) for d in pivot_ring(align(Deck(effective_length_mm=239.3)), 6.0)]
    [220.02, 223.99]

    Source: the law of cosines in the triangle pivot, stylus before, stylus after.
    """
    arm = alignment.arm
    length, linear = arm.effective_length_mm, abs(arm.linear_offset_mm)
    # the product of the null radii, which an arm without nulls has too
    product = length**2 - arm.pivot_to_spindle_mm**2
    spare = max(0.0, slots_mm / 2 - CARTRIDGE_SPREAD_MM)
    edges = []
    for slide in (-spare, spare):
        slots_at, reached = abs(arm.offset_angle_rad), length
        for _ in range(4):  # settles to a nanometre
            reached = math.sqrt(length**2 + 2 * length * slide * math.cos(slots_at) + slide**2)
            slots_at = max(slots_at, math.asin(linear / reached))
        edges.append(math.sqrt(reached**2 - product))
    return edges[0], edges[1]


def board_page(
    alignment: Alignment,
    paper: Paper,
    mounting: Mounting | None = None,
    title: str = "",
    note: str = "",
) -> Page:
    """The drilling drawing of one arm: spindle and pivot on one sheet, in true scale.

    Drawn on the paper's side. `note` is a line on what the sheet was corrected for.

    Raises `InputError` when spindle and pivot do not fit on the paper together.
    """
    mounting = mounting or Mounting()
    d = alignment.arm.pivot_to_spindle_mm
    side = turn_sheet(paper) if paper.width_mm < paper.height_mm else paper
    bars = Bars.along_edges(side)
    left = bars.right_of_y + FROM_BAR_MM
    ring = pivot_ring(alignment, mounting.slots_mm)
    half = max(RING_REACH_MM + RING_WORDS_MM, (mounting.mount_mm or 0.0) / 2)
    beyond = max(ring[1], d + CROSS_MM, d + (mounting.mount_mm or 0.0) / 2) + 1.0
    _check_room(paper, left + HUB_MM + beyond + side.width_mm - side.right, d)
    spindle = x, y = left + HUB_MM, side.top - half
    pivot = (x + d, y)
    name = title or "Arm board"
    words = Region(
        left=left,
        right=side.right,
        bottom=bars.top_of_x + FROM_BAR_MM,
        top=y - half - GAP_MM,
    )
    head, low = grid.head(
        name, (names.made_from(alignment), frame.print_line(side), note), (left, side.top), d - 15.0
    )
    if low < y + HUB_MM:
        raise frame.no_room(paper)
    return frame.page_on(
        side,
        title=name,
        subject=f"Arm board, effective length {to_hundredth(alignment.arm.effective_length_mm)} "
        f"mm, {alignment.label}, {paper.label}",
        shapes=(
            *head,
            *spindle_marks(spindle),
            *_axis(spindle, pivot, d),
            *_ring(spindle, d, ring),
            *_drill(pivot, mounting),
            *bars.shapes(),
            *_words(alignment, mounting, ring, words, bars, paper),
        ),
        features={"spindle": list(spindle), "pivot": list(pivot), **bars.features},
    )


def _check_room(paper: Paper, needed_mm: float, pivot_to_spindle_mm: float) -> None:
    """Raise `InputError` when the paper's long side is shorter than `needed_mm`."""
    if needed_mm <= max(paper.height_mm, paper.width_mm):
        return
    raise InputError(
        "paper",
        paper.label,
        f"a sheet at least {math.ceil(needed_mm)} mm long, for spindle and pivot "
        f"{pivot_to_spindle_mm:.1f} mm apart on one sheet",
        larger(lambda known: known.height_mm >= needed_mm)
        if needed_mm <= max(known.height_mm for known in PAPERS.values())
        else f"give `paper` 297x{math.ceil(needed_mm)}mm for a plotter or a cutter",
    )


def _axis(spindle: Point, pivot: Point, d: float) -> Iterator[Shape]:
    """The line from the spindle to the pivot, with its length."""
    x, y = spindle
    yield Line((x + HUB_MM, y), (pivot[0] - 8.0, y), marks.SIGHT)
    text = f"pivot to spindle {to_hundredth(d)} mm, centre to centre"
    yield Label(text, (x + HUB_MM + 4.0, y + 1.8), grid.FIGURES_PT, bold=True)


def _ring(spindle: Point, d: float, ring: tuple[float, float]) -> Iterator[Shape]:
    """The circle for the pivot, and the two edges of the ring that the slots make good."""
    for radius, stroke in (
        (d, Stroke(PLAIN)),
        *((edge, Stroke(FINE, (3.0, 1.5))) for edge in ring),
    ):
        if radius != d and abs(radius - d) < THINNEST_RING_MM:
            continue
        reach = RING_REACH_MM / radius
        yield Arc(spindle, radius, -reach, reach, stroke)
    # the inner edge is lettered below its lower end, the outer one above its upper end
    for edge, way, drop in ((ring[0], -1, 1.0 + capital_mm(grid.FIGURES_PT)), (ring[1], 1, 1.4)):
        if abs(edge - d) >= THINNEST_RING_MM:
            x, y = polar(spindle, edge, way * RING_REACH_MM / edge)
            text = f"{to_hundredth(edge)} mm"
            yield Label(text, (x, y + (drop if way > 0 else -drop)), grid.FIGURES_PT, "end")


def _drill(pivot: Point, mounting: Mounting) -> Iterator[Shape]:
    """The pivot's centre to punch, and the hole for the arm's base when it is known."""
    x, y = pivot
    for dx, dy in ((CROSS_MM, 0.0), (0.0, CROSS_MM)):
        yield Line((x - dx, y - dy), (x + dx, y + dy), Stroke(FINE))
    yield Circle(pivot, 1.0, Stroke(FINE))
    if mounting.mount_mm is not None:
        yield Circle(pivot, mounting.mount_mm / 2, Stroke(FINE, layer="inner cut"))


def _words(
    alignment: Alignment,
    mounting: Mounting,
    ring: tuple[float, float],
    region: Region,
    bars: Bars,
    paper: Paper,
) -> list[Shape]:
    """Warnings in the first column, figures and steps in the others."""
    first, *others = grid.columns(region, 3)
    y = region.top - capital_mm(grid.FIGURES_PT)
    shapes: list[Shape] = [
        Label("Before you drill", (first.left, y), WARNING_PT, bold=True),
        Line((first.left, y - 1.5), (first.right, y - 1.5), Stroke(FINE)),
    ]
    warned, low = grid.cautions(CAUTIONS, replace(first, top=y - 4.0))
    rest = replace(region, left=others[0].left)
    figures, y = grid.groups(_groups(alignment, mounting, ring), rest)
    steps = grid.largest_steps(
        _steps(mounting, ring, bars), replace(rest, top=y - GAP_MM - 1.0), len(others)
    )
    if steps is None or low < region.bottom - 1.0:
        raise frame.no_room(paper)
    return [*shapes, *warned, *figures, *steps]


CAUTIONS = (
    (
        "plug",
        "Pull the mains plug. Mains wiring is work for a licensed person; keep to your local "
        "rules.",
    ),
    (
        "",
        "Look under the plinth first: motor, wiring, transformer, springs and the platter's "
        "bearing may lie under the mark.",
    ),
    (
        "guard",
        "Take platter, arm and cartridge off. Keep chips out of bearing and motor.",
    ),
    ("", "Clamp the board, limit the drill's depth, wear eye protection."),
    (
        "",
        "Manufacturers' instructions take precedence; this drawing comes without warranty. A hole "
        "cannot be undone: when in doubt, drill a trial board.",
    ),
)


def _groups(
    alignment: Alignment, mounting: Mounting, ring: tuple[float, float]
) -> tuple[Group, Group]:
    """What is kept and drilled, and what that gives."""
    arm = alignment.arm
    nulls = " and ".join(to_hundredth(radius) for radius in arm.null_radii_mm if radius > 0)
    mount = f"{mounting.mount_mm:g} mm" if mounting.mount_mm is not None else "see maker's drawing"
    return (
        Group(
            heading="drill",
            rows=(
                ("pivot to spindle", names.length(arm.pivot_to_spindle_mm)),
                ("slots still reach", f"{to_hundredth(ring[0])} to {names.length(ring[1])}"),
                ("hole for the base", mount),
            ),
        ),
        Group(
            heading="for an arm of",
            rows=(
                ("effective length", names.length(arm.effective_length_mm)),
                ("overhang", names.length(arm.overhang_mm)),
                ("offset angle", f"{arm.offset_angle_deg:.2f}°"),
                ("null radii", f"{nulls} mm" if nulls else "none"),
            ),
        ),
    )


def _steps(mounting: Mounting, ring: tuple[float, float], bars: Bars) -> list[Step]:
    """The steps in the order of doing."""
    slack = (
        f"With slots of {mounting.slots_mm:g} mm the pivot may lie between the dashed arcs."
        if ring[1] - ring[0] > 2 * THINNEST_RING_MM
        else f"Slots of {mounting.slots_mm:g} mm leave nothing over: keep to the circle."
    )
    return [
        Step(
            "Print at 100 %. Measure both bars between the centres of their end marks.",
            f"{bars.lengths}, ± 0.2 mm; else do not drill.",
        ),
        Step(
            "Compare lengths and mounting hole with the arm maker's own drawing.",
            "Where they differ, the maker's drawing counts.",
        ),
        Step(
            "Choose a place on the full circle: clear of platter, record and lid.",
            "The counterweight has room, and the arm swings from rest to label.",
        ),
        Step(
            "Cut the slits and press the sheet over the spindle. Turn the drawn pivot to that "
            "place and tape the sheet flat.",
            "A rule from spindle to pivot reads the same.",
        ),
        Step("Punch the centre lightly, take the sheet off, measure again. Then drill."),
        Step(f"Mount the arm and align the cartridge. {slack}"),
    ]
