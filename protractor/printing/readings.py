"""What was read on a print: lines of known length, and the instrument they were read with."""

from __future__ import annotations

import math
import statistics
from dataclasses import dataclass

from protractor.errors import InputError, check_range

DIRECTIONS = {"x": (1.0, 0.0), "y": (0.0, 1.0), "rising": (0.6, 0.8), "falling": (0.6, -0.8)}
"""The lines of a calibration sheet: both axes and both diagonals of a 3 : 4 rectangle."""

READING_RANGE_MM = (0.1, 20000.0)
"""Wide enough for a reading in a mistaken unit, which the diagnosis then calls by its name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """What the lines were measured with.

    `reading_mm` is the standard deviation of one reading [mm]; `accuracy_mm` the largest error of
    the instrument itself, which all its readings share [mm]; `label` its name for people.
    """

    name: str
    label: str
    reading_mm: float
    accuracy_mm: float

    @property
    def shared_mm(self) -> float:
        """Standard uncertainty that all readings share [mm]: `accuracy_mm` / sqrt(3).

        Source: JCGM 100:2008, 4.3.7, a rectangular distribution.
        """
        return self.accuracy_mm / math.sqrt(3)

    @property
    def rounding_mm(self) -> float:
        """Standard uncertainty that rounding to the usual step adds to one reading [mm].

        Source: JCGM 100:2008, F.2.2.1: a step over sqrt(12).
        """
        return STEPS_MM.get(self.name, 0.0) / math.sqrt(12)


STEPS_MM = {"calipers": 0.01, "steel-rule": 0.1, "printed-vernier": 0.1, "ruler": 0.5}
"""The step that readings are rounded to: an ordinary ruler is read to halves (common practice).

Profiles recorded by an earlier version may name an instrument that is not here."""

# Common practice. Accuracies from memory: calipers after ISO 13385-1 and DIN 862, rules after the
# accuracy classes I and II of the European directive on measuring instruments.
INSTRUMENTS = {
    instrument.name: instrument
    for instrument in (
        Instrument(name="calipers", label="calipers", reading_mm=0.02, accuracy_mm=0.03),
        Instrument(
            name="steel-rule", label="steel rule and lens", reading_mm=0.1, accuracy_mm=0.15
        ),
        Instrument(
            name="printed-vernier",
            label="ordinary ruler with the printed vernier",
            reading_mm=0.08,
            accuracy_mm=0.3,
        ),
        Instrument(name="ruler", label="ordinary ruler", reading_mm=0.2, accuracy_mm=0.3),
    )
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """The readings of one line: its name in `DIRECTIONS`, its nominal length, what was read [mm].

    Raises `InputError` for an unknown line, no reading, or a length outside `READING_RANGE_MM`.
    """

    line: str
    nominal_mm: float
    readings_mm: tuple[float, ...]

    def __post_init__(self) -> None:
        if self.line not in DIRECTIONS:
            raise InputError("line", self.line, ", ".join(DIRECTIONS), "name one of these")
        if not self.readings_mm:
            allowed = "one reading or more, three are better"
            raise InputError(self.line, "no reading", allowed, "measure the line")
        for value in (self.nominal_mm, *self.readings_mm):
            remedy = "give the length that you read on the sheet"
            check_range(self.line, value, "mm", READING_RANGE_MM, remedy)

    @property
    def mean_mm(self) -> float:
        """Mean of the readings [mm]."""
        return math.fsum(self.readings_mm) / len(self.readings_mm)

    @property
    def ratio(self) -> float:
        """Median reading over nominal length [1]: one slip does not move it."""
        return statistics.median(self.readings_mm) / self.nominal_mm
