"""Whether a corrected print keeps the budget, and whether the instrument can tell.

The budget is a length error over a distance, wherever that lies on the sheet: what counts is the
direction in which the print strays most.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from protractor.arms.arm import Floats
from protractor.errors import check_range
from protractor.printing.fit import COVERAGE_FACTOR, UNMEASURED_SHEAR, Fit

DEFAULT_BUDGET_MM = 0.1
BUDGET_RANGE_MM = (0.01, 5.0)
OVER_RANGE_MM = (10.0, 500.0)

SURE = 0.95
"""A verdict is given at this probability (JCGM 106:2012, 8.3, binary rule with a guard band)."""

Verdict = Literal["pass", "fail", "cannot tell"]


@cache
def default_over_mm() -> float:
    """Inner null to outer null of Löfgren A on a 12-inch record, along the radius [mm]."""
    from protractor.arms.records import record
    from protractor.arms.schemes import scheme_null_radii

    side = record()
    inner, outer = scheme_null_radii("lofgren-a", side.inner_radius_mm, side.outer_radius_mm)
    return float(outer - inner)


def greatest_strain(scale_x: ArrayLike, scale_y: ArrayLike, shear: ArrayLike) -> Floats:
    """Largest length error per length in any direction of the print.

    Args:
        scale_x: factor of the x axis, any shape [1].
        scale_y: factor of the y axis, broadcast [1].
        shear: sine of the angle out of square, broadcast [1].

    Returns:
        its size without sign, the broadcast shape [1].

    The singular values of A are the factors of the directions that stray most; for A with columns
    of lengths X and Y at a cosine s: their squares are the eigenvalues of [[X², X Y s], [., Y²]].

    >>> round(float(greatest_strain(1.001, 0.998, 0.0)), 6)
    0.002

    Source: the singular values of a 2 x 2 matrix (linear algebra).
    """
    x, y, s = (np.asarray(v, float) for v in (scale_x, scale_y, shear))
    half, spread = (x * x + y * y) / 2, np.hypot((x * x - y * y) / 2, x * y * s)
    strain: Floats = np.maximum(
        np.abs(np.sqrt(half + spread) - 1), np.abs(np.sqrt(np.maximum(half - spread, 0)) - 1)
    )
    return strain


@dataclass(frozen=True, slots=True, kw_only=True)
class Verification:
    """The answer: what strays, how sure that is, and the verdict.

    `error_mm` is the largest error over `over_mm` in any direction by the estimate;
    `expanded_mm` its expanded uncertainty at k = 2; `probability` that the true one keeps
    `budget_mm`; `best_probability` what the same instrument would say of a perfect print;
    `rejection_mm` the error up to which a print that keeps the budget may read.
    """

    verdict: Verdict
    error_mm: float
    expanded_mm: float
    probability: float
    best_probability: float
    rejection_mm: float
    budget_mm: float
    over_mm: float


def verify(
    found: Fit, *, budget_mm: float = DEFAULT_BUDGET_MM, over_mm: float | None = None
) -> Verification:
    """Whether a print keeps the budget, from the fit to the readings on its verification sheet.

    Args:
        found: what the corrected print still does, with its covariance.
        budget_mm: largest error that is allowed [mm].
        over_mm: the distance that it is allowed over [mm]; `default_over_mm` when None.

    Returns:
        the verdict: `pass` when the print keeps the budget with 95 % or more; `fail` when no print
        that keeps it would read as far off in more than 5 % of all readings; else `cannot tell`.

    Raises:
        InputError: for a budget or a distance out of range.

    The probability is the share of 20,000 draws from the normal distribution of (scale_x, scale_y,
    shear) whose `greatest_strain` keeps the budget; the draws are always the same. It cannot serve
    to reject: the greatest strain grows with any error of reading, so that the readings of a print
    close to the budget look worse than it is.

    Source: JCGM 106:2012, 7 (conformance probability), 8.3.2 (guarded acceptance) and 8.3.3
    (guarded rejection; from memory); JCGM 101:2008 (propagation by draws).
    """
    over = default_over_mm() if over_mm is None else over_mm
    check_range("budget", budget_mm, "mm", BUDGET_RANGE_MM, "give a length")
    check_range("over", over, "mm", OVER_RANGE_MM, "give a length")
    centre = np.array([found.scale_x, found.scale_y, found.shear])
    covariance = np.array(found.covariance)
    spread = _draws() @ _root(covariance).T
    errors = over * greatest_strain(*(centre + spread).T)
    perfect = over * greatest_strain(*(np.array([1.0, 1.0, 0.0]) + spread).T)
    probability = float(np.mean(errors <= budget_mm))
    error, rejection = over * float(greatest_strain(*centre)), _rejection(spread, budget_mm, over)
    undecided: Verdict = "fail" if error > rejection else "cannot tell"
    return Verification(
        verdict="pass" if probability >= SURE else undecided,
        error_mm=error,
        expanded_mm=over * COVERAGE_FACTOR * _worst_direction(covariance),
        probability=probability,
        best_probability=float(np.mean(perfect <= budget_mm)),
        rejection_mm=rejection,
        budget_mm=budget_mm,
        over_mm=over,
    )


def _rejection(spread: Floats, budget_mm: float, over_mm: float) -> float:
    """The error that no print within the budget reads beyond in more than 5 % of readings [mm].

    `spread` are draws of what the readings add, shape (n, 3). Worst are prints that use up the
    budget: along both axes, the same way or opposite ways, or by shear.
    """
    few, t = spread[:2500], budget_mm / over_mm
    at_the_edge = [(x * t, y * t, 0.0) for x in (-1, 1) for y in (-1, 1)]
    at_the_edge += [(0.0, 0.0, 2 * t), (0.0, 0.0, -2 * t)]
    read = (np.array([1.0, 1.0, 0.0]) + edge + few for edge in at_the_edge)
    return max(float(np.quantile(over_mm * greatest_strain(*r.T), SURE)) for r in read)


@cache
def _draws() -> Floats:
    """The same 20,000 points of the standard normal distribution in three dimensions, always."""
    draws: Floats = np.random.Generator(np.random.PCG64(60098)).standard_normal((20_000, 3))
    return draws


def _root(covariance: Floats) -> Floats:
    """A matrix B with B Bᵀ = covariance, for a covariance that may be singular."""
    values, vectors = np.linalg.eigh(covariance)
    root: Floats = vectors * np.sqrt(np.maximum(values, 0.0))
    return root


def _worst_direction(covariance: Floats) -> float:
    """Largest standard uncertainty of a length per length, over all directions [1]."""
    angles = np.linspace(0, math.pi, 181)
    cos, sin = np.cos(angles), np.sin(angles)
    slopes = np.stack([cos * cos, sin * sin, cos * sin], axis=-1)
    return float(np.sqrt(np.max(np.einsum("ni,ij,nj->n", slopes, covariance, slopes))))


def advice(result: Verification, printed: Fit, corrected_for: Fit) -> str:
    """What to do after a verdict, in a sentence or two.

    `printed` is the fit to the verification sheet, `corrected_for` that of the profile.
    """
    again = "measure the calibration sheet again and record the printer anew with `force`"
    if result.verdict == "pass":
        return "Sheets printed with this profile, paper and tray keep the budget."
    if result.verdict == "cannot tell" and result.best_probability < SURE:
        if printed.uncertainties[2] > 0.9 * UNMEASURED_SHEAR / math.sqrt(3):
            return (
                "Measure Rising and Falling too: without them nobody knows whether the print is "
                f"square, and it may be out by {100 * UNMEASURED_SHEAR:g} mm per 100 mm."
            )
        return (
            f"Your instrument cannot prove {result.budget_mm:g} mm over {result.over_mm:.1f} mm: "
            f"its uncertainty is ± {result.expanded_mm:.2f} mm. For a proof use calipers or a "
            "better rule, take more readings, or allow a larger `budget`."
        )
    mistake = _mistake(printed, corrected_for)
    if mistake:
        return mistake + (f": {again}." if "recorded" in mistake else "")
    if result.verdict == "fail":
        return (
            "Check that the dialog said 100 % and borderless off, and that paper and tray are the "
            f"profile's. If they were, {again}."
        )
    return f"The print is close to the budget. Take more readings; if that does not help, {again}."


def _mistake(printed: Fit, corrected_for: Fit) -> str:
    """The mistake whose trace is what the print still does, or nothing."""
    here = np.array([printed.scale_x - 1, printed.scale_y - 1, printed.shear])
    x, y, s = corrected_for.scale_x - 1, corrected_for.scale_y - 1, corrected_for.shear
    sure = COVERAGE_FACTOR * np.hypot(printed.uncertainties, corrected_for.uncertainties)
    traces = {
        "It strays just as the printer did before the correction: print the verification sheet, "
        "protractor printer sheet --printer NAME": (x, y, s),
        "X and Y look exchanged when the printer was recorded": (y - x, x - y, 0.0),
        "Rising and falling look exchanged when the printer was recorded": (0.0, 0.0, -2 * s),
    }
    for sentence, trace in traces.items():
        near = np.all(np.abs(here - trace) <= 1.5 * sure)
        if near and np.any(np.abs(trace) > 3 * sure):
            return sentence
    return ""
