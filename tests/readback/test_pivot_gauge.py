"""The pivot gauge as printed: every mark of its scales and verniers, measured on the PDF."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pikepdf
import pytest
import shapely

from protractor.drawing.extent import outline
from protractor.drawing.shapes import Label, Line, Page, Stroke
from protractor.drawing.type import SMALLEST_PT
from protractor.errors import InputError
from protractor.output.pdf import pdf_bytes
from protractor.printing.paper import PAPERS, paper
from protractor.sheets.pivot_gauge import SCALE_MM, pivot_gauge_page
from tests.collisions import collisions
from tests.readback import reading
from tests.readback.reading import LENGTH_SLACK_MM

CASES = [
    ("a4", 0.0),
    ("letter", 0.0),
    ("a3", 0.0),
    ("legal", 0.0),
    ("tabloid", 0.0),
    ("212x300mm", 0.0),
    ("a4", 190.0),
    ("letter", 190.0),
    ("a3", 350.0),
]


def upright(data: bytes) -> np.ndarray:
    """All upright strokes: lower end, upper end and place of each, shape (n, 3) [mm]."""
    strokes, _ = reading.read_strokes(data)
    ends = [s.points for s in strokes if not s.curved and len(s.points) == 2]
    flat = [p for p in ends if abs(p[0][0] - p[1][0]) < 1e-6]
    return np.array([[*sorted((p[0][1], p[1][1])), p[0][0]] for p in flat])


def beginning_at(lines: np.ndarray, y: float, way: int, most_mm: float) -> np.ndarray:
    """Places of the strokes that begin at y and go up or down, no longer than a tick [mm]."""
    start, end = (0, 1) if way > 0 else (1, 0)
    near = np.abs(lines[:, start] - y) < LENGTH_SLACK_MM
    short = np.abs(lines[:, end] - lines[:, start]) < most_mm
    return np.sort(lines[near & short, 2])


def faults(data: bytes, page: Page, start_mm: float) -> list[str]:
    """What a ruler would find wrong on the gauge; empty when every mark is where it belongs."""
    size = paper(page.paper)
    wrong = reading._page_faults(data, (size.height_mm, size.width_mm))
    lines = upright(data)
    strokes, _ = reading.read_strokes(data)
    circles = [reading.circle_through(s.points) for s in strokes if s.curved]
    first, last = page.features["scale_mm"]
    (near, rear), _ = page.features["scale_left"]
    front = page.features["scale_right"][0][1]
    if start_mm == 0:
        # the scale counts from the hole as it is on the paper, not from what the page says
        holes = [c[0] for c in circles if abs(c[1] - 3.62) < 0.3 and c[2] < 0.05]
        zero, axis = holes[0]
    else:
        zero, axis = near - start_mm, (rear + front) / 2
    for side in (-1, 1):
        marks = beginning_at(lines, axis - side * SCALE_MM, -side, 6.0)
        wanted = zero + np.arange(first, last + 1)
        # the outline of a second sheet is a longer stroke and is not taken for a mark
        if len(marks) != len(wanted) or np.abs(marks - wanted).max() > LENGTH_SLACK_MM:
            wrong.append(f"scale on side {side}: {len(marks)} marks")
    for name, ends in (("slider", page.features["slider_zero"]), ("joint", page.features["joint"])):
        if ends is None:
            continue
        for side, (x, y) in zip((-1, 1), ends, strict=True):
            places = beginning_at(lines, y, side, 5.0)
            places = places[(places > x - 22) & (places < x - 1)]
            if len(places) != 10 or np.abs(places - (x - 2.1 * np.arange(10, 0, -1))).max() > 2e-3:
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
    wrong += slot_faults(page)
    if np.abs(card - (85.60, 53.98)).max() > LENGTH_SLACK_MM:
        wrong.append("card")
    return wrong


def slot_faults(page: Page) -> list[str]:
    """What keeps the fork from being slid past a pillar: strokes of the cut line in its way.

    A pillar 50 mm across must come from beyond the prongs' ends to anywhere between the scales.
    """
    (first, last), axis = page.features["scale_mm"], page.features["scale_left"][0]
    y = (axis[1] + page.features["scale_right"][0][1]) / 2
    way = shapely.box(axis[0] + 5, y - 25, axis[0] + last - first + 20, y + 25)
    cuts = [
        shapely.LineString(outline(shape))
        for shape in page.shapes
        if not isinstance(shape, Label) and shape.stroke.layer in ("cut", "inner cut")
    ]
    return ["the slot is closed"] if any(way.intersects(cut) for cut in cuts) else []


@pytest.mark.parametrize(
    ("name", "start"), [("a4", 0.0), ("letter", 0.0), ("a3", 0.0), ("a4", 190.0)]
)
def test_the_gauge_is_true(name: str, start: float) -> None:
    """Scales, verniers, bars, card and viewer preferences are right to 0.002 mm, the slot open."""
    page = pivot_gauge_page(paper(name), start)
    assert faults(pdf_bytes([page]), page, start) == []


def test_a_closed_slot_is_caught() -> None:
    """A bridge over the slot's end, as scissors would leave it, is found."""
    page = pivot_gauge_page(PAPERS["a4"])
    (x, rear), front = page.features["scale_left"][1], page.features["scale_right"][1][1]
    bridge = Line((x, rear), (x, front), Stroke(layer="cut"))
    assert slot_faults(replace(page, shapes=(*page.shapes, bridge)))


def test_a_stretched_print_is_caught() -> None:
    """The same tests find a page that is half a percent too tall, or too wide."""
    page = pivot_gauge_page(PAPERS["a4"])
    for matrix in ("1 0 0 1.005 0 0", "1.005 0 0 1 0 0"):
        with pikepdf.open(io.BytesIO(pdf_bytes([page]))) as document:
            document.pages[0].contents_add(f"{matrix} cm".encode(), prepend=True)
            buffer = io.BytesIO()
            document.save(buffer)
        assert faults(buffer.getvalue(), page, 0.0)


@pytest.mark.parametrize(("name", "start"), [("a4", 0.0), ("a4", 190.0)])
def test_the_vernier_reads_every_tenth(name: str, start: float) -> None:
    """Laid at any tenth of the gauge's range, the printed vernier meets a mark with its own line.

    Slider and scale are both read off the PDF; of the lines 0 to 9 exactly one meets a mark, and
    the number of that line is the tenth.
    """
    page = pivot_gauge_page(paper(name), start)
    lines = upright(pdf_bytes([page]))
    first, _ = page.features["scale_mm"]
    least, most = page.features["pivots_mm"]
    for side, scale, zero in zip(
        (-1, 1),
        (page.features["scale_left"], page.features["scale_right"]),
        page.features["slider_zero"],
        strict=True,
    ):
        marks = beginning_at(lines, scale[0][1], -side, 6.0)
        printed = beginning_at(lines, zero[1], side, 5.0)
        printed = np.sort(printed[(printed > zero[0] - 22) & (printed < zero[0] - 1)])[::-1]
        vernier = np.concatenate([[0.0], printed - zero[0]])[:10]
        readings = np.arange(round(10 * least), round(10 * most) + 1)
        places = marks[0] - first + readings[:, None] / 10 + vernier
        gap = np.abs(places[..., None] - marks).min(axis=-1)
        meets = gap < 0.02
        assert np.all(meets.sum(axis=1) == 1)
        assert np.array_equal(np.argmax(meets, axis=1), readings % 10)


@pytest.mark.parametrize(("name", "start"), CASES)
def test_nothing_collides(name: str, start: float) -> None:
    """No label runs into a stroke or another label, none is off the paper or under 7 pt.

    The steps are all there, at 9 pt or more.
    """
    page = pivot_gauge_page(paper(name), start, "The blue deck in the back room")
    assert collisions(page) == []
    labels = [s for s in page.shapes if isinstance(s, Label)]
    assert min(s.size_pt for s in labels) >= SMALLEST_PT
    steps = [s for s in labels if s.bold and s.text in "123456789"]
    assert [s.text for s in steps] == list("123456789")
    assert min(s.size_pt for s in steps) >= 9


def test_the_same_bytes_for_the_same_inputs() -> None:
    """A gauge made twice is the same file."""
    first, second = (pdf_bytes([pivot_gauge_page(PAPERS["a4"])]) for _ in range(2))
    assert first == second


@pytest.mark.parametrize(("start", "match"), [(50.0, "100 to 420"), (190.5, "whole millimetres")])
def test_a_start_that_cannot_be_is_refused(start: float, match: str) -> None:
    """A second sheet starts at a whole millimetre that the first sheet shows."""
    with pytest.raises(InputError, match=match):
        pivot_gauge_page(PAPERS["a4"], start)
