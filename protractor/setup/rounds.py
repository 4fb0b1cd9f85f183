"""A log of rounds on one deck: one line of JSON a round, appended whole."""

from __future__ import annotations

import json
from collections.abc import Sequence
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


def next_round(path: Path, deck: str, *, renew: bool = False) -> int:
    """The number of the next round of a deck, from its log; 1 for one that is yet to be started.

    A log of another deck, or of another target, is refused; with `renew` the count begins again, as
    in the log of a deck that is remembered by its name, whatever its figures are.

    Raises `InputError` when the file is no log of rounds, is of another deck, or cannot be read or
    written.
    """
    refuse(path, True, "log")
    if not path.exists():
        return 1
    entries = _entries(path, to_write=True)
    if renew:
        return 1 + max((entry["round"] for entry in this_series(entries, deck)), default=0)
    for entry in entries:
        if entry.get("deck", deck) != deck:  # the first logs did not name their deck
            raise InputError(
                "log", path, f"a log of {entry['deck']}", f"name another file for {deck}"
            )
    return 1 + max((entry["round"] for entry in entries), default=0)


def read_rounds(path: Path) -> list[dict[str, Any]]:
    """Every round of a log as it was written, none when there is no log.

    Raises `InputError` when the file is no log of rounds or cannot be read.
    """
    return _entries(path, to_write=False) if path.exists() else []


def this_series(entries: Sequence[dict[str, Any]], deck: str) -> list[dict[str, Any]]:
    """The last rounds of a log that all are of this deck and target.

    >>> this_series([{"round": 1, "deck": "a"}, {"round": 1, "deck": "b"}], "b")
    [{'round': 1, 'deck': 'b'}]
    """
    others = [at for at, entry in enumerate(entries) if entry.get("deck", deck) != deck]
    return list(entries[others[-1] + 1 if others else 0 :])


def _entries(path: Path, *, to_write: bool) -> list[dict[str, Any]]:
    """The rounds of a log that is there, and that can be written to if it is to be."""
    try:
        text = read_whole(path, LARGEST_BYTES).decode()
        entries = [json.loads(line) for line in text.split("\n")[:-1]]
        if text.rpartition("\n")[2] or not all(map(_is_round, entries)):
            raise ValueError(text)
        if to_write:
            path.open("ab").close()
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


def append(
    path: Path,
    deck: str,
    values: dict[str, Any],
    *,
    renew: bool = False,
    expected: int | None = None,
) -> int:
    """Adds one round of a deck as one line and returns its number; two processes get two.

    Raises `InputError` as `next_round` does, for another number than is `expected`, and when the
    disk or the folder refuses; a line that could not be written whole is taken back.
    """
    with alone(path, "log"):
        number = next_round(path, deck, renew=renew)
        if expected is not None and number != expected:
            got = f"round {expected}, but round {number} is next"
            remedy = "another window kept a round meanwhile: look at the rounds, then keep this one"
            raise InputError("round", got, f"round {number}", remedy)
        entry = {"round": number, "deck": deck, **values}
        line = json.dumps(entry, allow_nan=False, ensure_ascii=False) + "\n"
        append_whole(path, line.encode(), "log")
    return number
