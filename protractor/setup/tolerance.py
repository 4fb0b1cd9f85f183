"""How sure a set-up is: from measuring, printing and seeing to the tracking error that results.

Linear propagation (JCGM 100) and Monte Carlo (JCGM 101) through `protractor.setup.model`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import asdict, dataclass, replace
from typing import Any

import numpy as np

from protractor.alignments.alignment import Alignment
from protractor.arms.arm import Floats, tracking_error
from protractor.arms.distortion import side_nodes, weighted_turning_radius
from protractor.arms.extrema import peak_tracking_errors, peak_weighted_errors
from protractor.arms.records import Record
from protractor.errors import InputError, named
from protractor.setup.bounds import DEFAULT_DRAWS, DRAWS_RANGE, SEED, SetupBounds
from protractor.setup.model import (
    CAUSES,
    draw,
    generator,
    name_and_unit,
    resulting_arms,
    standard_uncertainties,
)

CHUNK = 16384
"""Draws worked on at once: their numbers stay in the processor's cache."""

COMPARED_DRAWS = 100_000
"""Draws on which linear propagation is compared with Monte Carlo, and single causes left out."""

REMEDIES = {
    "pivot_to_spindle_mm": "measure pivot to spindle with the pivot gauge, three times",
    "print_scale_percent": "measure the printed bars over 150 mm or more and correct the printer",
    "hole_play_mm": "make the sheet sit on the spindle without play: slits, not a hole",
    "aim_mm": "aim the sight line at the pivot's centre with a thread or a straight edge",
    "arc_mm": "watch tip and arc through a magnifier, under a lamp from the side",
    "grid_deg": "read the fan by a pointer of card laid on the cartridge's flat front",
    "zenith_deg": "take the cartridge out and lay it with the stylus up, where nothing can touch "
    "it; from straight above the tip, through a microscope of 100 times or more, measure the "
    "angle from the body's side to the line of the diamond's two contact edges: a picture"
    " shows it to ± 0.5 deg. A loupe shows the cantilever alone, and a view from in front"
    " shows azimuth, which is another angle. In this view from below, a stylus clockwise "
    "of the body has a `zenith` below 0. Give it when you draw the sheet, or with the "
    "readings of a sheet drawn without it, and set `zenith-bound` to 0.5",
}
"""What makes each cause smaller.

Zenith: 100 times with an aperture of 0.2 resolve 1.5 um (E. Abbe: wavelength over twice the
aperture), which is 0.4 deg on a shank 0.2 mm wide; a loupe of ten times resolves 15 um, 4 deg of
it, but 0.2 deg on a cantilever of 5 mm (sizes from memory).
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """A number's value when all is right, and the median and 95 % of what may result."""

    nominal: float
    median: float
    p95: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Certainty:
    """A number's value and its standard uncertainty by linear propagation and by Monte Carlo."""

    name: str
    unit: str
    value: float
    u_linear: float
    u_monte_carlo: float
    u_monte_carlo_error: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One cause: its bound, its share of the variance, and the 95 % distortion without it [%]."""

    name: str
    bound: float
    unit: str
    share_percent: float
    peak_second_harmonic_percent_p95_without: float
    remedy: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """How sure a set-up is.

    `peak_error_deg` and `peak_harmonic_percent` are over the side; `certainties` compare the two
    ways of propagation; `causes` are in the order of their share, the dominant one first.
    """

    alignment: Alignment
    bounds: SetupBounds
    draws: int
    seed: int
    peak_error_deg: Spread
    peak_harmonic_percent: Spread
    certainties: tuple[Certainty, ...]
    causes: tuple[Cause, ...]

    @property
    def certain(self) -> bool:
        """Whether no cause counts at all: every bound is 0."""
        return self.causes[0].share_percent == 0

    def as_dict(self) -> dict[str, Any]:
        """Everything under the stable keys of `--json`, with the keys of `solve` under `target`."""
        return {
            "target": self.alignment.as_dict(),
            "draws": self.draws,
            "seed": self.seed,
            "peak_tracking_error_deg": asdict(self.peak_error_deg),
            "peak_second_harmonic_percent": asdict(self.peak_harmonic_percent),
            "certainties": [asdict(certainty) for certainty in self.certainties],
            "dominant": None if self.certain else self.causes[0].name,
            "improve_first": None if self.certain else named(self.causes[0].remedy),
            "contributions": [asdict(cause) for cause in self.causes],
        }


def harmonic_percent(alignment: Alignment, record: Record) -> float:
    """Factor from tan|error| / r [1/mm] on a record to the second harmonic as stated [%]."""
    omega = record.rpm * 2 * math.pi / 60
    return 100 * 10 * alignment.peak_velocity_cm_s / omega * alignment.equalisation.factor()


def peaks(
    alignment: Alignment,
    bounds: SetupBounds,
    count: int,
    seed: int = SEED,
    progress: Callable[[int], None] | None = None,
) -> tuple[Floats, Floats]:
    """Peak tracking error and second harmonic over the side of `count` set-ups.

    Args:
        alignment: what the sheet was drawn for.
        bounds: bounds of the causes.
        count: number of draws.
        seed: of the draws; the same seed gives the same draws.
        progress: called with the number of draws done in each step.

    Returns:
        (errors, harmonics), each of shape (count,) [rad, 1].

    Source: propagation of distributions, JCGM 101:2008, ch. 7; `protractor.arms.extrema`.
    """
    rng = generator(seed)
    errors, harmonics = np.zeros(count), np.zeros(count)
    sides = [(side, harmonic_percent(alignment, side) / 100) for side in alignment.played.records]
    for start in range(0, count, CHUNK):
        part = slice(start, min(start + CHUNK, count))
        arms = resulting_arms(alignment, draw(bounds, part.stop - start, rng))
        for side, factor in sides:
            np.maximum(errors[part], peak_tracking_errors(*arms, side), out=errors[part])
            weighted = factor * peak_weighted_errors(*arms, side)
            np.maximum(harmonics[part], weighted, out=harmonics[part])
        if progress is not None:
            progress(part.stop - start)
    return errors, harmonics


def tolerance(
    alignment: Alignment,
    bounds: SetupBounds | None = None,
    *,
    draws: int = DEFAULT_DRAWS,
    seed: int = SEED,
    progress: Callable[[int], None] | None = None,
) -> Tolerance:
    """How sure a set-up of an alignment is, and what to improve first.

    Args:
        alignment: what the sheet was drawn for.
        bounds: bounds of the causes; default those of `SetupBounds`.
        draws: number of Monte Carlo draws.
        seed: of the draws.
        progress: called with the number of draws done in each step.

    Raises:
        InputError: for a number of draws that is out of range, an arm without a null, and an arm
            that may not reach the record.

    >>> from protractor.alignments.align import align
    >>> from protractor.alignments.deck import Deck
    >>> sure = tolerance(align(Deck(pivot_to_spindle_mm=222.0)), draws=2000)
    >>> sure.causes[0].name
    'zenith'

    Source: JCGM 100:2008, 5.1 (linear); JCGM 101:2008, ch. 7 (Monte Carlo).
    """
    bounds = SetupBounds() if bounds is None else bounds
    if not DRAWS_RANGE[0] <= draws <= DRAWS_RANGE[1]:
        raise InputError(
            "draws",
            draws,
            f"{DRAWS_RANGE[0]} to {DRAWS_RANGE[1]}",
            f"{DEFAULT_DRAWS} settle the second digit",
        )
    arm = alignment.arm
    if not any(arm.reach_mm[0] < r < arm.reach_mm[1] for r in arm.null_radii_mm):
        raise InputError(
            "null-radii",
            "an arm without a null that it reaches",
            "an arm with a null radius, where its sheet has a target",
            "choose other limits or another scheme",
        )
    compared = min(draws, COMPARED_DRAWS)
    # an arm that fails the record shows as nan
    with np.errstate(invalid="ignore", divide="ignore"):
        errors, harmonics = peaks(alignment, bounds, draws, seed, progress)
        certainties = _certainties(alignment, bounds, compared, seed)
        causes = _causes(alignment, bounds, compared, seed)
    figures = [c.u_monte_carlo + c.u_linear for c in certainties]
    figures += [c.peak_second_harmonic_percent_p95_without + c.share_percent for c in causes]
    if not (np.all(np.isfinite(errors + harmonics)) and np.all(np.isfinite(figures))):
        raise InputError(
            "inner-radius",
            "an arm that by these bounds may fail the record",
            f"radii well within {arm.reach_mm[0]:.1f} to {arm.reach_mm[1]:.1f} mm, its reach",
            "choose another record or smaller bounds",
        )
    return Tolerance(
        alignment=alignment,
        bounds=bounds,
        draws=draws,
        seed=seed,
        peak_error_deg=_spread(np.degrees(errors), alignment.peak_tracking_error_deg),
        peak_harmonic_percent=_spread(100 * harmonics, alignment.peak_second_harmonic_percent),
        certainties=certainties,
        causes=causes,
    )


def _spread(sample: Floats, nominal: float) -> Spread:
    median, most = np.quantile(sample, [0.5, 0.95])
    return Spread(nominal=nominal, median=float(median), p95=float(most))


def _certainties(
    alignment: Alignment, bounds: SetupBounds, count: int, seed: int
) -> tuple[Certainty, ...]:
    """Overhang, offset angle and the error at three radii, propagated in both ways."""
    side, turn = alignment.record, weighted_turning_radius(alignment.arm)
    inner, outer = side.inner_radius_mm, side.outer_radius_mm
    radii = [inner, turn, outer] if inner < turn < outer else [inner, outer]
    names = [
        ("overhang", "mm"),
        ("offset angle", "deg"),
        *((f"error at {r:.1f} mm", "deg") for r in radii),
    ]

    def outputs(errors: Floats) -> Floats:
        d, length, beta = resulting_arms(alignment, errors)
        at = np.degrees([tracking_error(r, d, length, beta) for r in radii])
        return np.vstack([length - d, np.degrees(beta), at])

    linear = _linear(outputs, bounds)
    sample = outputs(draw(bounds, count, generator(seed)))
    centred = sample - sample.mean(axis=1, keepdims=True)
    variance = np.mean(centred**2, axis=1)
    # the variance of a sample's variance is (m4 - m2²) / n
    doubt = np.sqrt(np.maximum(np.mean(centred**4, axis=1) - variance**2, 0) / count)
    values = outputs(np.zeros((len(CAUSES), 1)))[:, 0]
    deviation = np.sqrt(variance)
    return tuple(
        Certainty(
            name=name,
            unit=unit,
            value=float(values[i]),
            u_linear=float(np.sqrt(np.sum(linear[i] ** 2))),
            u_monte_carlo=float(deviation[i]),
            u_monte_carlo_error=float(doubt[i] / (2 * deviation[i])) if deviation[i] else 0.0,
        )
        for i, (name, unit) in enumerate(names)
    )


def _linear(outputs: Callable[[Floats], Floats], bounds: SetupBounds) -> Floats:
    """Contribution of every cause to every output: sensitivity times standard uncertainty.

    Sensitivities are central differences over one standard uncertainty (JCGM 100:2008, 5.1.4).
    """
    steps = np.diag(standard_uncertainties(bounds))
    half: Floats = (outputs(steps) - outputs(-steps)) / 2
    return half


def _causes(alignment: Alignment, bounds: SetupBounds, count: int, seed: int) -> tuple[Cause, ...]:
    """The causes by their share of the variance of error / r, meant over the side."""
    radii, weights = side_nodes(alignment.record, 16)

    def outputs(errors: Floats) -> Floats:
        d, length, beta = resulting_arms(alignment, errors)
        weighted: Floats = tracking_error(radii[:, None], d, length, beta) / radii[:, None]
        return weighted

    variances = weights @ _linear(outputs, bounds) ** 2
    total = float(np.sum(variances))
    found = []
    for field in dict.fromkeys(CAUSES):
        name, unit = name_and_unit(field)
        part = float(sum(v for v, cause in zip(variances, CAUSES, strict=True) if cause == field))
        nothing: dict[str, Any] = {field: 0.0}
        harmonics = peaks(alignment, replace(bounds, **nothing), count, seed)[1]
        found.append(
            Cause(
                name=name,
                unit=unit,
                bound=getattr(bounds, field),
                share_percent=100 * part / total if total else 0.0,
                peak_second_harmonic_percent_p95_without=100 * float(np.quantile(harmonics, 0.95)),
                remedy=REMEDIES[field],
            )
        )
    return tuple(sorted(found, key=lambda cause: -cause.share_percent))
