"""A log of rounds: one line of JSON a round, appended whole."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

from protractor.errors import InputError
from protractor.files import Unreadable, read_whole

LARGEST_BYTES = 4_000_000
"""Thousands of rounds."""


def rounds(path: Path) -> int:
    """How many rounds a log holds; 0 for one that is yet to be started.

    Raises `InputError` when the file is no log of rounds, or cannot be read or written.
    """
    try:
        text = read_whole(path, LARGEST_BYTES).decode()
    except FileNotFoundError as error:
        if not path.parent.is_dir():
            remedy = f"make the folder {path.parent} first"
            raise InputError("log", path, "a file in a folder that exists", remedy) from error
        return 0
    except Unreadable as error:
        raise InputError(
            "log", path, "the name of a file", f"it is {error}: name another"
        ) from error
    except UnicodeDecodeError:
        text = "no text"
    lines = text.splitlines()
    if text and not (text.endswith("\n") and all(map(_is_round, lines))):
        raise InputError(
            "log",
            path,
            "a log that this command began",
            "it holds something else: name another file",
        )
    if not os.access(path, os.W_OK):
        raise InputError("log", path, "a file that can be written", "it is read-only: name another")
    return len(lines)


def _is_round(line: str) -> bool:
    """Whether a line is one round of a log."""
    try:
        entry = json.loads(line)
    except (ValueError, RecursionError):
        return False
    return isinstance(entry, dict) and "round" in entry


def append(path: Path, entry: dict[str, Any]) -> None:
    """Adds one round as one line, in a single write at the end of the file.

    Raises `InputError` when the disk or the folder refuses; a line that could not be written whole
    is taken back.
    """
    data = (json.dumps(entry, allow_nan=False, ensure_ascii=False) + "\n").encode()
    try:
        new = not path.exists()
        handle = os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o666)
        try:
            before, written = os.fstat(handle).st_size, 0
            try:
                written = os.write(handle, data)
                os.fsync(handle)
            finally:
                if written != len(data):
                    os.ftruncate(handle, before)
        finally:
            os.close(handle)
            if new and written != len(data):
                path.unlink(missing_ok=True)
    except OSError as error:
        raise _refused(path, error) from error
    if written != len(data):
        raise InputError("log", path, "a disk with room for one more line", "make room, try again")


def _refused(path: Path, error: OSError) -> InputError:
    """The complaint about a file that the system refuses."""
    return InputError(
        "log", path, "a file that can be read and written", f"{error.strerror}: name another file"
    )
