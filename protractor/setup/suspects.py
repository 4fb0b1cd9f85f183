"""Statements that contradict one another: which of them may be wrong, and how likely each is.

An explanation leaves out one statement, or two where one is not enough, so that the rest are one
arm; or it reads one as another quantity or in another unit. Each is weighed by how likely it makes
all that was stated: the arms that keep the rest are counted, and a wrong statement may be wrong by
anything, by little more often than by much. Which schemes exist counts for nothing.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from protractor.arms.arm import Floats, null_radii
from protractor.inputs.quantities import LENGTH_UNITS_MM
from protractor.setup.consistency import AGREED, NULLS, Statement, fit_statements
from protractor.setup.estimate import Estimate
from protractor.setup.statements import STATED

SURE = 0.95
"""A statement is named from this probability on."""

ERROR_SCALE = {"mm": 10.0, "deg": 3.0}
"""Half of all wrong statements are taken to be wrong by more than this (a Cauchy distribution)."""

MISTAKE_ODDS = 1 / 20
"""How often a wrong statement is taken to be one mistake by name, such as a turned sign."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """One way in which what was stated comes from one arm.

    `wrong` are the statements that it takes to be wrong; `reading` is the mistake by name that
    would have made them so, empty when there is none; `fit` is the arm of the rest, with the
    mistake undone where there is one; `probability` is among all explanations that were found.
    """

    wrong: tuple[Statement, ...]
    reading: str
    fit: Estimate
    probability: float

    @property
    def labels(self) -> tuple[str, ...]:
        """What the wrong statements are called."""
        return tuple(s.label for s in self.wrong)

    @property
    def off(self) -> tuple[float | None, ...]:
        """Each wrong statement less what the arm has [mm or deg]; None for a null it lacks."""
        off = (float(difference(s, self.fit.theta)) for s in self.wrong)
        return tuple(value if math.isfinite(value) else None for value in off)

    @property
    def off_u(self) -> tuple[float | None, ...]:
        """Standard uncertainty of each `off` [mm or deg]."""
        arms = self.fit.draws(1000)
        found: list[float | None] = []
        for stated in self.wrong:
            spread = difference(stated, arms)
            kept = spread[np.isfinite(spread)]
            found.append(
                float(np.hypot(np.std(kept), stated.bound / math.sqrt(3))) if kept.size else None
            )
        return tuple(found)


def difference(stated: Statement, theta: Floats) -> Floats:
    """A statement less what the arms `theta` (3, ...), d, L and beta, have, of shape ... [mm, deg].

    nan where an arm has no such null.
    """
    d, length, beta = theta
    if stated.name == NULLS:
        has = null_radii(d, length, beta)[0 if stated.value < stated.partner_mm else 1]
    else:
        has = {
            "pivot-to-spindle": d,
            "effective-length": length,
            "overhang": length - d,
            "offset-angle": np.degrees(beta),
            "linear-offset": length * np.sin(beta),
        }[stated.name]
    off: Floats = stated.value - np.asarray(has, float)
    return off


def explain(statements: Sequence[Statement]) -> list[Explanation]:
    """Every explanation of labelled statements that contradict one another, the likeliest first.

    Those that leave out two statements are tried where none leaves out one. Empty when there is
    none.
    """
    rank = fit_statements(statements).rank
    found = list(_weighed(statements, 1, rank)) + list(_exchanged(statements))
    if not found:
        found = list(_weighed(statements, 2, rank))
    if not found:
        return []
    weights = np.array([weight for _, weight in found])
    shares = np.exp(weights - weights.max())
    shares /= shares.sum()
    named = [replace(e, probability=float(p)) for (e, _), p in zip(found, shares, strict=True)]
    # what is alike stays in the order of the statements
    return sorted(named, key=lambda e: -round(e.probability, 2))


def _weighed(
    statements: Sequence[Statement], count: int, rank: int
) -> Iterator[tuple[Explanation, float]]:
    """Explanations that leave out so many statements, each with the logarithm of its weight."""
    for wrong in itertools.combinations(statements, count):
        rest = [s for s in statements if s not in wrong]
        if len(rest) < 2:
            continue
        fit = fit_statements(rest)
        if not _agrees(fit) or fit.rank < rank:
            continue
        weight = _evidence(fit) + sum(_log_error(s, fit) for s in wrong)
        reading = ""
        for words, read in _mistakes(wrong[0], fit) if count == 1 else ():
            better = fit_statements([read if s is wrong[0] else s for s in statements])
            if _agrees(better) and better.redundancy > 0:
                by_name = _evidence(better) + math.log(MISTAKE_ODDS)
                weight = float(np.logaddexp(weight, by_name))
                reading, fit = words, better
        yield Explanation(wrong=wrong, reading=reading, fit=fit, probability=0.0), weight


def _exchanged(statements: Sequence[Statement]) -> Iterator[tuple[Explanation, float]]:
    """The explanation that pivot to spindle and effective length were given for one another."""
    names = ("pivot-to-spindle", "effective-length")
    pair = tuple(s for name in names for s in statements if s.name == name)
    if [s.name for s in pair] != list(names):
        return
    turned = [replace(s, name=names[s.name == names[0]]) if s in pair else s for s in statements]
    fit = fit_statements(turned)
    if _agrees(fit) and fit.redundancy > 0:
        reading = "as if the two had been exchanged"
        yield (
            Explanation(wrong=pair, reading=reading, fit=fit, probability=0.0),
            _evidence(fit) + math.log(MISTAKE_ODDS),
        )


def _mistakes(stated: Statement, rest: Estimate) -> Iterator[tuple[str, Statement]]:
    """What a statement may have been meant to say beside the rest, with the mistake in words."""
    off = abs(float(difference(stated, rest.theta)))
    for words, read in _readings(stated):
        asked = STATED[read.name]
        # a mistake that leaves more than it takes away explains nothing
        if asked.low <= read.value <= asked.high and abs(difference(read, rest.theta)) < off:
            yield words, read


def _readings(stated: Statement) -> Iterator[tuple[str, Statement]]:
    """What a statement may have been meant to say, with the mistake in words."""
    names = ("pivot-to-spindle", "effective-length")
    if stated.name in ("overhang", "offset-angle", "linear-offset"):
        yield "as if its sign were turned", replace(stated, value=-stated.value)
    if stated.name in names:
        other = names[stated.name == names[0]]
        yield f"as if it were the {other}", replace(stated, name=other)
    if stated.unit == "mm":
        units = ("in", "cm", "mm")
        for meant, written in itertools.permutations(units, 2):
            factor = LENGTH_UNITS_MM[meant] / LENGTH_UNITS_MM[written]
            read = replace(stated, value=stated.value * factor, bound=stated.bound * factor)
            yield f"as if it were in {meant}, not in {written}", read


def _agrees(fit: Estimate) -> bool:
    """Whether one arm keeps every bound."""
    return fit.converged and fit.conflict()[0] <= AGREED


def _evidence(fit: Estimate) -> float:
    """Logarithm of how likely a fit's observations are over all arms, but for a constant.

    For errors that are normal, with the standard deviations of the bounds, and arms that are all
    equally likely beforehand: exp(-chi²/2) / sqrt(det Rᵀ R), R the gradients over the deviations.

    Source: D. J. C. MacKay, Information Theory, Inference, and Learning Algorithms, 2003, ch. 28
    (the evidence by Laplace's method; from memory).
    """
    sizes = np.linalg.svd(math.sqrt(3) * fit.rows, compute_uv=False)[: fit.rank]
    return float(-1.5 * np.sum(fit.misfits**2) - np.sum(np.log(sizes)))


def _log_error(wrong: Statement, fit: Estimate) -> float:
    """Logarithm of how likely a statement's error is, beside what it would be were it right."""
    off = float(difference(wrong, fit.theta))
    scale = ERROR_SCALE[wrong.unit]
    ratio = off / scale if math.isfinite(off) else 10.0
    density = 1 / (math.pi * scale * (1 + ratio * ratio))
    return math.log(density * wrong.bound * math.sqrt(2 * math.pi / 3))
