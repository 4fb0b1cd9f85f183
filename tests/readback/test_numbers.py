"""The page of numbers read back: its table, its curve, and what it says of the sign."""

from __future__ import annotations

import io
import math

import numpy as np
import pdfplumber
import pytest

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.arms.arm import ERROR_SIGN
from protractor.drawing.shapes import HEAVY, Label, Line
from protractor.output.pdf import pdf_bytes
from protractor.printing.paper import PAPERS
from protractor.sheets.numbers import COLUMNS_MM, numbers_page, table_radii
from tests.collisions import collisions


@pytest.mark.parametrize(("paper", "step"), [("a4", 5), ("letter", 5), ("a5", 20)])
def test_numbers_on_the_page(paper: str, step: int) -> None:
    """The table on paper holds the arm's tracking angle and error at each of its radii."""
    alignment = align(Deck(pivot_to_spindle_mm=222.0))
    page = numbers_page(alignment, PAPERS[paper], "An invented deck")
    with pdfplumber.open(io.BytesIO(pdf_bytes([page]))) as document:
        (sheet,) = document.pages
        # the curve beside the table has figures of its own
        table = sheet.crop((0, 0, (26.2 + COLUMNS_MM[-1] + 2) / 25.4 * 72, sheet.height))
        lines = table.extract_text().replace("–", "-").splitlines()
    rows = {}
    for line in lines:
        cells = line.replace("%", "").replace("°", "").split()
        numbers = [c for c in cells if c.lstrip("+-").replace(".", "", 1).isdigit()]
        if len(numbers) >= 4 and "." in numbers[-4]:
            rows[numbers[-4]] = [float(v) for v in numbers[-3:]]
    radii = table_radii(alignment, step)
    assert len(rows) >= len(radii) - 1
    for radius in radii[1:-1]:
        angle, error, harmonic = rows[f"{radius:.2f}"]
        assert angle == pytest.approx(
            math.degrees(float(alignment.arm.tracking_angle(radius))), abs=0.0051
        )
        assert error == pytest.approx(
            math.degrees(float(alignment.arm.tracking_error(radius))), abs=0.0051
        )
        assert 0 <= harmonic <= alignment.peak_second_harmonic_percent + 0.006


def test_numbers_of_an_exact_optimum_and_of_replay() -> None:
    """The page says what was held, what stopped it, what is played and how replay counts."""
    alignment = align(
        Deck(
            pivot_to_spindle_mm=222.0,
            exact=True,
            overhang_range_mm=(5.0, 13.0),
            replay_slope_db_octave=3.9,
            play=("12:75", "7:25"),
        )
    )
    page = numbers_page(alignment, PAPERS["a4"])
    assert collisions(page) == []
    words = " ".join(s.text for s in page.shapes if hasattr(s, "text"))
    for needed in (
        "exact, fixed",
        "stopped by",
        "75 % 12-inch, IEC 98:1958",
        "25 % 17 cm, JIS S 8502:1973",
        "3.9 dB/octave",
    ):
        assert needed in words


@pytest.mark.parametrize("name", ["a4", "letter", "a3"])
def test_the_curve_is_the_tracking_error(name: str) -> None:
    """Read off the page by the axes' own figures, the curve is the error to 0.01 degree."""
    alignment = align(Deck(pivot_to_spindle_mm=222.0))
    page = numbers_page(alignment, PAPERS[name])
    assert collisions(page) == []
    pieces = [s for s in page.shapes if isinstance(s, Line) and s.stroke.width_mm == HEAVY]
    points = np.array([pieces[0].start, *(piece.end for piece in pieces)])
    labels = {s.text: s for s in page.shapes if isinstance(s, Label) and s.size_pt == 9}
    ticks = [s for s in page.shapes if isinstance(s, Line) and s.start[0] == s.end[0]]
    across = {
        text: min((t.start[0] for t in ticks), key=lambda x, a=labels[text].at[0]: abs(x - a))
        for text in ("80", "140")
    }
    levels = [s.start[1] for s in page.shapes if isinstance(s, Line) and s.start[1] == s.end[1]]
    up = {
        text: min(levels, key=lambda y, a=labels[text].at[1] + 1.1: abs(y - a))
        for text in ("0", "+1")
    }
    radius = 80 + 60 * (points[:, 0] - across["80"]) / (across["140"] - across["80"])
    error = (points[:, 1] - up["0"]) / (up["+1"] - up["0"])
    assert np.abs(error - np.degrees(alignment.arm.tracking_error(radius))).max() < 0.01


@pytest.mark.parametrize("name", ["a4", "a5"])
def test_the_sign_is_given_beside_the_table(name: str) -> None:
    """What + means is on the page, whether or not there is room for the curve."""
    page = numbers_page(align(Deck(pivot_to_spindle_mm=222.0)), PAPERS[name])
    words = " ".join(s.text for s in page.shapes if isinstance(s, Label))
    assert ERROR_SIGN in words
