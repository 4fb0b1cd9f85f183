"""A log of rounds on one deck: one line of JSON a round, appended whole."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.errors import InputError
from protractor.files import Unreadable, alone, append_whole, read_whole, refuse

LARGEST_BYTES = 4_000_000
"""Thousands of rounds."""


def deck_of(target: Alignment) -> str:
    """What a log calls the deck: its length and the nulls that are wanted."""
    nulls = [to_hundredth(radius) for radius in target.arm.null_radii_mm if radius > 0]
    length = f"pivot to spindle {to_hundredth(target.arm.pivot_to_spindle_mm)} mm"
    return f"{length}, nulls at {' and '.join(nulls)} mm" if nulls else f"{length}, no nulls"


def next_round(path: Path, deck: str) -> int:
    """The number of the next round of a deck, from its log; 1 for one that is yet to be started.

    Raises `InputError` when the file is no log of rounds, is of another deck, or cannot be read or
    written.
    """
    refuse(path, True, "log")
    if not path.exists():
        return 1
    entries = _entries(path)
    for entry in entries:
        if entry.get("deck", deck) != deck:  # the first logs did not name their deck
            raise InputError(
                "log", path, f"a log of {entry['deck']}", f"name another file for {deck}"
            )
    return 1 + max((entry["round"] for entry in entries), default=0)


def _entries(path: Path) -> list[dict[str, Any]]:
    """The rounds of a log that is there."""
    try:
        text = read_whole(path, LARGEST_BYTES).decode()
        entries = [json.loads(line) for line in text.split("\n")[:-1]]
        if text.rpartition("\n")[2] or not all(map(_is_round, entries)):
            raise ValueError(text)
        with path.open("ab"):  # whether it can be written
            return entries
    except Unreadable as error:
        raise InputError(
            "log", path, "the name of a file", f"it is {error}: name another"
        ) from error
    except OSError as error:
        raise InputError(
            "log",
            path,
            "a file that can be read and written",
            f"{error.strerror}: name another file",
        ) from error
    except (ValueError, RecursionError) as error:
        raise InputError(
            "log",
            path,
            "a log that this command began",
            "it holds something else: name another file",
        ) from error


def _is_round(entry: Any) -> bool:
    """Whether a line is one round of a log."""
    return (
        isinstance(entry, dict)
        and isinstance(entry.get("round"), int)
        and isinstance(entry.get("deck", ""), str)
    )


def append(path: Path, deck: str, values: dict[str, Any]) -> int:
    """Adds one round of a deck as one line and returns its number; two processes get two.

    Raises `InputError` as `next_round` does, and when the disk or the folder refuses; a line that
    could not be written whole is taken back.
    """
    with alone(path, "log"):
        number = next_round(path, deck)
        entry = {"round": number, "deck": deck, **values}
        line = json.dumps(entry, allow_nan=False, ensure_ascii=False) + "\n"
        append_whole(path, line.encode(), "log")
    return number
