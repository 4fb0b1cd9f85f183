"""The commands as a user meets them: what they print, what they write, what they refuse."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from protractor import files
from protractor.cli import COMMANDS
from tests.conftest import Ran

Run = Callable[..., Ran]
D = ("--pivot-to-spindle", "222")

SOLVE_KEYS = [
    "pivot_to_spindle_mm",
    "effective_length_mm",
    "overhang_mm",
    "offset_angle_deg",
    "linear_offset_mm",
    "null_radii_mm",
    "scheme",
    "record",
    "peak_tracking_error_deg",
    "rms_tracking_error_deg",
    "peak_second_harmonic_percent",
    "rms_second_harmonic_percent",
    "velocity_cm_s",
    "velocity_is",
    "exact",
    "held",
    "play",
    "signal_hz",
    "replay_slope_db_octave",
    "inner_groove",
]


def test_solve_table(run: Run) -> None:
    """The table says every number and keeps to 80 columns."""
    ran = run("solve", *D)
    assert ran.status == 0
    assert ran.err == ""
    for words in ("222.00 mm", "239.30 mm", "17.30 mm", "22.99 deg", "66.00 and 120.89 mm"):
        assert words in ran.out
    assert max(map(len, ran.out.splitlines())) <= 80


def test_solve_json(run: Run) -> None:
    """The JSON has the stable keys at full precision and nothing else on stdout."""
    ran = run("solve", *D, "--json")
    numbers = json.loads(ran.out)
    assert list(numbers) == SOLVE_KEYS
    assert list(numbers["record"]) == ["name", "inner_radius_mm", "outer_radius_mm", "rpm"]
    length, d = numbers["effective_length_mm"], numbers["pivot_to_spindle_mm"]
    inner, outer = numbers["null_radii_mm"]
    assert length**2 - d**2 == pytest.approx(inner * outer, rel=1e-12)


@pytest.mark.parametrize(
    "written", ["222.25", "222,25 mm", "22.225cm", "8.75in", "8 3/4 in", '8 3/4"', "8¾ inches"]
)
def test_lengths_as_users_write_them(run: Run, written: str) -> None:
    """One length in mm, cm and inches, with a point, a comma or a fraction."""
    ran = run("solve", "--pivot-to-spindle", written, "--json")
    assert json.loads(ran.out)["pivot_to_spindle_mm"] == pytest.approx(222.25, abs=1e-9)


@pytest.mark.parametrize("written", ["33", "33.3", "33 1/3", "33⅓", "33.33"])
def test_nominal_speed(run: Run, written: str) -> None:
    """The ways to write 33 1/3 mean 33 1/3."""
    ran = run("solve", *D, "--rpm", written, "--json")
    assert json.loads(ran.out)["record"]["rpm"] == pytest.approx(100 / 3, rel=1e-12)


def test_own_nulls_need_no_scheme(run: Run) -> None:
    """Null radii alone choose the scheme null-radii."""
    numbers = json.loads(run("solve", *D, "--null-radii", "63", "119", "--json").out)
    assert numbers["scheme"] == "null-radii"
    assert numbers["null_radii_mm"] == pytest.approx([63, 119], rel=1e-12)


def test_a_closed_form_says_which_of_the_played_records_it_serves(run: Run) -> None:
    """Of several records a closed form serves one, the others only weigh the figures."""
    shares = ("--play", "12:40", "--play", "7:60")
    ran = run("solve", "--pivot-to-spindle", "222", *shares)
    assert "aligned for 7-jis-1973 alone" in ran.out
    assert "alone" not in run("solve", "--pivot-to-spindle", "222", *shares, "--exact").out


def test_a_cost_beyond_measure_is_written_out(run: Run) -> None:
    """Limits that ruin everything cost thousands of percent, in plain digits."""
    limits = ("--overhang-range", "-50", "-40", "--offset-range", "40", "50")
    ran = run("solve", "--pivot-to-spindle", "222", "--exact", *limits)
    assert "% worse for it" in ran.out
    assert "e+" not in ran.out


def test_template_writes_one_file_named_after_deck_scheme_and_paper(run: Run) -> None:
    """The default file says what it is."""
    ran = run("template", *D, "--title", "Left bench / deck: 2", "--paper", "letter")
    assert ran.status == 0
    assert ran.files == ["templates_out/left-bench-deck-2_d222mm_lofgren-a_letter.pdf"]
    assert ran.files[0] in ran.out


def test_template_json(run: Run) -> None:
    """The JSON adds the sheet and the places on it."""
    ran = run("template", *D, "--json", "-o", "x.pdf")
    numbers = json.loads(ran.out)
    assert numbers["sheet"] == {"paper": "a4", "width_mm": 297.0, "height_mm": 210.0}
    wanted = {"spindle", "null_inner", "null_outer", "pivot", "x_bar", "y_bar", "card"}
    assert wanted <= set(numbers["features"])


def test_title_of_any_script(run: Run) -> None:
    """A title the typeface cannot show is printed with a stand-in, and said."""
    ran = run("template", *D, "--title", "Станок 響 é")
    assert ran.status == 0
    assert "lacks some characters" in ran.err
    assert len(ran.files) == 1


SHEET = ("template", *D, "-o", "x.pdf")

BAD = [
    (("solve",), "--pivot-to-spindle: got neither length"),
    (("solve", "--pivot-to-spindle"), "--pivot-to-spindle: got no value"),
    (("template", "--pivot-to-spindle", "0", "-o", "x.pdf"), "--pivot-to-spindle: got '0'"),
    (("template", "--pivot-to-spindle", "-222", "-o", "x.pdf"), "got '-222'; allowed: 120 to 500"),
    (("solve", "--pivot-to-spindle", "nan"), "got 'nan'; allowed: 120 to 500 mm"),
    (("solve", "--pivot-to-spindle", "inf"), "got 'inf'; allowed: 120 to 500 mm"),
    (("solve", "--pivot-to-spindle", "1e999"), "got '1e999'; allowed: 120"),
    (("solve", "--pivot-to-spindle", ""), "got ''; allowed: 120 to 500 mm"),
    (("solve", "--pivot-to-spindle", "about nine inches"), "got 'about nine inches'"),
    (("solve", "--pivot-to-spindle", "222 parsec"), "(units: mm, cm or in); correct the unit"),
    (("solve", "--pivot-to-spindle", "8 3/0 in"), "got '8 3/0 in'"),
    (("solve", "--pivot-to-spindle", "119.9"), "allowed: 120 to 500 mm"),
    (("solve", "--pivot-to-spindle", "500.1"), "allowed: 120 to 500 mm"),
    (("solve", *D, "--effective-length", "239"), "got both lengths"),
    (("solve", "--effective-length", "140"), "--effective-length: got 140 mm; allowed: 149.6 to"),
    (("solve", "--effective-length", "900"), "--effective-length: got '900'"),
    (("solve", *D, "--scheme", "stevensn"), "did you mean stevenson?"),
    (("solve", *D, "--record", "12-ice-1958"), "did you mean 12-iec-1958?"),
    (("template", *D, "--paper", "leter", "-o", "x.pdf"), "did you mean letter?"),
    (("solve", *D, "--record", "7-iec-1987"), "this standard gives none: add --inner-radius"),
    (("solve", *D, "--inner-radius", "146", "--outer-radius", "60"), "swap the two"),
    (("solve", *D, "--inner-radius", "100", "--outer-radius", "100"), "swap the two"),
    (("solve", *D, "--inner-radius", "5"), "--inner-radius: got '5'; allowed: 30 to 220 mm"),
    (("solve", *D, "--null-radii", "66"), "--null-radii: got fewer than 2 values"),
    (("solve", *D, "--null-radii", "120", "66"), "the inner one first; swap the two"),
    (("solve", *D, "--null-radii", "66", "66"), "two different radii"),
    (("solve", *D, "--null-radii", "66", "x"), "--null-radii: got 'x'"),
    (("solve", *D, "--scheme", "null-radii"), "add --null-radii A B"),
    (("solve", *D, "--scheme", "stevenson", "--null-radii", "66", "120"), "leave out one"),
    (("solve", "--pivot-to-spindle", "120", "--null-radii", "150", "160"), "can reach"),
    (
        ("solve", "--pivot-to-spindle", "120", "--null-radii", "200", "220"),
        "null-radii: got 200 and",
    ),
    ((*SHEET, "--null-radii", "66", "70"), "at least 16 mm apart"),
    (("solve", *D, "--rpm", "0"), "--rpm: got '0'"),
    (("solve", *D, "--rpm", "fast"), "--rpm: got 'fast'"),
    (("solve", *D, "--velocity", "0"), "--velocity: got '0'; allowed: 0.1 to 100 cm/s"),
    (("solve", *D, "--velocity-is", "mean"), "--velocity-is: got mean; allowed: peak, rms"),
    ((*SHEET, "--title", "x" * 10_000), "--title: got 10000 characters; allowed: up to 80"),
    ((*SHEET, "--title", "a\x07b"), "--title: got a control character, U+0007"),
    ((*SHEET, "--title", "a\nb"), "--title: got a control character, U+000A"),
    ((*SHEET, "--paper", "a5"), "--paper: got A5; allowed: a sheet of at least"),
    (("template", *D, "-o", "missing/x.pdf"), "make the folder missing first"),
    (("template", *D, "-o", "x" * 300 + ".pdf"), "File name too long: name another"),
    (("template", *D, "-o", "/proc/x.pdf"), "name another file or folder"),
    (("template", *D, "-o", "."), "it is a folder: add a file name"),
    (("solve", *D, "--sheme", "stevenson"), "No such option '--sheme'"),
    (("slove",), "No such command 'slove'"),
    (("solve", "222"), "unexpected extra argument"),
]


@pytest.mark.parametrize(
    ("words", "said"), BAD, ids=lambda v: " ".join(v)[:60] if isinstance(v, tuple) else ""
)
def test_bad_input(run: Run, words: tuple[str, ...], said: str) -> None:
    """One line that tells what was wrong; exit status 2; no file."""
    ran = run(*words)
    assert ran.status == 2
    assert ran.out == ""
    assert said in ran.err
    assert len(ran.err.splitlines()) == 1
    assert len(ran.err) < 420
    assert ran.files == []


def test_existing_file_is_kept_unless_forced(run: Run, tmp_path: Path) -> None:
    """A file that is there stays as it is; --force replaces it."""
    (tmp_path / "x.pdf").write_bytes(b"mine")
    ran = run(*SHEET)
    assert ran.status == 2
    assert "kept it; say --force to replace it" in ran.err
    assert (tmp_path / "x.pdf").read_bytes() == b"mine"
    assert run(*SHEET, "--force").status == 0
    assert (tmp_path / "x.pdf").read_bytes().startswith(b"%PDF")


def test_read_only_folder(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder that cannot be written to is refused before any work.

    The permission is asked for through `os.access`, which a test run as root has to stand in for.
    """
    folder = tmp_path / "locked"
    folder.mkdir()
    folder.chmod(0o555)
    real = os.access
    monkeypatch.setattr(
        files.os, "access", lambda path, mode: Path(path) != Path("locked") and real(path, mode)
    )
    ran = run("template", *D, "-o", "locked/x.pdf")
    assert ran.status == 2
    assert "locked is read-only" in ran.err
    assert ran.files == []


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_disk_full(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the disk fills up while writing, the line says so and no file is left."""
    real = os.fdopen

    def full(handle: int, mode: str) -> object:
        os.close(handle)
        return real(os.open("/dev/full", os.O_WRONLY), mode)

    monkeypatch.setattr(files.os, "fdopen", full)
    ran = run(*SHEET)
    assert ran.status == 2
    assert "No space left on device: make room and try again" in ran.err
    assert ran.files == []


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_interrupted_while_writing(tmp_path: Path, number: signal.Signals) -> None:
    """A process stopped in the middle of writing leaves no half file, and no other."""
    script = (
        "import os, signal, sys, time\n"
        # a shell that runs the tests in the background has its children ignore it
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "from protractor.cli import main\n"
        "def slow(handle):\n"
        "    print('writing', flush=True)\n"
        "    time.sleep(30)\n"
        "os.fsync = slow\n"
        "sys.exit(main(['template', '--pivot-to-spindle', '222', '-o', 'x.pdf']))\n"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", script],
        cwd=tmp_path,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": str(Path.cwd())},
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "writing\n"
    time.sleep(0.05)
    process.send_signal(number)
    process.communicate(timeout=20)
    assert process.returncode in (130, 143)
    assert list(tmp_path.iterdir()) == []


def test_two_writers_of_one_file(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that appears while ours is made is not overwritten."""
    real = files.os.fsync

    def meanwhile(handle: int) -> None:
        (tmp_path / "x.pdf").write_bytes(b"theirs")
        real(handle)

    monkeypatch.setattr(files.os, "fsync", meanwhile)
    ran = run(*SHEET)
    assert ran.status == 2
    assert ran.files == ["x.pdf"]
    assert (tmp_path / "x.pdf").read_bytes() == b"theirs"


def test_default_folder_that_is_a_file(run: Run, tmp_path: Path) -> None:
    """A file called templates_out is kept, and one line says what is in the way."""
    (tmp_path / "templates_out").write_bytes(b"mine")
    ran = run("template", *D)
    assert ran.status == 2
    assert len(ran.err.splitlines()) == 1
    assert ran.files == ["templates_out"]


def test_no_folder_is_made_for_nothing(run: Run, tmp_path: Path) -> None:
    """A sheet that does not fit leaves no empty folder behind."""
    assert run("template", *D, "--paper", "a5").status == 2
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_stdout_that_is_full() -> None:
    """When stdout cannot take the answer, one line says so."""
    done = subprocess.run(
        f"{sys.executable} -m protractor solve --pivot-to-spindle 222 > /dev/full",
        shell=True,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    assert done.stderr == "protractor: output: No space left on device\n"


def test_help_names_every_command(run: Run) -> None:
    """The help lists all commands within 80 columns, and the bare command shows it."""
    ran = run("--help")
    assert ran.status == 0
    for command in COMMANDS:
        assert f"  {command} " in ran.out
    assert max(map(len, ran.out.splitlines())) <= 80
    assert run().out == ran.out


@pytest.mark.parametrize("command", list(COMMANDS))
def test_help_of_each_command(run: Run, command: str) -> None:
    """Each command explains itself within 80 columns."""
    ran = run(command, "--help")
    assert ran.status == 0
    assert "Usage: protractor " + command in ran.out
    assert max(map(len, ran.out.splitlines())) <= 80


def test_closed_pipe_is_no_error() -> None:
    """`protractor ... | head -0` ends without a traceback."""
    done = subprocess.run(
        f"{sys.executable} -m protractor solve --help | head -c 1",
        shell=True,
        capture_output=True,
        text=True,
        check=True,
    )
    assert "Traceback" not in done.stderr
