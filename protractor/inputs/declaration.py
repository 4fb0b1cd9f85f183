"""What an input is: declared once, for every face of the program, and how it is read.

Nothing here knows a command line: a form can be made from the same declarations.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

from protractor.arms.records import (
    RECORD_PRESETS,
    RECORD_SHORT_NAMES,
    SPEEDS_RPM,
    Record,
    record,
)
from protractor.errors import InputError, shown
from protractor.inputs.quantities import ANGLE_UNITS_DEG, LENGTH_UNITS_MM, near, read_quantity
from protractor.printing.paper import PAPERS, PAPERS_ALLOWED, paper


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One thing a user can give, with everything a face needs to ask for it and to read it.

    `low` and `high` bound a quantity in `unit`; `choices` are the words of a choice, `also` further
    spellings of them that are taken; `count` is how many values stand together; `longest` bounds a
    text in characters; `whole` takes whole numbers alone.
    """

    name: str
    kind: Literal["length", "number", "speed", "choice", "text", "paper", "play", "reading"]
    help: str
    unit: str = ""
    low: float = -math.inf
    high: float = math.inf
    default: str | None = None
    choices: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    count: int = 1
    longest: int = 0
    whole: bool = False
    remedy: str = "mend it"

    @property
    def allowed(self) -> str:
        """What the input takes, in words."""
        span = f"{self.low:.12g} to {self.high:.12g} {self.unit}".strip()
        words = {
            "paper": PAPERS_ALLOWED,
            "choice": ", ".join((*self.also, *self.choices)),
            "text": f"up to {self.longest} printable characters",
            "reading": "RADIUS:DEGREES, as in 66.0:-0.5",
            "speed": ", ".join(SPEEDS_RPM) + f" or {span}",
            "play": "RECORD:SHARE or INNER-OUTER:SHARE, with @RPM before the colon if need be",
        }
        return words.get(self.kind, span)

    def read(self, text: str) -> Any:
        """The value of what a user wrote: mm for a length, a float for a number or a speed.

        A reading is a pair: radius in mm, and degrees. A paper is its name, a size in the form that
        `protractor.printing.paper.paper` takes.

        Raises `InputError` when it cannot be read or is not allowed.
        """
        readers: dict[str, Callable[[str], Any]] = {
            "choice": self._read_choice,
            "paper": self._read_paper,
            "text": self._read_text,
            "reading": self._read_reading,
            "play": self._read_play,
        }
        if self.kind == "speed" and text.strip() in ("33", "33.3", "33.33", "33 1/3"):
            return SPEEDS_RPM["33 1/3"]
        return readers.get(self.kind, self._read_quantity)(text)

    def _read_choice(self, text: str) -> str:
        word = text.strip().lower()
        if word not in self.choices and word not in self.also:
            raise InputError(self.name, text, self.allowed, near(word, (*self.also, *self.choices)))
        return word

    def _read_paper(self, text: str) -> str:
        word = text.strip().lower().replace("×", "x")
        if word not in PAPERS and not any(c.isdigit() for c in word.partition("x")[2]):
            raise InputError(self.name, text, self.allowed, near(word, PAPERS))
        return paper(word).name

    def _read_text(self, text: str) -> str:
        if len(text) > self.longest:
            raise InputError(
                self.name, f"{len(text)} characters", self.allowed, "give a shorter one"
            )
        odd = next((c for c in text if unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp")), None)
        if odd is not None:
            raise InputError(
                self.name, f"a control character, U+{ord(odd):04X}", self.allowed, "leave it out"
            )
        return " ".join(text.split())

    def _read_reading(self, text: str) -> tuple[float, float]:
        radius, colon, angle = text.replace("°", "deg").partition(":")
        pair = read_quantity(radius), read_quantity(angle)
        if not colon or pair[0] is None or pair[1] is None:
            raise InputError(self.name, f"'{shown(text)}'", self.allowed, self.remedy)
        (length, unit), (degrees, angle_unit) = pair[0], pair[1]
        if unit not in LENGTH_UNITS_MM or angle_unit not in ("", "deg"):
            raise InputError(
                self.name,
                f"'{shown(text)}'",
                f"{self.allowed} (mm, cm or in; deg)",
                "mend the unit",
            )
        return length * LENGTH_UNITS_MM[unit], degrees

    def _read_play(self, text: str) -> tuple[Record, float]:
        """A record and its share of the playing time [1]; errors name what was written here."""
        try:
            return self._read_played(text)
        except InputError as error:
            if error.name == self.name:
                raise
            known = error.name == "record"
            remedy = "write its radii instead, such as 58-120.9:20" if known else error.remedy
            given = f"'{shown(text)}'"
            raise InputError(self.name, given, error.allowed, remedy) from error

    def _read_played(self, text: str) -> tuple[Record, float]:
        what, colon, share_text = text.rpartition(":")
        share = read_quantity(share_text)
        if not colon or share is None or share[1] not in ("", "%"):
            raise InputError(self.name, f"'{shown(text)}'", self.allowed, self.remedy)
        what, at, speed = what.partition("@")
        from protractor.inputs.deck import INNER_RADIUS, OUTER_RADIUS, RPM

        rpm = RPM.read(speed) if at else None
        name = what.strip().lower()
        if name in RECORD_PRESETS or name in RECORD_SHORT_NAMES:
            return record(name, rpm=rpm), share[0] / 100
        for separator in re.finditer(r"\.\.|-", what):
            ends = what[: separator.start()], what[separator.end() :]
            if all(read_quantity(end) is not None for end in ends):
                inner, outer = INNER_RADIUS.read(ends[0]), OUTER_RADIUS.read(ends[1])
                own = record(inner_radius_mm=inner, outer_radius_mm=outer, rpm=rpm)
                return own, share[0] / 100
        known = (*RECORD_SHORT_NAMES, *RECORD_PRESETS)
        meant = near(name, known)
        remedy = meant if "did you mean" in meant else "name 12, 10, 7 or radii, as in 58-146:30"
        raise InputError(self.name, f"'{shown(text)}'", self.allowed, remedy)

    def _read_quantity(self, text: str) -> float:
        quantity = read_quantity(text)
        if quantity is None:
            raise InputError(self.name, f"'{shown(text)}'", self.allowed, "give a number")
        value, unit = quantity
        units = LENGTH_UNITS_MM if self.kind == "length" else {"": 1.0, self.unit: 1.0}
        if self.unit == "deg":
            units = ANGLE_UNITS_DEG
        if unit not in units:
            known = "mm, cm or in" if self.kind == "length" else self.unit or "no unit"
            raise InputError(
                self.name, f"'{shown(text)}'", f"{self.allowed} (units: {known})", "mend the unit"
            )
        value *= units[unit]
        slack = 1e-9 * min(abs(value), 1e9)
        if not self.low - slack <= value <= self.high + slack:
            raise InputError(self.name, f"'{shown(text)}'", self.allowed, self.remedy)
        if self.whole and value != math.floor(value):
            raise InputError(
                self.name, f"'{shown(text)}'", self.allowed, "give a whole number, without decimals"
            )
        return value
