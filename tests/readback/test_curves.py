"""The page of curves read back: paper, typeface, sizes, words, and the curves themselves."""

from __future__ import annotations

import io
import math
import os
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pdfplumber
import pytest

from protractor.arms.arm import ERROR_SIGN, Arm, tracking_error
from protractor.arms.schemes import SCHEMES
from protractor.cli import main
from protractor.drawing.type import SMALLEST_PT

DECK = ["compare", "--pivot-to-spindle", "222", "--now-overhang", "17", "--now-offset", "22.5"]


def drawn(path: Path, *more: str) -> bytes:
    """The file that the command draws."""
    assert main([*DECK, *more, "-o", str(path)]) == 0
    return path.read_bytes()


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> pdfplumber.page.Page:
    """The A4 page of all schemes and the present setting."""
    data = drawn(tmp_path_factory.mktemp("curves") / "curves.pdf")
    return pdfplumber.open(io.BytesIO(data)).pages[0]


def test_one_a4_page_in_the_house_typeface(page: pdfplumber.page.Page) -> None:
    """210 x 297 mm, only Noto Sans, nothing under 7 pt, every word on the paper."""
    assert float(page.width) == pytest.approx(210 / 25.4 * 72, abs=0.01)
    assert float(page.height) == pytest.approx(297 / 25.4 * 72, abs=0.01)
    assert all("NotoSans" in char["fontname"] for char in page.chars)
    assert min(char["size"] for char in page.chars) >= SMALLEST_PT
    for char in page.chars:
        # the clear margin of 10 mm, and the air beside a letter
        assert 28 < char["x0"] < char["x1"] < float(page.width) - 28
        assert 20 < char["top"] < char["bottom"] < float(page.height) - 20


def test_every_scheme_is_named_in_every_panel(page: pdfplumber.page.Page) -> None:
    """Direct labels: three panels and the table, four times each name."""
    words = [word["text"] for word in page.extract_words()]
    for name in (*SCHEMES, "now"):
        assert words.count(name) == 4
    text = page.extract_text()
    for said in (
        "Tracking error, degrees",
        "Tracking error over radius, degrees per 100 mm",
        "Second harmonic, percent",
        "+ is counter-clockwise of the groove, seen from above",
        "10 cm/s peak",
        "not equalised",
        "estimated from the usual groove pitch",
        "how much of that can be heard, these curves do not say",
    ):
        assert said in " ".join(text.split())


def test_words_do_not_run_into_each_other(page: pdfplumber.page.Page) -> None:
    """No two words' boxes overlap by more than a fifth of a millimetre."""
    words = page.extract_words(use_text_flow=False)
    for number, one in enumerate(words):
        for other in words[number + 1 :]:
            across = min(one["x1"], other["x1"]) - max(one["x0"], other["x0"])
            down = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
            # a word's box is taller than its letters: a quarter of the line is air
            assert across <= 0.6 or down <= 0.3 * (one["bottom"] - one["top"]), (
                one["text"],
                other["text"],
            )


def nearest(places: list[float], place: float) -> float:
    """The one of some places that is nearest."""
    return min(places, key=lambda other: abs(other - place))


def test_the_drawn_curve_is_the_tracking_error(page: pdfplumber.page.Page) -> None:
    """The accent curve of the first panel, read in points, is the error within a line's width.

    The scale comes from the grid lines that the tick labels stand at, not from the program.
    """
    accent = [
        curve
        for curve in page.curves
        if isinstance(curve["stroking_color"], tuple)
        and len(curve["stroking_color"]) == 3
        and curve["stroking_color"][0] > 0.5 > curve["stroking_color"][2]
        and len(curve["pts"]) > 50
    ]
    first = min(accent, key=lambda curve: curve["top"])
    pts = np.array(first["pts"])
    words = sorted(page.extract_words(), key=lambda word: word["top"])
    across = [x["x0"] for x in page.lines if x["height"] > 100 > x["width"]]
    down = [y["top"] for y in page.lines if y["width"] > 100 > y["height"]]
    ticks, heights = {}, {}
    for word in words:
        if word["text"] in ("70", "140"):
            ticks.setdefault(word["text"], nearest(across, (word["x0"] + word["x1"]) / 2))
        if word["text"] in ("0", "2") and not first["x0"] < word["x0"] < first["x1"]:
            heights.setdefault(word["text"], nearest(down, (word["top"] + word["bottom"]) / 2))
    radius = 70 + (pts[:, 0] - ticks["70"]) * 70 / (ticks["140"] - ticks["70"])
    error = (pts[:, 1] - heights["0"]) * 2 / (heights["2"] - heights["0"])
    wanted = np.degrees(tracking_error(radius, 222.0, 239.0, np.radians(22.5)))
    assert np.abs(error - wanted).max() < 0.005


def test_two_curves_stand_out_without_colour(page: pdfplumber.page.Page) -> None:
    """The present setting is the widest curve and bears dots, the best scheme comes next."""
    widths = sorted(
        round(curve["linewidth"] * 25.4 / 72, 2)
        for curve in page.curves
        if curve["width"] > 100 and not curve["fill"]
    )
    assert widths == [0.25] * 12 + [0.5] * 3 + [0.7] * 3
    dots = [c for c in page.curves if c["fill"] and abs(c["width"] * 25.4 / 72 - 1.7) < 0.01]
    assert len(dots) == 3 * len(range(70, 150, 10)) + 3  # three panels, and three samples


@pytest.mark.parametrize(("offset", "left"), [(20.0, True), (26.0, False)])
def test_names_stand_at_the_edge_with_more_room(tmp_path: Path, offset: float, left: bool) -> None:
    """Two curves that meet at one edge bear their names at the other."""
    path = tmp_path / "two.pdf"
    words = ["--pivot-to-spindle", "222", "--scheme", "lofgren-a", "--now-offset", f"{offset:g}"]
    radius = 146.05 if left else 60.325
    # the overhang that gives the present setting the scheme's error at that edge
    low, high = 0.0, 40.0
    wanted = math.degrees(tracking_error(radius, 222.0, 239.2992, math.radians(22.9904)))
    for _ in range(60):
        middle = (low + high) / 2
        error = math.degrees(tracking_error(radius, 222.0, 222.0 + middle, math.radians(offset)))
        low, high = (middle, high) if error < wanted else (low, middle)
    assert main(["compare", *words, "--now-overhang", f"{low}", "-o", str(path)]) == 0
    with pdfplumber.open(io.BytesIO(path.read_bytes())) as pdf:
        names = [w for w in pdf.pages[0].extract_words() if w["text"] == "now"][:3]
    assert all((word["x0"] < 300) == left for word in names)


@pytest.mark.parametrize("radius", [61.0, 90.0, 140.0])
def test_the_sign_in_words_is_the_sign_in_figures(radius: float) -> None:
    """Where the error is positive the cartridge points counter-clockwise of the groove.

    Found from the picture seen from above: spindle in the origin, platter turning clockwise.
    """
    arm = Arm(
        pivot_to_spindle_mm=222.0, effective_length_mm=239.3, offset_angle_rad=math.radians(23)
    )
    x, y = arm.stylus(radius)
    along_arm = math.atan2(y - 222.0, x)
    cartridge = along_arm - arm.offset_angle_rad  # a cartridge points inward of its arm
    groove = math.atan2(-x, y)  # the groove moves toward the arm's front: the radius turned back
    counter_clockwise = math.remainder(cartridge - groove, 2 * math.pi)
    assert counter_clockwise == pytest.approx(float(arm.tracking_error(radius)))
    assert "counter-clockwise" in ERROR_SIGN


def test_same_inputs_same_bytes(tmp_path: Path) -> None:
    """Drawn here and in another process with another hash seed: the same bytes, each format."""
    endings = ("pdf", "svg", "png")
    here = [drawn(tmp_path / f"here.{ending}") for ending in endings]
    code = "import sys; from protractor.cli import main; [main(a.split()) for a in sys.argv[1:]]"
    there = [tmp_path / f"there.{ending}" for ending in endings]
    subprocess.run(
        [sys.executable, "-c", code, *(" ".join([*DECK, "-o", str(path)]) for path in there)],
        check=True,
        capture_output=True,
        env=os.environ | {"PYTHONHASHSEED": "7"},
        cwd=Path(__file__).parents[2],
    )
    assert [path.read_bytes() for path in there] == here


def test_the_svg_is_a_page_of_the_papers_size(tmp_path: Path) -> None:
    """Letter in points, letters as paths, no date."""
    data = drawn(tmp_path / "curves.svg", "--paper", "letter")
    root = ET.fromstring(data)
    assert root.get("width") == "612pt"
    assert root.get("height") == "792pt"
    assert not [element for element in root.iter() if element.tag.endswith("}text")]
    assert b"<dc:date>" not in data


def test_time_runs_from_the_outer_edge(tmp_path: Path) -> None:
    """With --x-axis time the outer edge stands left, at minute 0."""
    data = drawn(tmp_path / "time.pdf", "--x-axis", "time", "--side-minutes", "22")
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        words = pdf.pages[0].extract_words()
    left = {word["text"]: word["x0"] for word in words if word["text"] in ("140", "70")}
    assert left["140"] < left["70"]
    text = " ".join(word["text"] for word in words)
    assert "minutes through the side (22 min, as given)" in text


def test_an_existing_file_is_kept(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without --force the file stays as it is."""
    path = tmp_path / "curves.pdf"
    path.write_text("mine")
    assert main([*DECK, "-o", str(path)]) == 2
    assert "--force" in capsys.readouterr().err
    assert path.read_text() == "mine"
    assert main([*DECK, "-o", str(path), "--force"]) == 0
    assert path.read_bytes().startswith(b"%PDF")
