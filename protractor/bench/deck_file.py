"""Files of decks: TOML and CSV, read strictly with the line and field of every fault, and written.

A TOML file has one `[[deck]]` table a deck. A CSV file has a line of field names and one line a
deck; separated by commas, semicolons or tabs, numbers with a point or a comma.
"""

from __future__ import annotations

import contextlib
import csv
import io
import json
import re
import tomllib
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from protractor.alignments.deck import Deck
from protractor.arms.inputs import written_play
from protractor.bench.decks import FIELDS, deck_stem, field_name, fields_of, read_deck
from protractor.errors import InputError, shown
from protractor.files import Unreadable, read_whole
from protractor.inputs.declaration import by_name
from protractor.inputs.quantities import near
from protractor.setup.statements import read_statement

ENDINGS = (".toml", ".csv")
SEPARATORS = (",", ";", "\t", "|")
LARGEST_BYTES = 8_000_000
"""A hundred thousand decks in a CSV file. Ten times as much memory goes into reading it."""

NAME_SHOWN = 80
"""Characters of a faulty deck's name that are kept: as many as a sound name may have."""

LONGEST_LINE = 20_000
"""Characters of a line of TOML: three hundred decks written as one list. The library's time grows
with the square of the parts of a line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """What is wrong with one field of a file: its line, the deck as far as known, and the error."""

    line: int
    deck: str
    error: InputError

    def __str__(self) -> str:
        deck = f", deck '{shown(self.deck, 30)}'" if self.deck else ""
        return f"line {self.line}{deck}: {self.error}"


@dataclass(frozen=True, slots=True, kw_only=True)
class DeckFile:
    """What a file holds: its sound decks, the line where each starts, and every fault."""

    decks: tuple[Deck, ...]
    lines: tuple[int, ...]
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Entry:
    """One deck as written: the line it starts on, its fields, and the line of a field.

    `fault` is what is wrong with the whole of it, so that its fields are not read.
    """

    line: int
    fields: dict[str, object]
    line_of: Callable[[str], int]
    fault: InputError | None = None


def read_decks(path: Path) -> DeckFile:
    """The decks of a file, sound ones and faults apart.

    Raises `InputError` for what is no file of decks as a whole: missing, empty, binary, not TOML or
    CSV, with columns unknown or without a deck.
    """
    return decks_of(_bytes(path), path)


def decks_of(data: bytes, path: Path) -> DeckFile:
    """The decks of a file's content, as `read_decks` reads them; `path` names it and is not opened.

    >>> decks_of(b"name,pivot-to-spindle\\nBench deck,222\\n", Path("bench.csv")).decks[0].name
    'Bench deck'
    """
    text = _text(data, path)
    entries = _toml_entries(path, text) if _is_toml(path) else _csv_entries(path, text)
    decks: list[tuple[Deck, int]] = []
    names: list[tuple[str, int]] = []  # of faulty decks too
    faults: list[Fault] = []
    for entry in entries:
        deck, wrong = (None, [entry.fault]) if entry.fault else read_deck(entry.fields)
        name = _name(entry.fields.get("name", ""))
        faults += [Fault(line=entry.line_of(error.name), deck=name, error=error) for error in wrong]
        if deck is not None:
            decks.append((deck, entry.line))
        if deck is not None or name.strip():
            names.append((deck.name if deck else " ".join(name.split()), entry.line))
    if not decks and not faults:
        raise _unusable(path, "no deck", "a file with at least one", "add a deck first")
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


def _unusable(path: Path, got: str, allowed: str, remedy: str) -> InputError:
    """The error of a file that is none of decks as a whole."""
    return InputError("DECKS", got, allowed, f"{remedy} (file {shown(path, 80)})")


def _is_toml(path: Path) -> bool:
    suffix = path.suffix.lower()
    if suffix not in ENDINGS:
        ends = " or ".join(ENDINGS)
        raise _unusable(
            path, f"a name with {suffix or 'no ending'}", f"one in {ends}", "name it so"
        )
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
        raise _unusable(path, "no such file", "a file of decks", "check the name") from error
    except Unreadable as error:
        allowed = f"a file of decks, up to {LARGEST_BYTES:,} bytes"
        raise _unusable(path, str(error), allowed, "check the name, or split the list") from error


def _text(data: bytes, path: Path) -> str:
    """The text of the file: UTF-8 with or without a byte-order mark, or UTF-16 with one."""
    encoding = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        got = f"line {line}: a byte that is no UTF-8"
        raise _unusable(path, got, "UTF-8 text", "save it as UTF-8") from error
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise _unusable(path, f"line {line}: binary data", "UTF-8 text", "check the name")
    if not text.strip():
        raise _unusable(path, "an empty file", "a file with a deck", "add a deck first")
    return text


# --- TOML ---------------------------------------------------------------------------------------

_LONG_STRINGS = re.compile(
    r"""(?P<long>\"\"\"(?:\\.|[^\\])*?\"{3,5}|'''.*?'{3,5})
    |"(?:\\.|[^"\\\n])*"|'[^'\n]*'|\#[^\n]*""",
    re.DOTALL | re.VERBOSE,
)
_HEADER = re.compile(r"\s*\[\[\s*[\"']?deck[\"']?\s*\]\]")
_KEY = re.compile(r"\s*(?:\"([^\"\n]*)\"|'([^'\n]*)'|([A-Za-z0-9_-]+))\s*[=.]")


_DIGITS = re.compile(r"[0-9_]{1000,}")


def _fewer_digits(text: str) -> str:
    """The text with numbers of thousands of digits cut to a length that the language reads.

    They are faults all the same, but of their field alone.
    """
    if not _DIGITS.search(text):
        return text

    def cut(match: re.Match[str]) -> str:
        return match[0] if match["digits"] is None else "9" * 1000

    return re.sub(f"{_LONG_STRINGS.pattern}|(?P<digits>{_DIGITS.pattern})", cut, text, flags=re.X)


def _toml_entries(path: Path, text: str) -> list[_Entry]:
    text = text.replace("\r\n", "\n")
    for line, content in enumerate(text.split("\n"), start=1):
        if len(content) > LONGEST_LINE:
            got, allowed = f"line {line}: {len(content):,} characters", f"up to {LONGEST_LINE:,}"
            raise _unusable(path, got, f"{allowed} on a line", "write [[deck]] over each deck")
    try:
        data = tomllib.loads(_fewer_digits(text))
    except (ValueError, RecursionError) as error:
        reason = "nested too deep" if isinstance(error, RecursionError) else str(error)
        place = re.search(r"\(at ([^()]*)\)$", reason)
        got = place[1] if place else "no sound TOML"
        remedy = f"mend it there: {shown(reason.partition(' (at ')[0], 100)}"
        raise _unusable(path, got, "TOML with one [[deck]] a deck", remedy) from error
    odd = next((key for key in data if key != "deck"), None)
    if odd is not None:
        line = _place_of_keys(text)[1].get(odd, 1)
        got = f"line {line}: {shown(odd, 30)}"
        raise _unusable(path, got, "nothing but [[deck]]", near(odd, ["deck"]))
    tables = data.get("deck", [])
    if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
        raise _unusable(path, "deck is no table", "[[deck]] over each", "mend it")
    found, top = _place_of_keys(text)

    def entry(at: int, table: dict[str, Any]) -> _Entry:
        line, keys = found[at] if at < len(found) else (top.get("deck", 1), {})

        def line_of(field: str) -> int:
            return keys.get(field, keys.get(field_name(field), line))

        return _Entry(line=line, fields=table, line_of=line_of)

    return [entry(at, table) for at, table in enumerate(tables)]


def _place_of_keys(text: str) -> tuple[list[tuple[int, dict[str, int]]], dict[str, int]]:
    """Where each [[deck]] and its keys stand, and the keys before the first, in sound TOML."""

    def hollow(match: re.Match[str]) -> str:
        return '""' + "\n" * match[0].count("\n") if match["long"] else match[0]

    decks: list[tuple[int, dict[str, int]]] = []
    top: dict[str, int] = {}
    keys = top
    for line, content in enumerate(_LONG_STRINGS.sub(hollow, text).split("\n"), start=1):
        if _HEADER.match(content):
            keys = {}
            decks.append((line, keys))
        elif match := _KEY.match(content):
            name = next(group for group in match.groups() if group is not None)
            keys.setdefault(name, line)
            keys.setdefault(field_name(name), line)
    return decks, top


def toml_text(decks: Iterable[Deck]) -> str:
    """Decks as a TOML file's text.

    >>> print(toml_text([Deck(name="Bench deck", pivot_to_spindle_mm=222.0)]), end="")
    [[deck]]
    name = "Bench deck"
    pivot-to-spindle = 222.0
    """
    return "\n".join(
        "[[deck]]\n" + "".join(f"{name} = {_toml(value)}\n" for name, value in _given(deck))
        for deck in decks
    )


def _toml(value: Any) -> str:
    if isinstance(value, str):
        # a JSON string is a TOML string, but for the one control character JSON leaves alone
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007F")
    if isinstance(value, tuple):
        return f"[{', '.join(map(_toml, value))}]"
    return str(value).lower() if isinstance(value, bool) else repr(value)


# --- CSV ----------------------------------------------------------------------------------------


def _csv_entries(path: Path, text: str) -> Iterator[_Entry]:
    rows = _csv_rows(path, text)
    header_line, header = next(rows, (1, []))
    names = [field_name(cell) for cell in header]
    where = f"line {header_line}"
    for name in names:
        if name not in FIELDS:
            got = f"{where}: column {shown(name, 30) or 'without a name'}"
            raise _unusable(path, got, ", ".join(FIELDS), near(name, FIELDS))
        if names.count(name) > 1:
            raise _unusable(path, f"{where}: column {name} twice", "each once", "leave one out")
    if "name" not in names:
        raise _unusable(path, f"{where}: no column name", "a column name", "add it")
    return _csv_decks(rows, names)


def _csv_decks(rows: Iterator[tuple[int, list[str]]], names: list[str]) -> Iterator[_Entry]:
    for line, cells in rows:
        pairs = zip(names, map(_plain_cell, cells), strict=False)
        filled = [(name, cell) for name, cell in pairs if cell.strip()]
        fields: dict[str, object] = dict(filled)
        fault = None
        if len(cells) > len(names) and any(cell.strip() for cell in cells[len(names) :]):
            fault = InputError(
                "row",
                f"{len(cells)} cells under {len(names)} names",
                "a cell under each name",
                'put quotes round a cell that has the separator in it, as in "222,5"',
            )

        def line_of(field: str, line: int = line) -> int:
            return line

        yield _Entry(line=line, fields=fields, line_of=line_of, fault=fault)


def _csv_rows(path: Path, text: str) -> Iterator[tuple[int, list[str]]]:
    """The rows that hold something, each with the line that it starts on; the header first."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator_of(text), strict=True)
    before = 0
    try:
        for row in reader:
            if any(cell.strip() for cell in row):
                yield before + 1, row
            before = reader.line_num
    except csv.Error as error:
        got = f"line {before + 1}"
        remedy = f"mend it there: {error}"
        raise _unusable(path, got, "CSV with its quotes in pairs", remedy) from error


def separator_of(text: str) -> str:
    """The separator under which the first line holds most field names."""
    first = next((line for line in text.splitlines() if line.strip()), "")

    def known(separator: str) -> tuple[int, int]:
        cells = [field_name(cell.strip().strip('"')) for cell in first.split(separator)]
        return sum(cell in FIELDS for cell in cells), len(cells)

    return max(SEPARATORS, key=known)


def csv_text(decks: Iterable[Deck], *, semicolons: bool = False) -> str:
    """Decks as a CSV file's text, with the columns that any of them fills.

    Commas and decimal points as RFC 4180 has them, or `semicolons` with decimal commas, as
    spreadsheets of half of the world want it. A text that a spreadsheet would compute, such as
    `=1+1`, stands behind an apostrophe, which is taken off again when the file is read.
    """
    decks = list(decks)
    given = [dict(_given(deck)) for deck in decks]
    known = {name for values in given for name in values}
    names = [name for name in fields_of(type(decks[0])) if name in known] if decks else []
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, delimiter=";" if semicolons else ",")
    writer.writerow(names)
    for values in given:
        writer.writerow([_cell(values.get(name), semicolons) for name in names])
    return stream.getvalue()


def _cell(value: Any, decimal_comma: bool) -> str:
    if isinstance(value, tuple):
        between = "; " if isinstance(value[0], str) else " and "
        return between.join(_cell(part, decimal_comma) for part in value)
    if isinstance(value, bool):
        return "yes"
    if isinstance(value, (int, float)):
        return repr(value).replace(".", ",") if decimal_comma else repr(value)
    return "" if value is None else _CELL.sub(_quoted_cell, str(value))


_CELL = re.compile(r"\A'*[=+\-@\t\r＝＋－＠].*\Z", re.DOTALL)
"""A cell that a spreadsheet would compute, or one already marked as text."""

_PLAIN_NUMBER = re.compile(r"[-+]?[0-9]+([.,][0-9]+)?")


def _quoted_cell(match: re.Match[str]) -> str:
    """The cell with the mark of a text, an apostrophe, before it; a plain number needs none."""
    return match[0] if _PLAIN_NUMBER.fullmatch(match[0]) else f"'{match[0]}"


def _plain_cell(cell: str) -> str:
    """The cell without the mark that `csv_text` gave it.

    >>> _plain_cell("'=1+1"), _plain_cell("-5"), _plain_cell("'tis")
    ('=1+1', '-5', "'tis")
    """
    return cell[1:] if cell.startswith("'") and _CELL.match(cell) else cell


def _given(deck: Deck) -> Iterator[tuple[str, Any]]:
    """What a deck says, by the field's name in a file; statements as they were written."""
    stated, attributes = dict(deck.stated), by_name(type(deck))
    for name in fields_of(type(deck)):
        value: Any = getattr(deck, attributes[name][0]) if name in attributes else None
        text = stated.get(name)
        if text is not None and value in (None, read_statement(name, text).value):
            value = _number(text)
        if name == "play":
            value = tuple(written_play(*each) for each in value)
        if value not in (None, False, "", ()):
            yield name, value


def _number(text: str) -> str | int | float:
    """A plain number as one, with as many digits as it was written with, else the text."""
    for kind in (int, float):
        with contextlib.suppress(ValueError):
            if repr(kind(text)) == text:
                return kind(text)
    return text


def decks_text(path: Path, decks: Iterable[Deck], *, semicolons: bool = False) -> str:
    """Decks as the text of a file of the kind that its name says: .toml or .csv."""
    return toml_text(decks) if _is_toml(path) else csv_text(decks, semicolons=semicolons)


def with_deck(path: Path, deck: Deck) -> str:
    """The text of the file with one deck more; comments and order of a TOML file stay.

    Raises `InputError` when the file has faults, or a deck of that name or file name.
    """
    data = _bytes(path, missing=b"")
    if not data:
        return decks_text(path, [deck])
    text, found = _text(data, path), decks_of(data, path)
    if found.faults:
        first = found.faults[0]
        raise _unusable(
            path, f"line {first.line}", "a file without faults", f"mend it: {first.error}"
        )
    names = [other.name for other in found.decks]
    for fault in _sharing_a_name([*zip(names, found.lines, strict=True), (deck.name, 0)]):
        if fault.line == 0:
            raise fault.error
    if not _is_toml(path):
        return decks_text(path, [*found.decks, deck], semicolons=separator_of(text) == ";")
    longer = text + ("" if text.endswith("\n") else "\n") + "\n" + toml_text([deck])
    try:
        tomllib.loads(longer.replace("\r\n", "\n"))
    except ValueError:  # decks written as one list on one line: no table can follow
        return toml_text([*found.decks, deck])
    return longer
