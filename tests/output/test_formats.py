"""Pages shown and saved: by the ending of a name, whole or not at all."""

from __future__ import annotations

import io
import math
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from pathlib import Path

import ezdxf
import pdfplumber
import pypdfium2
import pytest

from protractor.alignments.comparison import compare
from protractor.alignments.deck import Deck
from protractor.curves.page import Curves, curve_page
from protractor.drawing.shapes import Anchor, Arc, Label, Line, Page, Stroke
from protractor.errors import InputError
from protractor.output.formats import page_bytes, save
from protractor.output.style import Style
from protractor.printing.paper import PAPERS
from protractor.sheets.calibration import calibration_page

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def page() -> Page:
    """A small sheet."""
    return calibration_page(PAPERS["a5"])


@pytest.fixture(scope="module")
def curves() -> Curves:
    """The curves of an invented deck."""
    return curve_page(compare(Deck(pivot_to_spindle_mm=222.0)), paper=PAPERS["a4"])


@pytest.mark.parametrize("file_format", ["pdf", "svg", "dxf"])
def test_a_page_is_saved_by_its_ending(tmp_path: Path, page: Page, file_format: str) -> None:
    """The file holds what `page_bytes` makes, dressed as asked; capitals in the ending will do."""
    style = Style(text="text")
    path = save(page, tmp_path / f"sheet.{file_format.upper()}", style=style)
    assert path.read_bytes() == page_bytes(page, file_format, style)


def test_a_name_as_text_will_do(tmp_path: Path, page: Page) -> None:
    """A path may be given as text."""
    assert save(page, str(tmp_path / "sheet.pdf")).exists()


def test_several_pages_make_one_pdf(tmp_path: Path, page: Page) -> None:
    """Two pages become a PDF of two pages, and no SVG."""
    with pypdfium2.PdfDocument(save([page, page], tmp_path / "two.pdf")) as document:
        assert len(document) == 2
    with pytest.raises(InputError, match=r"one page in a \.svg, not 2"):
        save([page, page], tmp_path / "two.svg")
    assert not (tmp_path / "two.svg").exists()


def test_a_file_that_is_there_stays(tmp_path: Path, page: Page) -> None:
    """Only `force` replaces a file, and the drawing is not even made before that is known."""
    path = tmp_path / "sheet.pdf"
    path.write_text("mine")
    with pytest.raises(InputError, match="exist"):
        save(page, path)
    assert path.read_text() == "mine"
    save(page, path, force=True)
    assert path.read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("name", ["sheet", "sheet.txt", "sheet.png"])
def test_an_unknown_ending_is_refused(tmp_path: Path, page: Page, name: str) -> None:
    """The error names the endings that there are, and no file appears."""
    with pytest.raises(InputError, match=r"\.pdf, \.svg, \.dxf"):
        save(page, tmp_path / name)
    assert list(tmp_path.iterdir()) == []


def test_a_correction_is_for_a_pdf(tmp_path: Path, page: Page) -> None:
    """A cut file keeps its lengths: with a correction it is refused, and a PDF changes."""
    matrix = ((1.004, 0.0), (0.0, 0.998))
    with pytest.raises(InputError, match="a cut file keeps its lengths"):
        save(page, tmp_path / "sheet.dxf", correction=matrix)
    corrected = save(page, tmp_path / "sheet.pdf", correction=matrix).read_bytes()
    assert corrected == page_bytes(page, "pdf", correction=matrix) != page_bytes(page, "pdf")


def test_a_drawing_that_fails_leaves_nothing(tmp_path: Path) -> None:
    """A drawing that cannot be made leaves the file of before and no half one."""

    @dataclass(frozen=True)
    class Failing:
        formats: tuple[str, ...] = ("pdf",)

        def file_bytes(self, file_format: str) -> bytes:
            raise InputError("drawing", file_format, "one that can be made", "make another")

    path = tmp_path / "sheet.pdf"
    path.write_text("mine")
    with pytest.raises(InputError):
        save(Failing(), path, force=True)
    assert [file.read_text() for file in tmp_path.iterdir()] == ["mine"]


@pytest.mark.parametrize(("ending", "begins"), [("pdf", b"%PDF"), ("png", b"\x89PNG")])
def test_curves_are_saved_like_a_page(
    tmp_path: Path, curves: Curves, ending: str, begins: bytes
) -> None:
    """Curves are a PDF or a picture, but no cut file; the same curves give the same bytes."""
    path = save(curves, tmp_path / f"curves.{ending}")
    assert path.read_bytes().startswith(begins)
    assert path.read_bytes() == curves.file_bytes(ending)
    with pytest.raises(InputError, match=r"\.pdf, \.svg, \.png"):
        save(curves, tmp_path / "curves.dxf")


def test_a_notebook_shows_a_page(page: Page) -> None:
    """What a notebook asks of a page is an SVG as large as its paper, with every word in it."""
    drawn = ET.fromstring(page._repr_svg_() or "")
    assert (drawn.tag, drawn.get("width"), drawn.get("height")) == (f"{SVG}svg", "148mm", "210mm")
    words = {text.text for text in drawn.iter(f"{SVG}text")}
    assert {"Calibration sheet", "RA", "FC"} <= words


def test_a_notebook_shows_curves(curves: Curves) -> None:
    """The page of curves is an SVG as large as its paper too, in points."""
    drawn = ET.fromstring(curves._repr_svg_())
    assert drawn.tag == f"{SVG}svg"
    assert float((drawn.get("width") or "").removesuffix("pt")) == pytest.approx(
        210 / 25.4 * 72, abs=0.01
    )


def test_dashes_and_full_turns_in_dxf() -> None:
    """A line type is its length, then dashes above zero and gaps below; a full turn is a circle.

    AutoCAD DXF reference, LTYPE, groups 40 and 49: a negative length is a gap.
    """
    stroke = Stroke(0.25, dashes_mm=(3.0, 1.0))
    sheet = Page(
        width_mm=50.0,
        height_mm=50.0,
        title="Dashes",
        subject="Dashes",
        paper="stock",
        features={},
        shapes=(
            Line((5.0, 5.0), (45.0, 5.0), stroke),
            Arc((25.0, 25.0), 10.0, 0.0, 2 * math.pi, stroke),
            Arc((25.0, 25.0), 15.0, 0.0, 6.0, stroke),
        ),
    )
    document = ezdxf.read(io.StringIO(page_bytes(sheet, "dxf").decode()))
    kinds = [entity.dxftype() for entity in document.modelspace()]
    assert kinds == ["LINE", "CIRCLE", "ARC"]
    [line] = document.modelspace().query("LINE")
    tags = document.linetypes.get(line.dxf.linetype).pattern_tags.tags
    assert [tag.value for tag in tags if tag.code in (40, 49)] == [4.0, 3.0, -1.0]


def test_outlined_letters_in_dxf_are_hairlines(page: Page) -> None:
    """Letters are closed polygons of straight edges, without a width of their own."""
    style = Style(text="outline")
    document = ezdxf.read(io.StringIO(page_bytes(page, "dxf", style=style).decode()))
    outlines = document.modelspace().query("LWPOLYLINE")
    assert len(outlines) > 100
    for outline in outlines:
        assert outline.closed
        assert all((a, b, bulge) == (0.0, 0.0, 0.0) for _, _, a, b, bulge in outline)


@pytest.mark.parametrize(("anchor", "share"), [("start", 0.0), ("middle", 0.5), ("end", 1.0)])
@pytest.mark.parametrize("angle", [0.0, 1e-9])
def test_a_label_of_a_pdf_hangs_on_its_anchor(anchor: Anchor, share: float, angle: float) -> None:
    """Start, middle or end of the words stand in the label's place, level or turned."""
    label = Label("Overhang 17.3 mm", (50.0, 40.0), 9.0, anchor, angle_rad=angle)
    sheet = Page(
        width_mm=100.0,
        height_mm=80.0,
        title="Anchors",
        subject="Anchors",
        paper="stock",
        features={},
        shapes=(label,),
    )
    with pdfplumber.open(io.BytesIO(page_bytes(sheet, "pdf"))) as document:
        chars = document.pages[0].chars
    left, right = (value * 25.4 / 72 for value in (chars[0]["x0"], chars[-1]["x1"]))
    assert left + share * (right - left) == pytest.approx(50.0, abs=0.01)
