"""An arm while one of its lengths moves and the other stays.

The place of the arm is told by `p = L² - d²`, the product of the null radii: it grows with the
overhang whichever length moves. On a finished deck d stays and the cartridge slides; on a new arm
board L stays and the hole for the pivot moves.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from protractor.arms.arm import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Moving:
    """Arms of which one length stays.

    `fixed_mm` is that length, any shape; `slides` tells whether it is d, so that the effective
    length moves, or L, so that pivot to spindle moves.
    """

    fixed_mm: Floats
    slides: bool

    def effective_length(self, p: Floats) -> Floats:
        """L at the place p [mm]."""
        if not self.slides:
            return self.fixed_mm + 0 * p
        length: Floats = np.sqrt(self.fixed_mm**2 + p)
        return length

    def pivot_to_spindle(self, p: Floats) -> Floats:
        """d at the place p [mm]."""
        if self.slides:
            return self.fixed_mm + 0 * p
        distance: Floats = np.sqrt(self.fixed_mm**2 - p)
        return distance

    def place(self, overhang_mm: Floats) -> Floats:
        """p at an overhang [mm²]."""
        sign = 1.0 if self.slides else -1.0
        place: Floats = overhang_mm * (2 * self.fixed_mm + sign * overhang_mm)
        return place

    def overhang(self, p: Floats) -> Floats:
        """Overhang at the place p [mm], without the loss of digits of a difference."""
        return p / (self.effective_length(p) + self.pivot_to_spindle(p))

    def places(self, nearest_mm: Floats, farthest_mm: Floats) -> tuple[Floats, Floats]:
        """Least and greatest p at which the stylus plays between two radii as arms do [mm²].

        That is |L - d| < nearest, with 2 % to spare, and farthest² < L² + d²: the arm does not
        swing beyond a right angle to the line pivot to spindle, where the tracking angle would
        fall again with growing overhang.
        """
        most = self.place(0.98 * nearest_mm + 0 * self.fixed_mm)
        least = self.place(-0.98 * nearest_mm + 0 * self.fixed_mm)
        swing = farthest_mm**2 - 2 * self.fixed_mm**2
        if self.slides:
            return np.maximum(least, swing), most
        return least, np.minimum(most, -swing)

    def place_of_null(self, radius_mm: Floats, offset_angle_rad: Floats) -> Floats:
        """p at which an offset angle gives a null at a radius [mm²]; nan when none does.

        Solves r² + p = 2 r L sin(beta).
        """
        sine: Floats = np.sin(offset_angle_rad)
        if not self.slides:
            return radius_mm * (2 * self.fixed_mm * sine - radius_mm)
        with np.errstate(invalid="ignore"):
            rest: Floats = np.sqrt(self.fixed_mm**2 - radius_mm**2 * (1 - sine * sine))
        length = np.where(radius_mm * sine + rest > 0, radius_mm * sine + rest, np.nan)
        return (length - self.fixed_mm) * (length + self.fixed_mm)

    def offset_of(
        self, linear_offset_mm: Floats
    ) -> Callable[[Floats], tuple[Floats, Floats, Floats]]:
        """Offset angle with its two derivatives by p, for an L sin(beta) that stays."""
        moves = 1.0 if self.slides else 0.0

        def offset(p: Floats) -> tuple[Floats, Floats, Floats]:
            length = self.effective_length(p)
            sine = linear_offset_mm / length
            first = -moves * sine / (2 * length**2)
            second = 3 * moves * sine / (4 * length**4)
            cosine = np.sqrt(1 - sine * sine)
            return (
                np.arcsin(sine),
                first / cosine,
                second / cosine + sine * first * first / cosine**3,
            )

        return offset

    def places_of_linear_offset(
        self, linear_offset_mm: Floats, low_rad: Floats, high_rad: Floats
    ) -> tuple[Floats, Floats]:
        """Least and greatest p at which a linear offset above 0 needs an angle between two.

        The first is greater than the second when there is none.
        """
        everywhere = np.full_like(linear_offset_mm, np.inf)
        if not self.slides:
            angle = np.arcsin(linear_offset_mm / self.fixed_mm)
            fits = (angle >= low_rad) & (angle <= high_rad)
            return np.where(fits, -everywhere, everywhere), np.where(fits, everywhere, -everywhere)
        squares = [
            (linear_offset_mm / np.sin(v)) ** 2 - self.fixed_mm**2 for v in (high_rad, low_rad)
        ]
        return (
            np.where(high_rad > 0, squares[0], everywhere),
            np.where(low_rad > 0, squares[1], everywhere),
        )

    def angle(self, radius_mm: Floats, p: Floats) -> tuple[Floats, Floats, Floats]:
        """Tracking angle and its first and second derivative by p [rad, rad/mm², rad/mm⁴].

        From sin(phi) = (r² + p) / (2 r L) with L' = 1 / (2 L) when L moves, 0 when it stays.
        """
        length = self.effective_length(p)
        moves = 1.0 if self.slides else 0.0
        rate = moves / (2 * length * length)
        with np.errstate(invalid="ignore", divide="ignore"):
            sine = (radius_mm * radius_mm + p) / (2 * radius_mm * length)
            cosine = np.sqrt(1 - sine * sine)
            plain = 1 / (2 * radius_mm * length)
            first = plain - rate * sine
            second = 2 * rate * rate * sine - rate * (plain + first)
            return (
                np.arcsin(sine),
                first / cosine,
                second / cosine + sine * first * first / cosine**3,
            )

    def slopes(self, radius_mm: Floats, p: Floats) -> tuple[Floats, Floats, Floats]:
        """Tracking angle and its first and second derivative by radius [rad, rad/mm, rad/mm²]."""
        length = self.effective_length(p)
        with np.errstate(invalid="ignore", divide="ignore"):
            sine = (radius_mm * radius_mm + p) / (2 * radius_mm * length)
            cosine = np.sqrt(1 - sine * sine)
            first = (1 - p / (radius_mm * radius_mm)) / (2 * length)
            second = p / (radius_mm**3 * length)
            return (
                np.arcsin(sine),
                first / cosine,
                second / cosine + sine * first * first / cosine**3,
            )
