"""Unit, range and words of a data sheet's figure, declared once as the metadata of its field.

`bounds_of` gives them to whoever asks the user. A range catches the slips that sheets invite:
henries for millihenries, 47 for 47 kohm, nanofarads for picofarads, millinewtons for grams.
"""

from __future__ import annotations

import math
from dataclasses import Field, dataclass, fields
from typing import TYPE_CHECKING, Any

from protractor.errors import InputError

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

Pair = tuple[float, float]

MILLINEWTON_A_GRAM = 9.80665
"""Weight of a gram: standard gravity, ISO 80000-3."""

PICOFARADS = "0.2 nF is 200 pF"
GRAMS = "give grams: 15 mN is 1.53 g"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """Unit, range and words of one field; `choices` are the words of a choice."""

    help: str
    unit: str = ""
    low: float = -math.inf
    high: float = math.inf
    zero: bool = False
    choices: tuple[str, ...] = ()
    remedy: str = "correct the value"

    @property
    def allowed(self) -> str:
        """What the field takes, in words."""
        if self.choices:
            return ", ".join(self.choices)
        return f"{'0, or ' if self.zero else ''}{self.low:g} to {self.high:g} {self.unit}".strip()

    def takes(self, value: object) -> bool:
        """Whether one value is a word of the choice or a number in the range."""
        if self.choices:
            return value in self.choices
        if isinstance(value, bool) or not isinstance(value, int | float):
            return False
        return (self.zero and value == 0) or self.low <= value <= self.high


def numbers(
    low: float, high: float, unit: str, help: str, remedy: str, zero: bool = False
) -> dict[str, Bounds]:
    """Metadata of a field that takes a number, a pair or several numbers."""
    return {"bounds": Bounds(help=help, unit=unit, low=low, high=high, zero=zero, remedy=remedy)}


def words(choices: tuple[str, ...], help: str, remedy: str) -> dict[str, Bounds]:
    """Metadata of a field that takes a word."""
    return {"bounds": Bounds(help=help, choices=choices, remedy=remedy)}


def bounds_of(sheet: type[DataclassInstance]) -> dict[str, Bounds]:
    """Every field of a data sheet by its name, with its unit, range and words.

    >>> from protractor.fit.stage import Stage
    >>> bounds_of(Stage)["gain_db"].allowed
    '10 to 90 dB'
    """
    return {one.name: one.metadata["bounds"] for one in fields(sheet) if "bounds" in one.metadata}


_UNITS = ("_mv", "_cm_s", "_ohm", "_mh", "_pf", "_um_mn", "_deg", "_mm", "_db", "_nv", "_pa", "_hz")


def _label(owner: str, one: Field[Any]) -> str:
    """The name of a field as a user writes it: without its unit, with its owner."""
    unit = next((u for u in (*_UNITS, "_g") if one.name.endswith(u)), "")
    return f"{owner}-{one.name.removesuffix(unit).replace('_', '-')}"


def check(sheet: DataclassInstance, owner: str) -> None:
    """Raise `InputError` for the first field that is out of its range or the wrong way round."""
    for one in fields(sheet):
        bounds: Bounds | None = one.metadata.get("bounds")
        value = getattr(sheet, one.name)
        if bounds is None or value is None:
            continue
        label = _label(owner, one)
        paired = one.type == "Pair | None"
        values = value if isinstance(value, tuple) else (value,)
        if paired and len(values) != 2:
            raise InputError(label, value, "two numbers", "give the least and the greatest")
        for number in values:
            if not bounds.takes(number):
                got = f"{number:g}" if isinstance(number, float | int) else number
                raise InputError(
                    label, f"{got} {bounds.unit}".strip(), bounds.allowed, bounds.remedy
                )
        if paired and values[0] > values[1]:
            got = f"{values[0]:g} and {values[1]:g} {bounds.unit}"
            raise InputError(label, got, "the least first, then the greatest", "swap the two")
