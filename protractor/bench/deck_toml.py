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


def toml_entries(path: Path, text: str) -> list[Entry]:
    """The decks of a TOML file as written; raises `InputError` when it is not sound TOML."""

    def refused(got: str, allowed: str, remedy: str) -> InputError:
        return unusable(path, got, allowed, remedy)

    file = read_toml(text, refused, "TOML with one [[deck]] a deck")
    odd = next((key for key in file.tables if key != "deck"), None)
    if odd is not None:
        got = f"line {file.line((odd,))}: {shown(odd, 30)}"
        raise unusable(path, got, "nothing but [[deck]]", near(odd, ["deck"]))
    tables = file.tables.get("deck", [])
    if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
        raise unusable(path, "deck is no table", "[[deck]] over each", "write [[deck]]")
    return [_entry(file, at, table) for at, table in enumerate(tables)]


def _entry(file: TomlFile, at: int, table: dict[str, Any]) -> Entry:
    """A deck as written, its fields found by their own names or by those that are declared."""
    written = {field_name(key): key for key in reversed(table)}

    def line_of(field: str) -> int:
        return file.line(("deck", at, field if field in table else written.get(field, field)))

    return Entry(line=file.line(("deck", at)), fields=table, line_of=line_of)


def toml_text(decks: Iterable[Deck]) -> str:
    """Decks as a TOML file's text.

    >>> print(toml_text([Deck(name="Bench deck", pivot_to_spindle_mm=222.0)]), end="")
    [[deck]]
    name = "Bench deck"
    pivot-to-spindle = 222.0
    """
    return "\n".join(
        "[[deck]]\n" + "".join(f"{name} = {_toml(value)}\n" for name, value in given_fields(deck))
        for deck in decks
    )


def _toml(value: Any) -> str:
    if isinstance(value, str):
        # a JSON string is a TOML string, but for the one control character JSON leaves alone
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007F")
    if isinstance(value, tuple):
        return f"[{', '.join(map(_toml, value))}]"
    return str(value).lower() if isinstance(value, bool) else repr(value)
