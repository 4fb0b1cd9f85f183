"""A page seen from behind is the page, the other way round."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from svgpathtools import parse_path

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.drawing.movement import flip, shift
from protractor.drawing.shapes import Arc, Circle, Label, Line, Page, Shape, Stroke
from protractor.output.formats import page_bytes
from protractor.output.style import Style
from protractor.sheets.plate import Cutting, plate_page
from tests.readback.cutfiles import Strokes, differences, from_dxf, from_pdf, from_svg

PLACES = st.tuples(st.floats(0.0, 200.0), st.floats(0.0, 200.0))
ANGLES = st.floats(-3.0, 3.0)
SHAPES = st.one_of(
    st.builds(Line, PLACES, PLACES, st.just(Stroke())),
    st.builds(Circle, PLACES, st.floats(1.0, 50.0), st.just(Stroke())),
    st.builds(
        lambda c, r, a, s: Arc(c, r, a, a + s, Stroke()),
        PLACES,
        st.floats(1.0, 50.0),
        ANGLES,
        st.floats(0.1, 3.0),
    ),
    st.builds(Label, st.just("word"), PLACES, angle_rad=ANGLES),
)


def page_of(shapes: list[Shape]) -> Page:
    """A page of 210 x 297 mm with these shapes."""
    return Page(
        title="t",
        subject="s",
        paper="a4",
        width_mm=210.0,
        height_mm=297.0,
        shapes=tuple(shapes),
        features={"point": [10.0, 20.0], "pair": [[1.0, 2.0], [3.0, 4.0]], "none": None},
    )


@given(st.lists(SHAPES, max_size=6))
def test_flipping_twice_gives_the_page_back(shapes: list[Shape]) -> None:
    """Every place comes back to a rounding error, every angle and every word as it was."""
    page = page_of(shapes)
    back = flip(flip(page))
    assert back.features["pair"] == page.features["pair"]
    for one, other in zip(page.shapes, back.shapes, strict=True):
        if isinstance(one, Line) and isinstance(other, Line):
            assert other.start == pytest.approx(one.start, abs=1e-9)
        elif isinstance(one, Arc) and isinstance(other, Arc):
            assert other.at(other.start_rad) == pytest.approx(one.at(one.start_rad), abs=1e-9)
        elif isinstance(one, Label) and isinstance(other, Label):
            assert (other.angle_rad, other.mirrored) == (one.angle_rad, one.mirrored)


@given(SHAPES, st.floats(-50.0, 50.0), st.floats(-50.0, 50.0))
def test_shifting_moves_every_point(shape: Shape, dx: float, dy: float) -> None:
    """Shifting there and back changes nothing but roundings."""
    (moved,) = shift(shift([shape], (dx, dy)), (-dx, -dy))
    if isinstance(shape, Line) and isinstance(moved, Line):
        assert moved.end == pytest.approx(shape.end, abs=1e-9)
    elif isinstance(shape, (Arc, Circle)) and isinstance(moved, (Arc, Circle)):
        assert moved.centre == pytest.approx(shape.centre, abs=1e-9)


def turned_over(strokes: Strokes) -> Strokes:
    """Strokes as they look through the sheet from behind: what `flip` must undo."""
    width = strokes.size[0]
    found = Strokes(size=strokes.size)
    for a, b, c, d in strokes.lines:
        found.add_line(np.array([width - a, b]), np.array([width - c, d]))
    for row in strokes.arcs:
        found.add_arc(*(np.array([width - x, y]) for x, y in zip(row[::2], row[1::2], strict=True)))
    found.circles = [[width - x, y, r] for x, y, r in strokes.circles]
    return found


DECK = align(Deck(pivot_to_spindle_mm=222.0))
READERS = {"pdf": from_pdf, "svg": from_svg, "dxf": from_dxf}


@pytest.mark.parametrize("kind", READERS)
def test_mirrored_file_through_a_flip_is_the_original(kind: str) -> None:
    """The mirrored plate, read back and turned over, is the plate, to 0.002 mm; not without."""
    style = Style(text="text")
    plain, mirrored = (
        READERS[kind](page_bytes(plate_page(DECK, Cutting(mirror=m, kerf_mm=0.2)), kind, style))
        for m in (False, True)
    )
    assert max(differences(plain, turned_over(mirrored)).values()) < 0.002
    assert differences(plain, mirrored)["lines"] > 1.0


def letters(data: bytes, width: float | None) -> list[np.ndarray]:
    """The outlines of the words of an SVG as points, turned over about `width` when given."""
    found = []
    for thing in ET.fromstring(data).iter():
        if thing.get("aria-label"):
            points = np.array([(p.real, p.imag) for p in _points(thing.get("d", ""))])
            if width is not None:
                points[:, 0] = width - points[:, 0]
            found.append(points)
    return found


def _points(path: str) -> list[complex]:
    return [segment.start for segment in parse_path(path)]


def test_letters_are_mirrored_with_the_rest() -> None:
    """Each letter's outline, turned over, lies on the original's: the words read right."""
    plain, mirrored = (
        page_bytes(plate_page(DECK, Cutting(mirror=m), "Bench"), "svg") for m in (False, True)
    )
    width = plate_page(DECK).width_mm
    pairs = list(zip(letters(plain, None), letters(mirrored, width), strict=True))
    assert len(pairs) > 20
    for one, other in pairs:
        assert np.abs(one - other).max() < 0.002
