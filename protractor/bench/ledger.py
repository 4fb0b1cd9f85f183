"""What a batch has done: a record a deck, kept as text, in a journal and in a summary."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any, overload

from protractor import __version__

SUMMARY, INDEX, PROGRESS = "summary.json", "index.pdf", "progress.jsonl"

Record = dict[str, Any]
"""What became of one deck: the keys of an entry of `decks` in the summary."""


class Records(Sequence[Record]):
    """Records in the order of the file, kept as JSON: a fifth of the memory of what they say."""

    def __init__(self, texts: Iterable[str] = ()) -> None:
        self.texts = list(texts)

    def __len__(self) -> int:
        return len(self.texts)

    @overload
    def __getitem__(self, at: int) -> Record: ...
    @overload
    def __getitem__(self, at: slice) -> Records: ...
    def __getitem__(self, at: int | slice) -> Record | Records:
        if isinstance(at, slice):
            return Records(self.texts[at])
        record: Record = json.loads(self.texts[at])
        return record


def as_text(record: Record) -> str:
    """A record as one line of JSON."""
    return json.dumps(record, ensure_ascii=False, allow_nan=False)


def summary_text(records: Records, counts: dict[str, int]) -> str:
    """The summary as JSON, a line a deck."""
    head = json.dumps({"protractor": __version__, **counts, "index": INDEX}, indent=1)
    lines = ",\n".join(records.texts)
    return f'{head.removesuffix("}").rstrip()},\n "decks": [\n{lines}\n]}}\n'


def earlier_records(folder: Path) -> dict[str, Record]:
    """The records of an earlier batch in the folder by deck, the latest of each.

    What cannot be read or does not say which files a deck has is left out.
    """
    return {record["name"]: record for record in _found(folder) if _is_sound(record)}


def _found(folder: Path) -> Iterator[Any]:
    with contextlib.suppress(OSError, ValueError, TypeError, KeyError):
        yield from json.loads((folder / SUMMARY).read_text("utf-8"))["decks"]
    with contextlib.suppress(OSError, ValueError):
        for line in (folder / PROGRESS).read_text("utf-8").splitlines():
            with contextlib.suppress(ValueError):  # the last line may be torn
                yield json.loads(line)


def _is_sound(record: Any) -> bool:
    """Whether a record read from a file says which files a deck has, in this folder.

    A deck that failed has those that an earlier run wrote.
    """
    try:
        failed = record["status"] == "failed"
        return (
            record["status"] in ("written", "kept", "failed")
            and all(
                Path(entry["file"]).name == entry["file"] and isinstance(entry["sha256"], str)
                for entry in record["earlier_files" if failed else "files"]
            )
            and isinstance(record["name"], str)
            and (failed or isinstance(record["alignment"], dict))
        )
    except (KeyError, TypeError):
        return False
