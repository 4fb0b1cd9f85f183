"""A deck as a technician keeps it: a name, what was measured, the scheme, the paper, notes."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any
from zlib import crc32

from protractor.alignments.alignment import Alignment, solve
from protractor.arms.records import record
from protractor.errors import InputError, shown
from protractor.files import LONGEST_STEM, file_stem
from protractor.inputs import deck as inputs
from protractor.inputs.bench import EXACT, NAME, NOTES
from protractor.inputs.declaration import Input
from protractor.inputs.quantities import near
from protractor.setup.statements import STATED, read_statement

FIELDS: dict[str, tuple[Input, str]] = {
    declared.name: (declared, attribute)
    for declared, attribute in (
        (NAME, "name"),
        (inputs.PIVOT_TO_SPINDLE, "pivot_to_spindle_mm"),
        (inputs.EFFECTIVE_LENGTH, "effective_length_mm"),
        (STATED["overhang"], "stated"),
        (STATED["offset-angle"], "stated"),
        (STATED["linear-offset"], "stated"),
        (inputs.SCHEME, "scheme"),
        (EXACT, "exact"),
        (inputs.RECORD, "record"),
        (inputs.INNER_RADIUS, "inner_radius_mm"),
        (inputs.OUTER_RADIUS, "outer_radius_mm"),
        (inputs.NULL_RADII, "null_radii_mm"),
        (inputs.RPM, "rpm"),
        (inputs.VELOCITY, "velocity_cm_s"),
        (inputs.VELOCITY_IS, "velocity_is"),
        (inputs.PAPER, "paper"),
        (inputs.PRINTER, "printer"),
        (NOTES, "notes"),
    )
}
"""Every field of a deck by its name in a file, in order: what it takes, and the attribute."""

STATEMENTS = (
    "pivot-to-spindle",
    "effective-length",
    "overhang",
    "offset-angle",
    "linear-offset",
)
"""Fields that state something about the arm, as `reconcile` takes them: `237`, `237±0.2`."""

LARGEST_NUMBER = 1e12
"""Numbers of a file that are as large are no dimension of a deck."""

_BREAKS = re.compile(r"[\t\r\n]+")
_BETWEEN_TWO = re.compile(r"\s*(?:;|\band\b)\s*|\s+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Deck:
    """One deck. What is None was not given, and the usual default holds; `exact` is yes or no.

    `pivot_to_spindle_mm` is held when it is given, else `effective_length_mm`. `stated` are the
    statements about the arm as they were written, by the names of `STATEMENTS`: they are checked
    against each other and move nothing. Raises `InputError` when the name is empty.
    """

    name: str
    pivot_to_spindle_mm: float | None = None
    effective_length_mm: float | None = None
    scheme: str | None = None
    exact: str | None = None
    record: str | None = None
    inner_radius_mm: float | None = None
    outer_radius_mm: float | None = None
    null_radii_mm: tuple[float, float] | None = None
    rpm: float | None = None
    velocity_cm_s: float | None = None
    velocity_is: str | None = None
    paper: str | None = None
    printer: str | None = None
    notes: str | None = None
    stated: tuple[tuple[str, str], ...] = field(default=(), compare=False)

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise InputError("name", "nothing", NAME.allowed, "name the deck")

    def alignment(self) -> Alignment:
        """The alignment that the deck's numbers ask for; raises `InputError` as `solve` does.

        >>> round(Deck(name="Bench deck", pivot_to_spindle_mm=222.0).alignment().arm.overhang_mm, 2)
        17.3
        """
        side = record(
            self.record,
            inner_radius_mm=self.inner_radius_mm,
            outer_radius_mm=self.outer_radius_mm,
            rpm=self.rpm,
        )
        asked: dict[str, Any] = {
            "pivot_to_spindle_mm": self.pivot_to_spindle_mm,
            "effective_length_mm": (
                self.effective_length_mm if self.pivot_to_spindle_mm is None else None
            ),
            "scheme": self.scheme,
            "record": side,
            "velocity_cm_s": self.velocity_cm_s or float(inputs.VELOCITY.default or 0),
            "velocity_is": self.velocity_is or str(inputs.VELOCITY_IS.default),
        }
        if self.exact != "yes":
            return solve(**asked, null_radii_mm=self.null_radii_mm)
        if self.null_radii_mm is not None:
            raise InputError(
                "null-radii", "radii beside exact", "radii or exact", "leave out one of the two"
            )
        from protractor.alignments.exact import solve_exact  # not needed for a plain answer

        return solve_exact(**asked)

    def remark(self) -> str:
        """Which statements about the arm contradict one another, in a sentence; empty when none.

        >>> deck, _ = read_deck({"name": "Bench deck", "pivot-to-spindle": "222.3±0.3",
        ...                      "effective-length": 239, "overhang": "15.0"})
        >>> deck.remark()
        'statements contradict one another: overhang is off, by 1.70 mm too little'
        """
        if len(self.stated) < 2:
            return ""
        from protractor.setup.reconcile import reconcile  # not needed for a deck with one number

        side = self.alignment().record
        try:
            found = reconcile([read_statement(name, text) for name, text in self.stated], side)
        except InputError as error:
            return f"statements lead to no arm: {error}"
        if found.agrees:
            return ""
        told = "more than one is off"
        if found.suspect is not None:
            told = f"{found.suspect} is off"
            if found.suspect_off is not None:
                unit = "deg" if found.suspect.startswith("offset-angle") else "mm"
                way = "much" if found.suspect_off > 0 else "little"
                told += f", by {abs(found.suspect_off):.2f} {unit} too {way}"
        elif found.candidates:
            told = f"any one of {', '.join(found.candidates)} may be off"
        return f"statements contradict one another: {told}"

    def as_dict(self) -> dict[str, Any]:
        """What was given, by attribute; lists for pairs, a dictionary for statements."""
        given = {each.name: getattr(self, each.name) for each in fields(self)}
        stated = given.pop("stated")
        plain = {
            name: list(value) if isinstance(value, tuple) else value
            for name, value in given.items()
            if value is not None
        }
        return {**plain, "stated": dict(stated)} if stated else plain


def read_deck(given: Mapping[str, object]) -> tuple[Deck | None, list[InputError]]:
    """The deck that a file's fields make, or None and everything that is wrong with them.

    `given` maps names of `FIELDS` (hyphens or underscores) to texts, numbers or pairs of them, as a
    TOML file holds them or a CSV file's cells say them.

    >>> deck, faults = read_deck({"name": "Bench deck", "pivot-to-spindle": "8 3/4 in"})
    >>> deck.pivot_to_spindle_mm
    222.25
    >>> read_deck({"name": "Bench deck", "pivot-to-spindel": 222})[1][0].remedy
    'did you mean pivot-to-spindle?'
    """
    values: dict[str, Any] = {}
    stated: dict[str, str] = {}
    faults: list[InputError] = []
    for key, value in given.items():
        name = field_name(key)
        if name not in FIELDS:
            faults.append(
                InputError(key, "a field unknown here", ", ".join(FIELDS), near(name, FIELDS))
            )
            continue
        declared, attribute = FIELDS[name]
        if attribute in values or name in stated:
            faults.append(InputError(name, "the field twice", "each field once", "leave one out"))
            continue
        try:
            if name in STATEMENTS:
                text = _plain(declared, value)
                statement = read_statement(name, text)
                stated[name] = " ".join(text.split())
                if attribute != "stated":
                    values[attribute] = statement.value
            else:
                values[attribute] = _read(declared, value)
        except InputError as fault:
            faults.append(fault)
    if "name" not in values and not any(fault.name == "name" for fault in faults):
        faults.append(InputError("name", "nothing", NAME.allowed, "name the deck"))
    if faults:
        return None, faults
    try:
        deck = Deck(**values, stated=tuple(stated.items()))
        deck.alignment()
    except InputError as fault:
        return None, [fault]
    return deck, []


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


def field_name(key: str) -> str:
    """A field's name as `FIELDS` has it, from how a file writes it."""
    return re.sub(r"[\s_-]+", "-", key.strip().lower())


def _read(declared: Input, value: object) -> Any:
    """The value of one field; raises `InputError` when it cannot be read."""
    if declared.count == 2:
        parts = value if isinstance(value, list) else None
        if isinstance(value, str):
            parts = [part for part in _BETWEEN_TWO.split(value.strip()) if part]
        if parts is None or len(parts) != 2:
            raise InputError(
                declared.name, _told(value), f"two lengths, {declared.allowed}", "write A and B"
            )
        return tuple(_read_one(declared, part) for part in parts)
    return _read_one(declared, value)


def _read_one(declared: Input, value: object) -> Any:
    if isinstance(value, bool) and declared is EXACT:
        return "yes" if value else "no"
    return declared.read(_plain(declared, value))


def _plain(declared: Input, value: object) -> str:
    """The text of a value that is a text or a number; raises `InputError` for any other."""
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise InputError(declared.name, _told(value), declared.allowed, declared.remedy)
    if not isinstance(value, str) and not abs(value) < LARGEST_NUMBER:  # nan and inf as well
        raise InputError(declared.name, _told(value), declared.allowed, declared.remedy)
    text = value if isinstance(value, str) else repr(value)
    return _BREAKS.sub(" ", text) if declared.kind == "text" else text


def _told(value: object) -> str:
    """A value of a file as an error tells it, with what kind of thing it is."""
    if isinstance(value, int) and abs(value) >= LARGEST_NUMBER:
        return "a number of many digits"
    kinds = {bool: "true or false", list: "a list", dict: "a table", str: "text"}
    if isinstance(value, (list, dict)):
        return f"{kinds[type(value)]} of {len(value)}"
    return f"{shown(value, 32)} ({kinds.get(type(value), type(value).__name__)})"
