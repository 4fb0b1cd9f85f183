"""The arm board: where to drill for a new arm of a given effective length.

The effective length stays and the pivot moves. Around the spindle runs the circle on which the
pivot gives the alignment, and beside it the ring inside which the slots of the headshell can still
make good what the hole is off.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.drawing.shapes import (
    FINE,
    PLAIN,
    THINNEST,
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
from protractor.drawing.type import SMALLEST_PT, wrap
from protractor.errors import InputError
from protractor.printing.paper import PAPERS, Paper, larger
from protractor.sheets import frame, marks
from protractor.sheets.frame import Bars, Paragraph, Region

CARTRIDGE_SPREAD_MM = 1.0
"""Stylus tip to mounting-hole centres is 9.5 ± 1 mm (IEC 98:1987): the slots' first duty."""

SPINDLE_FROM_LEFT_MM = 58.0
RING_REACH_MM = 34.0
"""How far the circle and the ring run to either side of the pivot."""

RING_WORDS_MM = 4.0
"""What the words over the outer edge of the ring need."""

CROSS_MM = 7.0
"""Half the length of the cross in the pivot's centre."""

SPINDLE_UP_MM = 10.0
"""Spindle above the X bar."""

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

    `note` is a line on what the sheet was corrected for.

    Raises `InputError` when spindle and pivot do not fit on the paper together.
    """
    mounting = mounting or Mounting()
    arm = alignment.arm
    d = arm.pivot_to_spindle_mm
    bars = Bars.along_edges(paper)
    x, y = spindle = (paper.left + SPINDLE_FROM_LEFT_MM, bars.top_of_x + SPINDLE_UP_MM)
    pivot = (x, y + d)
    ring = pivot_ring(alignment, mounting.slots_mm)
    over = max(ring[1] + RING_WORDS_MM, d + CROSS_MM, d + (mounting.mount_mm or 0.0) / 2) + 1.0
    _check_room(paper, y + over + paper.height_mm - paper.top, d)
    name = title or "Arm board"
    return frame.page_on(
        paper,
        title=name,
        subject=f"Arm board, effective length {to_hundredth(arm.effective_length_mm)} mm, "
        f"{alignment.label}, {paper.label}",
        shapes=(
            *marks.spindle(spindle),
            *_axis(spindle, pivot, d),
            *_ring(spindle, d, ring),
            *_drill(pivot, mounting),
            *bars.shapes(),
            *_text(paper, bars, name, _paragraphs(alignment, paper, mounting, ring, bars, note)),
        ),
        features={"spindle": list(spindle), "pivot": list(pivot), **bars.features},
    )


def _check_room(paper: Paper, needed_mm: float, pivot_to_spindle_mm: float) -> None:
    """Raise `InputError` when the paper is not `needed_mm` high."""
    if needed_mm <= paper.height_mm:
        return
    raise InputError(
        "paper",
        paper.label,
        f"a sheet at least {math.ceil(needed_mm)} mm high, for spindle and pivot "
        f"{pivot_to_spindle_mm:.1f} mm apart on one sheet",
        larger(lambda known: known.height_mm >= needed_mm)
        if needed_mm <= max(known.height_mm for known in PAPERS.values())
        else f"give `paper` 297x{math.ceil(needed_mm)}mm for a plotter or a cutter",
    )


def _axis(spindle: Point, pivot: Point, d: float) -> Iterator[Shape]:
    """The line from the spindle to the pivot, with its length."""
    x, y = spindle
    yield Line((x, y + marks.BEYOND_RINGS_MM), (x, pivot[1] - 8.0), marks.SIGHT)
    text = f"pivot to spindle {to_hundredth(d)} mm, centre to centre"
    yield Label(text, (x - 1.6, y + 16), frame.NOTE_PT, angle_rad=math.pi / 2)


def _ring(spindle: Point, d: float, ring: tuple[float, float]) -> Iterator[Shape]:
    """The circle for the pivot, and the two edges of the ring that the slots make good."""
    for radius, stroke in (
        (d, Stroke(PLAIN)),
        *((edge, Stroke(FINE, (3.0, 1.5))) for edge in ring),
    ):
        if radius != d and abs(radius - d) < THINNEST_RING_MM:
            continue
        reach = RING_REACH_MM / radius
        yield Arc(spindle, radius, math.pi / 2 - reach, math.pi / 2 + reach, stroke)
    for edge, drop in ((ring[0], -3.2), (ring[1], 1.2)):
        if abs(edge - d) >= THINNEST_RING_MM:
            tilt = (RING_REACH_MM - 9.0) / edge
            at = polar(spindle, edge + drop, math.pi / 2 + tilt)
            yield Label(f"{to_hundredth(edge)} mm", at, SMALLEST_PT, "middle", angle_rad=tilt)


def _drill(pivot: Point, mounting: Mounting) -> Iterator[Shape]:
    """The pivot's centre to punch, and the hole for the arm's base when it is known."""
    x, y = pivot
    for dx, dy in ((CROSS_MM, 0.0), (0.0, CROSS_MM)):
        yield Line((x - dx, y - dy), (x + dx, y + dy), Stroke(THINNEST))
    yield Circle(pivot, 1.0, Stroke(FINE))
    if mounting.mount_mm is not None:
        yield Circle(pivot, mounting.mount_mm / 2, Stroke(FINE, layer="inner cut"))


def _text(paper: Paper, bars: Bars, title: str, paragraphs: list[Paragraph]) -> list[Shape]:
    """Title, numbers, steps and cautions in the column beside the drawing, as large as they fit."""
    left, right = paper.left + SPINDLE_FROM_LEFT_MM + RING_REACH_MM + 4.0, paper.right
    y = paper.top
    shapes: list[Shape] = []
    for line in wrap(title, right - left, frame.TITLE_PT, bold=True)[:2]:
        y -= 5.0
        shapes.append(Label(line, (left, y), frame.TITLE_PT, bold=True))
        y -= 1.2
    column = Region(left=left, right=right, bottom=bars.top_of_x + 4.0, top=y - 2.5)
    labels = frame.flow_largest([paragraphs], [column], frame.SIZES_PT)
    if labels is None:
        raise InputError(
            "paper",
            f"{paper.label}, {paper.width_mm:g} x {paper.height_mm:g} mm",
            "a sheet with room for the words beside the drawing, from A4 up",
            "take a larger one",
        )
    return [*shapes, *labels]


def _paragraphs(
    alignment: Alignment,
    paper: Paper,
    mounting: Mounting,
    ring: tuple[float, float],
    bars: Bars,
    note: str,
) -> list[Paragraph]:
    """What the sheet is, the steps in the order of doing, and cautions."""
    arm = alignment.arm
    nulls = " and ".join(to_hundredth(radius) for radius in arm.null_radii_mm if radius > 0)
    mount = (
        f"The hole for its base is drawn {mounting.mount_mm:g} mm across."
        if mounting.mount_mm is not None
        else "The hole for its base is not drawn; take it from the maker's drawing."
    )
    slack = (
        f"Between the dashed arcs, {to_hundredth(ring[0])} to {to_hundredth(ring[1])} mm, slots of "
        f"{mounting.slots_mm:g} mm travel still reach the alignment; 1 mm either way is kept for "
        "the cartridge (stylus to screw holes 9.5 ± 1 mm, IEC 98:1987)."
        if ring[1] - ring[0] > 2 * THINNEST_RING_MM
        else f"Slots of {mounting.slots_mm:g} mm travel leave nothing over: the pivot belongs on "
        "the circle itself."
    )
    steps = (
        f"Print at 100 % (actual size), borderless off. Measure between the centres of the end "
        f"marks: {bars.lengths}. Do not drill by a sheet "
        "that is off by more than 0.2 mm.",
        "Compare effective length, pivot to spindle and mounting hole with the arm maker's own "
        "drawing. Where they differ, the maker's drawing counts.",
        "Choose the place of the pivot on the full circle: clear of platter, record and dust "
        "cover, with room for the counterweight and for the arm to swing from rest to label.",
        "Cut the spindle hole, press the sheet over the spindle, turn it until the drawn pivot "
        "lies where you chose, and tape it down flat.",
        "Check the distance with a rule from the spindle's centre to the drawn pivot. Punch the "
        "centre lightly, take the sheet off, check again, then drill.",
        f"Set the arm up, then align the cartridge with an alignment sheet. {slack}",
    )
    return [
        Paragraph(text=frame.print_line(paper)),
        *([Paragraph(text=note)] if note else []),
        Paragraph(
            text=f"Effective length {to_hundredth(arm.effective_length_mm)} mm is kept. The pivot "
            f"belongs {to_hundredth(arm.pivot_to_spindle_mm)} mm from the spindle, overhang "
            f"{to_hundredth(arm.overhang_mm)} mm, offset angle {arm.offset_angle_deg:.2f}°. Scheme "
            f"{alignment.label}, nulls {f'{nulls} mm' if nulls else 'none'}, record "
            f"{alignment.record.name}. "
            f"{mount}"
        ),
        *frame.in_order(steps),
        Paragraph(
            heading="Before you drill",
            text="Pull the mains plug. Look under the plinth first: motor, wiring, transformer, "
            "springs and the platter's bearing may lie under the mark. Mains wiring is work for "
            "a licensed person; keep to your local rules.",
        ),
        Paragraph(
            text="Take platter, arm and cartridge off, clamp the board, stop the drill's depth, "
            "wear eye protection, keep chips out of the bearing and the motor."
        ),
        Paragraph(
            heading="Makers first",
            text="What the makers of arm and deck say comes before this drawing. It comes "
            "without warranty. A hole cannot be taken back: when in doubt, drill a trial board.",
        ),
    ]
