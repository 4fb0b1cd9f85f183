"""The profile file: kept whole, one process at a time, and never touched when it is damaged."""

from __future__ import annotations

import math
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest
import tomli_w

from protractor.errors import InputError
from protractor.printing import profiles
from protractor.printing.fit import Fit, fit
from protractor.printing.profiles import FORMAT, Profile, forget, keep, load, profile_for
from protractor.printing.readings import INSTRUMENTS, Instrument, Measured
from tests.tries import tries


def profile(name: str = "desk", paper: str = "a4", x: float = 150.6, **more: str) -> Profile:
    """An invented printer."""
    lines = {"x": x, "y": 149.4, "rising": 150.1, "falling": 149.6}
    return Profile(
        name=name,
        paper=paper,
        instrument=INSTRUMENTS["calipers"],
        measured=tuple(
            Measured(line=k, nominal_mm=150.0, readings_mm=(v, v + 0.02, v + 0.01))
            for k, v in lines.items()
        ),
        **more,  # type: ignore[arg-type]
    )


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A profile file that is not there yet."""
    return tmp_path / "printers.toml"


def test_what_is_kept_comes_back(file: Path) -> None:
    """Every field of several profiles survives the file, to the last digit."""
    kept = [
        profile("desk", tray="upper", orientation="landscape", date="2026-03-31"),
        profile("desk", "letter", x=150.123456789012),
        profile('Büro "süd" \\ #1', "210x280mm"),
    ]
    for one in kept:
        keep(file, one, replace=False)
    assert list(load(file)) == kept


def test_a_profile_of_an_earlier_version(file: Path) -> None:
    """An instrument's earlier name and smaller uncertainties: read, with the uncertainties of now.

    The earlier version took three equal readings of a ruler for independent.
    """
    ruler = Instrument(name="ruler", label="ordinary ruler", reading_mm=0.2, accuracy_mm=0.3)
    lines = {"x": 160.5, "y": 240.0, "rising": 265.5, "falling": 265.0}
    now = Profile(
        name="desk",
        paper="a4",
        instrument=ruler,
        measured=tuple(
            Measured(line=k, nominal_mm=round(v), readings_mm=(v,) * 3) for k, v in lines.items()
        ),
    )
    keep(file, now, replace=False)
    text = file.read_text()
    for number in now.fit.uncertainties:
        text = text.replace(repr(number), repr(0.8 * number))
    file.write_text(text)
    assert list(load(file)) == [now]
    file.write_text(text.replace('"ruler"', '"vernier"'))
    [old] = load(file)
    assert old.instrument.name == "vernier"
    assert old.fit.scale_x == now.fit.scale_x


def test_one_profile_for_a_printer_and_paper(file: Path) -> None:
    """A second one for the same is refused unless it is to take the first one's place."""
    keep(file, profile(), replace=False)
    before = file.read_bytes()
    with pytest.raises(InputError, match="say force"):
        keep(file, profile("DESK", x=150.2), replace=False)
    assert file.read_bytes() == before
    keep(file, profile("DESK", x=150.2), replace=True)
    assert [p.name for p in load(file)] == ["DESK"]


def test_finding_a_profile(file: Path) -> None:
    """By name whatever its case, and by paper; what is missing is said with what there is."""
    for one in (profile(), profile("desk", "letter"), profile("attic")):
        keep(file, one, replace=False)
    profiles = load(file)
    assert profile_for(profiles, "Desk", "letter").paper == "letter"
    assert profile_for(profiles, "attic").name == "attic"
    with pytest.raises(InputError, match=r"say which paper"):
        profile_for(profiles, "desk")
    with pytest.raises(InputError, match=r"allowed: desk with paper a4, letter"):
        profile_for(profiles, "desk", "a3")
    with pytest.raises(InputError, match=r"allowed: desk, attic; record it first"):
        profile_for(profiles, "cellar")


def test_a_profile_is_fitted_once(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its fit, its correction and its tables take what was computed when it was read."""
    keep(file, profile(), replace=False)
    fits: list[object] = []

    def counted(*arguments: Any) -> Fit:
        fits.append(arguments)
        return fit(*arguments)

    monkeypatch.setattr(profiles, "fit", counted)
    (read,) = load(file)
    assert read.fit.scale_x == read.correction.scale_x == read.as_dict()["fit"]["scale_x"]
    assert len(fits) == 1


def test_forgetting(file: Path) -> None:
    """One profile goes, the others stay; a printer that is not there changes nothing."""
    for one in (profile(), profile("attic")):
        keep(file, one, replace=False)
    before = file.read_bytes()
    with pytest.raises(InputError, match="record it first"):
        forget(file, "cellar")
    assert file.read_bytes() == before
    assert forget(file, "desk").name == "desk"
    assert [p.name for p in load(file)] == ["attic"]


def test_no_file_is_no_profile(file: Path) -> None:
    """A file that is not there holds nothing and is not made by reading or forgetting."""
    assert load(file) == ()
    with pytest.raises(InputError, match="record it first"):
        forget(file, "desk")
    assert not file.exists()


GOOD = {"format": FORMAT, "profile": [profile().as_dict()]}


def changed(**entries: object) -> bytes:
    """A good file with entries of its one profile changed; a None takes the entry out."""
    one = {**GOOD["profile"][0], **entries}  # type: ignore[index]
    one = {k: v for k, v in one.items() if v is not None}
    return tomli_w.dumps({"format": FORMAT, "profile": [one]}).encode()


def line_changed(**entries: object) -> bytes:
    """A good file with entries of its line x changed."""
    lines = {**GOOD["profile"][0]["lines"]}  # type: ignore[index]
    lines["x"] = {**lines["x"], **entries}
    return changed(lines=lines)


def fit_changed(**entries: object) -> bytes:
    """A good file whose fit was changed."""
    return changed(fit={**GOOD["profile"][0]["fit"], **entries})  # type: ignore[index]


WHOLE = tomli_w.dumps(GOOD).encode()
INSTRUMENT = GOOD["profile"][0]["instrument"]  # type: ignore[index]

BAD_FILES = {
    "empty": b"",
    "no format": b"profile = []\n",
    "format of text": b'format = "1"\n',
    "format true": b"format = true\n",
    "format zero": b"format = 0\n",
    "format negative": b"format = -1\n",
    "format half": b"format = 1.5\n",
    "newer": b"format = 2\n[[printer]]\nname = 'x'\n",
    "much newer": b"format = 99\n",
    "binary": bytes(range(256)),
    "not utf-8": b"format = 1 # caf\xe9\n",
    "zeros": b"\0" * 200,
    "half a file": WHOLE[: len(WHOLE) // 2],
    "last line lost": WHOLE.rstrip().rpartition(b"\n")[0],
    "json": b'{"format": 1, "profile": []}',
    "deeply nested": b"format = 1\na = " + b"[" * 5000,
    "key twice": b"format = 1\nformat = 1\n",
    "unknown table": b"format = 1\n[colours]\nred = 1\n",
    "profile no list": b"format = 1\nprofile = 3\n",
    "profile a table": b"format = 1\n[profile]\nname = 'desk'\n",
    "profile of numbers": b"format = 1\nprofile = [1, 2]\n",
    "profile twice": tomli_w.dumps(
        {"format": FORMAT, "profile": [profile().as_dict(), profile("DESK").as_dict()]}
    ).encode(),
    "too long": b"format = 1\n#" + b"x" * 5_000_000,
    "name missing": changed(name=None),
    "name empty": changed(name=""),
    "name a number": changed(name=7),
    "name too long": changed(name="x" * 41),
    "name with a line break": changed(name="a\nb"),
    "paper unknown": changed(paper="a44"),
    "paper spelt otherwise": changed(paper="A4"),
    "paper missing": changed(paper=None),
    "date unlike a date": changed(date="31.3.2026"),
    "date of no calendar": changed(date="2026-02-30"),
    "date a number": changed(date=2026),
    "orientation unknown": changed(orientation="askew"),
    "tray a list": changed(tray=["upper"]),
    "unknown entry": changed(colour="blue"),
    "instrument text": changed(instrument="calipers"),
    "instrument without reading": changed(
        instrument={k: v for k, v in INSTRUMENT.items() if k != "reading_mm"}
    ),
    "instrument reads nothing": changed(instrument={**INSTRUMENT, "reading_mm": 0.0}),
    "instrument negative": changed(instrument={**INSTRUMENT, "accuracy_mm": -0.1}),
    "instrument nan": changed(instrument={**INSTRUMENT, "accuracy_mm": math.nan}),
    "lines empty": changed(lines={}),
    "lines missing": changed(lines=None),
    "line unknown": changed(lines={**GOOD["profile"][0]["lines"], "z": {}}),  # type: ignore[index]
    "line without readings": line_changed(readings_mm=[]),
    "readings one number": line_changed(readings_mm=150.0),
    "reading of text": line_changed(readings_mm=["150"]),
    "reading nan": line_changed(readings_mm=[math.nan]),
    "reading inf": line_changed(readings_mm=[math.inf]),
    "reading true": line_changed(readings_mm=[True]),
    "reading negative": line_changed(readings_mm=[-150.0]),
    "reading zero": line_changed(readings_mm=[0]),
    "nominal zero": line_changed(nominal_mm=0.0),
    "nominal text": line_changed(nominal_mm="150 mm"),
    "another reading than fitted": line_changed(readings_mm=[150.9, 150.9, 150.9]),
    "another fit than read": fit_changed(scale_x=1.01),
    "fit of text": fit_changed(shear="none"),
    "fit missing": changed(fit=None),
}


@pytest.mark.parametrize("what", BAD_FILES)
def test_bad_files_are_reported_and_left_alone(what: str, file: Path) -> None:
    """Damaged, newer and odd files: one line that names the file, and not a byte changed."""
    file.write_bytes(BAD_FILES[what])
    for act in (
        lambda: load(file),
        lambda: keep(file, profile("new"), replace=True),
        lambda: forget(file, "desk"),
    ):
        with pytest.raises(InputError) as caught:
            act()
        assert caught.value.name == "profile-file"
        assert "\n" not in str(caught.value)
        assert "left as it is" in str(caught.value)
    assert file.read_bytes() == BAD_FILES[what]
    if "newer" in what:
        assert "later protractor" in str(caught.value)


def test_the_good_file_behind_the_bad_ones_is_good(file: Path) -> None:
    """The bad files are bad for their one fault: unchanged, the same file is read."""
    for content in (WHOLE, changed(), line_changed(), fit_changed()):
        file.write_bytes(content)
        assert list(load(file)) == [profile()]


def test_places_that_hold_no_file(tmp_path: Path) -> None:
    """A folder in the file's place, a missing folder, a file in the folder's place."""
    (tmp_path / "file").write_text("")
    for path, says in (
        (tmp_path, "folder"),
        (tmp_path / "none" / "p.toml", "make"),
        (tmp_path / "file" / "p.toml", "file"),
    ):
        with pytest.raises(InputError, match=says) as caught:
            keep(path, profile(), replace=False)
        assert caught.value.name == "profile-file"


WRITER = """
import sys
from pathlib import Path
from dataclasses import replace
from protractor.printing.profiles import keep, load
path = Path(sys.argv[1])
one = load(path)[0]
for n in range(int(sys.argv[3])):
    keep(path, replace(one, name=f"{sys.argv[2]}{n}"), replace=False)
"""


def test_processes_at_once_lose_nothing(file: Path) -> None:
    """Four processes that record eight printers each, at once: all 32 and the first are there."""
    keep(file, profile("first"), replace=False)
    running = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(file), name, "8"]) for name in "abcd"
    ]
    assert [process.wait() for process in running] == [0, 0, 0, 0]
    names = [p.name for p in load(file)]
    assert sorted(names) == sorted(["first", *(f"{c}{n}" for c in "abcd" for n in range(8))])


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork to start many writers quickly")
def test_killed_while_writing(file: Path) -> None:
    """Killed many times at odd moments, the file holds one of the two last profiles, whole.

    Each writer puts two profiles of its own in turn without pause until it is killed, which is
    after it has said that one is there; the lock it held is free.
    """
    before, both = profile(x=150.3), (profile(x=150.6), profile(x=150.9))
    keep(file, before, replace=False)
    for run in range(tries(200)):
        keep(file, before, replace=True)
        ours, theirs = os.pipe()
        child = os.fork()
        if child == 0:
            while True:
                for one in both:
                    keep(file, one, replace=True)
                    os.write(theirs, b".")
        assert os.read(ours, 1) == b"."
        time.sleep(0.0004 * (7 * run % 40))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        os.close(ours)
        os.close(theirs)
        [found] = load(file)
        assert found in both
    new = profile(x=151.2)  # none of theirs, or nothing would be written and nothing cleared
    keep(file, new, replace=True)
    assert list(load(file)) == [new]
    assert [path.name for path in file.parent.iterdir()] == [file.name]


def test_a_link_stays_a_link(file: Path, tmp_path: Path) -> None:
    """A profile file that is a link to a shared one: the shared one is written."""
    link = tmp_path / "link.toml"
    keep(file, profile(), replace=False)
    link.symlink_to(file)
    keep(link, profile("attic"), replace=False)
    assert link.is_symlink()
    assert len(load(file)) == 2


def test_disk_full(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No room on the disk: a clear line, and the old file as it was."""
    keep(file, profile(), replace=False)
    before = file.read_bytes()

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("protractor.files.os.fsync", full)
    with pytest.raises(InputError, match="No space left on device"):
        keep(file, profile("attic"), replace=False)
    assert file.read_bytes() == before


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("name", ""),
        ("name", " desk"),
        ("name", "x" * 41),
        ("name", "a\tb"),
        ("date", "yesterday"),
        ("date", "2026-3-1"),
        ("tray", "x" * 41),
        ("orientation", "diagonal"),
        ("paper", "A4"),
    ],
)
def test_profiles_that_cannot_be(field: str, value: str) -> None:
    """A profile checks itself; the error names the option."""
    with pytest.raises(InputError) as caught:
        profile(**{field: value})
    assert caught.value.name == ("printer" if field == "name" else field)
