"""The pivot gauge as printed: every mark of its scales and verniers, measured on the PDF."""

from __future__ import annotations

import io

import numpy as np
import pikepdf
import pytest

from protractor.drawing.shapes import Label, Page
from protractor.drawing.type import SMALLEST_PT
from protractor.errors import InputError
from protractor.output.pdf import pdf_bytes
from protractor.printing.paper import PAPERS
from protractor.sheets.pivot_gauge import SCALE_MM, pivot_gauge_page
from tests.collisions import collisions
from tests.readback import reading
from tests.readback.reading import LENGTH_SLACK_MM

CASES = [
    ("a4", 0.0),
    ("letter", 0.0),
    ("a3", 0.0),
    ("legal", 0.0),
    ("a4", 190.0),
    ("letter", 190.0),
    ("a3", 350.0),
]


def horizontal(data: bytes) -> np.ndarray:
    """All horizontal strokes: left end, right end and height of each, shape (n, 3) [mm]."""
    strokes, _ = reading.read_strokes(data)
    ends = [s.points for s in strokes if not s.curved and len(s.points) == 2]
    flat = [p for p in ends if abs(p[0][1] - p[1][1]) < 1e-6]
    return np.array([[*sorted((p[0][0], p[1][0])), p[0][1]] for p in flat])


def beginning_at(lines: np.ndarray, x: float, side: int, most_mm: float) -> np.ndarray:
    """Heights of the strokes that begin at x and go to one side, no longer than a tick [mm]."""
    start, end = (0, 1) if side > 0 else (1, 0)
    near = np.abs(lines[:, start] - x) < LENGTH_SLACK_MM
    short = np.abs(lines[:, end] - lines[:, start]) < most_mm
    return np.sort(lines[near & short, 2])


def faults(data: bytes, page: Page, start_mm: float) -> list[str]:
    """What a ruler would find wrong on the gauge; empty when every mark is where it belongs."""
    size = PAPERS[page.paper]
    wrong = reading._page_faults(data, (size.width_mm, size.height_mm))
    lines = horizontal(data)
    strokes, _ = reading.read_strokes(data)
    circles = [reading.circle_through(s.points) for s in strokes if s.curved]
    first, last = page.features["scale_mm"]
    (left, bottom), _ = page.features["scale_left"]
    right = page.features["scale_right"][0][0]
    if start_mm == 0:
        # the scale counts from the hole as it is on the paper, not from what the page says
        holes = [c[0] for c in circles if abs(c[1] - 3.62) < 0.3 and c[2] < 0.05]
        axis, zero = holes[0]
    else:
        axis, zero = (left + right) / 2, bottom - start_mm
    for side in (-1, 1):
        marks = beginning_at(lines, axis + side * SCALE_MM, side, 6.0)
        wanted = zero + np.arange(first, last + 1)
        # the outline of a second sheet is a longer stroke and is not taken for a mark
        if len(marks) != len(wanted) or np.abs(marks - wanted).max() > LENGTH_SLACK_MM:
            wrong.append(f"scale on side {side}: {len(marks)} marks")
    for name, ends in (("slider", page.features["slider_zero"]), ("joint", page.features["joint"])):
        if ends is None:
            continue
        for side, (x, y) in zip((-1, 1), ends, strict=True):
            places = beginning_at(lines, x, -side, 5.0)
            places = places[(places > y - 22) & (places < y + 1)]
            if len(places) != 11 or np.abs(places - (y - 2.1 * np.arange(10, -1, -1))).max() > 2e-3:
                wrong.append(f"vernier of the {name} on side {side}")
    bars = [s.points for s in strokes if not s.curved]
    for axis_number, name in ((0, "x_bar"), (1, "y_bar")):
        bar = reading._bar(bars, axis_number)
        told = np.array(page.features[name])
        if np.abs(bar - told).max() > LENGTH_SLACK_MM:
            wrong.append(name)
        if np.linalg.norm(bar[1] - bar[0]) < 149.9:
            wrong.append(f"{name} is short")
    corners = np.array([c[0] for c in circles if abs(c[1] - 3.18) < 0.05])
    card = np.ptp(corners, axis=0) + 2 * 3.18
    if np.abs(card - (85.60, 53.98)).max() > LENGTH_SLACK_MM:
        wrong.append("card")
    return wrong


@pytest.mark.parametrize(("paper", "start"), CASES)
def test_the_gauge_is_true(paper: str, start: float) -> None:
    """Scales, verniers, bars, card and viewer preferences are right to 0.002 mm."""
    page = pivot_gauge_page(PAPERS[paper], start)
    assert faults(pdf_bytes([page]), page, start) == []


def test_a_stretched_print_is_caught() -> None:
    """The same tests find a page that is half a percent too tall, or too wide."""
    page = pivot_gauge_page(PAPERS["a4"])
    for matrix in ("1 0 0 1.005 0 0", "1.005 0 0 1 0 0"):
        with pikepdf.open(io.BytesIO(pdf_bytes([page]))) as document:
            document.pages[0].contents_add(f"{matrix} cm".encode(), prepend=True)
            buffer = io.BytesIO()
            document.save(buffer)
        assert faults(buffer.getvalue(), page, 0.0)


@pytest.mark.parametrize(("paper", "start"), [("a4", 0.0), ("a4", 190.0)])
def test_the_vernier_reads_every_tenth(paper: str, start: float) -> None:
    """Laid at any tenth of the gauge's range, the printed vernier meets a mark with its own line.

    Slider and scale are both read off the PDF; of the lines 0 to 9 exactly one meets a mark, and
    the number of that line is the tenth.
    """
    page = pivot_gauge_page(PAPERS[paper], start)
    lines = horizontal(pdf_bytes([page]))
    first, _ = page.features["scale_mm"]
    least, most = page.features["pivots_mm"]
    for side, scale, zero in zip(
        (-1, 1),
        (page.features["scale_left"], page.features["scale_right"]),
        page.features["slider_zero"],
        strict=True,
    ):
        marks = beginning_at(lines, scale[0][0], side, 6.0)
        printed = beginning_at(lines, zero[0], -side, 5.0)
        printed = np.sort(printed[(printed > zero[1] - 22) & (printed < zero[1] + 1)])[::-1]
        vernier = (printed - printed[0])[:10]
        readings = np.arange(round(10 * least), round(10 * most) + 1)
        places = marks[0] - first + readings[:, None] / 10 + vernier
        gap = np.abs(places[..., None] - marks).min(axis=-1)
        meets = gap < 0.02
        assert np.all(meets.sum(axis=1) == 1)
        assert np.array_equal(np.argmax(meets, axis=1), readings % 10)


@pytest.mark.parametrize(("paper", "start"), CASES)
def test_nothing_collides(paper: str, start: float) -> None:
    """No label runs into a stroke or another label, none is off the paper or under 7 pt."""
    page = pivot_gauge_page(PAPERS[paper], start, "The blue deck in the back room")
    assert collisions(page) == []
    assert min(s.size_pt for s in page.shapes if isinstance(s, Label)) >= SMALLEST_PT


def test_the_same_bytes_for_the_same_inputs() -> None:
    """A gauge made twice is the same file."""
    first, second = (pdf_bytes([pivot_gauge_page(PAPERS["a4"])]) for _ in range(2))
    assert first == second


@pytest.mark.parametrize(("start", "match"), [(50.0, "100 to 420"), (190.5, "whole millimetres")])
def test_a_start_that_cannot_be_is_refused(start: float, match: str) -> None:
    """A second sheet starts at a whole millimetre that the first sheet shows."""
    with pytest.raises(InputError, match=match):
        pivot_gauge_page(PAPERS["a4"], start)
