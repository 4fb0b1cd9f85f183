"""The arm that fits a handful of observations best, and how sure it is.

Whatever is said or read about an arm is one number that the three of `Arm` (pivot to spindle d,
effective length L, offset angle beta) predict. Each number comes with a bound: the truth lies
within value ± bound, anywhere in it with equal chance, so its standard uncertainty is
bound / sqrt(3) (JCGM 100:2008, 4.3.7). A rounded number is such a number.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from protractor.arms.arm import Arm, Floats, tracking_angle
from protractor.setup.bounds import SEED

Kind = Literal[
    "pivot-to-spindle",
    "effective-length",
    "overhang",
    "offset-angle",
    "linear-offset",
    "tracking-error",
]

MOST_STEPS = 60
DRAWS = 10_000
COVERAGE = 0.95

# one unit of each parameter weighs about the same on the stylus: mm, mm, and 1 mm at 200 mm
_SCALE = np.array([1.0, 1.0, 1 / 200])


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """One number about an arm: what it is, its value and its bound [mm or rad].

    `name` is what the user calls it; `radius_mm` is where a tracking error was seen.
    """

    name: str
    kind: Kind
    value: float
    bound: float
    radius_mm: float = math.nan


def null_at(radius_mm: float, bound_rad: float, name: str) -> Observation:
    """The observation that the tracking error is zero at a radius, within a bound."""
    return Observation(
        name=name, kind="tracking-error", value=0.0, bound=bound_rad, radius_mm=radius_mm
    )


def arm_of(theta: Floats) -> Arm:
    """The arm `theta` = (d, L, beta). Raises `InputError` when no arm is like that."""
    d, length, beta = (float(v) for v in theta)
    return Arm(pivot_to_spindle_mm=d, effective_length_mm=length, offset_angle_rad=beta)


def theta_of(arm: Arm) -> Floats:
    """(d, L, beta) of an arm [mm, mm, rad]."""
    return np.array([arm.pivot_to_spindle_mm, arm.effective_length_mm, arm.offset_angle_rad])


def predict(observation: Observation, theta: Floats) -> tuple[float, Floats]:
    """What the arm `theta` = (d, L, beta) predicts, and its gradient [mm or rad per mm, rad]."""
    d, length, beta = (float(v) for v in theta)
    match observation.kind:
        case "pivot-to-spindle":
            return d, np.array([1.0, 0.0, 0.0])
        case "effective-length":
            return length, np.array([0.0, 1.0, 0.0])
        case "overhang":
            return length - d, np.array([-1.0, 1.0, 0.0])
        case "offset-angle":
            return beta, np.array([0.0, 0.0, 1.0])
        case "linear-offset":
            return length * math.sin(beta), np.array([0.0, math.sin(beta), length * math.cos(beta)])
        case "tracking-error":
            r = observation.radius_mm
            phi = float(tracking_angle(r, d, length))
            scale = r * length * math.cos(phi)
            return phi - beta, np.array([-d / scale, (length - r * math.sin(phi)) / scale, -1.0])


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """The arm that fits best, with what is needed to say how sure it is.

    `theta` is (d, L, beta) [mm, mm, rad]; `gain` (3 by n) is how it moves with each observation;
    `residuals` are observed less predicted; `rank` is how many of the three the observations
    settle. Where `rank` is under 3, `theta` keeps to the start in what is not settled.
    """

    observations: tuple[Observation, ...]
    theta: Floats
    jacobian: Floats
    gain: Floats
    residuals: Floats
    rank: int

    @property
    def arm(self) -> Arm:
        """The arm itself. Raises `InputError` when no arm is like that."""
        return arm_of(self.theta)

    @property
    def converged(self) -> bool:
        """Whether the search ended at numbers at all; they may be none that an arm has."""
        return bool(np.all(np.isfinite(self.theta)))

    @property
    def bounds(self) -> Floats:
        """Bound of each observation, shape (n,) [mm or rad]."""
        return np.array([o.bound for o in self.observations])

    @property
    def misfits(self) -> Floats:
        """Residual of each observation over its bound, shape (n,) [1]."""
        return self.residuals / self.bounds

    @property
    def rows(self) -> Floats:
        """The jacobian in steps of `_SCALE` over the bounds, shape (n, 3) [1]."""
        rows: Floats = self.jacobian * _SCALE / self.bounds[:, None]
        return rows

    @property
    def redundancy(self) -> int:
        """How many observations are more than needed: each is a check."""
        return len(self.observations) - self.rank

    def draws(self, count: int = DRAWS, seed: int = SEED) -> Floats:
        """Arms that the observations allow, shape (3, n), d, L and beta [mm, mm, rad].

        Where the observations agree: evenly from all arms that keep every bound, n up to `count`.
        Where they do not: the bounds widened until they do, and their errors propagated through
        the fit (JCGM 101:2008). Linear in the neighbourhood of the fit. What no observation
        settles stays as it is.
        """
        rng = np.random.default_rng(seed)
        factor, _ = self.conflict()
        if self.rank == 3 and factor <= 1:
            kept = self._evenly(count, rng)
            if kept.shape[1] >= count // 20:
                return kept
        widened = max(1.0, factor) * self.bounds[:, None]
        errors = rng.uniform(-1, 1, (len(self.observations), count)) * widened
        return self.theta[:, None] - self.gain @ errors

    def _evenly(self, count: int, rng: np.random.Generator) -> Floats:
        """Arms drawn evenly from the parallelepiped of the three best bounds, others' kept."""
        rows, misfit = self.rows, self.misfits
        triples = np.array(list(itertools.combinations(range(len(rows)), 3)))
        best = list(triples[np.argmax(np.abs(np.linalg.det(rows[triples])))])
        others = [i for i in range(len(rows)) if i not in best]
        inverse = np.linalg.inv(rows[best])
        parts: list[Floats] = []
        for _ in range(20):
            steps = inverse @ (misfit[best, None] + rng.uniform(-1, 1, (3, count)))
            if others:
                steps = steps[
                    :, np.all(np.abs(misfit[others, None] - rows[others] @ steps) <= 1, 0)
                ]
            parts.append(steps)
            if sum(p.shape[1] for p in parts) >= count:
                break
        steps = np.concatenate(parts, axis=1)[:, :count]
        return self.theta[:, None] + _SCALE[:, None] * steps

    def conflict(self) -> tuple[float, tuple[str, ...]]:
        """How far the observations are from one arm, and the fewest of them that show it.

        The first is the least factor by which all bounds would have to grow for one arm to fulfil
        them all: up to 1 they agree. The names are those whose bounds decide it. Linear in the
        neighbourhood of the fit.

        Least largest residual by its dual: for every set of rank + 1 observations the one
        combination that no arm can change, |l·b| / sum |l|, and the largest of these.
        Source: E. W. Cheney, Introduction to Approximation Theory, 1966, ch. 2.
        """
        if self.redundancy == 0:
            return 0.0, ()
        rows, misfit = self.rows, self.misfits
        subsets = np.array(list(itertools.combinations(range(len(rows)), self.rank + 1)))
        _, sizes, right = np.linalg.svd(np.swapaxes(rows[subsets], 1, 2))
        null = right[:, self.rank]
        factors = np.abs(np.sum(null * misfit[subsets], 1)) / np.sum(np.abs(null), 1)
        # a set with more than one such combination says nothing of its own
        factors[sizes[:, self.rank - 1] < 1e-9 * sizes[:, 0]] = 0.0
        i = int(np.argmax(factors))
        names = [
            self.observations[k].name
            for k, weight in zip(subsets[i], null[i], strict=True)
            if abs(weight) > 1e-9
        ]
        return float(factors[i]), tuple(dict.fromkeys(names))


def estimate(observations: Sequence[Observation], start: Arm) -> Estimate:
    """The arm of least squares, each observation weighted by its bound.

    Args:
        observations: at least one.
        start: where the search begins, and what is kept of what the observations do not settle.

    Returns:
        the estimate; its `theta` is nan when the observations lead out of what an arm can be.

    Gauss-Newton from `start`, with a step that is halved while it leaves the arm's reach.

    >>> seen = [
    ...     Observation(name="d", kind="pivot-to-spindle", value=222.0, bound=0.5),
    ...     Observation(name="h", kind="overhang", value=17.3, bound=0.05),
    ... ]
    >>> arm = Arm(pivot_to_spindle_mm=220.0, effective_length_mm=230.0, offset_angle_rad=0.4)
    >>> round(estimate(seen, arm).arm.effective_length_mm, 6)
    239.3

    Source: JCGM 100:2008; C. F. Gauss, Theoria motus, 1809.
    """
    seen = tuple(observations)
    values = np.array([o.value for o in seen])
    weights = 1 / np.array([o.bound for o in seen])
    theta = theta_of(start)
    predicted, jacobian = _predictions(seen, theta)
    inverse = np.zeros((3, len(seen)))
    reached = bool(np.all(np.isfinite(jacobian)))
    if not reached:
        theta, jacobian = np.full(3, np.nan), np.zeros_like(jacobian)
    for _ in range(MOST_STEPS if reached else 0):
        inverse = _SCALE[:, None] * np.linalg.pinv(jacobian * _SCALE * weights[:, None], rcond=1e-9)
        step = inverse @ ((values - predicted) * weights)
        for _ in range(40):
            trial = theta + step
            predicted_there, jacobian_there = _predictions(seen, trial)
            if np.all(np.isfinite(predicted_there)) and np.all(np.isfinite(jacobian_there)):
                break
            step = step / 2
        else:
            theta = np.full(3, np.nan)
            break
        theta, predicted, jacobian = trial, predicted_there, jacobian_there
        if np.all(np.abs(step) <= 1e-14 * np.abs(theta) + 1e-15):
            break
    return Estimate(
        observations=seen,
        theta=theta,
        jacobian=jacobian,
        gain=inverse * weights,
        residuals=values - predicted,
        rank=int(np.linalg.matrix_rank(jacobian * _SCALE * weights[:, None], rtol=1e-9)),
    )


def _predictions(seen: Sequence[Observation], theta: Floats) -> tuple[Floats, Floats]:
    """All predictions and gradients at `theta`: shapes (n,) and (n, 3)."""
    pairs = [predict(o, theta) for o in seen]
    return np.array([p for p, _ in pairs]), np.array([g for _, g in pairs])


def interval(sample: Floats) -> tuple[float, float]:
    """The interval that holds `COVERAGE` of a sample, equal tails; nan values left out."""
    kept = sample[np.isfinite(sample)]
    if kept.size == 0:
        return math.nan, math.nan
    low, high = np.quantile(kept, [(1 - COVERAGE) / 2, (1 + COVERAGE) / 2])
    return float(low), float(high)
