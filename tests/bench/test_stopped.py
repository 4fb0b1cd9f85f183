"""A batch that is stopped, by signals or killed: it ends, and resume goes on from there."""

from __future__ import annotations

import contextlib
import json
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from protractor.bench.ledger import PROGRESS
from protractor.files import PART
from tests.bench.test_batch import write_bench
from tests.tries import tries

DECKS = 20

START = """
import signal, sys
signal.signal(signal.SIGINT, signal.default_int_handler)
from protractor.cli import main
sys.exit(main())
"""
"""The program as from a terminal: a shell has interrupts ignored by what it starts behind it."""


def protractor(folder: Path, *words: str) -> subprocess.Popen[str]:
    """The program in a process group of its own."""
    return subprocess.Popen(
        [sys.executable, "-c", START, *words],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
    )


def test_killed_and_resumed(tmp_path: Path) -> None:
    """Killed in the middle without warning: whole files alone, and resume keeps them."""
    write_bench(tmp_path / "d.csv", DECKS)
    (tmp_path / "out").mkdir()
    words = ("batch", "d.csv", "--folder", "out", "--sheet", "plate", "--format", "pdf")
    first = protractor(tmp_path, *words, "--processes", "2")
    journal = tmp_path / "out" / PROGRESS
    for _ in range(600):
        if journal.exists() and journal.read_text().count("\n") > 5:
            break
        time.sleep(0.05)
    os.killpg(first.pid, signal.SIGKILL)
    first.communicate()
    sheets = list((tmp_path / "out").glob("*.pdf"))
    assert 5 <= len(sheets) < DECKS
    for sheet in sheets:
        assert sheet.read_bytes().rstrip().endswith(b"%%EOF")
    second = protractor(tmp_path, *words, "--resume", "--json")
    out, err = second.communicate(timeout=120)
    said = json.loads(out)
    assert said["kept"] >= 5
    assert said["kept"] + said["written"] == DECKS, err
    assert not journal.exists()


def test_workers_end_with_their_batch(tmp_path: Path) -> None:
    """When the batch alone is killed, the processes that draw for it do not stay behind."""
    write_bench(tmp_path / "d.csv", DECKS)
    (tmp_path / "out").mkdir()
    words = ("batch", "d.csv", "--folder", "out", "--sheet", "plate", "--format", "pdf")
    batch = protractor(tmp_path, *words, "--processes", "2")
    journal = tmp_path / "out" / PROGRESS
    for _ in range(600):
        if journal.exists() and journal.read_text().count("\n") > 5:
            break
        time.sleep(0.05)
    batch.kill()
    try:
        batch.communicate(timeout=20)  # its workers hold the pipe as long as they live
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(batch.pid, signal.SIGKILL)
    assert list((tmp_path / "out").glob(f"{PART}*")) == []


def wait_for_work(batch: subprocess.Popen[str], journal: Path, decks: int) -> None:
    """Waits until a batch has noted that some decks are done."""
    for _ in range(6000):
        if batch.poll() is not None:
            break
        if journal.exists() and journal.read_text().count("\n") > decks:
            break
        time.sleep(0.005)


@pytest.mark.parametrize("turn", range(4))
def test_two_signals_end_a_batch(tmp_path: Path, turn: int) -> None:
    """Two interrupts or kills, up to 100 ms apart, to the program or to all its processes.

    It ends with the status of one of the two, says nothing of its inside, and leaves nothing half
    written after the next run.
    """
    write_bench(tmp_path / "d.csv", DECKS)
    chance = random.Random(turn)
    words = ("batch", "d.csv", "--sheet", "plate", "--format", "svg", "--text", "text")
    for attempt in range(tries(50, 25)):
        out = tmp_path / f"out {attempt}"
        batch = protractor(tmp_path, *words, "--folder", out.name, "--processes", str(1 + turn % 3))
        send = chance.choice((os.kill, os.killpg))
        first, second = (chance.choice((signal.SIGINT, signal.SIGTERM)) for _ in "ab")
        wait_for_work(batch, out / PROGRESS, 1)
        time.sleep(chance.uniform(0, 0.05))
        send(batch.pid, first)
        time.sleep(chance.choice((0.0, 0.001, chance.uniform(0, 0.1))))
        with contextlib.suppress(ProcessLookupError):
            send(batch.pid, second)
        try:
            _, err = batch.communicate(timeout=30)  # its workers hold the pipe
        finally:
            with contextlib.suppress(ProcessLookupError):
                os.killpg(batch.pid, signal.SIGKILL)
        assert batch.returncode in {128 + first, 128 + second, -first, -second}, err
        assert "Traceback" not in err
    for part in range(3):
        (out / f"{PART}{part:08}.part").write_text("half")
    done = protractor(tmp_path, *words, "--folder", out.name, "--resume", "--json")
    said, err = done.communicate(timeout=120)
    assert done.returncode == 0, err
    assert json.loads(said)["kept"] >= 1
    assert [path.name for path in out.iterdir() if path.name.startswith(".")] == []


@pytest.mark.parametrize(("stop", "status"), [(signal.SIGINT, 130), (signal.SIGTERM, 143)])
def test_one_signal_ends_a_batch_cleanly(tmp_path: Path, stop: signal.Signals, status: int) -> None:
    """The status is the signal's; no part, no lock is left, and the journal is there to go on."""
    write_bench(tmp_path / "d.csv", DECKS)
    words = ("batch", "d.csv", "--sheet", "plate", "--format", "svg", "--text", "text")
    batch = protractor(tmp_path, *words, "--folder", "out", "--processes", "2")
    wait_for_work(batch, tmp_path / "out" / PROGRESS, 1)
    batch.send_signal(stop)
    _, err = batch.communicate(timeout=30)
    assert (batch.returncode, "Traceback" in err) == (status, False)
    left = [path.name for path in (tmp_path / "out").iterdir()]
    assert PROGRESS in left
    assert [name for name in left if name.startswith(".")] == []
