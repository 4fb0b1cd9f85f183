"""The log of rounds: whole lines or none, and nobody else's file."""

from __future__ import annotations

import errno
import json
import os
from pathlib import Path

import pytest

from protractor import files
from protractor.errors import InputError
from protractor.setup import rounds as log

DECK = "pivot to spindle 222.00 mm, nulls at 66.00 and 120.89 mm"


def test_lines_are_appended_whole(tmp_path: Path) -> None:
    """Each round is one line of JSON; the count is that of the lines."""
    path = tmp_path / "rounds"
    assert log.check(path, DECK) == 1
    for number in (1, 2, 3):
        assert log.append(path, DECK, {"note": "Küche"}) == number
        assert log.check(path, DECK) == number + 1
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
        log.check(tmp_path / name, DECK)
