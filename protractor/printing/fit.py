"""What a printer does to a drawing, fitted to lengths measured on its print, and how to undo it.

A printer maps a drawing by `A = [[X, Y s], [0, Y sqrt(1 - s²)]]`: X and Y are the factors of the
two axes, s the sine of the angle by which the printed axes are out of square (positive when the
upper right corner leans outward). How the whole print is turned on the paper is of no consequence.
Uncertainties follow JCGM 100:2008 (GUM): readings by their scatter or by what the instrument reads
to, the instrument's own error as a component that all its readings share.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from protractor.arms.arm import Floats
from protractor.errors import InputError
from protractor.printing.readings import DIRECTIONS, Instrument, Measured

COVERAGE_FACTOR = 2.0
"""Expanded uncertainties are stated at k = 2, about 95 % (JCGM 100, 6.3.3)."""

UNMEASURED_SHEAR = 0.005
"""Half width of what the shear is taken to be when no diagonal was measured."""


def least_squares_gain(design: ArrayLike, weights: ArrayLike) -> Floats:
    """How the estimates of weighted least squares move with each observed value.

    Args:
        design: coefficient of each estimate in each value, shape (values, estimates).
        weights: square root of each value's weight, shape (values,).

    Returns:
        G, shape (estimates, values): G y are the estimates, s² G Gᵀ their covariance when every
        value y has the weight 1 and the standard deviation s.

    The temperature correction of a thermometer, intercept and slope about 20 °C:

    >>> gain = least_squares_gain([[1, 1.521], [1, 3.999], [1, 6.511]], [1, 1, 1])
    >>> [round(float(v), 4) for v in gain @ [-0.171, -0.165, -0.160]]
    [-0.1742, 0.0022]

    Source: JCGM 100:2008, H.3 (the whole of its example is a test).
    """
    w = np.asarray(weights, float)
    gain: Floats = np.linalg.pinv(np.asarray(design, float) * w[:, None]) * w
    return gain


def printed_lengths(
    lines: Sequence[str], scale_x: float, scale_y: float, shear: float
) -> tuple[Floats, Floats]:
    """Length of each line on the print per nominal length, and its derivatives.

    Args:
        lines: names in `DIRECTIONS`, n of them.
        scale_x: factor of the x axis [1].
        scale_y: factor of the y axis [1].
        shear: sine of the angle out of square [1].

    Returns:
        the n factors, and the (n, 3) derivatives by scale_x, scale_y and shear [1].

    sqrt(a² X² + b² Y² + 2 a b X Y s) along the direction (a, b).

    >>> [round(float(v), 4) for v in printed_lengths(["x", "rising"], 1.01, 1.01, 0.005)[0]]
    [1.01, 1.0124]

    Source: the length of A (a, b), with A as at the top of this module.
    """
    a, b = np.array([DIRECTIONS[line] for line in lines]).T
    factors = np.sqrt(
        (a * scale_x) ** 2 + (b * scale_y) ** 2 + 2 * a * b * scale_x * scale_y * shear
    )
    slopes = np.stack(
        [
            a * a * scale_x + a * b * scale_y * shear,
            b * b * scale_y + a * b * scale_x * shear,
            a * b * scale_x * scale_y,
        ],
        axis=-1,
    )
    return factors, slopes / factors[:, None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """What a printer does to a drawing: factors of the axes, shear, and how sure they are.

    `covariance` is that of (scale_x, scale_y, shear); `reading_mm` the standard deviation of one
    reading that was reckoned with, the larger of the instrument's and the observed one
    (`scatter_mm`, nan without repeats); `misfit_mm` by how much the diagonals disagree with the
    sides along the four lines, and `misfit_limit_mm` what that may be by chance (four standard
    uncertainties; both nan unless all four were measured).
    """

    scale_x: float
    scale_y: float
    shear: float
    covariance: tuple[tuple[float, float, float], ...]
    reading_mm: float
    scatter_mm: float
    degrees_of_freedom: int
    misfit_mm: float
    misfit_limit_mm: float

    @property
    def uncertainties(self) -> tuple[float, float, float]:
        """Standard uncertainties of scale_x, scale_y and shear [1]."""
        x, y, s = (math.sqrt(self.covariance[i][i]) for i in range(3))
        return x, y, s

    def as_dict(self) -> dict[str, float]:
        """The three numbers and their standard uncertainties under stable keys."""
        numbers = {"scale_x": self.scale_x, "scale_y": self.scale_y, "shear": self.shear}
        unsure = zip(numbers, self.uncertainties, strict=True)
        return numbers | {f"{name}_uncertainty": value for name, value in unsure}

    @property
    def scale_bound_percent(self) -> float:
        """Half width of the even spread that has the larger scale's standard uncertainty [%].

        sqrt(3) u, JCGM 100:2008, 4.3.7: what is left of the print's scale after correction.
        """
        return 100 * math.sqrt(3.0) * max(self.uncertainties[:2])


def fit(measured: Sequence[Measured], instrument: Instrument) -> Fit:
    """Scale and shear of a printer from readings on its print, by weighted least squares.

    Without a diagonal the shear is taken as 0, uncertain within `UNMEASURED_SHEAR`.

    Args:
        measured: readings of `x`, `y` and, if there are, of `rising` and `falling`.
        instrument: what they were read with.

    Returns:
        the fit with the covariance of its three numbers.

    Raises:
        InputError: when `x` or `y` is missing or a line is there twice.

    Gauss and Newton on the means of the lines, each weighted by its number of readings. What all
    readings share is carried through the fit as one further source (JCGM 100:2008, 5.2), and so is
    the rounding of a line whose readings are all alike.

    >>> from protractor.printing.readings import INSTRUMENTS
    >>> lines = [Measured(line=k, nominal_mm=150, readings_mm=(v,))
    ...          for k, v in (("x", 151.5), ("y", 150.0), ("rising", 150.9), ("falling", 150.18))]
    >>> found = fit(lines, INSTRUMENTS["calipers"])
    >>> round(found.scale_x, 3), round(found.scale_y, 3), round(found.shear, 3)
    (1.01, 1.0, 0.005)

    Source: JCGM 100:2008, 4.2 (Type A), 4.3 (Type B), 5.2 and 6.3.
    """
    by_line = _by_line(measured)
    lines = list(by_line)
    counts, nominal, means = np.array(
        [(len(m.readings_mm), m.nominal_mm, m.mean_mm) for m in by_line.values()], float
    ).T
    scatter, free = pooled_scatter(measured)
    reading = max(instrument.reading_mm, scatter) if free else instrument.reading_mm

    found = np.array([by_line["x"].ratio, by_line["y"].ratio, 0.0])
    weights = np.sqrt(counts)
    columns = min(len(lines), 3)
    for _ in range(6):
        factors, slopes = printed_lengths(lines, *found)
        design = (slopes * nominal[:, None])[:, :columns]
        gain = least_squares_gain(design, weights)
        step = gain @ (means - nominal * factors)
        found[:columns] += step
        found[2] = min(0.5, max(-0.5, found[2]))
        if np.max(np.abs(step)) < 1e-13:
            break
    covariance = np.zeros((3, 3))
    covariance[:columns, :columns] = (gain / counts) @ gain.T * reading**2
    alike = [_alike_mm2(one, instrument) for one in by_line.values()]
    covariance[:columns, :columns] += (gain * alike) @ gain.T
    shared = gain @ np.full(len(lines), instrument.shared_mm)
    covariance[:columns, :columns] += np.outer(shared, shared)
    if columns < 3:
        covariance[2, 2] = UNMEASURED_SHEAR**2 / 3

    misfit, limit = math.nan, math.nan
    if len(lines) == 4:
        # the one combination of four lengths that three numbers cannot follow
        odd = np.linalg.svd(design.T)[2][-1]
        odd = odd * np.sign(odd[2])
        misfit = float(odd @ (means - nominal * printed_lengths(lines, *found)[0]))
        scattered = math.sqrt(float(odd**2 @ (reading**2 / counts + alike)))
        limit = 4 * math.hypot(scattered, instrument.shared_mm * float(np.sum(odd)))
    return Fit(
        scale_x=float(found[0]),
        scale_y=float(found[1]),
        shear=float(found[2]),
        covariance=tuple((float(a), float(b), float(c)) for a, b, c in covariance),
        reading_mm=reading,
        scatter_mm=scatter if free else math.nan,
        degrees_of_freedom=free,
        misfit_mm=misfit,
        misfit_limit_mm=limit,
    )


def _alike_mm2(one: Measured, instrument: Instrument) -> float:
    """What the variance of a line's mean has beyond that of its readings over their number [mm²].

    Readings that are all alike have one rounding error, which does not average out.
    """
    count = len(one.readings_mm)
    if count < 2 or max(one.readings_mm) > min(one.readings_mm):
        return 0.0
    return instrument.rounding_mm**2 * (1 - 1 / count)


def _by_line(measured: Sequence[Measured]) -> Mapping[str, Measured]:
    """The readings by line, in the order of `DIRECTIONS`."""
    by_line: dict[str, Measured] = {}
    for one in measured:
        if one.line in by_line:
            raise InputError(one.line, "the line twice", "each line once", "put them together")
        by_line[one.line] = one
    for axis in ("x", "y"):
        if axis not in by_line:
            raise InputError(
                axis, "no reading", "readings of x and of y", f"measure the {axis.upper()} bar too"
            )
    return {line: by_line[line] for line in DIRECTIONS if line in by_line}


def pooled_scatter(measured: Sequence[Measured]) -> tuple[float, int]:
    """Standard deviation of one reading about its line's mean [mm], and its degrees of freedom.

    nan with 0 degrees of freedom when no line was read twice. Source: JCGM 100:2008, 4.2.4.
    """
    free = sum(len(m.readings_mm) - 1 for m in measured)
    if free == 0:
        return math.nan, 0
    squares = math.fsum((r - m.mean_mm) ** 2 for m in measured for r in m.readings_mm)
    return math.sqrt(squares / free), free


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintCorrection:
    """The inverse of what a printer does, with where it comes from.

    `printer` is the profile's name, `date` what the user said (empty when nothing); the three
    numbers are those of `Fit`.
    """

    printer: str
    date: str
    scale_x: float
    scale_y: float
    shear: float

    @property
    def matrix(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Takes the drawing to what must be sent so that the print is true: inverse of A [1]."""
        cosine = math.sqrt(1 - self.shear**2)
        return (
            (1 / self.scale_x, -self.shear / (self.scale_x * cosine)),
            (0.0, 1 / (self.scale_y * cosine)),
        )

    @property
    def statement(self) -> str:
        """One line that says what was done to the sheet, for the sheet."""
        when = f" of {self.date}" if self.date else ""
        return (
            f"Corrected for printer '{self.printer}'{when}: X × {1 / self.scale_x:.5f}, "
            f"Y × {1 / self.scale_y:.5f}, square by {-100 * self.shear:+z.3f} mm per 100 mm. "
            "True on that printer alone."
        )
