"""A deck, a headshell, a print and a pair of hands, by plain vectors alone: for simulations.

Complex numbers are the vectors, in mm; the spindle is the origin, the pivot lies at `d` straight
up, the stylus plays on the right, the platter turns clockwise. Nothing here comes from the package:
it is what the package's advice is judged against.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass, replace

import numpy as np

INNER_MM, OUTER_MM = 60.325, 146.05
"""Recorded area of a 12-inch record, IEC 98:1958."""

PERCENT_PER_TANGENT_MM = 100 * 100.0 / (100 / 3 * 2 * math.pi / 60)
"""Second harmonic [%] of tan(error) / r [1/mm] at 100 mm/s peak and 33 1/3 rpm."""

_RADII = np.linspace(INNER_MM, OUTER_MM, 400)


def clockwise(angle_deg: float) -> complex:
    """The factor that turns a vector clockwise, seen from above."""
    return cmath.exp(-1j * math.radians(angle_deg))


def turned_deg(start: complex, end: complex) -> float:
    """How far `end` is turned clockwise of `start`, seen from above [deg]."""
    return -math.degrees(cmath.phase(end / start))


@dataclass(frozen=True)
class Headshell:
    """An arm as it stands, pivot in the origin of its own frame, pointing down.

    `stylus` is the tip; `body` the way the cartridge's body points, `slots` the way its slots run.
    `zenith_deg` is how far the stylus is set clockwise of the body.
    """

    d: float
    stylus: complex
    body: complex
    slots: complex
    zenith_deg: float = 0.0

    @classmethod
    def standing(
        cls, d: float, length: float, offset_deg: float, slots_deg: float, zenith_deg: float = 0.0
    ) -> Headshell:
        """An arm of a length whose body stands at an offset angle to the line pivot to tip."""
        down = -1j
        return cls(
            d,
            length * down,
            down * clockwise(offset_deg),
            down * clockwise(slots_deg),
            zenith_deg,
        )

    def moved(self, slide_mm: float, turn_deg: float) -> Headshell:
        """After a slide along the slots and a turn about the tip."""
        return replace(
            self,
            stylus=self.stylus + slide_mm * self.slots,
            body=self.body * clockwise(turn_deg),
        )

    def at(self, radius: float) -> tuple[complex, complex]:
        """Tip and body direction when the tip is at a radius, right of the line to the pivot."""
        length = abs(self.stylus)
        up = (radius**2 + self.d**2 - length**2) / (2 * self.d)
        tip = complex(math.sqrt(radius**2 - up**2), up)
        swing = (tip - 1j * self.d) / self.stylus
        return tip, self.body * swing

    def overhang(self) -> float:
        """How far the tip passes in front of the spindle on the line from the pivot."""
        return abs(self.stylus) - self.d

    def peak_harmonic(self) -> float:
        """Greatest second harmonic of the stylus over the side [%], on 400 radii."""
        length = abs(self.stylus)
        up = (_RADII**2 + self.d**2 - length**2) / (2 * self.d)
        tip = np.sqrt(_RADII**2 - up**2) + 1j * up
        stylus = self.body * (tip - 1j * self.d) / self.stylus * clockwise(self.zenith_deg)
        groove = tip * -1j  # the way the record moves under the tip
        error = np.angle(stylus / groove)
        return float(np.max(PERCENT_PER_TANGENT_MM * np.abs(np.tan(error)) / _RADII))


def lofgren_a(d: float) -> tuple[float, float, tuple[float, float]]:
    """Effective length, offset angle [deg] and null radii of the aim, by its published form."""
    total = 1 / INNER_MM + 1 / OUTER_MM
    # Chebyshev's three equal peaks of the error of sines over r, in 1 / r
    half_width = (1 / INNER_MM - 1 / OUTER_MM) / 2 * math.sqrt(0.5)
    nulls = 1 / (total / 2 + half_width), 1 / (total / 2 - half_width)
    length = math.sqrt(d * d + nulls[0] * nulls[1])
    return length, math.degrees(math.asin(sum(nulls) / 2 / length)), nulls
