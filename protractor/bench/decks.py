"""Decks as a technician keeps them: a file's fields, statements about the arm, names of files."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any
from zlib import crc32

from protractor.alignments.align import align
from protractor.alignments.deck import NAME, Deck
from protractor.chain.sheet_file import TABLES, Flaw, read_tables
from protractor.errors import InputError
from protractor.files import LONGEST_STEM, file_stem
from protractor.inputs.declaration import Input, by_name
from protractor.inputs.quantities import near
from protractor.inputs.toml_file import field_name
from protractor.setup.statements import BOUND, STATED, read_statement

STATEMENTS = (
    "pivot-to-spindle",
    "effective-length",
    "overhang",
    "offset-angle",
    "linear-offset",
)
"""Fields that state something about the arm, as `reconcile` takes them: `237`, `237±0.2`."""


def fields_of(kind: type = Deck) -> Mapping[str, Input]:
    """Every field of a deck file by name, in order: a deck's inputs, and what can be stated."""
    return _fields(kind)


@cache
def _fields(kind: Any) -> dict[str, Input]:
    known = {name: asked for name, (_, asked) in by_name(kind).items()}
    stated = {name: known.get(name, STATED[name]) for name in STATEMENTS}
    return {"name": known.pop("name"), **stated, **known}


FIELDS = fields_of()


def read_deck(
    given: Mapping[str, object], kind: type[Deck] = Deck
) -> tuple[Deck | None, list[InputError]]:
    """The deck that a file's fields make, or None and everything that is wrong with them.

    `given` maps names of `FIELDS` (hyphens or underscores) to texts, numbers or lists of them, as a
    TOML file holds them or a CSV file's cells say them. A length beside pivot to spindle, or an
    offset angle that is not held, is a statement. It may hold the tables of `cartridge`, `arm` and
    `stage` besides; a fault in one is named by the way to it, as in `stage.2.gain`.

    >>> deck, faults = read_deck({"name": "Bench deck", "pivot-to-spindle": "8 3/4 in"})
    >>> deck.pivot_to_spindle_mm
    222.25
    >>> read_deck({"name": "Bench deck", "pivot-to-spindel": 222})[1][0].remedy
    'did you mean pivot-to-spindle?'
    """
    tables, fields, faults = _tables(given)
    found, wrong = _known(fields, fields_of(kind))
    faults += [*wrong, *(_in_section(flaw) for flaw in read_tables(tables)[1])]
    if "name" not in found:
        faults.append(InputError("name", "nothing", NAME.allowed, "name the deck"))
    values: dict[str, Any] = {}
    stated: dict[str, str] = {}
    for name, value in found.items():
        try:
            values |= _taken(name, value, kind, stated, _held(found))
        except InputError as fault:
            faults.append(fault)
    if not faults and not values["name"]:
        faults.append(InputError("name", "nothing", NAME.allowed, "name the deck"))
    if faults:
        return None, faults
    try:
        deck = kind(**values, stated=tuple(stated.items()), data_sheets=_data_sheets(tables))
        align(deck)
    except InputError as fault:
        return None, [fault]
    return deck, []


def _tables(
    given: Mapping[str, object],
) -> tuple[dict[str, object], dict[str, object], list[InputError]]:
    """The tables of data sheets that hold anything, the fields, and errors of a table twice."""
    tables: dict[str, object] = {}
    fields: dict[str, object] = {}
    faults = []
    for key, value in given.items():
        name = field_name(key)
        if name not in TABLES:
            fields[key] = value
        elif name in tables:
            faults.append(InputError(key, "the table twice", "each once", "leave one out"))
        elif value not in ({}, []):
            tables[name] = value
    return tables, fields, faults


def _data_sheets(tables: Mapping[str, Any]) -> tuple[tuple[str, Any], ...]:
    """Sound tables under the names of their fields, whatever letters a file has written."""

    def named(table: Mapping[str, Any]) -> dict[str, Any]:
        return {field_name(key): value for key, value in table.items()}

    return tuple(
        (name, [named(each) for each in table] if isinstance(table, list) else named(table))
        for name, table in tables.items()
    )


def _in_section(flaw: Flaw) -> InputError:
    """The error of a field of a data sheet by the way to it, inputs of a stage from 1."""
    way = ".".join(str(step + 1) if isinstance(step, int) else step for step in flaw.place)
    return InputError(way, flaw.error.got, flaw.error.allowed, flaw.error.remedy)


def _known(
    given: Mapping[str, object], fields: Mapping[str, Input]
) -> tuple[dict[str, object], list[InputError]]:
    """What is given by the fields' names, and the errors of those unknown or given twice."""
    found: dict[str, object] = {}
    faults: list[InputError] = []
    for key, value in given.items():
        name = field_name(key)
        if name not in fields:
            allowed = ", ".join(fields)
            faults.append(InputError(key, "a field unknown here", allowed, near(name, fields)))
        elif name in found:
            faults.append(InputError(name, "the field twice", "each field once", "leave one out"))
        else:
            found[name] = value
    return found, faults


def _taken(
    name: str, value: object, kind: type[Deck], stated: dict[str, str], held: set[str]
) -> dict[str, Any]:
    """What a field gives the deck, by attribute; a statement is noted in `stated` as written."""
    attributes = by_name(kind)
    if name not in STATEMENTS:
        attribute, asked = attributes[name]
        return {attribute: asked.take(value)}
    text = value if isinstance(value, str) else STATED[name].plain(value)
    statement = read_statement(name, text)
    stated[name] = " ".join(text.split())
    return {attributes[name][0]: statement.value} if name in held else {}


def _held(found: Mapping[str, object]) -> set[str]:
    """Which of the statements are held while the deck is aligned."""
    length = "pivot-to-spindle" if "pivot-to-spindle" in found else "effective-length"
    return {length, *(["offset-angle"] if found.get("held") == "offset-angle" else [])}


def length_bound_mm(deck: Deck) -> float | None:
    """How far off pivot to spindle may be, when it was stated with its bound [mm].

    >>> length_bound_mm(read_deck({"name": "Bench deck", "pivot-to-spindle": "222.3±0.3"})[0])
    0.3
    >>> length_bound_mm(read_deck({"name": "Bench deck", "pivot-to-spindle": 222.3})[0])
    """
    text = dict(deck.stated).get("pivot-to-spindle", "")
    if not BOUND.search(text):
        return None
    return read_statement("pivot-to-spindle", text).bound


def remark(deck: Deck) -> str:
    """Which statements about an arm contradict one another, in a sentence; empty when none.

    >>> deck, _ = read_deck({"name": "Bench deck", "pivot-to-spindle": "222.3±0.3",
    ...                      "effective-length": 239, "overhang": "15.0"})
    >>> remark(deck)[:71]
    'statements contradict one another: any one of pivot-to-spindle, effecti'
    """
    if len(deck.stated) < 2:
        return ""
    from protractor.setup.questions import reconcile  # not needed for a deck with one number

    try:
        found = reconcile(dict(deck.stated), deck)
    except InputError as error:
        return f"statements lead to no arm: {error}"
    if found.agrees:
        return ""
    what = "more than one is wrong"
    if found.suspect is not None:
        what = f"{found.suspect} is wrong"
        if found.suspect_off is not None:
            unit = "deg" if found.suspect.startswith("offset-angle") else "mm"
            way = "high" if found.suspect_off > 0 else "low"
            what += f", {abs(found.suspect_off):.2f} {unit} too {way}"
    elif found.candidates:
        what = f"any one of {', '.join(found.candidates)} may be wrong"
    return f"statements contradict one another: {what}"


def deck_stem(name: str) -> str:
    """A deck's name as a safe piece of a file name, never empty.

    A long one is cut and ends in a mark of its own: names that differ only late stay apart.

    >>> deck_stem("Прибор № 1 / left"), deck_stem("♫")
    ('прибор-no-1-left', 'deck-266b')
    >>> deck_stem("Deck of the workshop at the far end of the yard, left one")
    'deck-of-the-workshop-at-the-far-3075140d'
    """
    stem = file_stem(name, 20 * len(name)) or "deck-" + "-".join(f"{ord(c):x}" for c in name)
    if len(stem) <= LONGEST_STEM:
        return stem
    return f"{stem[: LONGEST_STEM - 9].strip('-')}-{crc32(stem.encode()):08x}"
