"""`protractor compare` and the options of the exact optimum, as a user meets them."""

from __future__ import annotations

import csv
import io
import json
import math
import subprocess
import sys
from pathlib import Path

import numpy as np
import pdfplumber
import pytest

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.arms.schemes import SCHEMES
from protractor.cli import main
from protractor.printing.paper import PAPERS
from protractor.sheets.alignment_sheet import alignment_pages
from tests.collisions import collisions

DECK = ["--pivot-to-spindle", "222"]


def answer(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """What a command prints when all is well."""
    assert main(list(arguments)) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def test_every_scheme_with_the_keys_of_solve(capsys: pytest.CaptureFixture[str]) -> None:
    """The JSON is a list, one object a scheme, each equal to what solve prints for it."""
    rows = json.loads(answer(capsys, "compare", *DECK, "--json"))
    assert [row["scheme"] for row in rows] == list(SCHEMES)
    for row in rows:
        alone = json.loads(answer(capsys, "solve", *DECK, "--scheme", row["scheme"], "--json"))
        assert row.pop("from_now") is None
        assert row == alone


def test_named_schemes_and_own_radii(capsys: pytest.CaptureFixture[str]) -> None:
    """Those named, in the order named, once each; own radii come last by themselves."""
    named = ["--scheme", "stevenson", "--scheme", "lofgren-a", "--scheme", "stevenson"]
    rows = json.loads(answer(capsys, "compare", *DECK, *named, "--json"))
    assert [row["scheme"] for row in rows] == ["stevenson", "lofgren-a"]
    rows = json.loads(answer(capsys, "compare", *DECK, "--null-radii", "60", "120", "--json"))
    assert rows[-1]["scheme"] == "null-radii"
    rows = json.loads(
        answer(capsys, "compare", *DECK, "--exact", "--null-radii", "60", "120", "--json")
    )
    assert [row["exact"] for row in rows] == [True] * 5 + [False]


@pytest.mark.parametrize(
    ("deck", "d", "length"),
    [(DECK, 222.0, 239.0), (["--effective-length", "240"], 223.0, 240.0)],
)
def test_the_present_setting_stands_beside(
    capsys: pytest.CaptureFixture[str], deck: list[str], d: float, length: float
) -> None:
    """The row `now` is the deck as given, and each row says how far it is from it."""
    now = ["--now-overhang", "17", "--now-offset", "22.5deg"]
    rows = json.loads(answer(capsys, "compare", *deck, *now, "--json"))
    last = rows[-1]
    assert last["scheme"] == "now"
    assert last["pivot_to_spindle_mm"] == pytest.approx(d)
    assert last["effective_length_mm"] == pytest.approx(length)
    assert last["offset_angle_deg"] == pytest.approx(22.5)
    for row in rows:
        move = row["from_now"]
        assert row["overhang_mm"] == pytest.approx(17 + move["overhang_mm"])
        assert row["offset_angle_deg"] == pytest.approx(22.5 + move["offset_angle_deg"])


@pytest.mark.parametrize(
    "more",
    [
        [],
        ["--exact", "--now-overhang", "17", "--now-offset", "22.5"],
        ["--exact", "--overhang-range", "10", "16", "--offset-range", "20", "24"],
        ["--exact", "--held", "offset-angle", "--offset-angle", "0"],
        ["--play", "12:70", "--play", "10@78:15", "--play", "7:15", "--signal", "1000"],
        ["--null-radii", "60", "120", "--replay-slope", "3.9"],
        ["--exact", "--norm", "rms", "--weight", "none", "--null-at", "70"],
    ],
)
def test_the_table_fits_80_columns(capsys: pytest.CaptureFixture[str], more: list[str]) -> None:
    """No line is longer, none ends in blanks, and the caution stands below."""
    out = answer(capsys, "compare", *DECK, *more)
    lines = out.splitlines()
    assert max(map(len, lines)) <= 80
    assert all(line == line.rstrip() for line in lines)
    assert "What can be heard, these figures do not say." in lines
    solved = answer(capsys, "solve", *DECK, *(more if "--now-overhang" not in more else []))
    assert max(map(len, solved.splitlines())) <= 80


def test_the_least_of_each_column_is_marked(capsys: pytest.CaptureFixture[str]) -> None:
    """Löfgren A has the least peak harmonic, equal-angle the least peak error."""
    lines = answer(capsys, "compare", *DECK).splitlines()
    start = lines.index(next(line for line in lines if "tracking error deg" in line)) + 2
    rows = {line.split()[0]: line.split()[1:] for line in lines[start : start + 5]}
    assert rows["lofgren-a"][2].endswith("*")
    assert rows["equal-angle"][0].endswith("*")
    assert not rows["stevenson"][0].endswith("*")


def test_what_is_not_defined_is_a_dash(capsys: pytest.CaptureFixture[str]) -> None:
    """Where the stylus stands across the groove there are no harmonics, and nothing is nan."""
    now = ("--now-overhang", "54.9", "--now-offset", "-35.5")
    last = answer(capsys, "compare", *DECK, *now)
    assert "nan" not in last
    assert any(line.startswith("now") and line.endswith(" -") for line in last.splitlines())


def test_csv_holds_the_curves(capsys: pytest.CaptureFixture[str]) -> None:
    """A row a millimetre from edge to edge, errors and harmonics scheme by scheme, full digits."""
    out = answer(capsys, "compare", *DECK, "--csv")
    rows = list(csv.DictReader(io.StringIO(out)))
    radius = np.array([float(row["radius_mm"]) for row in rows])
    assert radius[0] == 60.325
    assert radius[-1] == 146.05
    assert (radius[1:-1] == np.arange(61, 147)).all()
    arm = align(Deck(pivot_to_spindle_mm=222.0, scheme="stevenson")).arm
    told = [float(row["stevenson_tracking_error_deg"]) for row in rows]
    assert told == pytest.approx(np.degrees(arm.tracking_error(radius)), abs=1e-12)
    worst = max(float(row["lofgren-a_second_harmonic_percent"]) for row in rows)
    assert worst == pytest.approx(0.618, abs=0.001)


def test_csv_of_several_records_names_them(capsys: pytest.CaptureFixture[str]) -> None:
    """Each record has its own rows, and a faster one distorts less at the same radius."""
    out = answer(capsys, "compare", *DECK, "--csv", "--play", "12:80", "--play", "7:20")
    rows = list(csv.DictReader(io.StringIO(out)))
    at_70 = {
        row["record"]: float(row["lofgren-c_second_harmonic_percent"])
        for row in rows
        if float(row["radius_mm"]) == 75
    }
    assert at_70["12-iec-1958"] == pytest.approx(at_70["7-jis-1973"] * 45 / (100 / 3))


def test_limits_are_told(capsys: pytest.CaptureFixture[str]) -> None:
    """The table names the scheme, the limit that stops it and what it costs."""
    out = answer(capsys, "compare", *DECK, "--exact", "--overhang-range", "10", "17")
    assert "equal-angle: stopped by the upper end of overhang-range" in out
    assert "% worse for it." in out


def test_limits_are_told_on_every_page(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The page of curves names the limit and whom it stops; so does what template prints."""
    slots = ["--exact", "--overhang-range", "10", "16"]
    answer(capsys, "compare", *DECK, *slots, "-o", str(tmp_path / "curves.pdf"))
    with pdfplumber.open(tmp_path / "curves.pdf") as pdf:
        text = " ".join(pdf.pages[0].extract_text().split())
    stopped = "lofgren-a, lofgren-b, lofgren-c, equal-angle"
    assert f"Stopped by the upper end of overhang-range: {stopped}." in text
    told = answer(capsys, "template", *DECK, *slots, "-o", str(tmp_path / "sheet.pdf"))
    assert "Stopped by the upper end of overhang-range" in told


def test_a_scheme_without_an_answer_is_left_out_and_said(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Among all schemes it is a note on stderr; asked for by name it is an error."""
    limits = ["--exact", "--overhang-range", "10", "12", "--offset-range", "24", "26"]
    assert main(["compare", *DECK, *limits, "--json"]) == 0
    out, err = capsys.readouterr()
    assert "stevenson" not in [row["scheme"] for row in json.loads(out)]
    assert "note: stevenson is left out: --offset-range" in err
    assert main(["compare", *DECK, *limits, "--scheme", "stevenson"]) == 2
    assert capsys.readouterr().out == ""


def test_an_objective_of_ones_own_stands_beside_the_schemes(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """In compare it is a further row; in solve it excludes a scheme."""
    own = ["--exact", "--norm", "rms", "--null-at", "70"]
    rows = json.loads(answer(capsys, "compare", *DECK, *own, "--scheme", "stevenson", "--json"))
    assert [row["scheme"] for row in rows] == ["stevenson", "own-objective"]
    assert rows[1]["objective"]["null_at_mm"] == 70.0
    assert rows[1]["null_radii_mm"][0] == pytest.approx(70.0)
    rows = json.loads(answer(capsys, "compare", *DECK, *own, "--json"))
    assert [row["scheme"] for row in rows] == [*SCHEMES, "own-objective"]
    assert main(["solve", *DECK, *own, "--scheme", "stevenson"]) == 2
    assert "--norm: got norm beside scheme stevenson" in capsys.readouterr().err


def test_play_weighs_solve_and_compare_alike(capsys: pytest.CaptureFixture[str]) -> None:
    """The record of the closed forms is the one played most, unless one is named."""
    play = ["--play", "7:60", "--play", "60-140@45:40"]
    one = json.loads(answer(capsys, "solve", *DECK, *play, "--json"))
    assert one["record"]["name"] == "7-jis-1973"
    assert [side["share_percent"] for side in one["play"]] == pytest.approx([60, 40])
    assert one["play"][1]["rpm"] == 45.0
    named = json.loads(answer(capsys, "solve", *DECK, *play, "--record", "12", "--json"))
    assert named["record"]["name"] == "12-iec-1958"
    assert named["null_radii_mm"] == pytest.approx([65.998, 120.891], abs=1e-3)


def test_held_says_what_stays(capsys: pytest.CaptureFixture[str]) -> None:
    """The three kinds, each with the given quantity untouched."""
    by_d = json.loads(answer(capsys, "solve", *DECK, "--exact", "--json"))
    assert (by_d["held"], by_d["pivot_to_spindle_mm"]) == ("pivot-to-spindle", 222.0)
    by_length = json.loads(
        answer(
            capsys, "solve", "--effective-length", "9.4in", "--exact",
            "--held", "effective-length", "--json",
        )
    )  # fmt: skip
    assert by_length["effective_length_mm"] == pytest.approx(9.4 * 25.4)
    straight = json.loads(
        answer(
            capsys, "solve", *DECK, "--exact", "--held", "offset-angle", "--offset-angle", "0",
            "--json",
        )
    )  # fmt: skip
    assert straight["offset_angle_deg"] == 0.0
    assert straight["overhang_mm"] < 0
    assert straight["null_radii_mm"][0] is None


BAD = [
    (["--csv", "--json"], "--csv"),
    (["-o", "curves.txt"], "--output"),
    (["-o", "no-such-folder/curves.pdf"], "--output"),
    (["--now-overhang", "17"], "--now-offset"),
    (["--now-offset", "22"], "--now-overhang"),
    (["--now-overhang", "17", "--now-offset", "99"], "--now-offset"),
    (["--held", "offset-angle"], "--held"),
    (["--overhang-range", "10", "16"], "--overhang-range"),
    (["--offset-range", "10", "16"], "--offset-range"),
    (["--norm", "rms"], "--norm"),
    (["--exact", "--norm", "mean"], "--norm"),
    (["--exact", "--overhang-range", "16", "10"], "--overhang-range"),
    (["--exact", "--overhang-range", "16"], "--overhang-range"),
    (["--exact", "--overhang-range", "a", "10"], "--overhang-range"),
    (["--exact", "--offset-range", "nan", "10"], "--offset-range"),
    (["--exact", "--offset-angle", "20"], "--offset-angle"),
    (["--exact", "--held", "effective-length"], "--held"),
    (["--exact", "--held", "overhang"], "--held"),
    (["--exact", "--overhang-range", "80", "90"], "--overhang-range"),
    (["--play", "12:80", "--play", "7:30"], "--play"),
    (["--play", "12:80"], "--play"),
    (["--play", "12:-20", "--play", "7:120"], "--play"),
    (["--play", "12"], "--play"),
    (["--play", "13:100"], "--play"),
    (["--play", "140-60:100"], "--play"),
    (["--exact", "--null-radii", "100", "210", "--play", "35-120:100"], "--play"),
    (["--play", "12@500:100"], "--play"),
    (["--play", "10-iec-1987:100"], "--play"),
    (["--now-overhang", "-100", "--now-offset", "0"], "--now-overhang"),
    (["--velocity", "0"], "--velocity"),
    (["--velocity", "1e9"], "--velocity"),
    (["--rpm", "0"], "--rpm"),
    (["--signal", "5"], "--signal"),
    (["--signal", "1 kHz"], "--signal"),
    (["--replay-slope", "-3"], "--replay-slope"),
    (["--signal", "1000", "--replay-slope", "3.9"], "--signal"),
    (["--side-minutes", "0"], "--side-minutes"),
    (["--x-axis", "groove"], "--x-axis"),
    (["--scheme", "lofgren"], "--scheme"),
    (["--scheme", "null-radii"], "--null-radii"),
]


@pytest.mark.parametrize(("more", "option"), BAD, ids=lambda v: " ".join(v) if v else "")
def test_bad_input_is_one_line_and_no_file(
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    more: list[str],
    option: str,
) -> None:
    """One line on stderr that names the option, exit status 2, nothing on stdout, no file."""
    monkeypatch.chdir(tmp_path)
    wanted = [] if "-o" in more else ["-o", "curves.pdf"]
    assert main(["compare", *DECK, *more, *wanted]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert err.startswith(f"protractor: {option}: got ")
    assert "allowed: " in err
    assert list(tmp_path.iterdir()) == []


def test_without_a_deck(capsys: pytest.CaptureFixture[str]) -> None:
    """Neither length is one error, not five."""
    assert main(["compare"]) == 2
    err = capsys.readouterr().err
    assert err.startswith("protractor: --pivot-to-spindle: got neither length")
    assert err.count("\n") == 1


def test_the_drawing_library_loads_only_when_curves_are_drawn() -> None:
    """A table needs no matplotlib."""
    code = (
        "import sys; from protractor.cli import main; "
        "main(['compare', '--pivot-to-spindle', '222']); "
        "sys.exit(any('matplotlib' in name for name in sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr


def test_the_exact_template_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The sheet of an exact optimum is called so; one null alone gives a sheet with one target."""
    out = tmp_path / "sheet.pdf"
    told = json.loads(answer(capsys, "template", *DECK, "--exact", "-o", str(out), "--json"))
    assert told["exact"] is True
    assert out.stat().st_size > 1000
    straight = ["--exact", "--held", "offset-angle", "--offset-angle", "0"]
    told = json.loads(
        answer(capsys, "template", *DECK, *straight, "-o", str(tmp_path / "one.pdf"), "--json")
    )
    assert told["features"]["null_inner"] is None
    assert told["features"]["null_outer"] is not None


def test_exact_and_closed_form_differ_by_what_the_readme_says(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """On a nine-inch arm Löfgren A's outer null moves by 0.14 mm and the distortion by 0.5 %."""
    closed = json.loads(answer(capsys, "solve", *DECK, "--json"))
    exact = json.loads(answer(capsys, "solve", *DECK, "--exact", "--json"))
    moved = exact["null_radii_mm"][1] - closed["null_radii_mm"][1]
    assert moved == pytest.approx(0.14, abs=0.01)
    gain = exact["peak_second_harmonic_percent"] / closed["peak_second_harmonic_percent"]
    assert gain == pytest.approx(1 - 0.005, abs=0.001)
    assert math.isclose(exact["limits"]["cost_percent"], 0.0)


@pytest.mark.parametrize("paper", [name for name in PAPERS if name != "a5"])
def test_the_longest_block_of_an_exact_sheet_fits(paper: str) -> None:
    """Two limits that bind, three records and replay: no label runs into anything."""
    alignment = align(
        Deck(
            pivot_to_spindle_mm=222.0,
            exact=True,
            overhang_range_mm=(5.0, 13.0),
            offset_range_deg=(20.7, 34.0),
            signal_hz=20_000.0,
            play=("12:50", "10@78:30", "7:20"),
        )
    )
    assert alignment.terms is not None
    assert len(alignment.terms.binding) == 2
    for page in alignment_pages(alignment, PAPERS[paper]):
        assert collisions(page) == []
