"""A corrected PDF, printed by the printer it is corrected for, is the sheet as it was drawn."""

from __future__ import annotations

import io
import math
import shutil
import subprocess
import warnings
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pdfplumber
import pikepdf
import pypdfium2
import pytest

from protractor.drawing.extent import outline
from protractor.drawing.shapes import Circle, Label, Line, Page, Shape, Stroke
from protractor.errors import InputError
from protractor.output.pdf import on_its_side, pdf_bytes
from protractor.printing.fit import PrintCorrection, fit
from protractor.printing.paper import CLEAR_SIDE_MM
from protractor.printing.readings import DIRECTIONS, INSTRUMENTS, Measured
from protractor.sheets.calibration import calibration_lengths
from tests.collisions import collisions
from tests.readback.reading import LENGTH_SLACK_MM, MM, read_strokes
from tests.readback.sheets_in_print import CASES, page_of, pages_of
from tests.simulated_printer import SimulatedPrinter, read

WORST = SimulatedPrinter(scale_x=1.02, scale_y=0.98, lean_rad=0.005)
CONTRARY = SimulatedPrinter(scale_x=0.98, scale_y=1.02, lean_rad=-0.005)


def correction_of(printer: SimulatedPrinter) -> PrintCorrection:
    """The exact correction of a simulated printer."""
    return PrintCorrection(
        printer="an invented printer, upstairs",
        date="2026-03-31",
        scale_x=printer.scale_x,
        scale_y=printer.scale_y,
        shear=math.sin(printer.lean_rad),
    )


def lines_between(data: bytes, ends: list[list[float]], slack: float) -> list[np.ndarray]:
    """The strokes of a PDF that run between two points, to `slack` mm."""
    wanted = np.array(ends)
    return [
        stroke.points
        for stroke in strokes_of(data)
        if not stroke.curved and np.abs(stroke.points[[0, -1]] - wanted).max() < slack
    ]


@pytest.mark.parametrize(
    ("kind", "name", "printer"),
    [
        *((kind, name, WORST) for kind, name in CASES if name in ("a4", "a5")),
        ("alignment", "letter", CONTRARY),
        ("two-null", "a5", CONTRARY),
    ],
)
def test_printed_sheet_is_the_drawn_sheet(kind: str, name: str, printer: SimulatedPrinter) -> None:
    """Every stroke, read back and sent through the printer, lies where it was drawn, to 0.002 mm.

    That holds about the anchor: the spindle where there is one, else the middle of the page.
    """
    correction = correction_of(printer)
    page = page_of(kind, name, correction.statement)
    drawn, size = read_strokes(pdf_bytes([page]))
    sent, corrected_size = read_strokes(pdf_bytes([page], correction.matrix))
    assert corrected_size == size
    assert len(sent) == len(drawn)
    anchor = np.array(page.anchor)
    for before, after in zip(drawn, sent, strict=True):
        for turns in turns_of(page):
            upright = (after.points - anchor) @ turns.T
            printed = anchor + printer.prints(upright) @ turns
            assert np.abs(printed - before.points).max() < LENGTH_SLACK_MM


def turns_of(page: Page) -> list[np.ndarray]:
    """How a page may be turned before it is printed on upright paper: not, or either way round."""
    if page.width_mm < page.height_mm:
        return [np.eye(2)]
    return [np.array([[0.0, -1.0], [1.0, 0.0]]), np.array([[0.0, 1.0], [-1.0, 0.0]])]


def test_a_page_on_its_side_is_corrected_along_the_paper() -> None:
    """By hand: a printer that is 2 % long along the paper's short side shortens what lies so.

    On the page on its side that is the Y bar: 2 % shorter, and the X bar as it was. A correction
    that forgot the turn would do the reverse.
    """
    correction = PrintCorrection(printer="p", date="", scale_x=1.02, scale_y=1.0, shear=0.0)
    page = page_of("alignment", "a4")
    assert page.width_mm > page.height_mm
    data = pdf_bytes([page], correction.matrix)
    lengths = {}
    for name, axis in (("x_bar", 0), ("y_bar", 1)):
        nominal = abs(np.subtract(*np.array(page.features[name])))[axis]
        spans = [
            abs(np.subtract(*s.points[[0, -1]]))[axis] for s in strokes_of(data) if not s.curved
        ]
        lengths[name] = min(spans, key=lambda span, n=nominal: abs(span - n)) / nominal  # type: ignore[misc]
    assert lengths["x_bar"] == pytest.approx(1.0, abs=1e-5)
    assert lengths["y_bar"] == pytest.approx(1 / 1.02, abs=1e-5)


@pytest.mark.parametrize(("kind", "name"), [("calibration", "letter"), ("two-null", "a5")])
def test_bars_before_and_after(kind: str, name: str) -> None:
    """The bars read back true without correction, and off by just the correction with it."""
    correction = correction_of(WORST)
    page = page_of(kind, name)
    plain, corrected = pdf_bytes([page]), pdf_bytes([page], correction.matrix)
    for bar in ("x_bar", "y_bar"):
        ends = page.features[bar]
        found = lines_between(plain, ends, LENGTH_SLACK_MM)
        assert found, bar
        moved = (
            np.array(page.anchor) + (np.array(ends) - page.anchor) @ np.array(correction.matrix).T
        )
        assert lines_between(corrected, moved.tolist(), LENGTH_SLACK_MM), bar
        assert not lines_between(corrected, ends, LENGTH_SLACK_MM), bar


def test_text_is_moved_and_keeps_its_form() -> None:
    """Letters keep size and upright stance; each text begins where the correction puts it."""
    correction = correction_of(WORST)
    page = page_of("calibration", "a4")
    texts = []
    for data in (pdf_bytes([page]), pdf_bytes([page], correction.matrix)):
        with pdfplumber.open(io.BytesIO(data)) as document:
            texts.append(document.pages[0].chars)
    before, after = texts
    assert [c["text"] for c in before] == [c["text"] for c in after]
    anchor, height = np.array(page.anchor), page.height_mm
    starts = 0
    for one, other in zip(before, after, strict=True):
        assert one["size"] == pytest.approx(other["size"], abs=1e-6)
        assert one["matrix"][:4] == pytest.approx(other["matrix"][:4], abs=1e-6)
        at, to = (np.array(c["matrix"][4:6]) * MM for c in (one, other))
        wanted = anchor + np.array(correction.matrix) @ (at - anchor)
        # letters after the first keep their distance from it: up to 2 % of a line of text
        assert np.linalg.norm(to - wanted) < 2.6
        starts += np.linalg.norm(to - wanted) < LENGTH_SLACK_MM
    labels = [s for s in page.shapes if isinstance(s, Label) and s.anchor == "start"]
    assert starts >= len(labels)
    assert height == page.height_mm


@pytest.mark.parametrize(("kind", "name"), CASES)
def test_nothing_collides_or_leaves_the_clear_area(kind: str, name: str) -> None:
    """No label meets a stroke or another label, and the printer's margins stay free.

    Without correction, and with the line of text that tells of one.
    """
    for note in ("", correction_of(WORST).statement):
        for page in pages_of(kind, name, note):
            assert collisions(page) == []
            points = np.array([p for shape in page.shapes for p in outline(shape)])
            assert points.min() > CLEAR_SIDE_MM - 0.4
            assert (points.max(axis=0) < np.array([page.width_mm, page.height_mm]) - 9.6).all()


@pytest.mark.parametrize("printer", [WORST, CONTRARY])
@pytest.mark.parametrize(("kind", "name"), [c for c in CASES if c[1] in ("a4", "letter", "a5")])
def test_nothing_collides_on_the_corrected_sheet(
    kind: str, name: str, printer: SimulatedPrinter
) -> None:
    """The largest correction moves no letter onto a stroke: what is sent is free of collisions."""
    correction = correction_of(printer)
    page = page_of(kind, name, correction.statement)
    on_page = (
        correction.matrix if page.width_mm < page.height_mm else on_its_side(correction.matrix)
    )
    matrix, anchor = np.array(on_page), np.array(page.anchor)

    def moved(point: tuple[float, float]) -> tuple[float, float]:
        x, y = anchor + matrix @ (np.array(point) - anchor)
        return float(x), float(y)

    shapes: list[Shape] = []
    for shape in page.shapes:
        if isinstance(shape, Label):
            shapes.append(replace(shape, at=moved(shape.at)))
        else:
            ends = pairwise([moved(point) for point in outline(shape)])
            shapes += [Line(start, end, shape.stroke) for start, end in ends]
    assert collisions(replace(page, shapes=tuple(shapes)), 0.0) == []


def test_a_circle_becomes_its_ellipse() -> None:
    """A circle of 50 mm that is sent through the printer is a circle of 50 mm again, to 1 um."""
    circle = Circle((100.0, 150.0), 50.0, Stroke())
    page = Page(
        title="circle",
        subject="",
        paper="a4",
        width_mm=210,
        height_mm=297,
        shapes=(circle,),
        features={},
    )
    [sent], _ = read_strokes(pdf_bytes([page], correction_of(WORST).matrix))
    anchor = np.array(page.anchor)
    printed = anchor + WORST.prints(sent.points - anchor)
    assert np.linalg.norm(printed - (100, 150), axis=1) == pytest.approx(50.0, abs=1e-3)
    assert np.ptp(np.linalg.norm(sent.points - sent.points.mean(axis=0), axis=1)) > 0.9


def test_loop_from_paper_to_paper() -> None:
    """The whole loop on real PDFs: print, measure the read-back marks, record, correct, print.

    A printer with 1 % scale error and 0.3 % shear is under 0.05 % after one round with calipers.
    """
    printer = SimulatedPrinter(scale_x=1.01, scale_y=0.99, lean_rad=0.003, turn_rad=0.004)
    random = np.random.default_rng(4)
    page = page_of("calibration", "a4")
    nominal = {line: lengths[0] for line, lengths in calibration_lengths_of("a4").items()}
    sheet = pdf_bytes([page])
    measured = []
    for line, wanted in nominal.items():
        on_paper = mark_distance(sheet, page, line, wanted, printer)
        tool = INSTRUMENTS["calipers"]
        readings = tuple(on_paper + random.normal(0, tool.reading_mm, 3))
        measured.append(Measured(line=line, nominal_mm=wanted, readings_mm=readings))
        assert abs(on_paper / wanted - 1) > 0.001
    found = fit(measured, INSTRUMENTS["calipers"])
    correction = PrintCorrection(
        printer="p", date="", scale_x=found.scale_x, scale_y=found.scale_y, shear=found.shear
    )
    corrected = pdf_bytes([page], correction.matrix)
    for line in DIRECTIONS:
        wanted = calibration_lengths_of("a4")[line][-1]
        on_paper = end_distance(corrected, page, line, correction, printer)
        assert abs(on_paper / wanted - 1) < 5e-4, line


def calibration_lengths_of(name: str) -> dict[str, tuple[float, ...]]:
    """Nominal lengths of the calibration sheet on a paper."""
    from protractor.printing.paper import paper

    return calibration_lengths(paper(name))


def start_and_direction(page: Page, line: str) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Both ends of a line of the sheet, and its unit vector."""
    start, end = np.array(page.features[{"x": "x_bar", "y": "y_bar"}.get(line, line)])
    return start, end, (end - start) / np.linalg.norm(end - start)


@cache
def strokes_of(data: bytes) -> list[Any]:
    """The strokes of a PDF, read once."""
    return read_strokes(data)[0]


def marks_at(data: bytes, point: np.ndarray, along: np.ndarray, slack: float) -> np.ndarray:
    """Where the stroke that crosses a line squarely near a point crosses it, by read-back [mm]."""
    best = None
    for stroke in strokes_of(data):
        if stroke.curved or stroke.length < 2.5:
            continue
        direction = (stroke.points[-1] - stroke.points[0]) / stroke.length
        if abs(direction @ along) > 0.02:
            continue
        foot = stroke.points[0] + direction * ((point - stroke.points[0]) @ direction)
        inside = -0.1 < (point - stroke.points[0]) @ direction < stroke.length + 0.1
        if inside and np.linalg.norm(foot - point) < slack:
            best = foot if best is None else best
    assert best is not None, (point, along)
    return best


def mark_distance(
    data: bytes, page: Page, line: str, nominal: float, printer: SimulatedPrinter
) -> float:
    """Distance on the print of the first mark and the one at a nominal length [mm]."""
    start, _, along = start_and_direction(page, line)
    marks = [marks_at(data, start + s * along, along, 0.01) for s in (0.0, nominal)]
    first, second = printer.prints(np.array(marks))
    return float(np.linalg.norm(second - first))


def end_distance(
    data: bytes, page: Page, line: str, correction: PrintCorrection, printer: SimulatedPrinter
) -> float:
    """Distance on the corrected print of a line's end marks [mm], found in what was sent."""
    start, end, along = start_and_direction(page, line)
    anchor, matrix = np.array(page.anchor), np.array(correction.matrix)
    sent = [anchor + matrix @ (p - anchor) for p in (start, end)]
    marks = [marks_at(data, p, along, 0.01) for p in sent]
    first, second = printer.prints(np.array(marks))
    return float(np.linalg.norm(second - first))


def test_a_wrong_correction_is_caught() -> None:
    """The check above fails for a correction the wrong way round, and for one of 0.1 %."""
    page = page_of("numbers", "a5")
    anchor = np.array(page.anchor)
    drawn, _ = read_strokes(pdf_bytes([page]))
    for factor in (WORST.matrix.tolist(), (WORST.matrix @ np.diag([1.001, 1])).tolist()):
        sent, _ = read_strokes(pdf_bytes([page], factor))
        off = max(
            np.abs(anchor + WORST.prints(b.points - anchor) - a.points).max()
            for a, b in zip(drawn, sent, strict=True)
        )
        assert off > 50 * LENGTH_SLACK_MM


def test_correction_that_leaves_the_paper_is_refused() -> None:
    """A drawing that the correction pushes over the edge is not written."""
    page = page_of("calibration", "a4", clear_margin_mm=3.0)
    with pytest.raises(InputError, match="leads off the paper"):
        pdf_bytes([page], [[1.06, 0], [0, 1.06]])


@pytest.mark.parametrize("corrected", [False, True])
def test_readers_have_nothing_to_say(corrected: bool, tmp_path: Path) -> None:
    """pdfium, pikepdf's checker and poppler read every sheet without a warning."""
    correction = correction_of(WORST)
    pages = [
        page_of(kind, name, correction.statement if corrected else "")
        for kind, name in CASES
        if name in ("letter", "a5")
    ]
    data = pdf_bytes(pages, correction.matrix if corrected else None, [p.title for p in pages])
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        with pikepdf.open(io.BytesIO(data)) as document:
            assert document.check_pdf_syntax() == []
            assert str(document.Root.ViewerPreferences.PrintScaling) == "/None"
            assert str(document.Root.PageMode) == "/UseOutlines"
            with document.open_outline() as outline:
                assert [entry.title for entry in outline.root] == [p.title for p in pages]
            for page, made in zip(document.pages, pages, strict=True):
                box = [float(v) * MM for v in page.MediaBox]
                assert box == pytest.approx([0, 0, made.width_mm, made.height_mm], abs=1e-4)
                assert page.get("/Rotate", 0) == 0
        fium = pypdfium2.PdfDocument(data)
        assert len(fium) == len(pages)
        for page in fium:
            page.render(scale=0.3)
    if shutil.which("pdftoppm") is None:
        pytest.skip("poppler is not installed")
    path = tmp_path / "sheets.pdf"
    path.write_bytes(data)
    for command in (
        ["pdfinfo", path],
        ["pdftotext", path, "-"],
        ["pdftoppm", "-r", "20", path, tmp_path / "page"],
    ):
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        assert done.stderr == ""


def test_same_bytes() -> None:
    """The same sheet and correction give the same bytes."""
    correction = correction_of(WORST)
    one, other = (
        pdf_bytes([page_of("two-null", "a5", correction.statement)], correction.matrix)
        for _ in range(2)
    )
    assert one == other


def test_simulated_readings_find_the_printer() -> None:
    """The reader of the simulation and the sheet's lengths belong together."""
    nominal = {k: v[-1] for k, v in calibration_lengths_of("letter").items()}
    measured = read(WORST, INSTRUMENTS["calipers"], np.random.default_rng(1), nominal)
    assert fit(measured, INSTRUMENTS["calipers"]).scale_x == pytest.approx(1.02, abs=3e-4)
