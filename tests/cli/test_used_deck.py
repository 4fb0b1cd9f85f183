"""The commands for a used deck as their user meets them: gauge, reconcile, correct, tolerance."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.test_cli import SOLVE_KEYS
from tests.conftest import Ran

Run = Callable[..., Ran]
D = ("--pivot-to-spindle", "222")
FINE = ("--reading-bound", "0.25")
TWO = (*FINE, "--reading", "66.0:1.0", "--reading", "120.9:0.5")


@pytest.mark.parametrize(
    "words",
    [
        ("correct", *D, *TWO),
        ("correct", *D, "--reading", "66:0.1", "--reading", "120.9:-0.1"),
        (
            "correct",
            *D,
            "--reading",
            "66:-3.9",
            "--reading",
            "120.9:-1.9",
            "--turn-about",
            "screws",
        ),
        ("reconcile", *D, "--overhang", "17.3", "--offset-angle", "22deg±0.5"),
        ("reconcile", *D, "--overhang", "17"),
        ("reconcile", *D, "--effective-length", "237", "--overhang", "17", "--offset-angle", "23"),
        (
            "reconcile",
            *D,
            "--effective-length",
            "239",
            "--overhang",
            "25.0",
            "--offset-angle",
            "23",
        ),
        ("reconcile", "--null-radii", "66.0±0.5", "120.9+-0.5", "--offset-angle", "20.0"),
        ("reconcile", "--pivot-to-spindle", "240", "--overhang", "-13.3", "--offset-angle", "0.0"),
        ("correct", *D, "--reading", "66:1", "--reading", "120.9:1"),
        ("reconcile", *D, *D[:1], "225", "--effective-length", "239.3", "--offset-angle", "23"),
        ("reconcile", *D, "--effective-length", "500", "--overhang", "17"),
        ("tolerance", *D, "--draws", "1000"),
        ("tolerance", "--pivot-to-spindle", "240", "--straight", "--draws", "1000"),
        ("tolerance", *D, "--exact", "--play", "12:80", "--play", "7:20", "--draws", "1000"),
        ("correct", *D, *TWO, "--exact", "--signal", "1000"),
        ("solve", "--pivot-to-spindle", "240", "--straight"),
        ("gauge", "pivot"),
        ("gauge", "pivot", "--help"),
        ("gauge",),
    ],
    ids=lambda words: " ".join(words)[:50],
)
def test_output_is_calm(run: Run, words: tuple[str, ...]) -> None:
    """Every answer keeps to 80 columns, says nothing on stderr, and has no nan in it."""
    ran = run(*words)
    assert ran.status == 0, ran.err
    assert ran.err == ""
    assert max(map(len, ran.out.splitlines())) <= 80
    assert "nan" not in ran.out.lower().split()


def test_a_straight_arm_has_no_negative_zero(run: Run) -> None:
    """An offset of none is written 0.00, without a sign."""
    ran = run("tolerance", "--pivot-to-spindle", "222.3", "--straight", "--draws", "1000")
    assert "-0.00" not in ran.out


def test_each_cause_of_doubt_is_named_in_words(run: Run) -> None:
    """The table tells what each bound is about, under the name of its option."""
    told = run("tolerance", *D, "--draws", "1000").out
    assert "zenith: stylus set in askew" in told
    assert "grid: cartridge seen askew" in told


def test_nothing_is_improved_where_nothing_is_in_doubt(run: Run) -> None:
    """With every bound at 0 no step is called the one to improve first."""
    bounds = ("pivot-to-spindle", "print-scale", "hole-play", "aim", "arc", "grid", "zenith")
    words = ["tolerance", *D, "--draws", "1000"]
    for name in bounds:
        words += [f"--{name}-bound", "0"]
    assert "Improve first" not in run(*words).out
    numbers = json.loads(run(*words, "--json").out)
    assert numbers["dominant"] is None
    assert numbers["improve_first"] is None


def test_a_complaint_about_readings_is_whole(run: Run) -> None:
    """All that does not go together is named, none of it cut off."""
    words = ("--reading", "66:3.9", "--reading", "120.9:-3.9", "--overhang", "17.3")
    ran = run("correct", *D, *words)
    assert ran.status == 2
    assert "…" not in ran.err
    assert "the reading at 66 mm, the reading at 120.9 mm" in ran.err


def test_correct_json(run: Run) -> None:
    """The stable keys, with the target under the keys of solve."""
    numbers = json.loads(run("correct", *D, *TWO, "--json").out)
    wanted = {
        "effective_length_now_mm",
        "offset_angle_now_deg",
        "overhang_now_mm",
        "peak_second_harmonic_percent_now",
        "slide_mm",
        "turn_deg",
        "leave_it",
        "target",
    }
    assert wanted <= set(numbers)
    assert list(numbers["target"]) == SOLVE_KEYS
    assert numbers["slide_mm"] > 0
    assert numbers["leave_it"] is False
    assert numbers["overhang_now_mm"] == pytest.approx(numbers["effective_length_now_mm"] - 222)


def test_correct_says_what_to_move_in_words(run: Run) -> None:
    """The slide comes first, then the turn, each with its direction."""
    out = " ".join(run("correct", *D, *TWO).out.split())
    assert "1. Slide the cartridge 1.3 mm toward the front along the slots" in out
    assert "2. Turn it 0.1 deg clockwise, seen from above" in out
    back = " ".join(run("correct", *D, "--reading", "66:-2", "--reading", "120.9:-0.5").out.split())
    assert "mm back toward the pivot along the slots" in back
    assert "counter-clockwise, seen from above" in back


@pytest.mark.parametrize(
    ("readings", "times", "verdict", "said"),
    [
        ("0 0", 1, "matches", "Stop here: every reading matches the target within"),
        ("0.3 0.2", 1, "costs-little", "Stop here: what is left costs less than 0.2"),
        ("0.25 -0.5", 3, "no-gain", "Stop here: a move by hand is not sure to gain"),
        ("0.5 0.5", 1, "read-again", "Not settled: these readings do not show"),
    ],
)
def test_correct_says_why_nothing_is_to_be_moved(
    run: Run, readings: str, times: int, verdict: str, said: str
) -> None:
    """Each reason in words of its own, at 80 columns, and under a key of its own."""
    inner, outer = readings.split()
    words = (
        "correct",
        *D,
        *FINE,
        *(times * ["--reading", f"66:{inner}", "--reading", f"120.9:{outer}"]),
    )
    out = run(*words).out
    assert said in out
    assert "What to move" not in out
    assert max(map(len, out.splitlines())) <= 80
    numbers = json.loads(run(*words, "--json").out)
    assert (numbers["verdict"], numbers["leave_it"]) == (verdict, True)
    low, high = numbers["peak_second_harmonic_percent_now_95"]
    assert 0.6 < low < high


def test_the_sign_is_explained_beside_the_curve(run: Run) -> None:
    """The table's errors and the fan's readings differ in sign, and the table says so."""
    assert "opposite sign" in run("correct", *D, *TWO).out


def test_zenith_is_seen_from_below(run: Run) -> None:
    """The remedy says from where, by what and how well, and which inputs take the figure."""
    out = " ".join(run("tolerance", *D, "--draws", "1000").out.split())
    for words in ("stylus up", "body's side", "± 0.5 deg", "--zenith below 0", "--zenith-bound"):
        assert words in out


def test_log_grows_by_whole_lines(run: Run, tmp_path: Path) -> None:
    """Each round adds one line of JSON with its number; what was there stays."""
    words = ("correct", *D, *TWO, "--log", "rounds.jsonl")
    assert run(*words).out.startswith("Round 1.")
    before = (tmp_path / "rounds.jsonl").read_text()
    assert json.loads(run(*words, "--json").out)["round"] == 2
    text = (tmp_path / "rounds.jsonl").read_text()
    assert text.startswith(before)
    assert [json.loads(line)["round"] for line in text.splitlines()] == [1, 2]


@pytest.mark.parametrize("content", [b"my diary\n", b"\xff\xfe", b'{"round": 1}', b"[1]\n"])
def test_a_foreign_file_is_no_log(run: Run, tmp_path: Path, content: bytes) -> None:
    """A file that this command did not begin is left as it is."""
    (tmp_path / "x").write_bytes(content)
    ran = run("correct", *D, *TWO, "--log", "x")
    assert ran.status == 2
    assert "--log: got x" in ran.err
    assert (tmp_path / "x").read_bytes() == content


def test_a_refused_reading_writes_no_log(run: Run) -> None:
    """Readings that cannot be leave no line behind."""
    ran = run("correct", *D, "--reading", "66:5", "--reading", "120.9:0", "--log", "x")
    assert ran.status == 2
    assert ran.files == []


def test_reconcile_json(run: Run) -> None:
    """`agrees`, `suspect`, and the arm with a standard uncertainty beside every number."""
    words = ("reconcile", *D, "--overhang", "17.3", "--offset-angle", "23.0", "--json")
    numbers = json.loads(run(*words, "--null-radii", "66.0", "120.9").out)
    assert numbers["agrees"] is True
    assert numbers["suspect"] is None
    for key in SOLVE_KEYS:
        assert key in numbers["arm"]
        if key.endswith(("_mm", "_deg", "_percent")):
            assert f"{key}_u" in numbers["arm"]
    numbers = json.loads(run(*words, "--null-radii", "66.0", "117.4").out)
    assert numbers["agrees"] is False
    assert numbers["suspect"] == "null-radii outer"
    assert numbers["explanations"][0]["leave_out"] == ["null-radii outer"]
    numbers = json.loads(run(*words, "--null-radii", "60.0", "117.4").out)
    assert numbers["suspect"] is None
    assert numbers["arm"] is None
    for way in numbers["explanations"]:
        assert set(SOLVE_KEYS) <= set(way["arm"])


def test_tolerance_of_a_recorded_printer(run: Run) -> None:
    """A profile's uncertainty stands for the print scale's bound: sqrt(3) u, after JCGM 100."""
    file = ("--profile-file", "p.toml")
    readings = [
        word
        for line, nominal in (("x", 149.2), ("y", 150.3), ("rising", 149.9), ("falling", 149.9))
        for shift in (-0.02, 0.0, 0.02)
        for word in (f"--{line}", f"{nominal + shift}")
    ]
    ran = run("printer", "record", "desk", "--instrument", "calipers", *readings, *file, "--json")
    assert ran.status == 0, ran.err
    x, y = (json.loads(ran.out)["fit"][f"scale_{key}_uncertainty"] for key in "xy")
    ran = run("tolerance", *D, "--draws", "1000", "--printer", "desk", *file, "--json")
    assert ran.status == 0, ran.err
    (cause,) = (c for c in json.loads(ran.out)["contributions"] if c["name"] == "print-scale")
    assert cause["bound"] == pytest.approx(100 * math.sqrt(3) * max(x, y), rel=1e-9)
    both = run("tolerance", *D, "--printer", "desk", *file, "--print-scale-bound", "0.1")
    assert both.status == 2
    assert "leave out one of the two" in both.err


def test_tolerance_json(run: Run) -> None:
    """Spreads, both ways of propagation, and the contributions by size."""
    numbers = json.loads(run("tolerance", *D, "--draws", "2000", "--json").out)
    for key in ("peak_tracking_error_deg", "peak_second_harmonic_percent"):
        assert numbers[key]["nominal"] <= numbers[key]["median"] <= numbers[key]["p95"]
    shares = [c["share_percent"] for c in numbers["contributions"]]
    assert shares == sorted(shares, reverse=True)
    assert math.isclose(sum(shares), 100)
    assert numbers["dominant"] == numbers["contributions"][0]["name"]


def test_gauge_json(run: Run) -> None:
    """The gauge's file, sheet and places, and the distances that it reads."""
    numbers = json.loads(run("gauge", "pivot", "--json", "-o", "x.pdf").out)
    assert numbers["sheet"]["paper"] == "a4"
    assert numbers["features"]["pivots_mm"] == [115.0, 237.0]
    assert numbers["features"]["spindle"] is not None
    ran = run("gauge", "pivot", "--start", "190", "--title", "Ines' deck")
    assert ran.files[0] == "templates_out/ines-deck_pivot-gauge_from-190mm_a4.pdf"


def test_template_names_tell_straight_arms_and_turned_grids_apart(run: Run) -> None:
    """A straight arm's sheet and one with turned grids do not take another sheet's name."""
    run("template", *D)
    run("template", *D, "--zenith", "-1.5")
    files = run("template", *D, "--straight").files
    assert [Path(f).name for f in files] == [
        "d222mm_lofgren-a_a4.pdf",
        "d222mm_lofgren-a_zenith-1.5deg_a4.pdf",
        "d222mm_straight_lofgren-a_a4.pdf",
    ]


def test_the_readme_shows_what_the_commands_say(run: Run) -> None:
    """Every line of output that the README quotes for a used deck is really printed."""
    text = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    chapter = text.split("## A used deck, from unknown to proven")[1].split("\n## ")[0]
    blocks = re.findall(r"```console\n\$ protractor (.*?)\n```", chapter, re.DOTALL)
    assert len(blocks) == 2
    for block in blocks:
        command, _, quoted = block.replace("\\\n", " ").partition("\n")
        ran = run(*command.split())
        assert ran.status == 0
        for line in quoted.splitlines():
            assert line == "..." or line in ran.out.splitlines(), line


BAD = [
    (("correct", *D), "--reading: got none; allowed: two radii at least 5 mm apart"),
    (("correct", *D, "--reading", "66:0.5"), "another target too, or the overhang scale"),
    (("correct", *D, "--reading", "66"), "--reading: got '66'; allowed: RADIUS:DEGREES"),
    (("correct", *D, "--reading", "66:"), "write the target's radius, a colon"),
    (("correct", *D, "--reading", "66:nan"), "--reading: got '66:nan'"),
    (("correct", *D, "--reading", "66:1mm"), "correct the unit"),
    (("correct", *D, "--reading"), "--reading: got no value; allowed: RADIUS:DEGREES"),
    (("correct", *D, "--reading", "66:4.5", "--reading", "120.9:0"), "what the fan can show"),
    (
        ("correct", *D, "--anywhere", "--reading", "500:1", "--reading", "120.9:0"),
        "--reading: got radius 500 mm; allowed: a radius of 30 to 220 mm",
    ),
    (("correct", *D, "--reading", "66:-4", "--reading", "120.9:4"), "slide of"),
    (
        (
            *("correct", *D, "--reading", "66:2", "--reading", "120.9:1", "--overhang", "20"),
            *("--reading-bound", "0.25"),
        ),
        "sides of the fan",
    ),
    (("correct", *D, *TWO, "--slot-room", "5", "1"), "slide, which is 1.3 mm to the front"),
    (("correct", *D, *TWO, "--zenith", "11"), "--zenith: got '11'; allowed: -10 to 10 deg"),
    (("correct", *D, *TWO, "--reading-bound", "0"), "--reading-bound: got '0'"),
    (("correct", *D, *TWO, "--turn-about", "screw"), "did you mean screws?"),
    (("correct", *D, *TWO, "--log", "missing/x"), "make the folder missing first"),
    (("correct", *D, *TWO, "--log", "."), "it is a folder"),
    (("correct", *TWO), "--pivot-to-spindle: got neither length"),
    (("reconcile",), "got nothing; allowed: two statements or more"),
    (("reconcile", "--overhang", "17"), "add pivot-to-spindle or effective-length"),
    (("reconcile", *D), "add overhang, offset-angle, linear-offset or null-radii"),
    (("reconcile", *D, "--overhang", "17±0"), "a bound above 0"),
    (("reconcile", *D, "--overhang", "17±"), "a number after the ±"),
    (("reconcile", *D, "--offset-angle", "23mm"), "correct the unit"),
    (
        ("reconcile", "--linear-offset", "150", "--effective-length", "120±5"),
        "effective-length 120 mm",
    ),
    (("reconcile", "--null-radii", "66", "121", "--overhang", "-12"), "overhang -12 mm"),
    (("reconcile", *D, "--effective-length", "239", "--pivot-height", "101"), "--pivot-height"),
    (
        (
            *("tolerance", "--pivot-to-spindle", "320.72", "--exact", "--overhang-range", "39"),
            *("55.6", "--inner-radius", "54", "--outer-radius", "134", "--scheme", "lofgren-b"),
        ),
        "an arm without a null",
    ),
    (
        (
            *("tolerance", "--pivot-to-spindle", "144", "--null-radii", "92.57", "110.4"),
            *("--play", "32-211:100", "--draws", "1000"),
        ),
        "may fail the record",
    ),
    (("tolerance", *D, "--draws", "1500.5"), "--draws: got '1500.5'"),
    (("tolerance", *D, "--draws", "10"), "allowed: 1000 to 10000000"),
    (("tolerance", *D, "--grid-bound", "-1"), "--grid-bound: got '-1'; allowed: 0 to 5 deg"),
    (("solve", "--pivot-to-spindle", "240", "--straight", "--null-radii", "66", "121"), "one null"),
    (("solve", "--straight"), "got neither length"),
    (("solve", *D, "--straight", "--exact"), "--held offset-angle --offset-angle 0"),
    (("gauge", "pivot", "--start", "50"), "0 for a first sheet, 100 to 420 mm"),
    (("gauge", "pivot", "-o", "missing/x.pdf"), "make the folder missing first"),
    (("gauge", "pivto"), "No such command 'pivto'"),
    (("template", *D, "--zenith", "x", "-o", "x.pdf"), "--zenith: got 'x'"),
]


@pytest.mark.parametrize(("words", "said"), BAD, ids=lambda v: " ".join(v)[:60])
def test_bad_input(run: Run, words: tuple[str, ...], said: str) -> None:
    """One line that tells what was wrong; exit status 2; no file."""
    ran = run(*words)
    assert ran.status == 2, ran.out
    assert ran.out == ""
    assert said in ran.err
    assert len(ran.err.splitlines()) == 1
    assert len(ran.err) < 420
    assert ran.files == []
