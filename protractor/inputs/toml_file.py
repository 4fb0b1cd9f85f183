"""TOML text with the line of every table and key, so that a fault can say where it is.

The standard library's reader names a line where TOML is broken, but keeps none for sound values.
So the text is blanked of long strings and comments, then scanned for headers and keys.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from protractor.errors import InputError, shown

MOST_DOTS = 9
"""Dots in a name of a TOML file. None of ours has as many, and the library's time and memory grow
with the square of their number."""

Place = tuple[str | int, ...]
"""The way to a table or a value: names, and numbers in a list of tables, as in `("deck", 0)`."""

Refuse = Callable[[str, str, str], InputError]
"""Makes the error of a kind of file from what was found, what is allowed and the remedy."""

_STRINGS = re.compile(
    r"""(?P<long>\"\"\"[^\\]*?(?:\\.[^\\]*?)*?\"{3,5}|'''.*?'{3,5})
    |"[^"\\\n]*(?:\\.[^"\\\n]*)*"|'[^'\n]*'|\#[^\n]*""",
    re.DOTALL | re.VERBOSE,
)
_WORD = r"(?:\"[^\"\n]*\"|'[^'\n]*'|[A-Za-z0-9_-]+)"
_PATH = rf"{_WORD}(?:[ \t]*\.[ \t]*{_WORD})*"
_HEADER = re.compile(rf"\s*(?P<open>\[\[?)[ \t]*(?P<path>{_PATH})[ \t]*\]")
_KEY = re.compile(rf"\s*(?P<path>{_PATH})[ \t]*=")
_WORDS = re.compile(_WORD)
_DOTS = re.compile(rf"(?:\.[ \t]*[A-Za-z0-9_-]+[ \t]*){{{MOST_DOTS}}}")
_DIGITS = re.compile(r"[0-9_]{1000,}")


@dataclass(frozen=True, slots=True, kw_only=True)
class TomlFile:
    """What a TOML text holds, and the line of each of its tables and keys by their place."""

    tables: dict[str, Any]
    lines: Mapping[Place, int]

    def line(self, place: Place) -> int:
        """The line of a place, or of the nearest table around it that has one; 1 at the top.

        >>> read_toml("[a]\\nb = 1\\n[[c]]\\n[[c]]\\nd = 2", _refused).line(("c", 1, "d"))
        5
        """
        while place and place not in self.lines:
            place = place[:-1]
        return self.lines.get(place, 1)


def field_name(key: str) -> str:
    """A field's name as it is declared, from how a file writes it.

    >>> field_name("Pivot_to spindle")
    'pivot-to-spindle'
    """
    return re.sub(r"[\s_-]+", "-", key.strip().lower())


def read_toml(text: str, refuse: Refuse, allowed: str = "sound TOML") -> TomlFile:
    """The tables of a text with their lines.

    `allowed` says what such a file holds. Raises the error that `refuse` makes for what is no sound
    TOML or has a name of many dots.
    """
    text = text.replace("\r\n", "\n")
    bare = _STRINGS.sub(lambda match: "a" + "\n" * match[0].count("\n"), text)
    if dots := _DOTS.search(bare):
        line = bare.count("\n", 0, dots.start()) + 1
        got = f"line {line}: a name with many dots"
        raise refuse(got, "names of fields, without dots", "write name = value")
    try:
        tables = tomllib.loads(_fewer_digits(text))
    except (ValueError, RecursionError) as error:
        reason = "nested too deep" if isinstance(error, RecursionError) else str(error)
        place = re.search(r"\(at ([^()]*)\)$", reason)
        got = place[1] if place else "no sound TOML"
        remedy = f"correct it there: {shown(reason.partition(' (at ')[0], 100)}"
        raise refuse(got, allowed, remedy) from error
    return TomlFile(tables=tables, lines=_lines(text))


def _fewer_digits(text: str) -> str:
    """The text with numbers of thousands of digits cut to a length that the language reads.

    They are faults all the same, but of their field alone.
    """
    if not _DIGITS.search(text):
        return text

    def cut(match: re.Match[str]) -> str:
        return match[0] if match["digits"] is None else "9" * 1000

    return re.sub(f"{_STRINGS.pattern}|(?P<digits>{_DIGITS.pattern})", cut, text, flags=re.X)


def hollow(text: str) -> str:
    """The text with its long strings emptied, line for line: what begins a line then is TOML's."""
    return _STRINGS.sub(
        lambda match: '""' + '\n""' * match[0].count("\n") if match["long"] else match[0], text
    )


def _lines(text: str) -> dict[Place, int]:
    """The line of every header and key of sound TOML; of a key written twice, the first."""
    lines: dict[Place, int] = {}
    counts: dict[Place, int] = {}  # tables so far in each list of tables
    table: Place = ()
    for line, content in enumerate(hollow(text).split("\n"), start=1):
        if match := _HEADER.match(content):
            listed = match["open"] == "[["
            table = _place(match["path"], counts, listed=listed)
            for place in (table[:-1], table) if listed else (table,):
                lines.setdefault(place, line)
        elif match := _KEY.match(content):
            keys = _names(match["path"])
            for end in range(1, len(keys) + 1):
                lines.setdefault((*table, *keys[:end]), line)
    return lines


def _place(path: str, counts: dict[Place, int], *, listed: bool) -> Place:
    """The place of a header, each list of tables on the way at its last table so far."""
    place: Place = ()
    names = _names(path)
    for at, name in enumerate(names):
        place = (*place, name)
        if listed and at == len(names) - 1:
            counts[place] = counts.get(place, 0) + 1
        if place in counts:
            place = (*place, counts[place] - 1)
    return place


def _names(path: str) -> list[str]:
    """The names of a dotted path, without quotes."""
    return [word if word[0] not in "\"'" else word[1:-1] for word in _WORDS.findall(path)]


def _refused(got: str, allowed: str, remedy: str) -> InputError:
    """The plain error of a text that is no file of a kind of its own."""
    return InputError("file", got, allowed, remedy)
