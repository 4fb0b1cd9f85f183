"""Files that a user names are read when they are files, and of a size that one can be."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from protractor.errors import InputError
from protractor.files import Unreadable, read_whole, refuse

LARGEST = 1000


def test_a_file(tmp_path: Path) -> None:
    """A file of up to the limit is read; a link to it too."""
    (tmp_path / "a").write_bytes(b"x" * LARGEST)
    (tmp_path / "b").symlink_to("a")
    assert read_whole(tmp_path / "b", LARGEST) == b"x" * LARGEST


def test_what_is_no_such_file(tmp_path: Path) -> None:
    """Folder, pipe, endless device, link that leads round, too large, too long a name: refused."""
    (tmp_path / "large").write_bytes(b"x" * (LARGEST + 1))
    (tmp_path / "loop").symlink_to("loop")
    os.mkfifo(tmp_path / "pipe")
    for name, said in {
        ".": "a folder",
        "pipe": "a pipe or device",
        "/dev/zero": "a pipe or device",
        "large": "a file of over 1,000 bytes",
        "loop": "cannot be read",
        "x" * 300: "cannot be read",
        "a\nb": "more than one line",
    }.items():
        if name == "a\nb":
            (tmp_path / name).write_bytes(b"")
        with pytest.raises(Unreadable, match=said):
            read_whole(tmp_path / name, LARGEST)
    with pytest.raises(FileNotFoundError):
        read_whole(tmp_path / "none", LARGEST)


def test_a_name_with_a_line_end_is_not_written(tmp_path: Path) -> None:
    """It would make a line of its own of what is printed about it."""
    with pytest.raises(InputError, match="a name on one line"):
        refuse(tmp_path / "a\nprotractor: done.pdf", True)
