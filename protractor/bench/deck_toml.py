"""Decks in TOML: one `[[deck]]` table a deck, with the line of every field."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from protractor.alignments.deck import Deck
from protractor.bench.deck_entries import Entry, given_fields, unusable
from protractor.errors import InputError, shown
from protractor.inputs.quantities import near
from protractor.inputs.toml_file import TomlFile, field_name, read_toml

FORMAT = 1
"""Version of the form of these files; one that says a higher `format` is not touched."""

DEFAULTS = "default"
"""The table of what is taken when nothing else is given."""


def toml_entries(path: Path, text: str) -> list[Entry]:
    """The decks of a TOML file as written; raises `InputError` when it is not sound TOML."""
    file = _file(path, text)
    tables = file.tables.get("deck", [])
    if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
        raise unusable(path, "deck is no table", "[[deck]] over each", "write [[deck]]")
    return [_entry(file, at, table) for at, table in enumerate(tables)]


def _entry(file: TomlFile, at: int, table: dict[str, Any]) -> Entry:
    """A deck as written, its fields found by their own names or by those that are declared."""
    written = {field_name(key): key for key in reversed(table)}

    def line_of(field: str) -> int:
        if field in table:
            return file.line(("deck", at, field))
        first, *way = field.split(".")
        steps = [int(step) - 1 if step.isdecimal() else step for step in way]
        return file.line(("deck", at, written.get(first, first), *steps))

    return Entry(line=file.line(("deck", at)), fields=table, line_of=line_of)


def toml_defaults(path: Path, text: str) -> dict[str, object]:
    """The table of defaults of a TOML file as written, empty when it has none."""
    table: dict[str, object] = _file(path, text).tables.get(DEFAULTS, {})
    return table


def _file(path: Path, text: str) -> TomlFile:
    """What a TOML file holds: decks, and perhaps its form and a table of defaults."""

    def refused(got: str, allowed: str, remedy: str) -> InputError:
        return unusable(path, got, allowed, remedy)

    file = read_toml(text, refused, "TOML with one [[deck]] a deck")
    data = file.tables
    form = data.get("format", FORMAT)
    if isinstance(form, int) and not isinstance(form, bool) and form > FORMAT:
        remedy = "left as it is: a later protractor wrote it, use that one"
        raise unusable(path, f"form {shown(form, 12)}", f"a file of decks of form {FORMAT}", remedy)
    odd = next((key for key in data if key not in ("deck", DEFAULTS, "format")), None)
    if odd is None and (form != FORMAT or isinstance(form, bool)):
        odd = "format"
    if odd is None and not isinstance(data.get(DEFAULTS, {}), dict):
        odd = DEFAULTS
    if odd is not None:
        got = f"line {file.line((odd,))}: {shown(odd, 30)}"
        allowed = f"[[deck]] over each deck, and one table [{DEFAULTS}]"
        raise unusable(path, got, allowed, near(odd, ["deck", DEFAULTS]))
    return file


def toml_text(decks: Iterable[Deck]) -> str:
    """Decks as a TOML file's text.

    >>> print(toml_text([Deck(name="Bench deck", pivot_to_spindle_mm=222.0)]), end="")
    [[deck]]
    name = "Bench deck"
    pivot-to-spindle = 222.0
    """
    return "\n".join("[[deck]]\n" + _table(given_fields(deck)) + _sections(deck) for deck in decks)


def _sections(deck: Deck) -> str:
    """The data sheets of a deck, each under its header."""
    return "".join(
        f"\n{'[' * depth}deck.{name}{']' * depth}\n" + _table(part.items())
        for name, table in deck.data_sheets
        for depth, parts in [(2, table) if isinstance(table, list) else (1, [table])]
        for part in parts
    )


def _table(fields: Iterable[tuple[str, Any]]) -> str:
    return "".join(f"{name} = {toml_value(value)}\n" for name, value in fields)


def toml_value(value: Any) -> str:
    """A field's value as TOML writes it."""
    if isinstance(value, str):
        # a JSON string is a TOML string, but for the one control character JSON leaves alone
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007F")
    if isinstance(value, (tuple, list)):
        return f"[{', '.join(map(toml_value, value))}]"
    return str(value).lower() if isinstance(value, bool) else repr(value)
