"""The page of numbers: what an alignment comes to, and its error along the side."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.arms.distortion import second_harmonic
from protractor.drawing.shapes import PLAIN, THINNEST, Label, Line, Page, Shape, Stroke
from protractor.printing.paper import Paper
from protractor.sheets import frame
from protractor.sheets.frame import Bars

SIZE_PT = 8.0
ROW_MM = 4.0
LEFT_MM = 20.0
"""From the clear area's left edge to the text: beside the Y bar."""

TAB_MM, RULE_MM = 30.0, 90.0
"""From a name to its value, and how long a line to write on is."""

COLUMNS_MM = (0.0, 24.0, 50.0, 76.0, 104.0)
"""Where the columns of the table end, the first being its left edge."""


def numbers_page(alignment: Alignment, paper: Paper, title: str = "", note: str = "") -> Page:
    """The page that keeps the numbers of a deck beside its alignment sheet.

    `note` is what is said about a printer's correction. Raises `InputError` when the paper is too
    small for the table.
    """
    name = f"{title}: numbers" if title else "Numbers"
    bars = Bars.along_edges(paper)
    floor = bars.top_of_x + 3
    for step in (5, 10, 20):
        text, low = _text(alignment, paper, (name, note), step)
        if low >= floor:
            break
    else:
        raise frame.no_room(paper, "a sheet with room for the table of numbers")
    return frame.page_on(
        paper,
        title=name,
        subject=f"Numbers, pivot to spindle {to_hundredth(alignment.arm.pivot_to_spindle_mm)} mm, "
        f"{alignment.scheme}, {paper.label}",
        shapes=(*text, *bars.shapes()),
        features={**bars.features, "card": None},
    )


def table_radii(alignment: Alignment, step: int) -> list[float]:
    """The radii of the table [mm]: the edges, the null radii, and every `step` mm between."""
    inner, outer = alignment.record.inner_radius_mm, alignment.record.outer_radius_mm
    named = [inner, outer, *(r for r in alignment.arm.null_radii_mm if inner < r < outer)]
    rounds = range(math.ceil(inner / step) * step, math.floor(outer) + 1, step)
    return sorted([*named, *(r for r in rounds if all(abs(r - t) > 1.5 for t in named))])


def _results(alignment: Alignment) -> Iterator[tuple[str, str]]:
    """Names and values of the inputs and results."""
    arm = alignment.arm
    # a straight or limited arm may lack one null radius or both
    nulls = [to_hundredth(radius) for radius in arm.null_radii_mm if radius > 0]
    yield "pivot to spindle", f"{to_hundredth(arm.pivot_to_spindle_mm)} mm"
    yield "effective length", f"{to_hundredth(arm.effective_length_mm)} mm"
    yield "overhang", f"{to_hundredth(arm.overhang_mm)} mm"
    yield "offset angle", f"{arm.offset_angle_deg:.2f}°"
    yield "linear offset", f"{to_hundredth(arm.linear_offset_mm)} mm"
    yield "null radii", f"{' and '.join(nulls)} mm" if nulls else "none"
    yield "scheme", alignment.label
    if alignment.terms is not None:
        yield "held", str(alignment.held)
        yield from (("stopped by", end) for end in alignment.terms.binding)
    for number, played in enumerate(alignment.played.records):
        share = f"{100 * alignment.play.shares[number]:.3g} % " if alignment.play else ""
        yield (
            "record" if number == 0 else "",
            f"{share}{played.name}, {played.inner_radius_mm:g} to {played.outer_radius_mm:g} mm, "
            f"{played.rpm:.3g} rpm",
        )
    yield (
        "tracking error",
        f"up to {alignment.peak_tracking_error_deg:.2f}°, "
        f"{alignment.rms_tracking_error_deg:.2f}° rms",
    )
    yield (
        "second harmonic",
        f"up to {alignment.peak_second_harmonic_percent:.2f} %, "
        f"{alignment.rms_second_harmonic_percent:.2f} % rms, of a sine at "
        f"{alignment.velocity_cm_s:g} cm/s {alignment.velocity_is}, {alignment.equalisation}",
    )


def _text(
    alignment: Alignment, paper: Paper, head: tuple[str, str], step: int
) -> tuple[list[Shape], float]:
    """Title, results, table and lines to write on; and the y of what is lowest."""
    left, right = paper.left + LEFT_MM, paper.right
    title, note = head
    width = right - left
    heading, y = frame.set_lines(
        [title], (left, paper.top), frame.TITLE_PT, width=width, step_mm=5.4, most=2, bold=True
    )
    about, y = frame.set_lines(
        [frame.print_line(paper), note], (left, y - 1.2), SIZE_PT, width=width
    )
    shapes: list[Shape] = [*heading, *about]
    y -= 3
    tab = left + TAB_MM
    for name, value in _results(alignment):
        if name:
            shapes.append(Label(name, (left, y - ROW_MM), SIZE_PT))
        labels, y = frame.set_lines([value], (tab, y), SIZE_PT, width=right - tab, step_mm=ROW_MM)
        shapes += labels
    rows, y = _table(alignment, left, y - 5, step)
    shapes += rows
    for name in ("set up on", "tracking force", "anti-skating", "remarks"):
        y -= 2 * ROW_MM
        shapes.append(Label(name, (left, y), SIZE_PT))
        shapes.append(Line((tab, y - 0.6), (min(right, tab + RULE_MM), y - 0.6), Stroke(THINNEST)))
    return shapes, y - 2


def _table(alignment: Alignment, left: float, top: float, step: int) -> tuple[list[Shape], float]:
    """Tracking angle, error and second harmonic along the record's side; and the y below it."""
    radii = np.array(table_radii(alignment, step))
    angle = np.degrees(alignment.arm.tracking_angle(radii))
    error = alignment.arm.tracking_error(radii)
    harmonic = (
        100
        * alignment.equalisation.factor()
        * second_harmonic(error, radii, alignment.record.rpm, alignment.peak_velocity_cm_s)
    )
    heads = ("radius mm", "tracking angle", "error", "2nd harmonic")
    cells = [heads]
    for row in zip(radii, angle, np.degrees(error), harmonic, strict=True):
        r, a, e, h = (float(value) for value in row)
        # a null's error is zero: no minus sign in front of it
        cells.append((to_hundredth(r), f"{a:.2f}°", f"{e + 0.0:+.2f}°", f"{h:.2f} %"))
    shapes: list[Shape] = []
    y = top
    for number, texts in enumerate(cells):
        y -= ROW_MM
        for column, text in enumerate(texts):
            at = (left + COLUMNS_MM[column + 1] - 2, y)
            shapes.append(
                Label(
                    text.replace("-0.00", "0.00").replace("+0.00", "0.00"),
                    at,
                    SIZE_PT,
                    "end",
                    bold=number == 0,
                )
            )
        if number == 0:
            y -= 1.4
            shapes.append(Line((left, y), (left + COLUMNS_MM[-1], y), Stroke(PLAIN)))
    return shapes, y - 2
