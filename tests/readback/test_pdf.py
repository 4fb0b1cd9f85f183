"""The paper's truth: what the PDF says, measured in mm with other libraries."""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path

import numpy as np
import pdfplumber
import pikepdf
import pypdfium2
import pytest

from protractor.alignments.align import align
from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.alignments.deck import Deck
from protractor.arms.records import record
from protractor.drawing.shapes import Label, Page
from protractor.output.pdf import pdf_bytes
from protractor.printing.paper import PAPERS
from protractor.sheets.alignment_sheet import alignment_pages
from tests.readback.reading import LENGTH_SLACK_MM, faults, find

CASES = [
    (215.0, "lofgren-a", "12", "a4"),
    (222.0, "lofgren-a", "12", "letter"),
    (239.5, "lofgren-b", "12-din-1981", "a4"),
    (295.5, "stevenson", "12", "letter"),
    (120.0, "lofgren-c", "12", "a4"),
    (120.0, "stevenson", "7", "letter"),
    (500.0, "equal-angle", "12-jis-1973", "a3"),
    (180.0, "lofgren-a", "10", "legal"),
]


def make(d: float, scheme: str, name: str, paper: str) -> tuple[Alignment, Page, bytes]:
    """A sheet as the command makes it."""
    alignment = align(Deck(pivot_to_spindle_mm=d, scheme=scheme, record=record(name)))
    pages = alignment_pages(alignment, PAPERS[paper], "An invented deck")
    return alignment, pages[0], pdf_bytes(pages)


@pytest.mark.parametrize(("d", "scheme", "name", "paper"), CASES)
def test_sheet_is_true(d: float, scheme: str, name: str, paper: str) -> None:
    """Nulls, arc, grid, fan, bars, card, overhang scale, page and viewer preferences are right."""
    alignment, page, data = make(d, scheme, name, paper)
    assert faults(data, alignment.as_dict(), (page.width_mm, page.height_mm)) == []


@pytest.mark.parametrize(("d", "scheme", "name", "paper"), CASES)
def test_features_say_what_is_printed(d: float, scheme: str, name: str, paper: str) -> None:
    """The places that `--json` tells are where things are on the paper."""
    _, page, data = make(d, scheme, name, paper)
    found = find(data)
    near = {"abs": LENGTH_SLACK_MM}
    features = page.features
    assert found.spindle == pytest.approx(features["spindle"], **near)
    assert found.nulls[0] == pytest.approx(features["null_inner"], **near)
    assert found.nulls[1] == pytest.approx(features["null_outer"], **near)
    assert found.x_bar == pytest.approx(np.array(features["x_bar"]), **near)
    assert found.y_bar == pytest.approx(np.array(features["y_bar"]), **near)
    if features["card"] is not None:
        assert found.card is not None
        assert found.card == pytest.approx(np.array(features["card"]), **near)
    if features["pivot"] is not None:
        assert found.arc_centre == pytest.approx(features["pivot"], **near)
        assert features["pivot"][0] <= page.width_mm - 10
    else:
        assert found.arc_centre[0] > page.width_mm - 20


@pytest.mark.parametrize(("d", "scheme", "name", "paper"), CASES)
def test_figures_stand_by_what_they_name(d: float, scheme: str, name: str, paper: str) -> None:
    """Each radius stands once on the tool, nearer to its null than to the other; so the overhang.

    The figure of the overhang lies beside the arc, no further from it than its own length.
    """
    alignment, page, data = make(d, scheme, name, paper)
    found = find(data)
    nulls = [to_hundredth(radius) for radius in alignment.arm.null_radii_mm]
    hang = to_hundredth(alignment.arm.overhang_mm)
    labels = [s for s in page.shapes if isinstance(s, Label) and s.bold and s.size_pt == 9.0]
    for this, other in ((0, 1), (1, 0)):
        [at] = [np.array(s.at) for s in labels if s.text == nulls[this]]
        away = [float(np.linalg.norm(at - null)) for null in found.nulls]
        assert away[this] < 25
        assert away[this] < away[other]
    [at] = [np.array(s.at) for s in labels if s.text == hang]
    assert abs(float(np.linalg.norm(at - found.arc_centre)) - found.arc_radius) < 10
    text = pypdfium2.PdfDocument(data)[0].get_textpage().get_text_range()
    assert all(figure in text for figure in (*nulls, hang))


def stretched(data: bytes, matrix: str) -> bytes:
    """The PDF with its content under one more transformation."""
    with pikepdf.open(io.BytesIO(data)) as document:
        document.pages[0].contents_add(f"{matrix} cm".encode(), prepend=True)
        return saved(document)


def saved(document: pikepdf.Pdf) -> bytes:
    """The bytes of a changed PDF."""
    buffer = io.BytesIO()
    document.save(buffer)
    return buffer.getvalue()


def test_mutants_are_caught() -> None:
    """The check can fail: each way a sheet could lie is found."""
    alignment, page, data = make(222.0, "lofgren-a", "12", "a4")
    size = (page.width_mm, page.height_mm)
    numbers = alignment.as_dict()
    assert faults(saved(pikepdf.open(io.BytesIO(data))), numbers, size) == []

    assert any("X bar" in f for f in faults(stretched(data, "1.005 0 0 1 0 0"), numbers, size))
    assert any("Y bar" in f for f in faults(stretched(data, "1 0 0 0.9999 0 0"), numbers, size))
    width_pt = size[0] * 72 / 25.4
    flipped = stretched(data, f"-1 0 0 1 {width_pt} 0")
    assert any("hand is wrong" in f for f in faults(flipped, numbers, size))
    sheared = stretched(data, "1 0 0.001 1 0 0")
    assert faults(sheared, numbers, size) == ["no bar along axis 0"]

    for spoil, word in (
        (lambda d: d.pages[0].obj.__setitem__("/UserUnit", 10), "/UserUnit"),
        (lambda d: d.pages[0].obj.__setitem__("/Rotate", 90), "/Rotate"),
        (
            lambda d: d.Root.ViewerPreferences.__setitem__("/PrintScaling", pikepdf.Name.Nome),
            "Nome",
        ),
        (lambda d: d.Root.ViewerPreferences.__delitem__("/Enforce"), "/Enforce"),
        (lambda d: d.pages[0].obj.__setitem__("/MediaBox", [0, 0, 595, 842]), "media box"),
    ):
        with pikepdf.open(io.BytesIO(data)) as document:
            spoil(document)
            changed = saved(document)
        if word == "/Rotate":
            assert any(word in f for f in _page_only(changed, size))
        else:
            assert any(word in f for f in faults(changed, numbers, size)), word


def _page_only(data: bytes, size: tuple[float, float]) -> list[str]:
    """Faults of the page alone, for a page whose content cannot be read as it lies."""
    from tests.readback.reading import _page_faults

    return _page_faults(data, size)


def test_all_text_uses_the_embedded_typeface() -> None:
    """No character of the sheet is set in a font that is not in the file."""
    _, _, data = make(222.0, "lofgren-a", "12", "a4")
    with pdfplumber.open(io.BytesIO(data)) as document:
        fonts = {char["fontname"] for char in document.pages[0].chars}
        sizes = {char["size"] for char in document.pages[0].chars if char["upright"]}
    assert {f.partition("+")[2] for f in fonts} == {"NotoSans-Regular", "NotoSans-Bold"}
    assert min(sizes) >= 7.0 - 1e-9


def test_text_says_inputs_results_and_version() -> None:
    """A reader finds the inputs, the results, the paper and how to print on the sheet."""
    from protractor import __version__

    _, _, data = make(222.0, "lofgren-a", "12", "a4")
    tool, card = (
        page.get_textpage().get_text_range().replace("\r\n", " ")
        for page in pypdfium2.PdfDocument(data)
    )
    for words in (
        "An invented deck",
        "Löfgren A · 12-inch, IEC 98:1958 · 33⅓ rpm",
        "A4. Print at 100 % (actual size), borderless off.",
        f"protractor {__version__}",
    ):
        assert words in tool, words
    for words in (
        "An invented deck",
        "222.00 mm",
        "17.30 mm",
        "22.99°",
        "66.00 and 120.89 mm",
        "Löfgren A · 12-inch, IEC 98:1958 · 33⅓ rpm",
        "Sheet MKV6VT",
        "pull its plug",
        "the guard on the stylus",
    ):
        assert words in card, words


def test_metadata() -> None:
    """Title and subject are the sheet's; no date is told."""
    _, page, data = make(222.0, "lofgren-a", "12", "a4")
    with pikepdf.open(io.BytesIO(data)) as document:
        assert str(document.docinfo["/Title"]) == page.title == "An invented deck"
        assert "222.00 mm, lofgren-a, A4" in str(document.docinfo["/Subject"])
        assert not [key for key in document.docinfo if "Date" in key]


def test_readers_find_no_fault() -> None:
    """The checker of another library finds nothing to say."""
    _, _, data = make(222.0, "lofgren-a", "12", "a4")
    with pikepdf.open(io.BytesIO(data)) as document:
        assert document.check_pdf_syntax() == []


def test_same_inputs_same_bytes_in_another_process(tmp_path: Path) -> None:
    """Two processes with other hash seeds write the same file."""
    files = []
    for seed in ("1", "2"):
        file = tmp_path / f"{seed}.pdf"
        command = [sys.executable, "-m", "protractor", "template", "--pivot-to-spindle", "222"]
        subprocess.run(
            [*command, "-o", str(file)],
            check=True,
            capture_output=True,
            env={"PYTHONHASHSEED": seed, "TZ": f"UTC+{seed}", "PYTHONPATH": str(Path.cwd())},
        )
        files.append(file.read_bytes())
    assert files[0] == files[1]
