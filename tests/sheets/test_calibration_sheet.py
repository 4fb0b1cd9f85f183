"""The calibration sheet on any paper: lines of known length, nothing in each other's way."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from protractor.drawing.extent import outline
from protractor.drawing.shapes import Label, Line
from protractor.errors import InputError
from protractor.printing.paper import PAPERS, paper
from protractor.printing.readings import DIRECTIONS, INSTRUMENTS
from protractor.sheets.calibration import calibration_lengths, calibration_page
from tests.collisions import collisions

FEATURES = {"x": "x_bar", "y": "y_bar", "rising": "rising", "falling": "falling"}
NOTE = (
    "Corrected for printer 'an invented printer, upstairs' of 2026-03-31: X × 1.01631, "
    "Y × 0.98361, square by -0.478 mm per 100 mm. True on that printer alone."
)


@pytest.mark.parametrize("name", list(PAPERS))
def test_lines_are_as_long_as_they_say(name: str) -> None:
    """Each line runs in its direction for its nominal length; bars of 150 mm from A4 on."""
    page = calibration_page(PAPERS[name])
    lengths = calibration_lengths(PAPERS[name])
    for line, key in FEATURES.items():
        start, end = np.array(page.features[key])
        assert end - start == pytest.approx(np.array(DIRECTIONS[line]) * lengths[line][-1])
        assert f"{lengths[line][-1]:g}" in " ".join(
            s.text for s in page.shapes if hasattr(s, "text")
        )
        if name != "a5":
            assert lengths[line] == (150.0, lengths[line][-1])


@settings(max_examples=40)
@given(st.floats(120, 330), st.floats(170, 460), st.sampled_from([None, 5.0, 14.0]), st.booleans())
def test_any_paper(width: float, height: float, margin: float | None, corrected: bool) -> None:
    """Whatever the sheet's size and margins: nothing collides and the margins stay free, or the
    paper is said to be too small.
    """
    sheet = paper(f"{width:.1f}x{height:.1f}mm", margin)
    try:
        page = calibration_page(sheet, "p" * 40 if corrected else "", NOTE if corrected else "")
    except InputError as error:
        small = error.name == "paper" and (sheet.width_mm < 180 or sheet.height_mm < 260)
        assert small, (sheet, error)  # noqa: PT017  # which papers may be refused is the point
        return
    assert collisions(page) == []
    points = np.array([point for shape in page.shapes for point in outline(shape)])
    assert points.min() > sheet.clear_side_mm - 0.4
    assert points[:, 1].min() > sheet.clear_bottom_mm - 0.4
    assert points[:, 0].max() < sheet.right + 0.4
    assert points[:, 1].max() < sheet.top + 0.4


@pytest.mark.parametrize("name", ["a4", "letter", "a3", "a5"])
def test_lines_are_whole_and_their_ends_named(name: str) -> None:
    """Each line is one stroke from its first mark to its last, both named by letters of its own."""
    page = calibration_page(PAPERS[name])
    strokes = np.array([(s.start, s.end) for s in page.shapes if isinstance(s, Line)])
    named = {s.text: s.at for s in page.shapes if isinstance(s, Label)}
    for line, key in FEATURES.items():
        start, end = (tuple(point) for point in page.features[key])
        assert np.abs(strokes - np.array([start, end])).max(axis=(1, 2)).min() < 1e-6
        letter = line[0].upper()
        assert math.dist(named[f"{letter}A"], start) < 8
        assert math.dist(named[f"{letter}C"], end) < 8


@pytest.mark.parametrize("printer", ["", "the printer upstairs"])
def test_a_command_for_each_instrument_can_be_typed(printer: str) -> None:
    """Every instrument has a command on lines of its own; no option stands apart from its value."""
    page = calibration_page(PAPERS["a4"], printer)
    lines = [s.text for s in page.shapes if isinstance(s, Label) and "--" in s.text]
    readings = " ".join(text for text in lines if "__" in text)
    assert [readings.count(f"--{line} __") for line in DIRECTIONS] == [3, 3, 3, 3]
    for text in lines:
        assert not re.search(r"--[a-z-]+$", text), "an option apart from its value"
    typed = [text for text in lines if "--instrument" in text]
    assert {re.search(r"--instrument (\S+)", text)[1] for text in typed} == set(INSTRUMENTS)
    steps = [s for s in page.shapes if isinstance(s, Label) and s.bold and s.text in "1234"]
    assert min(s.size_pt for s in steps) >= 9


def test_vernier_reads_tenths() -> None:
    """A ruler's line meets the vernier's n-th line when the print is n tenths too long.

    Found on the sheet: ten lines beyond the X bar's end at 0.9 mm; a whole millimetre of a ruler
    that starts at A falls on line n for a length of 160 + n / 10 mm.
    """
    page = calibration_page(PAPERS["a4"])
    start, end = np.array(page.features["x_bar"])
    lines = sorted(
        s.start[0] - end[0]
        for s in page.shapes
        if hasattr(s, "end") and hasattr(s, "start")
        if math.isclose(s.start[1], end[1]) and s.start[0] == s.end[0] and s.start[0] > end[0]
    )
    assert lines == pytest.approx([0.9 * n for n in range(1, 11)])
    for n, place in enumerate(lines[:9], start=1):
        printed = (end - start)[0] + n / 10 + place
        assert printed == pytest.approx(round(printed))


def test_too_small_a_paper() -> None:
    """Below A5 there is no room for lines that prove anything."""
    with pytest.raises(InputError, match=r"at least 141 x 182 mm.*take A5 or Letter"):
        calibration_page(paper("100x140mm"))
    with pytest.raises(InputError, match=r"at least 181 x 217 mm.*take A4 or Letter"):
        calibration_page(paper("a5", 30.0))
    calibration_page(paper("141x182mm"))
