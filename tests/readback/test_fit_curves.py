"""The curves of `fit` read back: typeface, words, nothing collides, the figures of a curve."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pdfplumber
import pytest

from protractor.chain.circuit import response_db
from protractor.cli import main
from protractor.drawing.type import SMALLEST_PT
from tests.conftest import Ran
from tests.readback import test_curves as curves

WORDS = (
    *("fit", "--cartridge-kind", "moving-magnet", "--cartridge-output", "5"),
    *("--cartridge-velocity", "5", "--cartridge-velocity-is", "peak"),
    *("--cartridge-resistance", "800", "--cartridge-inductance", "500"),
    *("--cartridge-load", "47k", "47k", "--cartridge-load-capacitance", "150", "250"),
    *("--cartridge-mass", "6.5", "--cartridge-compliance", "12", "--arm-effective-mass", "12"),
    *("--arm-effective-mass-is", "with-headshell", "--arm-wire", "30", "--arm-cable", "250"),
    *("--stage-gain", "40", "--stage-load", "47k", "--stage-capacitance", "220"),
    *("--stage-input-limit", "60", "--stage-noise", "3", "--title", "Bench deck 1, invented"),
)


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> pdfplumber.page.Page:
    """The A4 page of three charts."""
    path = tmp_path_factory.mktemp("fit") / "fit.pdf"
    assert main([*WORDS, "-o", str(path)]) == 0
    return pdfplumber.open(io.BytesIO(path.read_bytes())).pages[0]


def test_one_page_in_the_house_typeface(page: pdfplumber.page.Page) -> None:
    """A4, only Noto Sans, nothing under 7 pt, every word on the paper and apart from the others."""
    assert float(page.width) == pytest.approx(210 / 25.4 * 72, abs=0.01)
    assert all("NotoSans" in char["fontname"] for char in page.chars)
    assert min(char["size"] for char in page.chars) >= SMALLEST_PT
    for char in page.chars:
        assert 20 < char["x0"] < char["x1"] < float(page.width) - 20
        assert 20 < char["top"] < char["bottom"] < float(page.height) - 20
    curves.test_words_do_not_run_into_each_other(page)


def test_every_chart_is_named_and_explained(page: pdfplumber.page.Page) -> None:
    """Titles, names of curves at their ends, limits, and how to read it."""
    text = " ".join((page.extract_text() or "").split())
    for words in (
        *("Bench deck 1, invented", "Response of the coil", "500 pF, now", "250 pF, maker"),
        *("clips: 6 V", "wanted: 316 mV", "5 cm/s: 500 mV", "noise:", "Resonance over"),
        *("12 µm/mN", "8 to 12 Hz", "these curves do not say"),
    ):
        assert words in text


def test_the_drawn_curve_is_the_response(page: pdfplumber.page.Page) -> None:
    """The thick accent curve of the first panel, read in points by its grid lines, in dB."""
    accent = [
        one
        for one in page.curves
        if isinstance(one["stroking_color"], tuple)
        and len(one["stroking_color"]) == 3
        and one["stroking_color"][0] > 0.5 > one["stroking_color"][2]
        and len(one["pts"]) > 15
        and one["linewidth"] > 1.0
    ]
    points = np.array(min(accent, key=lambda one: one["top"])["pts"])
    words = page.extract_words()
    labels = {w["text"]: w for w in sorted(words, key=lambda w: -w["top"])}  # the topmost counts
    panel = [one for one in page.lines if one["bottom"] < labels["20"]["top"]]
    across = [one["x0"] for one in panel if one["height"] > 100 > one["width"]]
    down = [one["top"] for one in panel if one["width"] > 100 > one["height"]]
    left, right = (
        curves.nearest(across, (labels[text]["x0"] + labels[text]["x1"]) / 2)
        for text in ("2", "20")
    )
    zero, lower = (
        curves.nearest(down, (labels[text]["top"] + labels[text]["bottom"]) / 2)
        for text in ("0", "-10")
    )
    frequency = 2000 * 10.0 ** ((points[:, 0] - left) / (right - left))
    level = (points[:, 1] - zero) * -10 / (lower - zero)
    wanted = response_db(frequency, 800.0, 500.0, 47_000.0, 500.0)
    assert np.abs(level - wanted).max() < 0.05


def test_slips_write_nothing(run: Callable[..., Ran]) -> None:
    """An unknown ending, a small paper and figures for no curve are one line each."""
    for words, line in (
        (("-o", "fit.dxf"), "--output: got fit.dxf"),
        (("-o", "fit.svg", "--paper", "a5"), "--paper: got A5.*take A4"),
    ):
        ran = run(*WORDS, *words)
        assert (ran.status, ran.out, ran.files) == (2, "", [])
        assert re.search(line, ran.err), ran.err
    ran = run("fit", "--arm-force", "2", "-o", "fit.svg")
    assert (ran.status, ran.files) == (2, [])
    assert "figures for no curve" in ran.err


def test_the_svg_has_letters_as_paths(run: Callable[..., Ran]) -> None:
    """On Letter, named below the answers."""
    ran = run(*WORDS, "-o", "fit.svg", "--paper", "letter")
    assert (ran.status, ran.err, ran.files) == (0, "", ["fit.svg"])
    assert ran.out.endswith("\n\nfit.svg\n")
    assert b"<text" not in Path("fit.svg").read_bytes()
