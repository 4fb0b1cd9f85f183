"""Summary and journal of a batch: the user's until proven ours, believed by their hashes."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from protractor.bench.batch import run_batch
from protractor.bench.ledger import INDEX, PROGRESS, SUMMARY, Journal, earlier, sha256
from protractor.errors import InputError
from tests.bench.test_batch import QUICK, bench, contents

DAMAGE = {
    "empty": b"",
    "torn": b"{",
    "another kind": b"[1, 2]",
    "fields missing": b'{"protractor": "0.1.0", "decks": [{"name": "Bench deck 0"}, 7, null]}',
    "no deck": b'{"protractor": "0.1.0", "decks": []}',
    "no text": b"\xff",
    "NUL": b"\0" * 100,
    "nested": b"[" * 100_000,
    "nested within": b'{"protractor": "0.1.0", "decks": [' + b"[" * 100_000,
    "a surrogate": b'{"decks": [{"name": "\\ud800", "record_sha256": "0"}]}',
    "no number": b'{"decks": [{"name": "x", "line": NaN, "record_sha256": "0"}]}',
    "a long number": b'{"decks": [{"name": "x", "line": ' + b"9" * 5000 + b"}]}",
}
"""What may stand in a file by the name of summary or journal."""


@pytest.mark.parametrize("name", [SUMMARY, PROGRESS, INDEX])
@pytest.mark.parametrize("resume", [False, True])
def test_what_no_batch_wrote_is_the_users(tmp_path: Path, name: str, resume: bool) -> None:
    """A summary, journal or index of other origin, or damaged, is kept: one line says what to do.

    Moved away, the batch goes on; replaced by force, it begins anew.
    """
    run_batch(bench(1), tmp_path, QUICK)
    if name == PROGRESS:
        (tmp_path / SUMMARY).unlink()
        (tmp_path / INDEX).unlink()
    for damage in DAMAGE.values():
        (tmp_path / name).write_bytes(damage)
        before = contents(tmp_path)
        with pytest.raises(InputError, match="move it away, or say force") as caught:
            run_batch(bench(1), tmp_path, QUICK, resume=resume)
        assert str(caught.value).startswith(f"folder: got {name}")
        assert "\n" not in str(caught.value)
        assert contents(tmp_path) == before
    if resume:
        for kept in {name, INDEX}:  # by the summary the index was known
            (tmp_path / kept).unlink(missing_ok=True)
    again = run_batch(bench(1), tmp_path, QUICK, resume=resume, force=not resume)
    assert again.count("failed") == 0
    assert earlier(tmp_path).ours == {SUMMARY, INDEX}


@pytest.mark.parametrize(
    ("this", "that"),
    [
        ('"bench-deck-0_plate.pdf"', '"../x.pdf"'),
        ('"overhang_mm": ', '"overhang_mm": 1'),
        ('"status": "written"', '"status": "kept"'),
    ],
)
@pytest.mark.parametrize("name", [SUMMARY, PROGRESS])
def test_a_record_is_believed_by_its_hash(tmp_path: Path, name: str, this: str, that: str) -> None:
    """A record with another file, number or status in it is not believed, whoever put it there."""
    (tmp_path / "out").mkdir()
    run_batch(bench(1), tmp_path / "out", QUICK)
    summary = tmp_path / "out" / SUMMARY
    [line] = [line for line in summary.read_text().splitlines() if "Bench deck 0" in line]
    changed = line.replace(this, that)
    assert changed != line
    (tmp_path / "x.pdf").write_text("mine")
    if name == SUMMARY:
        summary.write_text(summary.read_text().replace(line, changed))
        assert SUMMARY not in earlier(tmp_path / "out").ours
    else:
        summary.unlink()
        journal = Journal(tmp_path / "out", anew=True)
        journal.add(line)
        assert list(earlier(tmp_path / "out").outcomes) == ["Bench deck 0"]
        journal.drop()
        journal = Journal(tmp_path / "out", anew=True)
        journal.add(changed)
    assert earlier(tmp_path / "out").outcomes == {}
    assert (tmp_path / "x.pdf").read_text() == "mine"


def test_a_stopped_batch_is_kept_for_resume(tmp_path: Path) -> None:
    """A plain run over the journal of a stopped batch is refused, and the journal stays.

    A line that was torn at the end of it takes no other with it.
    """
    run_batch(bench(2), tmp_path, QUICK)
    lines = (tmp_path / SUMMARY).read_text().splitlines()
    one, two = (line.rstrip(",") for line in lines if "Bench deck" in line)
    (tmp_path / SUMMARY).unlink()
    (tmp_path / INDEX).unlink()
    Journal(tmp_path, anew=True).add(one)
    with (tmp_path / PROGRESS).open("a") as file:
        file.write('{"name": "Bench de')
    before = contents(tmp_path)
    with pytest.raises(InputError, match="resume to go on"):
        run_batch(bench(2), tmp_path, QUICK)
    assert contents(tmp_path) == before
    Journal(tmp_path, anew=False).add(two)
    assert list(earlier(tmp_path).outcomes) == ["Bench deck 0", "Bench deck 1"]
    assert run_batch(bench(2), tmp_path, QUICK, resume=True).count("kept") == 2


@pytest.mark.parametrize("name", [SUMMARY, PROGRESS, INDEX, "bench-deck-0_plate.pdf"])
def test_a_pipe_in_the_folder_is_not_waited_for(tmp_path: Path, name: str) -> None:
    """A pipe by the name of what a batch writes has no hash, is nobody's outcome, and stays."""
    run_batch(bench(1), tmp_path, QUICK)
    (tmp_path / name).unlink(missing_ok=True)
    os.mkfifo(tmp_path / name)
    assert sha256(tmp_path / name) is None
    assert name not in earlier(tmp_path).ours
    for resume in (True, False):
        if name in (SUMMARY, PROGRESS, INDEX):
            with pytest.raises(InputError, match="it is a device or a pipe"):
                run_batch(bench(1), tmp_path, QUICK, resume=resume, force=not resume)
        else:
            batch = run_batch(bench(1), tmp_path, QUICK, resume=resume, force=not resume)
            assert batch.count("failed") == 1
        assert (tmp_path / name).is_fifo()
