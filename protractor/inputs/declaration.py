"""What an input is: declared once, for every face of the program, and how it is read.

Nothing here knows a command line or a deck. A value that users fill is a frozen dataclass whose
fields are `declared`: options, a row of a file, keyword arguments and a form are made from these
declarations.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from functools import cache
from typing import Any, Literal

from protractor.errors import InputError, named, shown
from protractor.inputs.quantities import (
    ANGLE_UNITS_DEG,
    LENGTH_UNITS_MM,
    LENGTH_WORDS,
    NONE_NEAR,
    folded,
    near,
    other_units,
    read_quantity,
)

LARGEST_NUMBER = 1e12
"""Numbers that are as large are no dimension of a deck."""

ESSENTIALS = "Essentials"
"""The group of inputs that most users need and no others."""

YES_NO = {"yes": True, "true": True, "no": False, "false": False}

_BREAKS = re.compile(r"[\t\r\n]+")
_BETWEEN_TWO = re.compile(r"\s*(?:;|\band\b)\s*|\s+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One thing a user can give, with everything a face needs to ask for it and to read it.

    Attributes:
        kind: a `word` and a `form` have a reader of their own; a form's help shows how it is
            written.
        help: a sentence; other inputs are named in backticks.
        low, high: bounds of a length or a number, in `unit`.
        default: what holds when nothing is given, as a user would write it.
        group: the heading that it comes under where there are many.
        choices, also: the words of a choice, and further spellings of them that are taken.
        means: other names that people use, each with the choice that it means; they are taken.
        asks: names that may mean several choices or none, each with what to answer.
        count: how many values stand together.
        many: whether it may be given again.
        longest: the most characters of a text.
        whole: whether whole numbers alone are taken.
        units: further units of a number, each with how many of `unit` it makes.
        or_zero: whether 0 is taken besides what lies within the bounds.
        allows: what is taken, in words, where kind and bounds do not say it.
        reads: reads one value of a text in place of the kind's own reader.
        takes: the type that a caller may give instead of a text.
    """

    name: str
    kind: Literal["length", "number", "choice", "text", "flag", "word", "form"]
    help: str
    unit: str = ""
    low: float = -math.inf
    high: float = math.inf
    default: str | None = None
    group: str = ""
    choices: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    means: Mapping[str, str] = field(default_factory=dict, hash=False)
    asks: Mapping[str, str] = field(default_factory=dict, hash=False)
    count: int = 1
    many: bool = False
    longest: int = 0
    whole: bool = False
    units: tuple[tuple[str, float], ...] = ()
    or_zero: bool = False
    allows: str = ""
    metavar: str = ""
    reads: Callable[[Input, str], Any] | None = None
    takes: type | None = None
    remedy: str = "correct it"

    @property
    def allowed(self) -> str:
        """What the input takes, in words."""
        if self.allows:
            return self.allows
        words = {
            "choice": ", ".join((*self.also, *self.choices)),
            "text": f"up to {self.longest} printable characters",
            "flag": "yes or no",
        }
        span = f"{self.low:.12g} to {self.high:.12g} {self.unit}".strip()
        return words.get(self.kind, f"0, or {span}" if self.or_zero else span)

    def read(self, text: str) -> Any:
        """The value of what a user wrote: mm for a length, a float for a number.

        Raises `InputError` when it cannot be read or is not allowed.
        """
        if self.reads is not None:
            return self.reads(self, text)
        readers: dict[str, Callable[[str], Any]] = {
            "choice": self._read_choice,
            "text": self._read_text,
            "flag": self._read_flag,
        }
        return readers.get(self.kind, self.quantity)(text)

    def take(self, value: object) -> Any:
        """The value that a caller, a file or a form gives: as `read` for a text, else checked.

        None, which is nothing given, stays None. A pair may be a list, a tuple or a text such as
        `66 and 120.9`; an input that may be given again takes one value, a list, or a text with
        semicolons between.

        Raises `InputError` when it is not allowed.
        """
        if self.many:
            parts = value.split(";") if isinstance(value, str) else value
            several = parts if isinstance(parts, (list, tuple)) else [parts]
            return tuple(self._one(each) for each in several if each is not None)
        if value is None:
            return None
        if self.count == 1:
            return self._one(value)
        parts = value
        if isinstance(value, str):
            parts = [part for part in _BETWEEN_TWO.split(value.strip()) if part]
        if not isinstance(parts, (list, tuple)) or len(parts) != self.count:
            wanted = f"two {'lengths' if self.kind == 'length' else 'numbers'}, {self.allowed}"
            raise InputError(self.name, _described(value), wanted, "write A and B")
        return tuple(self._one(part) for part in parts)

    def or_default(self, value: Any) -> Any:
        """The value that was given, or the default."""
        return self.read(self.default or "") if value is None else value

    def refuse(self, got: str, remedy: str = "") -> InputError:
        """The error of a value that this input does not take."""
        return InputError(self.name, got, self.allowed, remedy or self.remedy)

    def plain(self, value: object) -> str:
        """The text of a number that a file holds; raises `InputError` for any other value."""
        number = isinstance(value, (int, float)) and not isinstance(value, bool)
        if not number or not abs(value) < LARGEST_NUMBER:  # type: ignore[arg-type]  # nan and inf as well
            raise self.refuse(_described(value))
        return repr(value)

    def _one(self, value: object) -> Any:
        if self.takes is not None and isinstance(value, self.takes):
            return value
        if self.kind == "flag" and isinstance(value, bool):
            return value
        if isinstance(value, str):
            return self.read(_BREAKS.sub(" ", value) if self.kind == "text" else value)
        text = self.plain(value)
        if self.kind in ("length", "number"):
            return self._bounded(float(text), text, float(text), '"')
        return self.read(text)

    def meant(self, text: str) -> str | None:
        """The choice that a user's word for it means, None when it means none."""
        known = {folded(word): word for word in (*self.also, *self.choices)}
        known |= {folded(name): word for name, word in self.means.items()}
        return known.get(folded(text))

    def hint(self, text: str) -> str:
        """What to do about a word that means no choice: the answer to it, or the nearest name."""
        answers = {folded(name): answer for name, answer in self.asks.items()}
        nearest = near(text.strip(), (*self.also, *self.choices))
        if nearest == NONE_NEAR:
            nearest = near(text.strip(), self.means, likeness=0.75)
        return answers.get(folded(text), nearest)

    def _read_choice(self, text: str) -> str:
        choice = self.meant(text)
        if choice is None:
            raise self.refuse(text, self.hint(text))
        return choice

    def _read_flag(self, text: str) -> bool:
        word = text.strip().lower()
        if word not in YES_NO:
            raise self.refuse(text, near(word, ("yes", "no")))
        return YES_NO[word]

    def _read_text(self, text: str) -> str:
        if len(text) > self.longest:
            raise self.refuse(f"{len(text)} characters", "give a shorter one")
        odd = next((c for c in text if unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp")), None)
        if odd is not None:
            raise self.refuse(f"a control character, U+{ord(odd):04X}", "leave it out")
        return " ".join(text.split())

    def quantity(self, text: str) -> float:
        """The number, in `unit`, of a text that is a number with or without a unit."""
        quantity = read_quantity(text)
        if quantity is None:
            raise self.refuse(f"'{shown(text)}'", "give a number")
        value, unit = quantity
        further = dict(self.units)
        units = {"": 1.0, self.unit.lower(): 1.0, **{u.lower(): n for u, n in further.items()}}
        if self.unit == "deg":
            units = ANGLE_UNITS_DEG
        if self.kind == "length":
            units = LENGTH_UNITS_MM
        if unit not in units:
            known = ", ".join((self.unit or "no unit", *further))
            known = "mm, cm or in" if self.kind == "length" else known
            allowed = f"{self.allowed} (units: {known})"
            raise InputError(self.name, f"'{shown(text)}'", allowed, "correct the unit")
        return self._bounded(value * units[unit], text, value)

    def _bounded(self, value: float, text: str, number: float, quote: str = "") -> float:
        """The value, when it is within the bounds; `number` is as it was written, without a unit.

        A number with a unit has to stand between `quote` where it was given as a number.
        """
        slack = 1e-9 * min(abs(value), 1e9)
        zero = self.or_zero and value == 0
        if not zero and not self.low - slack <= value <= self.high + slack:
            raise self.refuse(f"'{shown(text)}'", self._other_unit(number, quote))
        if self.whole and value != math.floor(value):
            raise self.refuse(f"'{shown(text)}'", "give a whole number, without decimals")
        return value

    def _other_unit(self, number: float, quote: str) -> str:
        """What to write for a number that would do in another unit; empty when it does in none."""
        words = LENGTH_WORDS if self.kind == "length" else {}
        known = {unit: LENGTH_UNITS_MM[unit] for unit in words} or {self.unit: 1.0} | dict(
            self.units
        )
        fitting = other_units(number, known, self.low, self.high)
        written = " or ".join(f"{quote}{number:.12g}{unit}{quote}" for unit in fitting)
        meant = " or ".join(words.get(unit, unit) for unit in fitting)
        return f"write {written} if you mean {meant}" if fitting else ""


def _described(value: object) -> str:
    """A value of another kind as an error names it, with what kind of thing it is."""
    if isinstance(value, int) and abs(value) >= LARGEST_NUMBER:
        return "a number of many digits"
    kinds = {bool: "true or false", list: "a list", tuple: "a list", dict: "a table", str: "text"}
    if isinstance(value, (list, tuple, dict)):
        return f"{kinds[type(value)]} of {len(value)}"
    return f"{shown(value, 32)} ({kinds.get(type(value), type(value).__name__)})"


def declared(asked: Input, default: Any = None) -> Any:
    """A field of a dataclass that a user fills, with its declaration."""
    return field(default=() if asked.many else default, metadata={"input": asked})


def inputs_of(filled: type) -> Mapping[str, Input]:
    """The declared inputs of a dataclass by attribute, in the order of its fields."""
    return _declarations(filled)[0]


def by_name(filled: type) -> Mapping[str, tuple[str, Input]]:
    """Attribute and input of a dataclass by the input's name."""
    return _declarations(filled)[1]


@cache
def _declarations(filled: Any) -> tuple[dict[str, Input], dict[str, tuple[str, Input]]]:
    """The inputs of a dataclass by attribute, and the same by name; read from it once."""
    found = {
        each.name: each.metadata["input"] for each in fields(filled) if "input" in each.metadata
    }
    return found, {asked.name: (attribute, asked) for attribute, asked in found.items()}


def take_all(filled: Any) -> None:
    """Reads and checks every declared field of a frozen value; for its `__post_init__`.

    Raises `InputError` for the first that is not allowed.
    """
    for attribute, asked in inputs_of(type(filled)).items():
        value = getattr(filled, attribute)
        if value is not None and value != ():
            object.__setattr__(filled, attribute, asked.take(value))


def description(inputs: Mapping[str, Input]) -> list[dict[str, Any]]:
    """Inputs by name as a form or a reference needs them, under stable keys."""
    return [
        {
            "name": name,
            "kind": asked.kind,
            "unit": asked.unit,
            "values": asked.count,
            "repeated": asked.many,
            "allowed": asked.allowed,
            "choices": [*asked.also, *asked.choices],
            "default": asked.default,
            "help": named(asked.help),
        }
        for name, asked in inputs.items()
    ]
