"""What data sheets share: figures and words as they are declared, and the units they come in.

A range catches the slips that sheets invite: henries for millihenries, 47 for 47 kohm, nanofarads
for picofarads, millinewtons for grams. A figure given with its unit is converted instead.
"""

from __future__ import annotations

from typing import Any

from protractor.errors import InputError
from protractor.inputs.declaration import Input, inputs_of, take_all

Pair = tuple[float, float]

MILLINEWTON_A_GRAM = 9.80665
"""Weight of a gram: standard gravity, ISO 80000-3."""

UNITS: dict[str, tuple[tuple[str, float], ...]] = {
    "mV": (("V", 1000.0), ("µV", 0.001), ("μV", 0.001), ("uV", 0.001)),
    "ohm": (("ohms", 1.0), ("Ω", 1.0), ("k", 1000.0), ("kohm", 1000.0), ("kΩ", 1000.0)),
    "mH": (("H", 1000.0), ("µH", 0.001), ("μH", 0.001), ("uH", 0.001)),
    "cm/s": (("mm/s", 0.1),),
    "µm/mN": (("μm/mN", 1.0), ("um/mN", 1.0), ("mm/N", 1.0), ("cm/dyne", 1e6), ("cm/dyn", 1e6)),
    "pF": (("nF", 1000.0),),
    "nV/√Hz": (("nV", 1.0),),
    "pA/√Hz": (("pA", 1.0),),
}
"""Further units of a figure by the unit it is kept in; µ is written with either of its letters."""

FORCE_UNITS = (("mN", 1 / MILLINEWTON_A_GRAM),)

OHMS = "47 kohm is 47000 ohm"
PICOFARADS = "0.2 nF is 200 pF"
GRAMS = "give grams: 15 mN is 1.53 g"


def figure(
    name: str, unit: str, low: float, high: float, help: str, remedy: str, **more: Any
) -> Input:
    """The input of a number with its unit and bounds; `more` is as `Input` has it."""
    return Input(
        name=name,
        kind="length" if unit == "mm" else "number",
        unit=unit,
        low=low,
        high=high,
        help=help,
        remedy=remedy,
        **{"units": UNITS.get(unit, ()), **more},
    )


def word(name: str, choices: tuple[str, ...], help: str, default: str | None = None) -> Input:
    """The input of one of a few words."""
    return Input(name=name, kind="choice", choices=choices, help=help, default=default)


def take_sheet(sheet: Any) -> None:
    """Read and check every field of a data sheet; for its `__post_init__`.

    Raises `InputError` for the first that is not allowed, or for a pair the wrong way round.
    """
    take_all(sheet)
    kind: Any = type(sheet)
    for attribute, asked in inputs_of(kind).items():
        pair = getattr(sheet, attribute)
        if asked.count == 2 and pair is not None and pair[0] > pair[1]:
            got = f"{pair[0]:g} and {pair[1]:g} {asked.unit}"
            raise InputError(asked.name, got, "the least first, then the greatest", "swap the two")


def lacking(*parts: tuple[Any, tuple[str, ...]]) -> tuple[str, ...]:
    """The names of the inputs that are not given: data sheets, each with the fields wanted."""
    names = []
    for sheet, attributes in parts:
        kind: Any = type(sheet)
        asked = inputs_of(kind)
        names += [asked[each].name for each in attributes if getattr(sheet, each) is None]
    return tuple(names)
