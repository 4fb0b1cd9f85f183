"""The form of a remembered deck: every field of a deck file, and what one change makes of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from protractor.alignments.deck import NAME, Deck
from protractor.app.forms import Form, Query
from protractor.bench.deck_entries import given_fields
from protractor.bench.decks import STATEMENTS, fields_of, read_deck
from protractor.inputs.declaration import Input
from protractor.setup.statements import read_statement

FIRST = ("pivot-to-spindle", "effective-length", "scheme", "paper", "printer", "notes")
"""Fields that most decks say something in; the others come behind them."""


def _stated(asked: Input, text: str) -> str:
    """A statement as it was written; raises `InputError` when it is none."""
    read_statement(asked.name, text)
    return text


def deck_inputs(*, named: bool) -> dict[str, Input]:
    """Every field of a deck by its name; `named` with the name, which no change takes."""
    return {
        name: replace(asked, reads=_stated, default=None) if name in STATEMENTS else asked
        for name, asked in fields_of().items()
        if named or name != NAME.name
    }


def deck_form(query: Query, *, named: bool) -> Form:
    """The form of a deck as it was filled in."""
    return Form.asking(deck_inputs(named=named), query)


def fields_typed(form: Form) -> dict[str, object]:
    """What was filled in, as a file's fields."""
    return {
        name: list(each.typed) if each.asked.many and len(each.typed) > 1 else each.value
        for name, each in form.fields.items()
        if each.typed
    }


def texts_of(deck: Deck) -> dict[str, str]:
    """What a deck's file says of it, field by field, as one would type it."""
    return {name: _text(value) for name, value in given_fields(deck)}


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else ""
    if isinstance(value, (tuple, list)):
        parts = [_text(part) for part in value]
        return " and ".join(parts) if all(map(_plain, value)) else "; ".join(parts)
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def _plain(value: object) -> bool:
    return isinstance(value, (int, float))


def changes(form: Form, now: Mapping[str, str]) -> tuple[dict[str, object], list[str]]:
    """What a filled form changes of a deck that says `now`: other fields, and those left out."""
    typed = fields_typed(form)
    given = {
        name: value
        for name, value in typed.items()
        if (form[name].value if isinstance(value, list) else value) != now.get(name)
    }
    gone = [
        name
        for name, text in now.items()
        if name in form.fields and name not in typed and text != form[name].asked.default
    ]
    return given, gone


def made(form: Form) -> Deck | None:
    """The deck that a form of all fields makes; None when something is wrong, then said in it."""
    if not form.ok:
        return None
    deck, faults = read_deck(fields_typed(form))
    for fault in faults:
        form.refuse(fault)
    return deck
