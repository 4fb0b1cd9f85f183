"""The log of rounds: whole lines or none, and nobody else's file."""

from __future__ import annotations

import errno
import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from protractor import files
from protractor.errors import InputError
from protractor.setup import rounds as log
from tests.conftest import Ran

DECK = "pivot to spindle 222.00 mm, nulls at 66.00 and 120.89 mm"


def test_lines_are_appended_whole(tmp_path: Path) -> None:
    """Each round is one line of JSON; the count is that of the lines."""
    path = tmp_path / "rounds"
    assert log.next_round(path, DECK) == 1
    for number in (1, 2, 3):
        assert log.append(path, DECK, {"note": "Küche"}) == number
        assert log.next_round(path, DECK) == number + 1
    lines = path.read_text(encoding="utf-8").splitlines()
    assert [json.loads(line)["round"] for line in lines] == [1, 2, 3]


@pytest.mark.parametrize("there", [True, False])
@pytest.mark.parametrize("fault", ["full", "partly"])
def test_a_full_disk_leaves_no_half_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, there: bool, fault: str
) -> None:
    """When the disk takes nothing, or only a part, the file is as it was before, or not there."""
    path = tmp_path / "rounds"
    if there:
        log.append(path, DECK, {})
    before = path.read_bytes() if there else None
    real = os.write

    def write(handle: int, data: bytes) -> int:
        if fault == "partly":
            return real(handle, data[:5])
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(files.os, "write", write)
    with pytest.raises(InputError, match="log"):
        log.append(path, DECK, {})
    assert (path.read_bytes() if path.exists() else None) == before


@pytest.mark.parametrize("name", ["/dev/zero", "x" * 300, "missing/rounds", "."])
def test_what_is_no_place_for_a_log(name: str, tmp_path: Path) -> None:
    """Devices, names too long, missing folders and folders are refused before any work."""
    with pytest.raises(InputError, match="log"):
        log.next_round(tmp_path / name, DECK)


@pytest.mark.parametrize(
    "content",
    [b"[" * 100_000 + b"\n", b'{"round": NaN}\n', b"\0\n", b'{"round": ' + b"9" * 5000 + b"}\n"],
)
def test_damage_is_one_line(tmp_path: Path, content: bytes) -> None:
    """Nested brackets, NUL, what is no number of a round: the file is another's, and stays."""
    path = tmp_path / "rounds"
    path.write_bytes(content)
    with pytest.raises(InputError, match="it holds something else") as caught:
        log.append(path, DECK, {})
    assert "\n" not in str(caught.value)
    assert path.read_bytes() == content


def test_a_log_is_of_one_deck(run: Callable[..., Ran], tmp_path: Path) -> None:
    """The log names its deck; another deck, or other nulls, are refused and leave it alone."""
    words = ("--reading", "66:0.5", "--reading", "120.9:0.5", "--log", "log")
    first = run("correct", "--pivot-to-spindle", "222", *words, "--json")
    assert json.loads(first.out)["deck"] == DECK
    before = (tmp_path / "log").read_bytes()
    for other in (
        ("--pivot-to-spindle", "215"),
        ("--pivot-to-spindle", "222", "--scheme", "stevenson"),
    ):
        ran = run("correct", *other, *words)
        assert ran.status == 2
        assert ran.err.count("\n") == 1
        assert f"--log: got log; allowed: a log of {DECK}" in ran.err
        assert (tmp_path / "log").read_bytes() == before
    assert run("correct", "--pivot-to-spindle", "222", *words).out.startswith("Round 2.")
