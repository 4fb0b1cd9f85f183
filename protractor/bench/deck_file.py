"""Files of decks: TOML and CSV, read strictly with the line and field of every fault, and written.

A TOML file has one `[[deck]]` table a deck. A CSV file has a line of field names and one line a
deck; separated by commas, semicolons or tabs, numbers with a point or a comma.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from protractor.alignments.deck import Deck
from protractor.bench.deck_csv import csv_entries, csv_text, separator_of
from protractor.bench.deck_entries import Entry, given_fields, unusable
from protractor.bench.deck_text import (
    with_deck_changed,
    with_decks_added,
    with_defaults,
    without_deck,
)
from protractor.bench.deck_toml import toml_defaults, toml_entries, toml_text
from protractor.bench.decks import deck_stem, read_deck
from protractor.errors import InputError, named, shown
from protractor.files import Unreadable, read_whole
from protractor.inputs.toml_file import field_name

ENDINGS = (".toml", ".csv")
LARGEST_BYTES = 8_000_000
"""A hundred thousand decks in a CSV file. Ten times as much memory goes into reading it."""

NAME_SHOWN = 80
"""Characters of a faulty deck's name that are kept: as many as a sound name may have."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """What is wrong with one field of a file: its line, the deck as far as known, and the error.

    `starts` is the line on which the deck starts, where that is another one.
    """

    line: int
    deck: str
    error: InputError
    starts: int = 0

    def __str__(self) -> str:
        deck = f", deck '{shown(self.deck, 30)}'" if self.deck else ""
        return f"line {self.line}{deck}: {self.error}"

    def as_dict(self) -> dict[str, Any]:
        """The same under stable keys."""
        return {
            "line": self.line,
            "deck": self.deck,
            "field": self.error.name,
            "got": self.error.got,
            "allowed": self.error.allowed,
            "remedy": named(self.error.remedy),
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class DeckFile:
    """What a file holds: its sound decks, the line where each starts, and every fault."""

    decks: tuple[Deck, ...]
    lines: tuple[int, ...]
    faults: tuple[Fault, ...]

    def without(self, faults: Sequence[Fault]) -> DeckFile:
        """The same with more faults, of decks that were sound, which are so no longer."""
        lines = {fault.line for fault in faults}
        sound = [at for at, line in enumerate(self.lines) if line not in lines]
        return DeckFile(
            decks=tuple(self.decks[at] for at in sound),
            lines=tuple(self.lines[at] for at in sound),
            faults=tuple(sorted([*self.faults, *faults], key=lambda fault: fault.line)),
        )

    @property
    def faulty_decks(self) -> list[list[Fault]]:
        """The faults of each deck that has any."""
        found: dict[int, list[Fault]] = {}
        for fault in self.faults:
            found.setdefault(fault.starts or fault.line, []).append(fault)
        return list(found.values())


def read_decks(path: Path, *, or_none: bool = False) -> DeckFile:
    """The decks of a file, sound ones and faults apart.

    `or_none` takes a file that is not there, or has no deck, for one of no decks. Raises
    `InputError` for what is no file of decks as a whole: missing, empty, binary, not TOML or CSV,
    with columns unknown or without a deck.
    """
    data = _bytes(path, missing=b"" if or_none else None)
    if or_none and not data.strip():
        return DeckFile(decks=(), lines=(), faults=())
    return decks_of(data, path, or_none=or_none)


def decks_of(data: bytes, path: Path, *, or_none: bool = False) -> DeckFile:
    """The decks of a file's content, as `read_decks` reads them; `path` names it and is not opened.

    `or_none` takes a file without a deck.

    >>> decks_of(b"name,pivot-to-spindle\\nBench deck,222\\n", Path("bench.csv")).decks[0].name
    'Bench deck'
    """
    text = _text(data, path)
    entries = toml_entries(path, text) if _is_toml(path) else csv_entries(path, text)
    decks: list[tuple[Deck, int]] = []
    names: list[tuple[str, int]] = []  # of faulty decks too
    faults: list[Fault] = []
    for entry in entries:
        deck, wrong = (None, [entry.fault]) if entry.fault else read_deck(entry.fields)
        name = _name(entry.fields.get("name", ""))
        faults += [
            Fault(line=entry.line_of(error.name), deck=name, error=error, starts=entry.line)
            for error in wrong
        ]
        if deck is not None:
            decks.append((deck, entry.line))
        if deck is not None or name.strip():
            names.append((deck.name if deck else " ".join(name.split()), entry.line))
    if not decks and not faults and not or_none:
        raise unusable(path, "no deck", "a file with at least one", "add a deck first")
    shared = list(_sharing_a_name(names))
    out = {(fault.deck, fault.line) for fault in shared}
    decks = [(deck, line) for deck, line in decks if (deck.name, line) not in out]
    return DeckFile(
        decks=tuple(deck for deck, _ in decks),
        lines=tuple(line for _, line in decks),
        faults=tuple(sorted([*faults, *shared], key=lambda fault: fault.line)),
    )


def _name(given: object) -> str:
    """What a faulty deck is called: its name as far as it has one that can be shown."""
    return shown(given, NAME_SHOWN) if isinstance(given, (str, float)) else ""


def _sharing_a_name(names: Sequence[tuple[str, int]]) -> Iterator[Fault]:
    """What is wrong with decks, name and line of each, of one name or of one file name."""
    first: dict[str, list[tuple[str, int]]] = {}
    for name, line in names:
        first.setdefault(deck_stem(name), []).append((name, line))
    for sharing in first.values():
        for at, (name, line) in enumerate(sharing if len(sharing) > 1 else ()):
            other, there = sharing[1 if at == 0 else 0]
            same = other == name
            error = InputError(
                "name",
                name,
                "a name of its own"
                if same
                else "a name whose letters and digits differ from every other's",
                f"line {there} has "
                + ("the same" if same else f"'{shown(other, 30)}', the same file name"),
            )
            yield Fault(line=line, deck=name, error=error)


def _is_toml(path: Path) -> bool:
    suffix = path.suffix.lower()
    if suffix not in ENDINGS:
        ends = " or ".join(ENDINGS)
        raise unusable(path, f"a name with {suffix or 'no ending'}", f"one in {ends}", "name it so")
    return suffix == ".toml"


def _bytes(path: Path, missing: bytes | None = None) -> bytes:
    """What the file holds, if it is one and of a size that a list of decks has.

    `missing` stands for a file that is not there, which is a fault when it is None.
    """
    _is_toml(path)
    try:
        return read_whole(path, LARGEST_BYTES)
    except FileNotFoundError as error:
        if missing is not None:
            return missing
        raise unusable(path, "no such file", "a file of decks", "check the name") from error
    except Unreadable as error:
        if missing is not None and isinstance(error.__cause__, NotADirectoryError):
            return missing
        allowed = f"a file of decks, up to {LARGEST_BYTES:,} bytes"
        raise unusable(path, str(error), allowed, "check the name, or split the list") from error


def _text(data: bytes, path: Path) -> str:
    """The text of the file: UTF-8 with or without a byte-order mark, or UTF-16 with one."""
    encoding = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        got = f"line {line}: a byte that is no UTF-8"
        raise unusable(path, got, "UTF-8 text", "save it as UTF-8") from error
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise unusable(path, f"line {line}: binary data", "UTF-8 text", "check the name")
    if not text.strip():
        raise unusable(path, "an empty file", "a file with a deck", "add a deck first")
    return text


def decks_text(path: Path, decks: Iterable[Deck], *, semicolons: bool = False) -> str:
    """Decks as the text of a file of the kind that its name says: .toml or .csv."""
    return toml_text(decks) if _is_toml(path) else csv_text(decks, semicolons=semicolons)


def with_decks(path: Path, decks: Sequence[Deck]) -> str:
    """The text of the file with these decks more; comments and order of a TOML file stay.

    Raises `InputError` when the file has faults, or a deck of one of their names or file names.
    """
    text, found = _sound(path)
    names = [(other.name, line) for other, line in zip(found.decks, found.lines, strict=True)]
    for fault in _sharing_a_name([*names, *((deck.name, 0) for deck in decks)]):
        if fault.line == 0:
            raise fault.error
    if not _is_toml(path):
        return decks_text(path, [*found.decks, *decks], semicolons=separator_of(text) == ";")
    return with_decks_added(text, decks, found.decks)


def with_changes(
    path: Path, name: str, given: Mapping[str, object], gone: Collection[str]
) -> tuple[str, Deck]:
    """The text of the file with other fields of one deck, and the deck as it is then.

    `given` are fields as `read_deck` takes them, `gone` those that are left out. Raises
    `InputError` when the file has faults or no deck of this name, and for what no deck can be.
    """
    text, found = _sound(path)
    at = _place(path, name, found)
    entries = list(toml_entries(path, text) if _is_toml(path) else csv_entries(path, text))
    fields = {field_name(key): value for key, value in entries[at].fields.items()}
    deck, faults = read_deck({key: v for key, v in {**fields, **given}.items() if key not in gone})
    if deck is None:
        raise faults[0]
    decks = [*found.decks[:at], deck, *found.decks[at + 1 :]]
    if not _is_toml(path):
        return decks_text(path, decks, semicolons=separator_of(text) == ";"), deck
    values = {key: value for key, value in given_fields(deck) if key in given}
    left_out = {*gone, *given} - set(values)
    return with_deck_changed(text, at, values, left_out, decks), deck


def _place(path: Path, name: str, found: DeckFile) -> int:
    """Which deck of a file has the name; raises `InputError` when none has."""
    names = [deck.name for deck in found.decks]
    if name not in names:
        raise InputError("deck", name, "a deck of the file", f"look at {shown(path, 80)}")
    return names.index(name)


def without(path: Path, name: str) -> str:
    """The text of the file without one deck, and without it as the default.

    Raises `InputError` when the file has faults or no deck of this name.
    """
    text, found = _sound(path)
    at = _place(path, name, found)
    rest = [deck for deck in found.decks if deck.name != name]
    if not _is_toml(path):
        return decks_text(path, rest, semicolons=separator_of(text) == ";")
    shorter = without_deck(text, at, found.decks)
    defaults = toml_defaults(path, text)
    if defaults.get("deck") != name:
        return shorter
    return with_defaults(shorter, {k: v for k, v in defaults.items() if k != "deck"}, rest)


def with_new_defaults(path: Path, defaults: Mapping[str, object]) -> str:
    """The text of the file with these defaults in place of its own.

    Raises `InputError` when the file has faults or is no TOML file.
    """
    if not _is_toml(path):
        raise unusable(path, "a CSV file", "a TOML file", "export it as TOML, which has defaults")
    text, found = _sound(path)
    return with_defaults(text, defaults, found.decks)


def entries_of(path: Path, *, or_none: bool) -> tuple[list[Entry], dict[str, object]]:
    """The decks of a file as written, none of them checked, and its table of defaults.

    `or_none` takes a file that is not there for an empty one. Raises `InputError` as `read_decks`
    does for what is no file of decks as a whole.
    """
    data = _bytes(path, missing=b"" if or_none else None)
    if not data.strip():
        return [], {}
    text = _text(data, path)
    if _is_toml(path):
        return toml_entries(path, text), toml_defaults(path, text)
    return list(csv_entries(path, text)), {}


def _sound(path: Path) -> tuple[str, DeckFile]:
    """The text of a file and its decks, none when there is no file; `InputError` for any fault."""
    data = _bytes(path, missing=b"")
    if not data.strip():
        return "", DeckFile(decks=(), lines=(), faults=())
    text, found = _text(data, path), decks_of(data, path, or_none=True)
    if found.faults:
        first = found.faults[0]
        got = f"line {first.line}"
        raise unusable(path, got, "a file without faults", f"correct it: {first.error}")
    return text, found
