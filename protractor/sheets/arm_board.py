"""The arm board: where to drill for a new arm of a given effective length.

The effective length stays and the pivot moves. Around the spindle runs the circle on which the
pivot gives the alignment, and beside it the ring inside which the slots of the headshell can still
make good what the hole is off.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from protractor import __version__
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
from protractor.sheets import marks
from protractor.sheets.marks import Paragraph, Region

CARTRIDGE_SPREAD_MM = 1.0
"""Stylus tip to mounting-hole centres is 9.5 ± 1 mm (IEC 98:1987): the slots' first duty."""

SPINDLE_FROM_LEFT_MM = 58.0
RING_REACH_MM = 34.0
"""How far the circle and the ring run to either side of the pivot."""

RING_WORDS_MM = 4.0
"""What the words over the outer edge of the ring need."""

CROSS_MM = 7.0
"""Half the length of the cross in the pivot's centre."""
TEXT_SIZES_PT = (10.0, 9.5, 9.0, 8.5, 8.0, 7.5, SMALLEST_PT)


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

    The slots give half their travel either way, of which the cartridge's own spread takes 1 mm. For
    a length L ± s the pivot belongs at sqrt(L² - r1 r2).

    >>> from protractor.alignments.align import align
    >>> from protractor.alignments.deck import Deck
    >>> [round(d, 2) for d in pivot_ring(align(Deck(effective_length_mm=239.3)), 6.0)]
    [219.85, 224.16]
    """
    arm = alignment.arm
    product = arm.null_radii_mm[0] * arm.null_radii_mm[1]
    spare = max(0.0, slots_mm / 2 - CARTRIDGE_SPREAD_MM)
    low, high = (
        math.sqrt((arm.effective_length_mm + side * spare) ** 2 - product) for side in (-1, 1)
    )
    return low, high


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
    bar_y = paper.bottom + marks.BAR_REACH_MM
    x, y = spindle = (paper.left + SPINDLE_FROM_LEFT_MM, bar_y + marks.BAR_REACH_MM + 10.0)
    pivot = (x, y + d)
    low, high = pivot_ring(alignment, mounting.slots_mm)
    over = max(high + RING_WORDS_MM, d + CROSS_MM, d + (mounting.mount_mm or 0.0) / 2) + 1.0
    _fits(paper, y + over + paper.height_mm - paper.top, d)
    bars = _bars(paper, bar_y)
    drawing = [
        *marks.spindle(spindle),
        *_axis(spindle, pivot, d),
        *_ring(spindle, d, (low, high)),
        *_drill(pivot, mounting),
    ]
    shapes = [shape for bar in bars for shape in marks.bar(*bar)]
    name = title or "Arm board"
    text = _text(alignment, paper, mounting, (name, note), (low, high), bars)
    return Page(
        title=name,
        subject=f"Arm board, effective length {to_hundredth(arm.effective_length_mm)} mm, "
        f"{alignment.label}, {paper.label}",
        paper=paper.name,
        width_mm=paper.width_mm,
        height_mm=paper.height_mm,
        shapes=(*drawing, *shapes, *text),
        features={
            "spindle": list(spindle),
            "pivot": list(pivot),
            "x_bar": _ends(bars[0]),
            "y_bar": _ends(bars[1]),
        },
    )


Bar = tuple[Point, float, float, str]


def _fits(paper: Paper, needed_mm: float, pivot_to_spindle_mm: float) -> None:
    if needed_mm <= paper.height_mm:
        return
    raise InputError(
        "paper",
        paper.label,
        f"a sheet at least {math.ceil(needed_mm)} mm high, for spindle and pivot "
        f"{pivot_to_spindle_mm:.1f} mm apart on one sheet",
        larger(lambda known: known.height_mm >= needed_mm)
        if needed_mm <= max(known.height_mm for known in PAPERS.values())
        else f"give --paper 297x{math.ceil(needed_mm)}mm for a plotter or a cutter",
    )


def _bars(paper: Paper, bar_y: float) -> tuple[Bar, Bar]:
    """The two bars that prove the scale: place, length, direction and caption of each."""
    left, bottom = paper.left + 16, bar_y + marks.BAR_REACH_MM + 4
    return (
        ((left, bar_y), math.floor((paper.right - left - 14) / 10) * 10.0, 0.0, "X bar"),
        (
            (paper.left + marks.BAR_REACH_MM, bottom),
            math.floor((paper.top - bottom - 14) / 10) * 10.0,
            math.pi / 2,
            "Y bar",
        ),
    )


def _ends(bar: Bar) -> list[list[float]]:
    origin, length, angle, _ = bar
    along = (length, 0.0) if angle == 0 else (0.0, length)
    return [list(origin), [origin[0] + along[0], origin[1] + along[1]]]


def _axis(spindle: Point, pivot: Point, d: float) -> Iterator[Shape]:
    """The line from the spindle to the pivot, with its length."""
    x, y = spindle
    yield Line((x, y + 9.6), (x, pivot[1] - 8.0), Stroke(FINE, (8.0, 1.5, 1.5, 1.5)))
    text = f"pivot to spindle {to_hundredth(d)} mm, centre to centre"
    yield Label(text, (x - 1.6, y + 16), 8, angle_rad=math.pi / 2)


def _ring(spindle: Point, d: float, ring: tuple[float, float]) -> Iterator[Shape]:
    """The circle for the pivot, and the two edges of the ring that the slots make good."""
    for radius, stroke in (
        (d, Stroke(PLAIN)),
        *((edge, Stroke(FINE, (3.0, 1.5))) for edge in ring),
    ):
        if radius != d and abs(radius - d) < 0.3:
            continue
        reach = RING_REACH_MM / radius
        yield Arc(spindle, radius, math.pi / 2 - reach, math.pi / 2 + reach, stroke)
    for edge, drop in ((ring[0], -3.2), (ring[1], 1.2)):
        if abs(edge - d) >= 0.3:
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


def _text(
    alignment: Alignment,
    paper: Paper,
    mounting: Mounting,
    words: tuple[str, str],
    ring: tuple[float, float],
    bars: tuple[Bar, Bar],
) -> list[Shape]:
    """Title, numbers, steps and cautions in the column beside the drawing, as large as they fit."""
    left, right = paper.left + SPINDLE_FROM_LEFT_MM + RING_REACH_MM + 4.0, paper.right
    y = paper.top
    shapes: list[Shape] = []
    for line in wrap(words[0], right - left, 14, bold=True)[:2]:
        y -= 5.0
        shapes.append(Label(line, (left, y), 14, bold=True))
        y -= 1.2
    floor = bars[0][0][1] + marks.BAR_REACH_MM + 4.0
    region = Region(left=left, right=right, bottom=floor, top=y - 2.5)
    paragraphs = _paragraphs(alignment, paper, mounting, ring, bars)
    if words[1]:
        paragraphs.insert(1, Paragraph(text=words[1]))
    for size in TEXT_SIZES_PT:
        labels = marks.flow(paragraphs, [region], size)
        if labels is not None:
            return [*shapes, *labels]
    raise InputError(
        "paper",
        f"{paper.label}, {paper.width_mm:g} x {paper.height_mm:g} mm",
        "a sheet with room for the words beside the drawing, from A4 up",
        "take a larger one",
    )


def _paragraphs(
    alignment: Alignment,
    paper: Paper,
    mounting: Mounting,
    ring: tuple[float, float],
    bars: tuple[Bar, Bar],
) -> list[Paragraph]:
    arm = alignment.arm
    inner, outer = (to_hundredth(radius) for radius in arm.null_radii_mm)
    mount = (
        f"The hole for its base is drawn {mounting.mount_mm:g} mm across."
        if mounting.mount_mm is not None
        else "The hole for its base is not drawn; take it from the maker's drawing."
    )
    slack = (
        f"Between the dashed arcs, {to_hundredth(ring[0])} to {to_hundredth(ring[1])} mm, slots of "
        f"{mounting.slots_mm:g} mm travel still reach the alignment; 1 mm either way is kept for "
        "the cartridge (stylus to screw holes 9.5 ± 1 mm, IEC 98:1987)."
        if ring[1] - ring[0] > 0.6
        else f"Slots of {mounting.slots_mm:g} mm travel leave nothing over: the pivot belongs on "
        "the circle itself."
    )
    steps = (
        f"Print at 100 % (actual size), borderless off. Measure between the centres of the end "
        f"marks: X bar {bars[0][1]:.1f} mm, Y bar {bars[1][1]:.1f} mm. Do not drill by a sheet "
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
    first, *rest = (Paragraph(text=text, mark=f"{at}") for at, text in enumerate(steps, start=1))
    return [
        Paragraph(
            text=f"{paper.label}. Print at 100 % (actual size), borderless off. "
            f"protractor {__version__}"
        ),
        Paragraph(
            text=f"Effective length {to_hundredth(arm.effective_length_mm)} mm is kept. The pivot "
            f"belongs {to_hundredth(arm.pivot_to_spindle_mm)} mm from the spindle, overhang "
            f"{to_hundredth(arm.overhang_mm)} mm, offset angle {arm.offset_angle_deg:.2f}°. Scheme "
            f"{alignment.label}, nulls {inner} and {outer} mm, record {alignment.record.name}. "
            f"{mount}"
        ),
        Paragraph(text=first.text, mark=first.mark, heading="In this order"),
        *rest,
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
