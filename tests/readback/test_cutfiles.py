"""PDF, SVG and DXF of one sheet say the same, read by libraries that wrote none of them."""

from __future__ import annotations

import hashlib
import json
import math
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import ezdxf
import numpy as np
import pytest

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.drawing.movement import flip
from protractor.drawing.shapes import Label, Page, Stroke
from protractor.output.formats import page_bytes
from protractor.output.style import COLOUR_SETS, Style
from protractor.printing.paper import PAPERS
from protractor.sheets.alignment_sheet import alignment_pages
from protractor.sheets.arm_board import Mounting, board_page
from protractor.sheets.kerf_piece import kerf_page
from protractor.sheets.plate import Cutting, plate_page
from tests.readback.cutfiles import Strokes, differences, from_dxf, from_pdf, from_svg

SLACK_MM = 0.002
AS_TEXT = Style(text="text")


@cache
def page(name: str) -> Page:
    """A page of every kind."""
    deck = align(Deck(pivot_to_spindle_mm=222.0))
    long = align(Deck(effective_length_mm=308.0, scheme="stevenson"))
    pages: dict[str, Callable[[], Page]] = {
        "template": lambda: alignment_pages(deck, PAPERS["a4"], "Bench deck (invented)")[0],
        "plate": lambda: plate_page(deck, Cutting(kerf_mm=0.2, notch_mm=25.0), "Bench deck"),
        "mirrored plate": lambda: plate_page(deck, Cutting(mirror=True), "Bench deck"),
        "kerf": lambda: kerf_page(0.15),
        "board": lambda: board_page(long, PAPERS["a3"], Mounting(mount_mm=30.0)),
    }
    return pages[name]()


PAGES = ["template", "plate", "mirrored plate", "kerf", "board"]


@pytest.mark.parametrize("name", PAGES)
def test_formats_agree(name: str) -> None:
    """Every line, arc and circle lies in the same place in all three formats, to 0.002 mm."""
    pdf = from_pdf(page_bytes(page(name), "pdf"))
    svg = from_svg(page_bytes(page(name), "svg", AS_TEXT))
    dxf = from_dxf(page_bytes(page(name), "dxf", AS_TEXT))
    assert len(svg.lines) > 30
    assert svg.circles
    assert max(differences(svg, dxf).values()) < SLACK_MM
    assert max(differences(svg, pdf).values()) < SLACK_MM


def stretched(strokes: Strokes, factor: float) -> Strokes:
    """The strokes with every x made longer."""
    return Strokes(
        lines=[[a * factor, b, c * factor, d] for a, b, c, d in strokes.lines],
        arcs=strokes.arcs,
        circles=strokes.circles,
        size=strokes.size,
    )


def test_comparison_can_fail() -> None:
    """A stretch by 0.5 %, a lost stroke and a wrong unit are all noticed."""
    data = page_bytes(page("plate"), "dxf", AS_TEXT)
    true = from_dxf(data)
    assert differences(true, stretched(true, 1.005))["lines"] > 0.1
    lost = Strokes(lines=true.lines[1:], arcs=true.arcs, circles=true.circles, size=true.size)
    assert math.isinf(differences(true, lost)["lines"])
    metres = re.sub(rb"(\$INSUNITS\s+70\s+)4", rb"\g<1>6", data)
    with pytest.raises(AssertionError):
        from_dxf(metres)
    svg = page_bytes(page("plate"), "svg").replace(b'width="', b'width="1', 1)
    with pytest.raises(AssertionError, match="one user unit"):
        from_svg(svg)


BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
MEASURE = """<script>
const svg = document.querySelector("svg"), out = {px: svg.getBoundingClientRect().width, boxes: []};
for (const thing of svg.querySelectorAll("line, circle, path:not([aria-label])")) {
  const b = thing.getBBox(); out.boxes.push([b.x, b.y, b.width, b.height]);
}
out.texts = [...svg.querySelectorAll("path[aria-label]")].map(
  t => { const b = t.getBBox(), name = t.getAttribute("aria-label");
         return [name, b.x, b.y, b.width, b.height]; });
document.body.textContent = JSON.stringify(out);
</script>"""


@pytest.mark.skipif(BROWSER is None, reason="needs a chromium browser")
def test_svg_measured_in_a_browser(tmp_path: Path) -> None:
    """A browser finds every stroke of the SVG where the DXF has it, and the page in millimetres."""
    svg = page_bytes(page("plate"), "svg").decode().partition("?>")[2]
    html = tmp_path / "plate.html"
    html.write_text(f'<meta charset="utf-8"><body style="margin:0">{svg}{MEASURE}')
    words = [str(BROWSER), "--headless", "--no-sandbox", "--disable-gpu", "--dump-dom"]
    done = subprocess.run(
        [*words, f"--user-data-dir={tmp_path}/browser", html.as_uri()],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    body = done.stdout.partition("<body")[2].partition(">")[2].partition("</body>")[0]
    measured = json.loads(body.replace("&amp;", "&").replace("&lt;", "<").replace("&gt;", ">"))
    height = page("plate").height_mm
    assert measured["px"] / 96 * 25.4 == pytest.approx(page("plate").width_mm, abs=0.02)
    dxf = from_dxf(page_bytes(page("plate"), "dxf", AS_TEXT))
    lines = [(min(a, c), min(b, d), abs(c - a), abs(d - b)) for a, b, c, d in dxf.lines]
    circles = [(x - r, y - r, 2 * r, 2 * r) for x, y, r in dxf.circles]
    boxes = np.array([(x, height - y - h, w, h) for x, y, w, h in measured["boxes"]])
    for wanted in (*lines, *circles):
        assert np.abs(boxes - np.array(wanted)).max(axis=1).min() < SLACK_MM
    assert len(boxes) == len(lines) + len(circles) + len(dxf.arcs)
    title = next(box for box in measured["texts"] if box[0] == "Bench deck")
    label = next(s for s in page("plate").shapes if isinstance(s, Label) and s.text == title[0])
    assert title[1] == pytest.approx(label.at[0], abs=0.5)
    assert title[2] + title[4] == pytest.approx(height - label.at[1], abs=0.1)


@pytest.mark.parametrize("style", [Style(), AS_TEXT])
def test_layers_and_colours_of_dxf(style: Style) -> None:
    """What is cut, cut inside, engraved and only referred to stands on layers of that name."""
    dressed = replace(style, colours=COLOUR_SETS["layers"])
    document = read_dxf(page_bytes(page("plate"), "dxf", dressed))
    kinds: dict[str, set[str]] = {}
    for thing in document.modelspace():
        kinds.setdefault(thing.dxf.layer, set()).add(thing.dxftype())
    letters = "TEXT" if style.text == "text" else "LWPOLYLINE"
    assert kinds["cut"] == {"LINE", "ARC"}
    assert kinds["inner cut"] == {"LINE", "ARC", "CIRCLE"}
    assert kinds["engrave"] == {"LINE", "ARC", "CIRCLE", letters}
    assert kinds["reference"] == {"LINE"}
    assert document.layers.get("cut").rgb == (0xC0, 0, 0)


def read_dxf(data: bytes) -> ezdxf.document.Drawing:
    """A DXF file's content as ezdxf reads it."""
    import io

    return ezdxf.read(io.StringIO(data.decode()))


def test_words_of_dxf_as_text() -> None:
    """Text stays text: the same words, two per cent signs included, backward when mirrored."""
    words = Label("50 %% off, 100 % Größe", (10.0, 20.0), 8.0, "middle", angle_rad=0.5)
    one = Page(
        title="t",
        subject="s",
        paper="stock",
        width_mm=100.0,
        height_mm=50.0,
        shapes=(words,),
        features={},
    )
    for drawn, flag in ((one, 0), (flip(one), 2)):
        (text,) = read_dxf(page_bytes(drawn, "dxf", AS_TEXT)).modelspace()
        assert text.plain_text() == words.text
        assert text.dxf.text_generation_flag == flag
        assert text.dxf.height == pytest.approx(8 * 25.4 / 72 * 0.714, abs=1e-6)
    assert text.dxf.rotation == pytest.approx(-math.degrees(0.5))


def test_dashes_reach_both_formats() -> None:
    """A dashed stroke is dashed in SVG and has a line type of its own in DXF."""
    dashed = next(
        s.stroke for s in page("plate").shapes if not isinstance(s, Label) and s.stroke.dashes_mm
    )
    assert dashed == Stroke(0.18, (8.0, 1.5, 1.5, 1.5))
    assert b'stroke-dasharray="8 1.5 1.5 1.5"' in page_bytes(page("plate"), "svg")
    document = read_dxf(page_bytes(page("plate"), "dxf", AS_TEXT))
    assert any(thing.dxf.linetype.startswith("DASHES_8") for thing in document.modelspace())


WRITE = """
import hashlib
from tests.readback.test_cutfiles import page
from protractor.output.formats import page_bytes
for kind in ("pdf", "svg", "dxf"):
    print(hashlib.sha256(page_bytes(page("plate"), kind)).hexdigest())
"""


def test_same_bytes_in_another_process() -> None:
    """The same page gives the same bytes in another process with another hash seed."""
    here = [
        hashlib.sha256(page_bytes(page("plate"), kind)).hexdigest()
        for kind in ("pdf", "svg", "dxf")
    ]
    done = subprocess.run(
        [sys.executable, "-c", WRITE],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo"},
        cwd=Path(__file__).parents[2],
    )
    assert done.stdout.split() == here
