"""The arm that statements amount to: what they leave open, how sure it is, and what is odd."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from protractor.alignments.alignment import Alignment
from protractor.alignments.closest import STRAIGHT_BELOW_RAD, closest_scheme
from protractor.arms.arm import Floats, null_radii
from protractor.arms.distortion import side_nodes
from protractor.arms.extrema import peak_tracking_errors, peak_weighted_errors
from protractor.arms.records import Record
from protractor.arms.schemes import DEFAULT_SCHEME, SCHEMES, scheme_null_radii
from protractor.arms.straight import single_null_radius, straight_arm
from protractor.errors import InputError
from protractor.setup.consistency import Statement, impossible_pair
from protractor.setup.estimate import Estimate, Kind, Observation, estimate, interval, null_at
from protractor.setup.tolerance import harmonic_percent

STRAYS_RAD = math.radians(1.0)
"""From this on the closest scheme is not close."""

NO_ALIGNMENT_PERCENT = 10.0
"""Beyond this a second harmonic only says that nothing is aligned."""

LOOSE_NULL_MM = 8.0
"""A null radius whose 95 % interval is wider than this is hardly settled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """The arm that the statements amount to, but for those that are left out.

    `assumed` is the scheme that what the statements leave open was taken from. `uncertainty` and
    `intervals` (95 %) go by the keys of `Alignment.as_dict`; None where assumed. The closest scheme
    is `alignment.scheme`, and tracking differs from its own by up to `closest_difference_deg` over
    the side. `remarks` are sentences on what is odd.
    """

    alignment: Alignment
    assumed: str | None
    uncertainty: dict[str, Any]
    intervals: dict[str, Any]
    closest_difference_deg: float
    best: Alignment
    remarks: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """The arm under the keys of `solve`, each with its `_u` and `_95`."""
        arm = self.alignment.as_dict()
        arm |= {f"{key}_u": value for key, value in self.uncertainty.items()}
        return arm | {f"{key}_95": value for key, value in self.intervals.items()}


def remarks(alignment: Alignment, intervals: dict[str, Any]) -> Iterator[str]:
    """What is odd about an arm, in sentences."""
    arm = alignment.arm
    if arm.overhang_mm < 0 and abs(arm.offset_angle_rad) >= STRAIGHT_BELOW_RAD:
        yield (
            f"An underhung arm with an offset of {arm.offset_angle_deg:.0f} deg has no null "
            "radius on a record: check the sign of the overhang."
        )
    if alignment.peak_second_harmonic_percent > NO_ALIGNMENT_PERCENT:
        yield (
            f"A second harmonic over {NO_ALIGNMENT_PERCENT:g} % means that this arm is not "
            "aligned for the record at all: check the statements and their units."
        )
    loose = [
        f"the {name} one is anything from {low:.0f} to {high:.0f} mm"
        for name, (low, high) in zip(("inner", "outer"), intervals["null_radii_mm"], strict=True)
        if low is not None and high is not None and high - low > LOOSE_NULL_MM
    ]
    if loose:
        yield (
            f"The null radii are hardly settled: {', '.join(loose)}. Measure overhang and offset "
            "more closely."
        )


def settle(
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


def spread(
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
            deviations.append(finite(_deviation(row, middle)) if known[key] else None)
            ranges.append([finite(v) if known[key] else None for v in _about(middle, row)])
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


def finite(value: float) -> float | None:
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
