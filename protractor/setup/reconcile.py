"""Several statements about one arm: do they agree, which one does not, and what arm is it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from protractor.alignments.alignment import Alignment
from protractor.alignments.closest import (
    STRAIGHT_BELOW_RAD,
    best_scheme,
    closest_scheme,
)
from protractor.arms.arm import Floats, null_radii
from protractor.arms.distortion import DEFAULT_VELOCITY_CM_S, side_nodes
from protractor.arms.extrema import peak_tracking_errors, peak_weighted_errors
from protractor.arms.pivot_height import horizontal_length
from protractor.arms.records import Record
from protractor.arms.schemes import DEFAULT_SCHEME, SCHEMES, scheme_null_radii
from protractor.arms.straight import single_null_radius, straight_arm
from protractor.errors import InputError
from protractor.setup.consistency import (
    AGREED,
    Statement,
    check_enough,
    check_possible,
    find_suspect,
    fit_statements,
    impossible_pair,
    label_statements,
    no_arm,
    off_by,
)
from protractor.setup.estimate import Estimate, Kind, Observation, estimate, interval, null_at
from protractor.setup.tolerance import harmonic_percent


@dataclass(frozen=True, slots=True, kw_only=True)
class Reconciliation:
    """What the statements amount to.

    `factor` is the least factor by which all bounds would have to grow for one arm to fulfil them:
    up to 1 they agree; it is infinite when the search for one arm leads nowhere. `conflict` are the
    fewest statements that cannot be one arm; `candidates` those of which one alone, left out, makes
    the rest agree; `suspect` is the likeliest of them, or None when nothing tells them apart;
    `suspect_off` is how far it is from what the others say. `assumed` is the scheme that what the
    statements leave open was taken from. `uncertainty` and `intervals` (95 %) go by the keys of
    `Alignment.as_dict`; None where assumed.
    """

    agrees: bool
    factor: float
    conflict: tuple[str, ...]
    candidates: tuple[str, ...]
    suspect: str | None
    suspect_off: float | None
    alignment: Alignment
    assumed: str | None
    uncertainty: dict[str, Any]
    intervals: dict[str, Any]
    closest_difference_deg: float
    best: Alignment

    def as_dict(self) -> dict[str, Any]:
        """Everything under the stable keys of `--json`; the arm's keys are those of `solve`."""
        arm = self.alignment.as_dict()
        arm |= {f"{key}_u": value for key, value in self.uncertainty.items()}
        arm |= {f"{key}_95": value for key, value in self.intervals.items()}
        return {
            "agrees": self.agrees,
            "suspect": self.suspect,
            "suspect_off": self.suspect_off,
            "conflict": list(self.conflict),
            "candidates": list(self.candidates),
            "factor": _finite(self.factor),
            "assumed": self.assumed,
            "arm": arm,
            "closest_scheme": self.alignment.scheme,
            "closest_difference_deg": self.closest_difference_deg,
            "best_scheme": self.best.scheme,
            "best": self.best.as_dict(),
        }


def reconcile_statements(
    statements: Sequence[Statement],
    record: Record,
    *,
    pivot_height_mm: float = 0.0,
    velocity_cm_s: float = DEFAULT_VELOCITY_CM_S,
    velocity_is: str = "peak",
) -> Reconciliation:
    """Whether statements about one arm agree, which is off, and the arm that fits them best.

    Args:
        statements: two or more; null radii count as two numbers, inner before outer, that stand
            or fall together.
        record: the record that the arm is judged on.
        pivot_height_mm: pivot above the record; a stated effective length is then the slope from
            pivot to stylus, and its horizontal projection is used [mm].
        velocity_cm_s: as in `solve`.
        velocity_is: as in `solve`.

    Returns:
        the reconciliation.

    Raises:
        InputError: for one statement alone, statements that leave the arm's size open, and
            statements that no arm can fulfil even roughly.

    >>> from protractor.arms.records import record
    >>> from protractor.setup.statements import read_statement as read
    >>> found = reconcile_statements(
    ...     [read("pivot-to-spindle", "222"), read("effective-length", "239.3"),
    ...      read("overhang", "17.3"), read("offset-angle", "23"), read("linear-offset", "88.0")],
    ...     record(),
    ... )
    >>> found.agrees, found.suspect, found.alignment.scheme
    (False, 'linear-offset', 'lofgren-a')

    Source: JCGM 100:2008 and 101:2008; E. W. Cheney 1966 for the conflict.
    """
    statements = [_in_plane(s, pivot_height_mm) for s in statements]
    check_enough(statements)
    check_possible(statements)
    statements = label_statements(statements)
    try:
        return _judge(statements, record, velocity_cm_s, velocity_is)
    except InputError as error:
        if error.name in [s.label for s in statements]:
            raise
        # the search left what an arm can be: its numbers are none that the user gave
        raise no_arm(statements) from error


def _judge(
    statements: Sequence[Statement], record: Record, velocity_cm_s: float, velocity_is: str
) -> Reconciliation:
    """What labelled statements that may be one arm amount to."""
    fit = fit_statements(statements)
    factor, conflict = math.inf, tuple(dict.fromkeys(s.label for s in statements))
    if fit.converged:
        factor, conflict = fit.conflict()
    agrees = factor <= AGREED
    candidates: dict[str, Estimate] = {}
    suspect, off = None, None
    if not agrees:
        candidates, suspect = find_suspect(statements, record)
    if suspect is not None:
        fit = candidates[suspect]
        off = off_by([s for s in statements if s.label == suspect], fit)
    d, length, beta = fit.theta
    # false for nan as well
    if not (d > 0 and length > 0 and abs(beta) < math.radians(60)):
        raise no_arm(statements)
    fit, assumed = _settle(fit, record, statements)
    near, far = fit.arm.reach_mm
    if not (near < record.inner_radius_mm and record.outer_radius_mm < far):
        raise no_arm(statements)
    closest, difference = closest_scheme(fit.arm, record)
    alignment = Alignment(
        arm=fit.arm,
        scheme=closest,
        record=record,
        velocity_cm_s=velocity_cm_s,
        velocity_is=velocity_is,
    )
    uncertainty, intervals = _spread(fit, alignment, assumed is None)
    return Reconciliation(
        agrees=agrees,
        factor=factor,
        conflict=() if agrees else conflict,
        candidates=tuple(candidates),
        suspect=suspect,
        suspect_off=off,
        alignment=alignment,
        assumed=assumed,
        uncertainty=uncertainty,
        intervals=intervals,
        closest_difference_deg=math.degrees(difference),
        best=best_scheme(alignment),
    )


def _settle(
    fit: Estimate, record: Record, statements: Sequence[Statement]
) -> tuple[Estimate, str | None]:
    """The fit with what it leaves open taken from the scheme that it comes closest to.

    Raises `InputError` when the statements leave the arm's size open.
    """
    if fit.rank == 3:
        return fit, None
    options: list[tuple[float, Estimate, str]] = []
    start, straight = fit.arm, abs(fit.arm.offset_angle_rad) < STRAIGHT_BELOW_RAD
    # an offset that is stated, and next to none: what is open is the scheme's single null
    straight = straight and start.overhang_mm >= 0
    if straight:
        start = straight_arm(DEFAULT_SCHEME, record, pivot_to_spindle_mm=start.pivot_to_spindle_mm)
    for scheme in SCHEMES:
        for extra in _open_in(scheme, record, straight, fit.arm.overhang_mm < 0):
            more = estimate([*fit.observations, extra], start)
            if more.rank == 3 and more.converged:
                what = "a straight arm" if extra.kind == "offset-angle" else scheme
                options.append((closest_scheme(more.arm, record, (scheme,))[1], more, what))
                break
    if fit.rank < 2 or not options:
        names = list(dict.fromkeys(o.name for o in fit.observations))
        wanted = ("pivot-to-spindle", "effective-length", "offset-angle")
        raise impossible_pair(statements) or InputError(
            names[0],
            "nothing that settles the size of the arm",
            f"that beside {', '.join(names)}",
            "add " + " or ".join(name for name in wanted if name not in names),
        )
    _, best, scheme = min(options, key=lambda option: option[0])
    return best, scheme


def _open_in(
    scheme: str, record: Record, straight: bool, underhung: bool
) -> tuple[Observation, ...]:
    """What a scheme can settle of an arm, each worth trying when the one before settles nothing."""
    edges = record.inner_radius_mm, record.outer_radius_mm
    if straight:
        return (null_at(float(single_null_radius(scheme, *edges)), 1e-8, "a scheme"),)
    inner, outer = (float(radius) for radius in scheme_null_radii(scheme, *edges))
    # an underhung arm is straight: there is no linear offset to take
    kind: Kind = "offset-angle" if underhung else "linear-offset"
    value, bound = (0.0, 1e-8) if underhung else ((inner + outer) / 2, 1e-6)
    offset = Observation(name="a scheme", kind=kind, value=value, bound=bound)
    return offset, null_at(outer, 1e-8, "a scheme")


def _spread(
    fit: Estimate, alignment: Alignment, sure: bool
) -> tuple[dict[str, Any], dict[str, Any]]:
    """Standard uncertainties and 95 % intervals by the keys of `Alignment.as_dict`."""
    sample = _quantities(fit.draws(), alignment)
    centre = _quantities(fit.theta[:, None], alignment)
    known = dict.fromkeys(sample, True)
    if not sure:
        # along what was assumed the statements say nothing: what moves there is not known
        _, _, right = np.linalg.svd(fit.jacobian[:-1])
        moved = _quantities(np.stack([fit.theta, fit.theta + 1e-3 * right[2]], axis=-1), alignment)
        known = {
            key: bool(np.all(np.abs(v[..., 1] - v[..., 0]) <= 1e-9 * (1 + np.abs(v[..., 0]))))
            for key, v in moved.items()
        }
    uncertainty: dict[str, Any] = {}
    intervals: dict[str, Any] = {}
    for key, values in sample.items():
        deviations: list[float | None] = []
        ranges: list[list[float | None]] = []
        for row, middle in zip(np.atleast_2d(values), np.ravel(centre[key]), strict=True):
            deviations.append(_finite(_deviation(row, middle)) if known[key] else None)
            ranges.append([_finite(v) if known[key] else None for v in _about(middle, row)])
        uncertainty[key] = deviations if values.ndim == 2 else deviations[0]
        intervals[key] = ranges if values.ndim == 2 else ranges[0]
    return uncertainty, intervals


def _about(centre: float, values: Floats) -> tuple[float, float]:
    """The 95 % interval of the values, widened to the estimate.

    An estimate can lie outside: at the scheme of least distortion every other arm costs more.
    """
    low, high = interval(values)
    return (min(low, centre), max(high, centre)) if math.isfinite(centre) else (low, high)


def _deviation(values: Floats, centre: float) -> float:
    """Root mean square distance of the finite values from the estimate."""
    kept = values[np.isfinite(values)]
    return float(np.sqrt(np.mean((kept - centre) ** 2))) if kept.size else math.nan


def _finite(value: float) -> float | None:
    """The value, or None for what is not a number."""
    return value if math.isfinite(value) else None


def _quantities(theta: Floats, alignment: Alignment) -> dict[str, Floats]:
    """The numbers of arms `theta` (3, n) by the keys of `Alignment.as_dict`."""
    d, length, beta = theta
    side = alignment.record
    percent = harmonic_percent(alignment, side)
    radii, weights = side_nodes(side, 12)
    step = max(1, len(d) // 2000)
    p, few = (length - d) * (length + d), length[::step]
    with np.errstate(invalid="ignore"):
        sine = (radii[:, None] + p[::step] / radii[:, None]) / (2 * few)
        error = np.arcsin(sine) - beta[::step]
    return {
        "pivot_to_spindle_mm": d,
        "effective_length_mm": length,
        "overhang_mm": length - d,
        "offset_angle_deg": np.degrees(beta),
        "linear_offset_mm": length * np.sin(beta),
        "null_radii_mm": np.stack(null_radii(d, length, beta)),
        "peak_tracking_error_deg": np.degrees(peak_tracking_errors(d, length, beta, side)),
        "rms_tracking_error_deg": np.degrees(np.sqrt(weights @ error**2)),
        "peak_second_harmonic_percent": percent * peak_weighted_errors(d, length, beta, side),
        "rms_second_harmonic_percent": percent
        * np.sqrt(weights @ (np.tan(error) / radii[:, None]) ** 2),
    }


def _in_plane(statement: Statement, pivot_height_mm: float) -> Statement:
    """An effective length along the slope as its projection; others as they are."""
    if statement.name != "effective-length" or pivot_height_mm == 0:
        return statement
    length = float(horizontal_length(statement.value, pivot_height_mm))
    if not length > statement.value / 2:
        raise InputError(
            "pivot-height",
            f"{pivot_height_mm:g} mm",
            f"well under the effective length of {statement.value:g} mm",
            "give the height of the pivot above the record",
        )
    return replace(statement, value=length)
