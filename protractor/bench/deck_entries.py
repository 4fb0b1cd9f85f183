"""What a file says of one deck, before it is read, and after: entries in, fields out."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from protractor.alignments.deck import Deck
from protractor.arms.inputs import written_play
from protractor.bench.decks import fields_of
from protractor.errors import InputError, shown
from protractor.inputs.declaration import by_name
from protractor.setup.statements import read_statement


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One deck as written: the line it starts on, its fields, and the line of a field.

    `fault` is what is wrong with the whole of it, so that its fields are not read.
    """

    line: int
    fields: dict[str, object]
    line_of: Callable[[str], int]
    fault: InputError | None = None


def unusable(path: Path, got: str, allowed: str, remedy: str) -> InputError:
    """The error of a file that is none of decks as a whole."""
    return InputError("DECKS", got, allowed, f"{remedy} (file {shown(path, 160)})")


def given_fields(deck: Deck) -> Iterator[tuple[str, Any]]:
    """What a deck says, by the field's name in a file; statements as they were written."""
    stated, attributes = dict(deck.stated), by_name(type(deck))
    for name in fields_of(type(deck)):
        value: Any = getattr(deck, attributes[name][0]) if name in attributes else None
        text = stated.get(name)
        if text is not None and value in (None, read_statement(name, text).value):
            value = _number(text)
        if name == "play":
            value = tuple(written_play(*each) for each in value)
        if value is not None and value is not False and value not in ("", ()):
            yield name, value  # nothing may be an angle or a height too


def _number(text: str) -> str | int | float:
    """A plain number as one, with as many digits as it was written with, else the text."""
    for kind in (int, float):
        with contextlib.suppress(ValueError):
            if repr(kind(text)) == text:
                return kind(text)
    return text
