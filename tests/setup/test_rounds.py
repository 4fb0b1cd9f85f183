"""The log of rounds: whole lines or none, and nobody else's file."""

from __future__ import annotations

import errno
import json
from pathlib import Path

import pytest

from protractor.errors import InputError
from protractor.setup import rounds as log


def test_lines_are_appended_whole(tmp_path: Path) -> None:
    """Each round is one line of JSON; the count is that of the lines."""
    path = tmp_path / "rounds"
    assert log.rounds(path) == 0
    for number in (1, 2, 3):
        log.append(path, {"round": number, "deck": "Küche"})
        assert log.rounds(path) == number
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
        log.append(path, {"round": 1})
    before = path.read_bytes() if there else None
    real = log.os.write

    def write(handle: int, data: bytes) -> int:
        if fault == "partly":
            return real(handle, data[:5])
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(log.os, "write", write)
    with pytest.raises(InputError, match="log"):
        log.append(path, {"round": 2})
    assert (path.read_bytes() if path.exists() else None) == before


@pytest.mark.parametrize("name", ["/dev/zero", "x" * 300, "missing/rounds", "."])
def test_what_is_no_place_for_a_log(name: str, tmp_path: Path) -> None:
    """Devices, names too long, missing folders and folders are refused before any work."""
    with pytest.raises(InputError, match="log"):
        log.rounds(tmp_path / name)
