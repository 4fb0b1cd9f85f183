"""Sheets for many decks: in processes, resumable, nothing half written, failures told."""

from __future__ import annotations

import json
import os
import re
import signal
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pdfplumber
import pytest

from protractor import files as whole
from protractor.alignments.deck import Deck
from protractor.bench import batch, deck_sheets
from protractor.bench.batch import run_batch
from protractor.bench.deck_file import DeckFile, Fault, read_decks
from protractor.bench.deck_sheets import DeckTask, SheetChoice, draw
from protractor.bench.ledger import PROGRESS, SUMMARY
from protractor.drawing.shapes import Label
from protractor.errors import InputError
from protractor.files import alone
from protractor.output.style import Style
from protractor.printing.profiles import keep
from protractor.sheets import alignment_sheet, plate
from protractor.sheets.cutting import Cutting
from protractor.sheets.index_sheet import index_pages
from tests.collisions import collisions
from tests.conftest import Ran
from tests.printing.test_profiles import profile
from tests.readback.cutfiles import from_svg
from tests.readback.reading import read_strokes

Run = Callable[..., Ran]
SVG = SheetChoice(formats=("svg",))
QUICK = SheetChoice(sheets=("plate",), formats=("pdf",))


def bench(count: int, **changes: object) -> DeckFile:
    """A file of invented decks, one a line."""
    decks = tuple(
        Deck(name=f"Bench deck {i}", pivot_to_spindle_mm=200.0 + 3 * i, **changes)  # type: ignore[arg-type]
        for i in range(count)
    )
    return DeckFile(decks=decks, lines=tuple(range(1, count + 1)), faults=())


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder."""
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_all_sheets_in_all_formats(tmp_path: Path) -> None:
    """Two decks: template and plate in three formats each, an index and a summary, no journal."""
    ran = run_batch(bench(2), tmp_path, SheetChoice(style=Style(text="text")))
    names = {
        f"bench-deck-{i}_{sheet}{ending}"
        for i in range(2)
        for sheet in ("template", "plate")
        for ending in (".pdf", ".svg", "_mm.dxf")
    }
    assert set(contents(tmp_path)) == names | {"index.pdf", "summary.json"}
    assert ran.count("written") == 2
    said = json.loads((tmp_path / "summary.json").read_text())
    assert said == json.loads(json.dumps(ran.as_dict()))
    deck = said["decks"][0]
    assert deck["alignment"]["pivot_to_spindle_mm"] == 200.0
    assert deck["sheets"]["template"]["features"]["spindle"]
    for entry in deck["files"]:
        assert (tmp_path / entry["file"]).stat().st_size == entry["bytes"]


def test_processes_write_the_same_bytes(tmp_path: Path) -> None:
    """One process or three: the same files, the same summary, in the order of the file."""
    for processes in (1, 3):
        (tmp_path / str(processes)).mkdir()
        run_batch(bench(5), tmp_path / str(processes), SVG, processes=processes)
    assert contents(tmp_path / "1") == contents(tmp_path / "3")


def test_a_deck_that_fails_stops_no_other(tmp_path: Path) -> None:
    """Faults of the file, a deck too long for its paper, a kerf that does not pass: all told."""
    path = tmp_path / "d.csv"
    path.write_text(
        "name,pivot-to-spindle,outer-radius,null-radii,paper\nGood,222,,,a4\nBad,2,,,\n"
        "Wide,222,,60 and 66,\nBig,300,200,,a5\nAlso good,240,,,letter\n"
    )
    (tmp_path / "out").mkdir()
    choice = SheetChoice(sheets=("template",), formats=("svg",))
    ran = run_batch(read_decks(path), tmp_path / "out", choice, processes=2)
    assert [(r["name"], r["line"], r["status"]) for r in ran.outcomes] == [
        ("Good", 2, "written"),
        ("Bad", 3, "failed"),
        ("Wide", 4, "failed"),
        ("Big", 5, "failed"),
        ("Also good", 6, "written"),
    ]
    said = [record.get("error", "") for record in ran.outcomes]
    assert "allowed: 120 to 500 mm" in said[1]
    assert "null radii at least" in said[2]
    assert said[3].startswith("paper: got A5")
    assert set(contents(tmp_path / "out")) == {
        "good_template.svg",
        "also-good_template.svg",
        "index.pdf",
        "summary.json",
    }


def test_an_unforeseen_error_is_told_and_the_rest_go_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Even an error that nobody foresaw in one deck leaves the other decks alone."""
    sheet = SheetChoice.sheet

    def breaking(self: SheetChoice, deck: Deck, *more: Any) -> object:
        if deck.name == "Bench deck 1":
            raise ZeroDivisionError("unforeseen")
        return sheet(self, deck, *more)

    monkeypatch.setattr(SheetChoice, "sheet", breaking)
    ran = run_batch(bench(3), tmp_path, QUICK)
    assert [r["status"] for r in ran.outcomes] == ["written", "failed", "written"]
    assert ran.outcomes[1]["error"] == "ZeroDivisionError: unforeseen"


def stamps(folder: Path) -> dict[str, int]:
    """When each sheet was written."""
    return {p.name: p.stat().st_mtime_ns for p in folder.iterdir() if "bench" in p.name}


def test_resume_writes_what_is_missing_or_changed(tmp_path: Path) -> None:
    """Kept: what is there and the same. Written: a lost file, a changed deck, another kerf."""
    run_batch(bench(4), tmp_path, QUICK)
    first = stamps(tmp_path)
    assert run_batch(bench(4), tmp_path, QUICK, resume=True).count("kept") == 4
    assert stamps(tmp_path) == first
    (tmp_path / "bench-deck-2_plate.pdf").unlink()
    changed = bench(4)
    decks = (replace(changed.decks[0], scheme="stevenson"), *changed.decks[1:])
    ran = run_batch(replace(changed, decks=decks), tmp_path, QUICK, resume=True)
    assert [r["status"] for r in ran.outcomes] == ["written", "kept", "written", "kept"]
    again = stamps(tmp_path)
    assert {n for n in again if again[n] != first[n]} == {
        "bench-deck-0_plate.pdf",
        "bench-deck-2_plate.pdf",
    }
    other = replace(QUICK, cutting=Cutting(kerf_mm=0.2))
    assert run_batch(bench(4), tmp_path, other, resume=True).count("written") == 4


def test_resume_keeps_what_the_user_changed(tmp_path: Path) -> None:
    """A sheet that someone changed by hand is not written over without force."""
    run_batch(bench(2), tmp_path, QUICK)
    (tmp_path / "bench-deck-0_plate.pdf").write_text("mine")
    ran = run_batch(bench(2), tmp_path, QUICK, resume=True)
    assert [r["status"] for r in ran.outcomes] == ["failed", "kept"]
    assert "plate.pdf; allowed: sheets as the earlier batch" in ran.outcomes[0]["error"]
    assert "say force" in ran.outcomes[0]["error"]
    assert (tmp_path / "bench-deck-0_plate.pdf").read_text() == "mine"
    assert run_batch(bench(2), tmp_path, QUICK, force=True).count("written") == 2


def test_resume_after_a_deck_that_failed_in_between(tmp_path: Path) -> None:
    """A slip in the file, mended: the deck's sheets are still known to be the batch's own."""
    run_batch(bench(2), tmp_path, QUICK)
    one, two = bench(2).decks
    odd = replace(two, null_radii_mm=(63.0, 64.0), scheme="null-radii")
    slip = Fault(line=1, deck=one.name, error=InputError("scheme", "x", "y", "z"))
    broken = DeckFile(decks=(odd,), lines=(2,), faults=(slip,))
    for _ in range(2):
        assert run_batch(broken, tmp_path, QUICK, resume=True).count("failed") == 2
    mended = replace(bench(2), decks=(replace(one, scheme="stevenson"), replace(two, rpm=45.0)))
    assert run_batch(mended, tmp_path, QUICK, resume=True).count("written") == 2


def test_a_batch_at_a_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While one batch writes to a folder, a second one is refused in one line, forced or not."""
    monkeypatch.setattr(batch, "WAIT_S", 0.1)
    with alone(tmp_path / SUMMARY, "folder"):
        for force in (False, True):
            with pytest.raises(InputError, match="no other batch is writing to") as caught:
                run_batch(bench(1), tmp_path, QUICK, force=force)
            assert "\n" not in str(caught.value)
    assert contents(tmp_path) == {}
    assert run_batch(bench(1), tmp_path, QUICK).count("written") == 1


def killing(task: DeckTask) -> dict[str, object]:
    """Draws a deck; when it is the first one, its process is killed after that."""
    outcome = draw(task)
    if task.deck.name == "Bench deck 0":
        os.kill(os.getpid(), signal.SIGKILL)
    return outcome


@pytest.mark.parametrize("force", [False, True])
def test_a_killed_process_is_one_deck(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, force: bool
) -> None:
    """The deck whose process was killed fails, the others are drawn, and its advice works."""
    if force:
        (tmp_path / "bench-deck-0_plate.pdf").write_text("of another batch")
    with monkeypatch.context() as patch:
        patch.setattr(batch, "draw", killing)
        ran = run_batch(bench(5), tmp_path, QUICK, processes=2, force=force)
    assert [o["status"] for o in ran.outcomes] == ["failed", *["written"] * 4]
    assert ("resume and force" if force else "give resume") in ran.outcomes[0]["error"]
    again = run_batch(bench(5), tmp_path, QUICK, resume=True, force=force)
    assert [o["status"] for o in again.outcomes] == ["written", *["kept"] * 4]


def test_a_second_batch_is_refused(tmp_path: Path) -> None:
    """A folder that holds a batch is left alone unless resume or force is said."""
    run_batch(bench(1), tmp_path, QUICK)
    before = contents(tmp_path)
    with pytest.raises(InputError, match="resume to go on"):
        run_batch(bench(2), tmp_path, QUICK)
    assert contents(tmp_path) == before


@pytest.mark.parametrize(
    ("processes", "says"), [(1, "make room, then give resume to go on"), (2, "make room")]
)
def test_full_disk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, processes: int, says: str
) -> None:
    """A full disk stops the batch with what to do; nothing is half written, and resume goes on.

    In one process it is a sheet that finds no room; of several it may be the journal.
    """
    fsync = os.fsync
    calls = []

    def full(handle: int) -> None:
        calls.append(handle)
        if len(calls) > 3:
            raise OSError(28, "No space left on device")
        fsync(handle)

    with monkeypatch.context() as patch:
        patch.setattr(whole.os, "fsync", full)
        with pytest.raises(InputError, match=says):
            run_batch(bench(8), tmp_path, QUICK, processes=processes)
    left = contents(tmp_path)
    assert not [name for name in left if name.startswith(".")]
    assert PROGRESS in left
    assert 1 <= len(left) < 9
    ran = run_batch(bench(8), tmp_path, QUICK, resume=True)
    assert ran.count("failed") == 0
    assert ran.count("kept") >= 1


def test_every_fault_is_known_before(run: Run) -> None:
    """What `check` calls sound, `batch` draws; what it does not, `batch` refuses, deck by deck."""
    Path("d.toml").write_text(
        """
[[deck]]
name = "Good"
pivot-to-spindle = 222
[[deck]]
name = "Three faults"
pivot-to-spindle = 2
rpm = 3
scheme = "x"
[[deck]]
name = "Long arm, small sheet"
pivot-to-spindle = 300
paper = "a5"
[[deck]]
name = "Unknown printer"
pivot-to-spindle = 222
printer = "none"
"""
    )
    checked = run("decks", "check", "d.toml", "--profile-file", "p.toml", "--json")
    said = json.loads(checked.out)
    assert checked.status == 2
    assert (said["decks"], said["faulty_decks"], len(said["faults"])) == (1, 3, 5)
    assert {fault["field"] for fault in said["faults"][3:]} == {"paper", "printer"}
    words = ("--profile-file", "p.toml", "--format", "pdf", "--folder", "out", "--processes", "1")
    drawn = run("batch", "d.toml", *words, "--json")
    done = json.loads(drawn.out)
    assert drawn.status == 1
    assert (done["written"], done["failed"]) == (1, 3)
    in_words = run("decks", "check", "d.toml", "--profile-file", "p.toml")
    assert in_words.out == "d.toml: 1 sound deck, 5 faults in 3 decks\n"
    cut = run("decks", "check", "d.toml", "--profile-file", "p.toml", "--sheet", "plate", "--json")
    assert json.loads(cut.out)["decks"] == 3


def test_work_is_done_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each deck is solved once, each of its pages laid out once, and the profiles read once."""
    keep(tmp_path / "p.toml", profile("desk"), replace=False)
    calls: Counter[str] = Counter()

    def counted(where: object, name: str) -> None:
        real = getattr(where, name)

        def call(*words: Any, **more: Any) -> Any:
            calls[name] += 1
            return real(*words, **more)

        monkeypatch.setattr(where, name, call)

    counted(deck_sheets, "align")
    counted(batch, "load")
    counted(alignment_sheet, "alignment_pages")
    counted(plate, "plate_page")
    choice = SheetChoice(
        formats=("pdf", "svg", "dxf"), style=Style(text="text"), profile_file=tmp_path / "p.toml"
    )
    (tmp_path / "out").mkdir()
    ran = run_batch(bench(3, printer="desk"), tmp_path / "out", choice)
    assert ran.count("written") == 3
    # a sheet of paper that is corrected says so, the one to be cut does not: two pages
    assert calls == {"align": 3, "load": 1, "alignment_pages": 6, "plate_page": 3}


def write_bench(path: Path, count: int) -> None:
    """A CSV file of invented decks."""
    rows = "".join(f"Bench deck {i},{200 + i % 250}\n" for i in range(count))
    path.write_text("name,pivot-to-spindle\n" + rows)


def test_command(run: Run) -> None:
    """Exit status 0, then 2 for a second batch, 0 with resume, 1 when a deck fails."""
    write_bench(Path("d.csv"), 2)
    words = ("batch", "d.csv", "--sheet", "plate", "--format", "svg", "--processes", "1")
    first = run(*words)
    assert first.status == 0
    assert "2 decks written, 0 kept, 0 failed" in first.out
    assert "templates_out/d/bench-deck-0_plate.svg" in first.files
    assert run(*words).status == 2
    assert "0 decks written, 2 kept" in run(*words, "--resume").out
    with Path("d.csv").open("a") as more:
        more.write("Bad,3\n")
    third = run(*words, "--resume", "--json")
    assert third.status == 1
    assert json.loads(third.out)["failed"] == 1
    assert "d.csv, line 4, deck 'Bad': pivot-to-spindle: got '3'" in third.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("none.toml",), "no such file"),
        (("d.csv", "--processes", "0"), "--processes: got '0'; allowed: 1 to 64"),
        (("d.csv", "--sheet", "plates"), "did you mean plate?"),
        (("d.csv", "--kerf", "x"), "--kerf"),
        (("d.csv", "--folder", "d.csv"), "--folder: got d.csv"),
        (("d.csv", "--colours", "pink"), "--colours"),
    ],
)
def test_bad_input(run: Run, words: tuple[str, ...], said: str) -> None:
    """One line, exit status 2, nothing written."""
    write_bench(Path("d.csv"), 1)
    ran = run("batch", *words)
    assert (ran.status, ran.files) == (2, ["d.csv"])
    assert len(ran.err.splitlines()) == 1
    assert said in ran.err


def test_index_shows_every_deck(tmp_path: Path) -> None:
    """Every deck's name and numbers stand in the index; nothing collides; failures are told."""
    found = bench(23)
    decks = (
        replace(found.decks[0], name="A deck with a very long name indeed " * 2),
        *found.decks[1:],
    )
    choice = SheetChoice(sheets=("board",), formats=("pdf",), paper="a4")
    ran = run_batch(replace(found, decks=decks), tmp_path, choice)
    assert ran.count("failed") > 0  # boards that need more than A4
    pages = index_pages(ran.outcomes)
    assert len(pages) == 3
    for page in pages:
        assert collisions(page) == []
        assert min(s.size_pt for s in page.shapes if isinstance(s, Label)) >= 7
    with pdfplumber.open(tmp_path / "index.pdf") as document:
        text = " ".join(page.extract_text() for page in document.pages)
    for record in ran.outcomes[1:]:
        assert record["name"] in text
        if record["status"] == "written":
            assert f"pivot to spindle {record['alignment']['pivot_to_spindle_mm']:.2f}, " in text
    assert "failed" in text
    cut = run_batch(bench(1), tmp_path, QUICK, force=True)
    said = [
        s.text for page in index_pages(cut.outcomes) for s in page.shapes if isinstance(s, Label)
    ]
    assert "stock to cut; line 1, written" in said


def test_index_of_decks_with_one_null_or_none(tmp_path: Path) -> None:
    """A straight arm and limits that leave one null or none: the index has what there is."""
    limited = {"pivot_to_spindle_mm": 222.0, "exact": True, "offset_range_deg": (0.0, 3.0)}
    decks = (
        Deck(name="Straight", pivot_to_spindle_mm=222.0, straight=True),
        Deck(name="One null", **limited),  # type: ignore[arg-type]
        Deck(name="No null", overhang_range_mm=(16.0, 17.0), **limited),  # type: ignore[arg-type]
    )
    found = DeckFile(decks=decks, lines=(1, 2, 3), faults=())
    ran = run_batch(found, tmp_path, SheetChoice(sheets=("template", "board"), formats=("pdf",)))
    assert [outcome["status"] for outcome in ran.outcomes] == ["written", "written", "failed"]
    (tmp_path / "boards").mkdir()
    boards = run_batch(found, tmp_path / "boards", SheetChoice(sheets=("board",)))
    [page] = index_pages(boards.outcomes)
    said = [s.text for s in page.shapes if isinstance(s, Label) and s.text.startswith("nulls")]
    assert said[1:] == ["nulls 80.04 mm", "nulls none"]
    assert re.fullmatch(r"nulls \d+\.\d\d mm", said[0])


def test_printer_of_a_deck(run: Run) -> None:
    """A deck's PDF is corrected for the printer it names, its SVG is not; others are told."""
    measured = ("--x", "150.3", "--y", "149.5", "--rising", "149.8", "--falling", "149.8")
    record = run(
        *("printer", "record", "desk", "--profile-file", "p.toml", "--instrument", "calipers"),
        *measured,
    )
    assert record.status == 0, record.err
    Path("d.csv").write_text(
        "name,pivot-to-spindle,printer\nPlain,222,\nCorrected,222,Desk\nUnknown,222,none\n"
    )
    words = ("--sheet", "template", "--format", "pdf", "--format", "svg", "--folder", ".")
    ran = run("batch", "d.csv", "--profile-file", "p.toml", *words)
    assert ran.status == 1
    assert "deck 'Unknown': printer: got none; allowed: desk" in ran.err

    def x_bar(name: str) -> float:
        """Length of the longest level line of a PDF [mm]."""
        strokes, _ = read_strokes(Path(name).read_bytes())
        lines = [s.points[-1] - s.points[0] for s in strokes if not s.curved]
        return max(abs(float(x)) for x, y in lines if abs(y) < 0.5)

    plain = x_bar("plain_template.pdf")
    svg = from_svg(Path("corrected_template.svg").read_bytes())
    bars = [abs(x2 - x1) for x1, y1, x2, y2 in svg.lines if y1 == y2]
    assert max(bars) == pytest.approx(plain, abs=0.002)
    # the page lies on its side: its X bar runs along the long side of the paper, the printer's Y
    assert x_bar("corrected_template.pdf") / plain == pytest.approx(150 / 149.5, abs=2e-4)
    with pdfplumber.open("corrected_template.pdf") as document:
        assert "Corrected for printer 'desk'" in document.pages[0].extract_text()
    again = run("batch", "d.csv", "--profile-file", "p.toml", *words, "--resume")
    assert "0 decks written, 2 kept, 1 failed" in again.out


def test_same_deck_same_record(tmp_path: Path) -> None:
    """A task gives the same record again: nothing in it tells the time or the place."""
    task = DeckTask(
        deck=bench(1).decks[0],
        line=1,
        choice=QUICK,
        key="",
        correction=None,
        folder=tmp_path,
        replaceable=None,
    )
    assert draw(task) == draw(task)
