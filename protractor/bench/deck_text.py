"""Changes to the text of a TOML file of decks, by which its comments and its order stay.

Each change is checked by reading the new text: where lines alone would not do, as with decks in one
list on one line, the file is written anew, without its comments.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from protractor.alignments.deck import Deck
from protractor.bench.deck_toml import DEFAULTS, toml_text, toml_value
from protractor.inputs.toml_file import field_name, hollow

_TABLE = re.compile(r"\s*\[\[?\s*[\"']?([A-Za-z0-9_-]+)[\"']?\s*(\.[^\]]*)?\]")
_KEY = re.compile(r"\s*[\"']?([A-Za-z0-9_-]+)[\"']?\s*=")
_REMARK = re.compile(r"\s*(#.*)?$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """The lines of one table with its tables below: from its header to its last line of content."""

    name: str
    start: int
    end: int


def with_decks_added(text: str, decks: Sequence[Deck], others: Sequence[Deck]) -> str:
    """The text with these decks more at its end; `others` are those that it holds."""
    new = toml_text(decks)
    longer = _ended(text) + "\n" * bool(text) + new
    wanted = _parsed(text)
    wanted["deck"] = [*wanted.get("deck", []), *_parsed(new)["deck"]]
    return longer if _parsed(longer) == wanted else _anew([*others, *decks], text)


def without_deck(text: str, at: int, decks: Sequence[Deck]) -> str:
    """The text without the deck that is there as number `at`; `decks` are all that it holds."""
    lines = _lines(text)
    found = [block for block in blocks(text) if block.name == "deck"]
    wanted = _parsed(text)
    del wanted["deck"][at]
    wanted = {key: value for key, value in wanted.items() if value != []}
    if at < len(found):
        start, end = found[at].start, found[at].end
        while end < len(lines) and not lines[end].strip():
            end += 1
        shorter = "".join([*lines[:start], *lines[end:]])
        if _parsed(shorter) == wanted:
            return shorter
    return _anew([deck for place, deck in enumerate(decks) if place != at], text)


def with_deck_changed(
    text: str, at: int, values: Mapping[str, Any], gone: Collection[str], decks: Sequence[Deck]
) -> str:
    """The text with other values of fields of the deck that is there as number `at`.

    Fields that are `gone` are left out, those that are new come last; what is said in a comment
    beside a value stays. `decks` are all decks as they are then.
    """
    wanted, new = _parsed(text), _fields_text(values)
    kept = {
        key: v for key, v in wanted["deck"][at].items() if field_name(key) not in (*values, *gone)
    }
    wanted["deck"][at] = {**kept, **_parsed(new)}
    found = [block for block in blocks(text) if block.name == "deck"]
    if at < len(found):
        lines, bare = _lines(_ended(text)), hollow(text).split("\n")
        inside = range(found[at].start + 1, found[at].end)
        end = next((place for place in inside if _TABLE.match(bare[place])), found[at].end)
        while end > found[at].start + 1 and _REMARK.match(bare[end - 1]):
            end -= 1
        own, left, place = [], dict(values), found[at].start + 1
        while place < end:
            key = _KEY.match(bare[place])
            name = field_name(key[1]) if key else ""
            after = _after(lines, place, end) if key else place + 1
            if name in left:
                line = _fields_text({name: left.pop(name)}).rstrip("\n")
                own.append(f"{line}{_comment(''.join(lines[place:after]))}\n")
            elif name not in gone:
                own += lines[place:after]
            place = after
        own.append(_fields_text(left))
        changed = "".join([*lines[: found[at].start + 1], *own, *lines[end:]])
        if _parsed(changed) == wanted:
            return changed
    return _anew(decks, text)


def _after(lines: Sequence[str], place: int, end: int) -> int:
    """Where the line after a value is that begins on one: a list may take several."""
    for after in range(place + 1, end + 1):
        if _parsed("".join(lines[place:after])) is not None:
            return after
    return place + 1


def _comment(line: str) -> str:
    """The comment behind a `key = value`, with the blanks before it."""
    for place in (match.start() for match in re.finditer("#", line)):
        if _parsed(line[:place]) is not None:  # the value is whole: this is in no string
            return line[len(line[:place].rstrip()) :].rstrip()
    return ""


def with_defaults(text: str, defaults: Mapping[str, Any], decks: Sequence[Deck]) -> str:
    """The text with these defaults in place of its own; none when there is nothing in them."""
    lines = _lines(_ended(text))
    wanted = {key: value for key, value in _parsed(text).items() if key != DEFAULTS}
    if defaults:
        wanted[DEFAULTS] = dict(defaults)
    block = next((block for block in blocks(text) if block.name == DEFAULTS), None)
    said = _default_lines(defaults)
    if block is None:
        changed = [*lines, *(["\n"] if lines and said else []), *said]
    else:
        inside = [line for line in lines[block.start + 1 : block.end] if _REMARK.match(line)]
        head = [lines[block.start], *said[1:]] if said else []
        changed = [*lines[: block.start], *head, *inside, *lines[block.end :]]
    new = "".join(changed)
    return new if _parsed(new) == wanted else toml_text(decks) + "\n" + "".join(said)


def blocks(text: str) -> list[Block]:
    """The tables of the file's first level, in order, each with the tables below it."""
    lines = hollow(text).split("\n")
    heads = [(at, match) for at, line in enumerate(lines) if (match := _TABLE.match(line))]
    tops = [(at, match[1]) for at, match in heads if match[2] is None]
    found = []
    for number, (start, name) in enumerate(tops):
        end = tops[number + 1][0] if number + 1 < len(tops) else len(lines)
        while end > start + 1 and _REMARK.match(lines[end - 1]):
            end -= 1
        found.append(Block(name=name, start=start, end=end))
    return found


def _fields_text(values: Mapping[str, Any]) -> str:
    return "".join(f"{name} = {toml_value(value)}\n" for name, value in values.items())


def _default_lines(defaults: Mapping[str, Any]) -> list[str]:
    if not defaults:
        return []
    return [
        f"[{DEFAULTS}]\n",
        *(f"{key} = {toml_value(value)}\n" for key, value in defaults.items()),
    ]


def _anew(decks: Iterable[Deck], text: str) -> str:
    """The decks as a file of their own, with the defaults of the text."""
    said = _default_lines(_parsed(text).get(DEFAULTS, {}))
    return "\n".join(part for part in (toml_text(decks), "".join(said)) if part)


def _lines(text: str) -> list[str]:
    """The lines of a text with their ends, as TOML counts them."""
    return [line for line in re.split(r"(?<=\n)", text) if line]


def _ended(text: str) -> str:
    return text if text.endswith("\n") or not text else text + "\n"


def _parsed(text: str) -> Any:
    """What a text holds; None when it is no sound TOML."""
    try:
        return tomllib.loads(text.replace("\r\n", "\n"))
    except ValueError:
        return None
