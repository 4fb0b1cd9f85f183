r"""An arm on a deck: tracking angle and error, null radii, and where the stylus is.

The frame of every formula, seen from above, the platter turning clockwise, lengths in mm:

      y
      |                                   The angles at the stylus, drawn wider:
      o  pivot (0, d)
      |\
      | \                                         pivot   cartridge  groove
      |  \                                           `.  beta \ error |
      |   \                                            `.      \      |
      |    \                                             `.     \     |
   d  |     \  L                                           `.    \    |
      |      \                                               `.   \   |
      |       \                                                `.  \  |
      |        \                                                 `. \ |
      |         \                                                  `.\|
      |   r      \                                                    *  stylus
      o-----------*  stylus   - - x
      |          ,'
      |___..--'                           phi = beta + error, from the pivot to the groove
  overhang L - d, from the spindle down to the stylus's arc

d is pivot to spindle, L the effective length, r the radius that is played, x never negative. The
cartridge plays toward the front, down the page. Angles, in radians, count clockwise from the line
stylus to pivot: the offset angle beta to the cartridge, the tracking angle phi to the groove. An
error above zero asks for a cartridge turned further in, clockwise. An overhang below zero, called
underhang, is an arc that passes between spindle and pivot. At r = |L - d| stylus, spindle and pivot
stand in one line, phi is 90 degrees (-90 with underhang), and nothing nearer can be reached; nor
can anything beyond r = L + d. Formulas broadcast over numpy arrays and give nan there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from protractor.errors import InputError

Floats = NDArray[np.float64]

LEAST_APART_MM = 0.01
"""Null radii that print the same are one; nearer ones are lost to rounding in the arm's lengths."""

ERROR_SIGN = (
    "+ means that the cartridge points counter-clockwise of the groove, seen from above; "
    "the fan on a sheet counts the other way"
)
"""The sign of a tracking error, in words: wherever one is printed, these go with it."""

PIVOT_TO_SPINDLE_RANGE_MM = (120.0, 500.0)
"""Pivot to spindle of any deck that can exist: children's 7-inch players to long broadcast arms."""


def tracking_angle(
    radius_mm: ArrayLike, pivot_to_spindle_mm: ArrayLike, effective_length_mm: ArrayLike
) -> Floats:
    """Angle between the line stylus to pivot and the groove's tangent.

    At the radius `|L - d|` the stylus is on the line pivot to spindle and the angle is 90°; nan
    where the stylus cannot reach.

    Args:
        radius_mm: distance stylus to spindle, any shape [mm].
        pivot_to_spindle_mm: d, broadcast [mm].
        effective_length_mm: L, broadcast [mm].

    Returns:
        phi, the broadcast shape [rad].

    phi = asin((r² + L² - d²) / (2 r L)); valid for |L - d| <= r <= L + d.

    >>> round(float(np.degrees(tracking_angle(50.8, 190.5, 190.5))), 1)
    7.7

    Source: S. Pramanik, 'Understanding Tonearms', Audio, June 1980. The worked line is the straight
    arm of B. B. Bauer, Electronics, March 1945, who reads 7.6° off his graph.
    """
    r, d, length = (
        np.asarray(v, float) for v in (radius_mm, pivot_to_spindle_mm, effective_length_mm)
    )
    with np.errstate(invalid="ignore", divide="ignore"):
        sine = (r * r + (length - d) * (length + d)) / (2 * r * length)
        angle: Floats = np.arcsin(sine)
    return angle


def tracking_error(
    radius_mm: ArrayLike,
    pivot_to_spindle_mm: ArrayLike,
    effective_length_mm: ArrayLike,
    offset_angle_rad: ArrayLike,
) -> Floats:
    """Tracking angle less offset angle; positive when the cartridge should be turned further in.

    Args:
        radius_mm: distance stylus to spindle, any shape [mm].
        pivot_to_spindle_mm: d, broadcast [mm].
        effective_length_mm: L, broadcast [mm].
        offset_angle_rad: beta, broadcast [rad].

    Returns:
        phi - beta, the broadcast shape [rad]; nan out of reach.

    >>> bool(abs(tracking_error(66.0, 222.0, 239.3, math.radians(23.0))) < math.radians(0.1))
    True

    Source: as `tracking_angle`.
    """
    offset = np.asarray(offset_angle_rad, float)
    error: Floats = tracking_angle(radius_mm, pivot_to_spindle_mm, effective_length_mm) - offset
    return error


def null_radii(
    pivot_to_spindle_mm: ArrayLike, effective_length_mm: ArrayLike, offset_angle_rad: ArrayLike
) -> tuple[Floats, Floats]:
    """The two radii at which the tracking error is zero, inner first.

    nan where there is no such radius; a straight arm with underhang has one null, which is the
    outer of the pair (the inner is then negative and means nothing on a record).

    Args:
        pivot_to_spindle_mm: d, broadcast [mm].
        effective_length_mm: L, broadcast [mm].
        offset_angle_rad: beta, broadcast [rad].

    Returns:
        (r1, r2), each of the broadcast shape [mm].

    Roots of r² - 2 L sin(beta) r + L² - d² = 0.

    >>> [round(float(r), 3) for r in null_radii(222.0, 239.2992, math.radians(22.9904))]
    [65.977, 120.952]

    Source: the zeros of the formula of `tracking_angle`.
    """
    d, length, beta = (
        np.asarray(v, float) for v in (pivot_to_spindle_mm, effective_length_mm, offset_angle_rad)
    )
    half = length * np.sin(beta)
    with np.errstate(invalid="ignore", divide="ignore"):
        spread = np.sqrt(half * half - (length - d) * (length + d))
        outer = half + spread
        # the product form keeps the digits that half - spread would lose
        inner = np.where(outer != 0, (length - d) * (length + d) / outer, half - spread)
    return inner, outer


@dataclass(frozen=True, slots=True, kw_only=True)
class Arm:
    """One arm as it is set up: pivot to spindle, effective length and offset angle.

    Raises `InputError` when a length is not positive and finite or the offset angle is not between
    -60° and 60°.
    """

    pivot_to_spindle_mm: float
    effective_length_mm: float
    offset_angle_rad: float

    def __post_init__(self) -> None:
        for name, value in (
            ("pivot-to-spindle", self.pivot_to_spindle_mm),
            ("effective-length", self.effective_length_mm),
        ):
            if not (math.isfinite(value) and value > 0):
                raise InputError(name, f"{value} mm", "a length above 0 mm", "measure it again")
        if not abs(self.offset_angle_rad) < math.radians(60):
            raise InputError(
                "offset-angle",
                f"{math.degrees(self.offset_angle_rad):g} deg",
                "-60 to 60 degrees",
                "give the angle between the cartridge and the line stylus to pivot",
            )

    @classmethod
    def through_nulls(
        cls,
        null_radii_mm: tuple[float, float],
        *,
        pivot_to_spindle_mm: float | None = None,
        effective_length_mm: float | None = None,
    ) -> Arm:
        """The arm of one given length whose tracking error is zero at two radii.

        Args:
            null_radii_mm: the two radii, inner first, both above zero [mm].
            pivot_to_spindle_mm: d, when it is the length that stays [mm].
            effective_length_mm: L, when it is the length that stays [mm].

        Raises:
            InputError: when the two radii are not above zero, in order and apart, when not
                exactly one length is given, or when no arm of that length has these nulls.

        L² - d² = r1 r2 and 2 L sin(beta) = r1 + r2.

        >>> arm = Arm.through_nulls((65.998, 120.891), pivot_to_spindle_mm=222.0)
        >>> round(arm.overhang_mm, 2), round(arm.offset_angle_deg, 2)
        (17.3, 22.99)

        Source: the zeros of the formula of `tracking_angle`.
        """
        r1, r2 = null_radii_mm
        if not (math.isfinite(r2) and 0 < r1 < r2):
            raise InputError(
                "null-radii",
                f"{r1:g} and {r2:g} mm",
                "two different radii above 0 mm, the inner one first",
                "swap the two, or correct one",
            )
        if r2 - r1 < LEAST_APART_MM:
            raise InputError(
                "null-radii",
                f"{r1:g} and {r2:g} mm",
                f"radii at least {LEAST_APART_MM:g} mm apart",
                "choose radii further apart, or a scheme",
            )
        check_one_length(pivot_to_spindle_mm, effective_length_mm)
        if effective_length_mm is None:
            assert pivot_to_spindle_mm is not None
            d, length = pivot_to_spindle_mm, math.sqrt(pivot_to_spindle_mm**2 + r1 * r2)
        else:
            length = effective_length_mm
            if not length > math.sqrt(r1 * r2):
                raise InputError(
                    "effective-length",
                    f"{length:g} mm",
                    f"over {math.sqrt(r1 * r2):.1f} mm for nulls at {r1:g} and {r2:g} mm",
                    "measure from the pivot's centre to the stylus",
                )
            d = math.sqrt(length**2 - r1 * r2)
        sine = (r1 + r2) / (2 * length)
        if not sine < math.sin(math.radians(60)):
            raise InputError(
                "null-radii",
                f"{r1:g} and {r2:g} mm",
                f"radii that an arm of {length:.1f} mm can reach with an offset under 60 degrees",
                "choose smaller radii or a longer arm",
            )
        return cls(
            pivot_to_spindle_mm=d, effective_length_mm=length, offset_angle_rad=math.asin(sine)
        )

    @property
    def overhang_mm(self) -> float:
        """Effective length less pivot to spindle [mm]; negative is underhang."""
        return self.effective_length_mm - self.pivot_to_spindle_mm

    @property
    def offset_angle_deg(self) -> float:
        """Offset angle [deg]."""
        return math.degrees(self.offset_angle_rad)

    @property
    def linear_offset_mm(self) -> float:
        """L sin(beta): distance of the pivot from the cartridge's axis [mm]."""
        return self.effective_length_mm * math.sin(self.offset_angle_rad)

    @property
    def null_radii_mm(self) -> tuple[float, float]:
        """Inner and outer null radius [mm]; nan where there is none."""
        inner, outer = null_radii(
            self.pivot_to_spindle_mm, self.effective_length_mm, self.offset_angle_rad
        )
        return float(inner), float(outer)

    @property
    def reach_mm(self) -> tuple[float, float]:
        """Smallest and largest radius that the stylus can reach [mm]."""
        return abs(self.overhang_mm), self.effective_length_mm + self.pivot_to_spindle_mm

    def tracking_angle(self, radius_mm: ArrayLike) -> Floats:
        """`tracking_angle` of this arm at radii [mm] of any shape, in radians."""
        return tracking_angle(radius_mm, self.pivot_to_spindle_mm, self.effective_length_mm)

    def tracking_error(self, radius_mm: ArrayLike) -> Floats:
        """`tracking_error` of this arm at radii [mm] of any shape, in radians."""
        return self.tracking_angle(radius_mm) - self.offset_angle_rad

    def stylus(self, radius_mm: ArrayLike) -> Floats:
        """Where the stylus is when it plays at a radius [mm] of any shape.

        Returns points (x, y) in a new last axis [mm], spindle in the origin, pivot at (0, d); nan
        out of reach. Source: the law of cosines in the triangle spindle, pivot, stylus.
        """
        r = np.asarray(radius_mm, float)
        d, length = self.pivot_to_spindle_mm, self.effective_length_mm
        with np.errstate(invalid="ignore", divide="ignore"):
            y = (r * r - (length - d) * (length + d)) / (2 * d)
            x = np.sqrt((r - y) * (r + y))
        return np.stack([x, y], axis=-1)


def check_one_length(
    pivot_to_spindle_mm: float | None,
    effective_length_mm: float | None,
    remedy: str = "give the one that you measured",
) -> None:
    """Raise `InputError` unless one of the two lengths is given and the other is not."""
    if (pivot_to_spindle_mm is None) == (effective_length_mm is None):
        raise InputError(
            "pivot-to-spindle",
            "neither length" if pivot_to_spindle_mm is None else "both lengths",
            "one of pivot-to-spindle and effective-length",
            remedy,
        )


def check_reach(arm: Arm, radii_mm: dict[str, float]) -> None:
    """Raise `InputError` for the first of the named radii [mm] that the arm cannot reach."""
    low, high = arm.reach_mm
    for name, radius in radii_mm.items():
        if not low < radius < high:
            raise InputError(
                name,
                f"{radius:g} mm",
                f"{low:.1f} to {high:.1f} mm, what this arm's stylus can reach",
                "choose another radius, or check the arm's length",
            )
