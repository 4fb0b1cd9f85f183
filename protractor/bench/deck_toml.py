"""Decks in TOML: one `[[deck]]` table a deck, with the line of every field."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from protractor.alignments.deck import Deck
from protractor.bench.deck_entries import Entry, given_fields, unusable
from protractor.bench.decks import field_name
from protractor.errors import shown
from protractor.inputs.quantities import near

FORMAT = 1
"""Version of the form of these files; one that says a higher `format` is not touched."""

DEFAULTS = "default"
"""The table of what is taken when nothing else is given."""

MOST_DOTS = 9
"""Dots in a name of a TOML file. None of ours has any, and the library's time and memory grow with
the square of their number."""

_LONG_STRINGS = re.compile(
    r"""(?P<long>\"\"\"[^\\]*?(?:\\.[^\\]*?)*?\"{3,5}|'''.*?'{3,5})
    |"[^"\\\n]*(?:\\.[^"\\\n]*)*"|'[^'\n]*'|\#[^\n]*""",
    re.DOTALL | re.VERBOSE,
)
_HEADER = re.compile(r"\s*\[\[\s*[\"']?deck[\"']?\s*\]\]")
_TABLE = re.compile(r"\s*\[\s*[\"']?([A-Za-z0-9_-]+)")
_KEY = re.compile(r"\s*(?:\"([^\"\n]*)\"|'([^'\n]*)'|([A-Za-z0-9_-]+))\s*[=.]")


_DOTS = re.compile(rf"(?:\.[ \t]*[A-Za-z0-9_-]+[ \t]*){{{MOST_DOTS}}}")
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


def toml_entries(path: Path, text: str) -> list[Entry]:
    """The decks of a TOML file as written; raises `InputError` when it is not sound TOML."""
    text = text.replace("\r\n", "\n")
    data = _data(path, text)
    tables = data.get("deck", [])
    if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
        raise unusable(path, "deck is no table", "[[deck]] over each", "correct it")
    found, top = _place_of_keys(text)

    def entry(at: int, table: dict[str, Any]) -> Entry:
        line, keys = found[at] if at < len(found) else (top.get("deck", 1), {})

        def line_of(field: str) -> int:
            return keys.get(field, keys.get(field_name(field), line))

        return Entry(line=line, fields=table, line_of=line_of)

    return [entry(at, table) for at, table in enumerate(tables)]


def toml_defaults(path: Path, text: str) -> dict[str, object]:
    """The table of defaults of a TOML file as written, empty when it has none."""
    table: dict[str, object] = _data(path, text.replace("\r\n", "\n")).get(DEFAULTS, {})
    return table


def _data(path: Path, text: str) -> dict[str, Any]:
    """What a TOML file holds: decks, and perhaps its form and a table of defaults."""
    bare = _LONG_STRINGS.sub(lambda match: "a" + "\n" * match[0].count("\n"), text)
    if dots := _DOTS.search(bare):
        line = bare.count("\n", 0, dots.start()) + 1
        got = f"line {line}: a name with many dots"
        raise unusable(path, got, "names of fields, without dots", "write name = value")
    try:
        data = tomllib.loads(_fewer_digits(text))
    except (ValueError, RecursionError) as error:
        reason = "nested too deep" if isinstance(error, RecursionError) else str(error)
        place = re.search(r"\(at ([^()]*)\)$", reason)
        got = place[1] if place else "no sound TOML"
        remedy = f"correct it there: {shown(reason.partition(' (at ')[0], 100)}"
        raise unusable(path, got, "TOML with one [[deck]] a deck", remedy) from error
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
        line = _place_of_keys(text)[1].get(odd, 1)
        got = f"line {line}: {shown(odd, 30)}"
        allowed = f"[[deck]] over each deck, and one table [{DEFAULTS}]"
        raise unusable(path, got, allowed, near(odd, ["deck", DEFAULTS]))
    return data


def hollow(text: str) -> str:
    """The text with its long strings emptied, line for line: what begins a line then is TOML's."""
    return _LONG_STRINGS.sub(
        lambda match: '""' + '\n""' * match[0].count("\n") if match["long"] else match[0], text
    )


def _place_of_keys(text: str) -> tuple[list[tuple[int, dict[str, int]]], dict[str, int]]:
    """Where each [[deck]] and its keys stand, and the keys before the first, in sound TOML."""
    decks: list[tuple[int, dict[str, int]]] = []
    top: dict[str, int] = {}
    keys = top
    for line, content in enumerate(hollow(text).split("\n"), start=1):
        if _HEADER.match(content):
            keys = {}
            decks.append((line, keys))
        elif match := _TABLE.match(content):
            keys = {}
            top.setdefault(match[1], line)
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
        "[[deck]]\n"
        + "".join(f"{name} = {toml_value(value)}\n" for name, value in given_fields(deck))
        for deck in decks
    )


def toml_value(value: Any) -> str:
    """A field's value as TOML writes it."""
    if isinstance(value, str):
        # a JSON string is a TOML string, but for the one control character JSON leaves alone
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007F")
    if isinstance(value, tuple):
        return f"[{', '.join(map(toml_value, value))}]"
    return str(value).lower() if isinstance(value, bool) else repr(value)
