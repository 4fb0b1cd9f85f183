"""Pivot to spindle by an ordinary ruler, read to the near edge of the spindle."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from protractor.arms.inputs import PIVOT_TO_SPINDLE
from protractor.errors import InputError
from protractor.inputs.declaration import Input
from protractor.setup.bounds import PIVOT_TO_SPINDLE_BOUND_MM

NEAR_EDGE = Input(
    name="near-edge",
    kind="length",
    unit="mm",
    low=PIVOT_TO_SPINDLE.low,
    high=PIVOT_TO_SPINDLE.high,
    many=True,
    help="From the pivot's centre to the near edge of the spindle, three times. Lift the ruler "
    "away between readings.",
    remedy="read from the pivot's centre to the near edge of the spindle",
)
SPINDLE_DIAMETER = Input(
    name="spindle-diameter",
    kind="length",
    unit="mm",
    low=5.0,
    high=10.0,
    default="7.1",
    help="Diameter of the spindle; a hole of 7.24 mm goes over it.",
    remedy="measure straight across the spindle; records have a hole of 7.24 mm",
)

SPINDLE_BOUND_MM = 0.15
"""What a spindle may differ from the usual diameter: with the hole of IEC 98, from memory."""

APART_MM = 1.0
"""Readings with a ruler that are further apart hold a slip (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RuledLength:
    """Pivot to spindle from readings to the spindle's near edge.

    `length_mm` is their mean and half the spindle's diameter; `bound_mm` is what it may be wrong
    by; `apart_mm` is between the least and the greatest reading.
    """

    readings_mm: tuple[float, ...]
    spindle_mm: float
    length_mm: float
    bound_mm: float

    @property
    def apart_mm(self) -> float:
        """Between the least and the greatest reading [mm]."""
        return max(self.readings_mm) - min(self.readings_mm)

    @property
    def statement(self) -> str:
        """The length as a statement: to a tenth of a millimetre, its bound no smaller than it is.

        >>> ruled_length([218.5, 219.0, 218.9]).statement
        '222.3±0.6'
        """
        return f"{self.length_mm:.1f}±{math.ceil(10 * self.bound_mm - 1e-9) / 10:g}"

    def as_dict(self) -> dict[str, object]:
        """The figures under stable keys."""
        return {
            "readings_mm": list(self.readings_mm),
            "spindle_mm": self.spindle_mm,
            "length_mm": self.length_mm,
            "bound_mm": self.bound_mm,
            "statement": self.statement,
        }


def ruled_length(
    readings_mm: Sequence[float], spindle_mm: float = float(SPINDLE_DIAMETER.default or 0)
) -> RuledLength:
    """Pivot to spindle and what it may be wrong by, from readings with an ordinary ruler.

    Args:
        readings_mm: from the pivot's centre to the near edge of the spindle; three are usual [mm].
        spindle_mm: diameter of the spindle [mm].

    Returns:
        the length with its bound: the truth is within it, anywhere with equal chance.

    Raises:
        InputError: for no reading.

    A ruler read with care is within `PIVOT_TO_SPINDLE_BOUND_MM`; to that are added, as variances,
    the spindle's diameter and the scatter of the mean.

    >>> found = ruled_length([218.9, 218.9, 218.9])
    >>> round(found.length_mm, 2), round(found.bound_mm, 2)
    (222.45, 0.51)

    Source: common practice; JCGM 100:2008, 4.2.3 (scatter of a mean), 4.3.7 (bounds).
    """
    if not readings_mm:
        raise InputError(NEAR_EDGE.name, "no reading", "three readings", NEAR_EDGE.remedy)
    scatter = 0.0
    if len(readings_mm) > 1:
        scatter = statistics.stdev(readings_mm) / math.sqrt(len(readings_mm))
    bound = math.hypot(PIVOT_TO_SPINDLE_BOUND_MM, SPINDLE_BOUND_MM / 2, math.sqrt(3) * scatter)
    return RuledLength(
        readings_mm=tuple(readings_mm),
        spindle_mm=spindle_mm,
        length_mm=statistics.fmean(readings_mm) + spindle_mm / 2,
        bound_mm=bound,
    )
