"""What a batch has done: an outcome a deck, as text, in a journal and then in a summary.

Every outcome bears a hash of itself. What an earlier batch left is believed when its hash is right,
and written over or deleted when it is known by its hash; all else is the user's.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, overload

from protractor import __version__
from protractor.errors import InputError
from protractor.files import Unreadable, append_whole, read_whole, refuse

SUMMARY, INDEX, PROGRESS = "summary.json", "index.pdf", "progress.jsonl"

LARGEST_BYTES = 500_000_000
"""Summaries, journals and sheets that are larger are none of ours."""

HASH = "record_sha256"
"""Under this key an outcome bears the hash of all the rest of it."""

Outcome = dict[str, Any]
"""What became of one deck: the keys of an entry of `decks` in the summary."""


class Outcomes(Sequence[Outcome]):
    """Outcomes in the order of the file, kept as JSON: a fifth of the memory of what they say."""

    def __init__(self, texts: Iterable[str] = ()) -> None:
        self.texts = list(texts)

    def __len__(self) -> int:
        return len(self.texts)

    @overload
    def __getitem__(self, at: int) -> Outcome: ...
    @overload
    def __getitem__(self, at: slice) -> Outcomes: ...
    def __getitem__(self, at: int | slice) -> Outcome | Outcomes:
        if isinstance(at, slice):
            return Outcomes(self.texts[at])
        outcome: Outcome = json.loads(self.texts[at])
        return outcome


def as_text(outcome: Outcome) -> str:
    """An outcome as one line of JSON, with its hash."""
    return json.dumps({**outcome, HASH: _hash(outcome)}, ensure_ascii=False, allow_nan=False)


def _hash(outcome: Outcome) -> str:
    rest = {key: value for key, value in outcome.items() if key != HASH}
    return hashlib.sha256(json.dumps(rest, sort_keys=True, allow_nan=False).encode()).hexdigest()


def sha256(path: Path) -> str | None:
    """The hash of a file, None when there is none that can be read."""
    data = _read(path)
    return None if data is None else hashlib.sha256(data).hexdigest()


def summary_text(outcomes: Outcomes, counts: dict[str, int], index_sha256: str) -> str:
    """The summary as JSON, a line a deck."""
    head = {"protractor": __version__, **counts, "index": INDEX, "index_sha256": index_sha256}
    lines = ",\n".join(outcomes.texts)
    return f'{json.dumps(head, indent=1)[:-2]},\n "decks": [\n{lines}\n]}}\n'


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """What earlier batches left in a folder: the latest outcome by deck, and which files are ours.

    A deck that failed has the files that a batch before that one wrote.
    """

    outcomes: dict[str, Outcome]
    ours: frozenset[str]
    """Those of `SUMMARY`, `INDEX` and `PROGRESS` that a batch wrote and nobody changed."""


def earlier(folder: Path) -> Earlier:
    """What earlier batches left in the folder; what is damaged or of other origin is left out."""
    head, decks = _summary(folder / SUMMARY)
    lines = list(_journal(folder / PROGRESS))
    ours = {SUMMARY} if decks else set()
    if lines and _is_sound(lines[0]):
        ours.add(PROGRESS)
    sound = list(filter(_is_sound, lines))
    indexes = {head.get("index_sha256"), *(line.get("index_sha256") for line in sound)}
    if sha256(folder / INDEX) in indexes - {None}:
        ours.add(INDEX)
    outcomes = {entry["name"]: entry for entry in (*decks, *sound) if "status" in entry}
    return Earlier(outcomes=outcomes, ours=frozenset(ours))


def _summary(path: Path) -> tuple[Outcome, list[Outcome]]:
    """Head and decks of a summary; nothing when any of it is damaged or it is another's."""
    found = _parsed(_text(path))
    decks = found.pop("decks", None) if isinstance(found, dict) else None
    if isinstance(decks, list) and decks and all(map(_is_sound, decks)):
        return found, decks
    return {}, []


def _journal(path: Path) -> Iterator[Any]:
    """Every line of a journal as what it says, None where it says nothing."""
    return map(_parsed, _text(path).split("\n"))  # other ends of lines may stand in a name


def _text(path: Path) -> str:
    try:
        return (_read(path) or b"").decode()
    except ValueError:
        return ""


def _read(path: Path) -> bytes | None:
    try:
        return read_whole(path, LARGEST_BYTES)
    except (FileNotFoundError, Unreadable):
        return None


def _parsed(text: str) -> Any:
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return None


def _is_sound(entry: Any) -> bool:
    """Whether an entry bears its own hash, and its files are of this folder."""
    try:
        return entry[HASH] == _hash(entry) and all(
            Path(name).name == name for name in files_of(entry)
        )
    except (KeyError, TypeError, ValueError, AttributeError, RecursionError):
        return False


def files_of(outcome: Outcome) -> dict[str, str]:
    """What is there of a deck by its outcome: sha256 by file name."""
    entries = outcome.get("files") or outcome.get("earlier_files") or []
    return {entry["file"]: entry["sha256"] for entry in entries}


def check_place(folder: Path, before: Earlier, *, resume: bool, force: bool) -> None:
    """Raise `InputError` when a batch would write over or delete what is the user's.

    That is what no batch wrote or somebody changed, unless `force` is set; and what an earlier
    batch wrote unless `resume` or `force` is set.
    """
    there = []
    for path in (folder / name for name in (SUMMARY, INDEX, PROGRESS)):
        refuse(path, True, "folder")
        if path.exists() or path.is_symlink():
            there.append(path.name)
    others = [name for name in there if name not in before.ours]
    if others and not force:
        raise InputError(
            "folder",
            f"{', '.join(others)} in {folder}",
            "what a batch wrote, unchanged, or nothing",
            "of other origin or changed, so kept: move it away, or say `force` to replace it",
        )
    if there and not (resume or force):
        raise InputError(
            "folder",
            folder,
            "a folder without an earlier batch",
            "say `resume` to go on with it, `force` to replace it",
        )


class Journal:
    """The file in which a batch notes what it has done, while it runs."""

    def __init__(self, folder: Path, *, anew: bool) -> None:
        self.path = folder / PROGRESS
        if anew:
            self.drop()
        begun = _text(self.path)
        # the first line tells whose it is before there is an outcome; a torn one is ended
        append = "\n" if begun and not begun.endswith("\n") else ""
        self._add(append + ("" if begun else as_text({"protractor": __version__}) + "\n"))

    def add(self, text: str) -> None:
        """Adds a line: what is here when the program is killed can be believed."""
        self._add(text + "\n")

    def drop(self) -> None:
        """Deletes it, when the summary says the same."""
        self.path.unlink(missing_ok=True)

    def _add(self, text: str) -> None:
        append_whole(self.path, text.encode(), "folder")
