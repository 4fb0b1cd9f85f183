"""Sheets for many decks: in processes, resumable, nothing half written, failures told."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pdfplumber
import pytest

from protractor import files as whole
from protractor.bench.batch import Order, Task, draw, run_batch
from protractor.bench.deck_file import DeckFile, Fault, read_decks
from protractor.bench.decks import Deck
from protractor.bench.ledger import PROGRESS
from protractor.drawing.shapes import Label
from protractor.errors import InputError
from protractor.output.style import Style
from protractor.sheets.index_sheet import index_pages
from protractor.sheets.plate import Cutting
from tests.collisions import collisions
from tests.conftest import Ran
from tests.readback.cutfiles import from_svg
from tests.readback.reading import read_strokes

Run = Callable[..., Ran]
SVG = Order(formats=("svg",))
QUICK = Order(sheets=("plate",), formats=("pdf",))


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
    batch = run_batch(bench(2), tmp_path, Order(style=Style(text="text")))
    names = {
        f"bench-deck-{i}_{sheet}{ending}"
        for i in range(2)
        for sheet in ("template", "plate")
        for ending in (".pdf", ".svg", "_mm.dxf")
    }
    assert set(contents(tmp_path)) == names | {"index.pdf", "summary.json"}
    assert batch.count("written") == 2
    said = json.loads((tmp_path / "summary.json").read_text())
    assert said == json.loads(json.dumps(batch.as_dict()))
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
        "Wide,222,,60 and 66,\nBig,300,200,,a4\nAlso good,240,,,letter\n"
    )
    (tmp_path / "out").mkdir()
    order = Order(sheets=("template",), formats=("svg",))
    batch = run_batch(read_decks(path), tmp_path / "out", order, processes=2)
    assert [(r["name"], r["line"], r["status"]) for r in batch.records] == [
        ("Good", 2, "written"),
        ("Bad", 3, "failed"),
        ("Wide", 4, "failed"),
        ("Big", 5, "failed"),
        ("Also good", 6, "written"),
    ]
    said = [record.get("error", "") for record in batch.records]
    assert "allowed: 120 to 500 mm" in said[1]
    assert "null radii at least" in said[2]
    assert said[3].startswith("paper: got A4")
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
    page = Order.page

    def breaking(self: Order, deck: Deck, sheet: str) -> object:
        if deck.name == "Bench deck 1":
            raise ZeroDivisionError("unforeseen")
        return page(self, deck, sheet)

    monkeypatch.setattr(Order, "page", breaking)
    batch = run_batch(bench(3), tmp_path, QUICK)
    assert [r["status"] for r in batch.records] == ["written", "failed", "written"]
    assert batch.records[1]["error"] == "ZeroDivisionError: unforeseen"


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
    batch = run_batch(replace(changed, decks=decks), tmp_path, QUICK, resume=True)
    assert [r["status"] for r in batch.records] == ["written", "kept", "written", "kept"]
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
    batch = run_batch(bench(2), tmp_path, QUICK, resume=True)
    assert [r["status"] for r in batch.records] == ["failed", "kept"]
    assert "plate.pdf; allowed: sheets as the earlier batch" in batch.records[0]["error"]
    assert "--force" in batch.records[0]["error"]
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


@pytest.mark.parametrize(
    "damage", [b"", b"{", b"[1, 2]", b'{"decks": [{"name": "Bench deck 0"}, 7, null]}', b"\xff"]
)
def test_resume_over_a_damaged_summary(tmp_path: Path, damage: bytes) -> None:
    """A summary that cannot be read is no ground to fail, nor to write over what is there."""
    run_batch(bench(2), tmp_path, QUICK)
    (tmp_path / "summary.json").write_bytes(damage)
    (tmp_path / "bench-deck-1_plate.pdf").write_text("mine")
    batch = run_batch(bench(3), tmp_path, QUICK, resume=True)
    assert [r["status"] for r in batch.records] == ["written", "failed", "written"]
    assert (tmp_path / "bench-deck-1_plate.pdf").read_text() == "mine"


def test_a_summary_cannot_point_outside(tmp_path: Path) -> None:
    """A summary that names a file elsewhere is not believed: nothing outside is written over."""
    (tmp_path / "out").mkdir()
    run_batch(bench(1), tmp_path / "out", QUICK)
    summary = tmp_path / "out" / "summary.json"
    summary.write_text(summary.read_text().replace('"bench-deck-0_plate.pdf"', '"../x.pdf"'))
    (tmp_path / "x.pdf").write_text("mine")
    run_batch(bench(1), tmp_path / "out", replace(QUICK, paper="a3"), resume=True)
    assert (tmp_path / "x.pdf").read_text() == "mine"


def test_a_second_batch_is_refused(tmp_path: Path) -> None:
    """A folder that holds a batch is left alone unless resume or force is said."""
    run_batch(bench(1), tmp_path, QUICK)
    before = contents(tmp_path)
    with pytest.raises(InputError, match="--resume to go on"):
        run_batch(bench(2), tmp_path, QUICK)
    assert contents(tmp_path) == before


def test_full_disk_leaves_no_half_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the disk fills up in one deck, that deck fails and leaves nothing half written."""
    fsync = os.fsync
    calls = []

    def full(handle: int) -> None:
        calls.append(handle)
        if len(calls) == 2:
            raise OSError(28, "No space left on device")
        fsync(handle)

    monkeypatch.setattr(whole.os, "fsync", full)
    batch = run_batch(bench(3), tmp_path, QUICK)
    assert [r["status"] for r in batch.records] == ["written", "failed", "written"]
    assert "make room" in batch.records[1]["error"]
    assert not [name for name in contents(tmp_path) if name.startswith(".")]


def write_bench(path: Path, count: int) -> None:
    """A CSV file of invented decks."""
    rows = "".join(f"Bench deck {i},{200 + i % 250}\n" for i in range(count))
    path.write_text("name,pivot-to-spindle\n" + rows)


def protractor(folder: Path, *words: str) -> subprocess.Popen[str]:
    """The program in a process group of its own."""
    return subprocess.Popen(
        [sys.executable, "-m", "protractor", *words],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
    )


def test_killed_and_resumed(tmp_path: Path) -> None:
    """Killed in the middle without warning: whole files alone, and resume keeps them."""
    write_bench(tmp_path / "d.csv", 60)
    (tmp_path / "out").mkdir()
    words = ("batch", "d.csv", "--folder", "out", "--sheet", "plate", "--format", "pdf")
    first = protractor(tmp_path, *words, "--processes", "2")
    journal = tmp_path / "out" / PROGRESS
    for _ in range(600):
        if journal.exists() and journal.read_text().count("\n") >= 5:
            break
        time.sleep(0.05)
    os.killpg(first.pid, signal.SIGKILL)
    first.communicate()
    sheets = list((tmp_path / "out").glob("*.pdf"))
    assert 5 <= len(sheets) < 60
    for sheet in sheets:
        assert sheet.read_bytes().rstrip().endswith(b"%%EOF")
    second = protractor(tmp_path, *words, "--resume", "--json")
    out, err = second.communicate(timeout=120)
    said = json.loads(out)
    assert said["kept"] >= 5
    assert said["kept"] + said["written"] == 60, err
    assert not journal.exists()


def test_workers_end_with_their_batch(tmp_path: Path) -> None:
    """When the batch alone is killed, the processes that draw for it do not stay behind."""
    write_bench(tmp_path / "d.csv", 60)
    (tmp_path / "out").mkdir()
    words = ("batch", "d.csv", "--folder", "out", "--sheet", "plate", "--format", "pdf")
    batch = protractor(tmp_path, *words, "--processes", "2")
    journal = tmp_path / "out" / PROGRESS
    for _ in range(600):
        if journal.exists() and journal.read_text().count("\n") >= 5:
            break
        time.sleep(0.05)
    batch.kill()
    try:
        batch.communicate(timeout=20)  # its workers hold the pipe as long as they live
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(batch.pid, signal.SIGKILL)
    left = [path.name for path in (tmp_path / "out").iterdir() if path.name.startswith(".")]
    assert left == []


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
    order = Order(sheets=("board",), formats=("pdf",), paper="a4")
    batch = run_batch(replace(found, decks=decks), tmp_path, order)
    assert batch.count("failed") > 0  # boards that need more than A4
    pages = index_pages(batch.records)
    assert len(pages) == 3
    for page in pages:
        assert collisions(page) == []
        assert min(s.size_pt for s in page.shapes if isinstance(s, Label)) >= 7
    with pdfplumber.open(tmp_path / "index.pdf") as document:
        text = " ".join(page.extract_text() for page in document.pages)
    for record in batch.records[1:]:
        assert record["name"] in text
        if record["status"] == "written":
            assert f"pivot to spindle {record['alignment']['pivot_to_spindle_mm']:.2f}, " in text
    assert "failed" in text
    cut = run_batch(bench(1), tmp_path, QUICK, force=True)
    said = [
        s.text for page in index_pages(cut.records) for s in page.shapes if isinstance(s, Label)
    ]
    assert "stock to cut; line 1, written" in said


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
    assert x_bar("corrected_template.pdf") / plain == pytest.approx(150 / 150.3, abs=2e-4)
    with pdfplumber.open("corrected_template.pdf") as document:
        assert "Corrected for printer 'desk'" in document.pages[0].extract_text()
    again = run("batch", "d.csv", "--profile-file", "p.toml", *words, "--resume")
    assert "0 decks written, 2 kept, 1 failed" in again.out


def test_same_deck_same_record(tmp_path: Path) -> None:
    """A task gives the same record again: nothing in it tells the time or the place."""
    task = Task(deck=bench(1).decks[0], line=1, order=QUICK, folder=tmp_path, replaceable=None)
    assert draw(task) == draw(task)
