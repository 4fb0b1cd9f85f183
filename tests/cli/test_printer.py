"""The commands around a printer as a user meets them: what they say, write and refuse."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pypdfium2
import pytest

from protractor.printing.readings import INSTRUMENTS
from protractor.sheets.calibration import NAMES
from tests.conftest import Ran
from tests.simulated_printer import SimulatedPrinter, read

Run = Callable[..., Ran]
FILE = ("--profile-file", "p.toml")
CALIPERS = ("--instrument", "calipers")
PRINTER = SimulatedPrinter(scale_x=1.01, scale_y=0.993, lean_rad=0.003)
NEAR = dict.fromkeys(NAMES, 150.0)
SQUARE = ("--x", "150.3", "--y", "149.5", "--rising", "149.8", "--falling", "149.8")


def readings(printer: SimulatedPrinter, seed: int, correction: object = None) -> list[str]:
    """Three readings of each line with calipers, as options."""
    sent = None if correction is None else np.array(correction)
    measured = read(
        printer,
        INSTRUMENTS["calipers"],
        np.random.default_rng(seed),
        NEAR,
        sent_through=sent,
    )
    return [
        word
        for one in measured
        for value in one.readings_mm
        for word in (f"--{one.line}", f"{value:.2f}")
    ]


def recorded(run: Run, name: str = "desk", *more: str) -> Ran:
    """Records the invented printer."""
    ran = run("printer", "record", name, *FILE, *CALIPERS, *readings(PRINTER, 1), *more)
    assert ran.status == 0, ran.err
    return ran


def text_of(path: str, page: int = 0) -> str:
    """The words on a page of a PDF."""
    return str(pypdfium2.PdfDocument(path)[page].get_textpage().get_text_range())


def test_the_whole_loop(run: Run) -> None:
    """Sheet, record, corrected sheet, verify: from 1 % and 0.3 % to a pass, as a user does it."""
    assert run("printer", "sheet", "--paper", "a4").files == ["templates_out/calibration_a4.pdf"]
    ran = recorded(run, "desk", "--date", "2026-03-31", "--tray", "upper")
    assert "101.0" in ran.out
    assert "Prove it: protractor printer sheet --printer desk --paper a4" in ran.out
    ran = run("printer", "sheet", "--printer", "desk", *FILE, "--json")
    told = json.loads(ran.out)
    assert told["file"].endswith("verification_desk_a4.pdf")
    words = text_of(told["file"])
    for needed in ("Verification sheet", "'desk' of 2026-03-31", "X × 0.990", "Y × 1.007"):
        assert needed in words
    corrected = readings(PRINTER, 2, told["printer"]["matrix"])
    ran = run("printer", "verify", "desk", *FILE, *CALIPERS, *corrected)
    assert ran.status == 0
    assert "PASS" in ran.out
    ran = run("printer", "verify", "desk", *FILE, *CALIPERS, *readings(PRINTER, 3))
    assert ran.status == 1
    assert "FAIL" in ran.out
    assert "print the verification sheet" in " ".join(ran.out.split())


def test_template_corrected_for_a_printer(run: Run) -> None:
    """The sheet names profile, date and factors, its file the printer, and --json the matrix."""
    recorded(run, "desk", "--date", "2026-03-31")
    ran = run("template", "--pivot-to-spindle", "222", "--printer", "DESK", *FILE)
    assert "Corrected for printer 'desk' of 2026-03-31" in ran.out
    [path] = [name for name in ran.files if name.endswith(".pdf")]
    assert path == "templates_out/d222mm_lofgren-a_a4_for-desk.pdf"
    assert "Corrected for printer 'desk' of 2026-03-31" in text_of(path)
    plain = json.loads(run("template", "--pivot-to-spindle", "222", "-o", "a.pdf", "--json").out)
    told = json.loads(
        run(
            *("template", "--pivot-to-spindle", "222", "-o", "b.pdf", "--json"),
            *("--printer", "desk", *FILE),
        ).out
    )
    assert plain["printer"] is None
    for name in ("spindle", "null_inner", "null_outer", "x_bar", "y_bar"):
        assert told["features"][name] == plain["features"][name]
    assert np.array(told["printer"]["matrix"]) @ PRINTER.matrix == pytest.approx(
        np.eye(2), abs=4e-3
    )


def test_two_null_needs_no_deck(run: Run) -> None:
    """The two-null sheet for any deck, on A5, with the null radii of the scheme."""
    ran = run("template", "--kind", "two-null", "--paper", "a5", "--json")
    told = json.loads(ran.out)
    assert told["file"] == "templates_out/two-null_lofgren-a_a5.pdf"
    assert told["sheet"] == {"paper": "a5", "width_mm": 148.0, "height_mm": 210.0}
    assert told["null_radii_mm"] == pytest.approx([65.998, 120.891], abs=1e-3)
    spindle = np.array(told["features"]["spindle"])
    for name, radius in zip(("null_inner", "null_outer"), told["null_radii_mm"], strict=True):
        assert np.linalg.norm(told["features"][name] - spindle) == pytest.approx(radius, abs=1e-9)
    with_deck = json.loads(
        run("template", "--kind", "two-null", "--pivot-to-spindle", "222", "--json").out
    )
    assert with_deck["overhang_mm"] == pytest.approx(17.296, abs=1e-3)


def test_pack(run: Run) -> None:
    """One file with bookmarks: proof, sheet and numbers, and with a printer the verification."""
    ran = run("pack", "--pivot-to-spindle", "222", "--title", "Left bench", "--json")
    told = json.loads(ran.out)
    titles = ["Calibration sheet", "Left bench", "Left bench: numbers"]
    assert [page["title"] for page in told["pages"]] == titles
    document = pypdfium2.PdfDocument(told["file"])
    assert [item.get_title() for item in document.get_toc()] == titles
    assert "tracking angle" in text_of(told["file"], 2)
    recorded(run)
    ran = run("pack", "--kind", "two-null", "--printer", "desk", *FILE)
    assert "2 pages A4: Verification sheet, Two-null sheet" in ran.out


def test_show_list_forget(run: Run) -> None:
    """Profiles are shown, listed, told as JSON and forgotten; lines keep to 80 columns."""
    assert "No printer is recorded yet" in run("printer", "list", *FILE).out
    recorded(run, "desk", "--date", "2026-03-31", "--tray", "upper", "--orientation", "landscape")
    shown = run("printer", "show", "desk", *FILE)
    listed = run("printer", "list", *FILE)
    for ran in (shown, listed):
        assert ran.status == 0
        assert max(map(len, ran.out.splitlines())) <= 80
    assert "desk: A4, landscape, tray upper, 2026-03-31" in shown.out
    assert "desk" in listed.out
    [told] = json.loads(run("printer", "list", *FILE, "--json").out)
    assert told == json.loads(run("printer", "show", "desk", *FILE, "--json").out)
    assert told["fit"]["scale_x"] == pytest.approx(1.01, abs=5e-4)
    assert told["fit"]["shear"] == pytest.approx(0.003, abs=5e-4)
    assert run("printer", "forget", "desk", *FILE).out == "Forgotten: desk, a4\n"
    assert json.loads(run("printer", "list", *FILE, "--json").out) == []


def test_cannot_tell(run: Run) -> None:
    """A ruler cannot prove 0.1 mm over 54.9 mm: status 3, and what the print costs on the deck."""
    recorded(run)
    lines = ("--x", "150.0", "--y", "150.0", "--rising", "150.0", "--falling", "150.0")
    words = ("printer", "verify", "desk", *FILE, "--instrument", "ruler", "--marks", "150", *lines)
    ran = run(*words)
    assert ran.status == 3
    assert "NOT SETTLED" in ran.out
    assert "You may go on with it." in " ".join(ran.out.split())
    assert "pivot to spindle 222 mm, lofgren-a" in " ".join(ran.out.split())
    other = run(*words, "--pivot-to-spindle", "215")
    assert "pivot to spindle 215 mm" in " ".join(other.out.split())
    assert max(map(len, ran.out.splitlines())) <= 80
    told = json.loads(run(*words, "--json").out)
    assert told["verdict"] == "cannot tell"
    assert told["cost"]["share_percent"] < 10
    assert 0.05 < told["probability"] < 0.95


def test_inches_and_own_lengths(run: Run) -> None:
    """Readings in inches, and bars of another length than the sheet's."""
    ran = run(
        *("printer", "record", "desk", *FILE, *CALIPERS, "--json"),
        *("--x", "5.95in", "--y", "4 in", "--x-nominal", "150mm", "--y-nominal", "101.6"),
    )
    told = json.loads(ran.out)
    assert told["fit"]["scale_x"] == pytest.approx(5.95 * 25.4 / 150)
    assert told["fit"]["scale_y"] == pytest.approx(1.0)
    assert {f["name"] for f in told["findings"]} == {"few-readings", "no-diagonals"}


RECORD = ("printer", "record", "desk", *CALIPERS)
BAD_READINGS = [
    ((*RECORD,), "--x: got no reading"),
    ((*RECORD, "--x", "150"), "--y: got no reading"),
    ((*RECORD, "--y", "150"), "--x: got no reading"),
    (("printer", "record", "desk", *SQUARE), "--instrument: got nothing"),
    ((*RECORD, "--x", "0", "--y", "150"), "--x: got '0'"),
    ((*RECORD, "--x", "-150", "--y", "150"), "--x: got '-150'"),
    ((*RECORD, "--x", "nan", "--y", "150"), "--x: got 'nan'"),
    ((*RECORD, "--x", "inf", "--y", "150"), "--x: got 'inf'"),
    ((*RECORD, "--x", "long", "--y", "150"), "--x: got 'long'"),
    ((*RECORD, "--x", "", "--y", "150"), "--x: got ''"),
    ((*RECORD, "--x", "150 furlongs", "--y", "150"), "units: mm, cm or in"),
    ((*RECORD, "--x", "1e300", "--y", "150"), "--x: got '1e300'"),
    ((*RECORD, "--x", "150,1,2", "--y", "150"), "--x: got '150,1,2'"),
    ((*RECORD, "--x", "150.1", "--y"), "--y"),
    ((*RECORD, *SQUARE, "--x-nominal", "0"), "--x-nominal: got '0'"),
    ((*RECORD, *SQUARE, "--x-nominal", "9999"), "--x-nominal: got '9999'"),
    ((*RECORD, *SQUARE, "--marks", "middle"), "--marks: got middle"),
    ((*RECORD, *SQUARE, "--instrument", "caliper"), "did you mean calipers?"),
    ((*RECORD, *SQUARE, "--reading-uncertainty", "0"), "--reading-uncertainty: got '0'"),
    ((*RECORD, *SQUARE, "--reading-uncertainty", "10"), "--reading-uncertainty: got '10'"),
    ((*RECORD, *SQUARE, "--accuracy", "-1"), "--accuracy: got '-1'"),
    ((*RECORD, *SQUARE, "--paper", "a44"), "did you mean a4?"),
    ((*RECORD, *SQUARE, "--paper", "100x140mm"), "--paper: got 100 x 140 mm"),
    ((*RECORD, *SQUARE, "--orientation", "askew"), "--orientation: got askew"),
    ((*RECORD, *SQUARE, "--date", "31.3.2026"), "--date: got 31.3.2026"),
    ((*RECORD, *SQUARE, "--date", "2026-13-01"), "--date: got 2026-13-01"),
    ((*RECORD, *SQUARE, "--tray", "x" * 41), "--tray: got 41 characters"),
    ((*RECORD, *SQUARE, "--tray", "a\nb"), "--tray: got a control character"),
    (("printer", "record", "", *CALIPERS, *SQUARE), "--printer: got"),
    (("printer", "record", "x" * 41, *CALIPERS, *SQUARE), "--printer: got 41 characters"),
    (("printer", "record", "a\x07b", *CALIPERS, *SQUARE), "--printer: got a control character"),
    (("printer", "record", *CALIPERS, *SQUARE), "Missing argument"),
    ((*RECORD, "--x", "141", "--y", "141"), "fit to page"),
    ((*RECORD, "--x", "146.1", "--y", "146.1", "--paper", "letter"), "fitted to A4 paper"),
    ((*RECORD, "--x", "155", "--y", "155"), "borderless"),
    ((*RECORD, "--x", "152.5", "--y", "152.5"), "--dialog-checked"),
    ((*RECORD, "--x", "5.9", "--y", "5.9"), "inches read as mm"),
    ((*RECORD, "--x", "150in", "--y", "150in"), "mm written as inches"),
    ((*RECORD, "--x", "200", "--y", "200"), "points for pixels"),
    ((*RECORD, "--x", "240", "--y", "160", "--marks", "ends"), "look swapped"),
    ((*RECORD, "--x", "160.1", "--y", "150.2"), "--marks"),
    ((*RECORD, "--x", "145.4", "--y", "150"), "no healthy printer"),
    (
        (*RECORD, "--x", "150", "--x", "151", "--x", "150.02", "--y", "150"),
        "151 mm among readings that agree",
    ),
    ((*RECORD, *SQUARE[:4], "--rising", "151", "--falling", "149.8"), "miss the sides"),
    ((*RECORD, *SQUARE[:4], "--rising", "152", "--falling", "147.6"), "out of square"),
    (("printer", "forget", "attic"), "--printer: got attic; allowed: desk"),
    (("printer", "show", "attic"), "--printer: got attic; allowed: desk"),
    (("printer", "show", "desk", "--paper", "a3"), "desk with paper a3"),
    (("printer", "verify", "desk"), "--instrument: got nothing"),
    (("printer", "verify", "desk", *CALIPERS), "--x: got no reading"),
    (("printer", "verify", "desk", *CALIPERS, *SQUARE, "--budget", "0"), "--budget: got '0'"),
    (("printer", "verify", "desk", *CALIPERS, *SQUARE, "--over", "5"), "--over: got '5'"),
    (("printer", "verify", "desk", *CALIPERS, "--x", "5.9", "--y", "5.9"), "inches read as mm"),
    (("template", "--kind", "two-null", "--printer", "desk", "-o", "a.svg"), "PDF sheets alone"),
    (("pack", "--kind", "two-null", "--printer", "desk", "-o", "a.DXF"), "PDF sheets alone"),
    (("printer", "sheet", "--printer", "desk", "-o", "a.svg"), "PDF sheets alone"),
    (("printer", "sheet", "--printer", "attic"), "--printer: got attic"),
    (("printer", "sheet", "--printer", "desk", "--paper", "a3"), "desk with paper a3"),
    (("template", "--pivot-to-spindle", "222", "--printer", "attic"), "--printer: got attic"),
    (("pack", "--pivot-to-spindle", "222", "--printer", "attic"), "--printer: got attic"),
]


@pytest.mark.parametrize(("words", "says"), BAD_READINGS, ids=lambda v: " ".join(v)[-50:])
def test_bad_readings(run: Run, words: tuple[str, ...], says: str) -> None:
    """Each mistake: one line that says what to do, status 2, the profile file as it was."""
    recorded(run)
    before = Path("p.toml").read_bytes()
    ran = run(*words, *FILE)
    assert ran.status == 2
    assert ran.out == ""
    assert ran.err.count("\n") == 1
    assert says in ran.err
    assert Path("p.toml").read_bytes() == before
    assert ran.files == ["p.toml"]


def test_lines_keep_to_the_screen(run: Run) -> None:
    """At 80 columns nothing breaks, and a long command goes on as a shell takes it."""
    name = "a printer with a name of forty letters.."
    line = ("--x", "160", "--y", "240")
    ran = run("printer", "record", name, *FILE, "--instrument", "printed-vernier", *line)
    assert ran.status == 0
    assert max(map(len, ran.out.splitlines())) <= 80
    assert f"Prove it: protractor printer sheet --paper a4 \\\n    --printer '{name}'" in ran.out
    shown = run("printer", "show", name, *FILE)
    assert max(map(len, shown.out.splitlines())) <= 80
    assert "-0.000" not in ran.out + shown.out + run("printer", "list", *FILE).out


def test_a_checked_dialog_is_not_asked_for_again(run: Run) -> None:
    """What was recorded after a look at the print dialog says so, and asks for no second look."""
    line = [word for key in NAMES for word in (f"--{key}", "148.2")]
    asked = run("printer", "record", "desk", *FILE, *CALIPERS, *line)
    assert asked.status == 2
    assert "add --dialog-checked" in asked.err
    ran = run("printer", "record", "desk", *FILE, *CALIPERS, *line, "--dialog-checked")
    assert ran.status == 0
    assert "as you checked the print dialog" in " ".join(ran.out.split())
    assert "add --dialog-checked" not in ran.out


def test_a_pack_tells_what_its_typeface_lacks(run: Run) -> None:
    """Letters that the sheets cannot show are told of, as with a single sheet."""
    ran = run("pack", "--kind", "two-null", "--title", "テスト")
    assert ran.status == 0
    assert "lacks some characters" in ran.err


def test_record_twice(run: Run) -> None:
    """A printer that is recorded is kept unless --force says that it is to be replaced."""
    recorded(run)
    before = Path("p.toml").read_bytes()
    ran = run("printer", "record", "desk", *FILE, *CALIPERS, *SQUARE)
    assert ran.status == 2
    assert "kept it; say --force" in ran.err
    assert Path("p.toml").read_bytes() == before
    assert run("printer", "record", "desk", *FILE, *CALIPERS, *SQUARE, "--force").status == 0
    assert Path("p.toml").read_bytes() != before


@pytest.mark.parametrize(
    "words",
    [
        ("printer", "list"),
        ("printer", "show", "desk"),
        ("printer", "forget", "desk"),
        (*RECORD, *SQUARE, "--force"),
        ("printer", "sheet", "--printer", "desk"),
        ("template", "--pivot-to-spindle", "222", "--printer", "desk"),
        ("template", "--kind", "two-null", "--printer", "desk"),
        ("pack", "--pivot-to-spindle", "222", "--printer", "desk"),
    ],
    ids=" ".join,
)
def test_damaged_and_newer_files(run: Run, words: tuple[str, ...]) -> None:
    """A damaged or newer file is reported by every command, left as it is, and no sheet written."""
    for content in (b"format = 2\n", b"format = 1\n[[profile]\n"):
        Path("p.toml").write_bytes(content)
        ran = run(*words, *FILE)
        assert ran.status == 2
        assert ran.err.startswith("protractor: --profile-file: got p.toml")
        assert ran.err.count("\n") == 1
        assert Path("p.toml").read_bytes() == content
        assert [name for name in ran.files if name.endswith(".pdf")] == []


def test_the_users_own_file(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without --profile-file the profiles live in the user's configuration folder."""
    home = tmp_path / "home"
    monkeypatch.setattr("protractor.printing.profiles.default_file", lambda: home / "printers.toml")
    assert run("printer", "record", "desk", *CALIPERS, *SQUARE).status == 0
    assert (home / "printers.toml").is_file()
    assert "desk" in run("printer", "list").out


@pytest.mark.parametrize("name", ["", "sheet", "record", "show", "list", "forget", "verify"])
def test_help(run: Run, name: str) -> None:
    """Each command explains itself within 80 columns."""
    ran = run(*("printer", *([name] if name else []), "--help"))
    assert ran.status == 0
    assert max(map(len, ran.out.splitlines())) <= 80


def test_gauge_and_curves_on_papers(run: Run) -> None:
    """The gauge is corrected as every sheet; curves take own papers that are large enough."""
    recorded(run, "desk", "--date", "2026-03-31")
    ran = run("gauge", "pivot", "--printer", "desk", *FILE, "--json")
    told = json.loads(ran.out)
    assert told["file"] == "templates_out/pivot-gauge_from-0mm_a4_for-desk.pdf"
    assert "Corrected for printer 'desk' of 2026-03-31" in " ".join(text_of(told["file"]).split())
    ran = run("compare", "--pivot-to-spindle", "222", "--paper", "200x280mm", "-o", "curves.pdf")
    assert ran.status == 0
    ran = run("compare", "--pivot-to-spindle", "222", "--paper", "a5", "-o", "small.pdf")
    assert ran.status == 2
    assert "--paper: got A5" in ran.err
    assert "small.pdf" not in ran.files


def test_which_vernier_is_meant(run: Run) -> None:
    """Calipers have a vernier, and so has the sheet: the word alone is asked about."""
    ran = run("printer", "record", "desk", *FILE, "--instrument", "vernier", *readings(PRINTER, 1))
    assert ran.status == 2
    assert "for vernier calipers write calipers" in ran.err
