"""The true optimum of an alignment for one arm: true angles, what is held, and limits.

The published closed forms replace angles by their sines, which makes them the same for every arm.
Here the tracking error itself is made small. What moves is said by what is held: with pivot to
spindle held the cartridge slides and turns, with the effective length held the pivot moves and the
cartridge turns, and with the offset angle held as well only the one length that is left moves.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from protractor.alignments.minimax import equal_peaks
from protractor.alignments.moving import Moving
from protractor.alignments.objective import Objective, Span
from protractor.alignments.search import Limits, Search
from protractor.arms.arm import Arm, Floats
from protractor.errors import InputError

Signs = NDArray[np.int8]
BLOCK = 512
"""Arms searched at once: enough to keep numpy busy, few enough to stay in the cache."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Optimum:
    """The best arms under an objective, each field of the shape that the inputs broadcast to.

    `level` is what was made small [rad/mm when weighted, else rad], `unlimited_level` what it would
    be without limits. `overhang_limit` and `offset_limit` are -1 where the lower limit stops the
    arm, 1 where the upper does, else 0. Where limits leave no arm, or the arm cannot play the
    record (its stylus does not reach it, or only past r² = L² + d²), all is nan.
    """

    pivot_to_spindle_mm: Floats
    effective_length_mm: Floats
    overhang_mm: Floats
    offset_angle_rad: Floats
    level: Floats
    unlimited_level: Floats
    overhang_limit: Signs
    offset_limit: Signs

    @property
    def arm(self) -> Arm:
        """The one arm, when the inputs were of one arm."""
        return Arm(
            pivot_to_spindle_mm=float(self.pivot_to_spindle_mm),
            effective_length_mm=float(self.effective_length_mm),
            offset_angle_rad=float(self.offset_angle_rad),
        )

    @property
    def limited(self) -> bool:
        """Whether any limit binds."""
        return bool(self.overhang_limit.any() or self.offset_limit.any())


def best_arms(
    objective: Objective,
    spans: Sequence[Span],
    *,
    pivot_to_spindle_mm: ArrayLike | None = None,
    effective_length_mm: ArrayLike | None = None,
    offset_angle_rad: ArrayLike | None = None,
    overhang_range_mm: Limits = None,
    offset_range_rad: Limits = None,
) -> Optimum:
    """The arms whose tracking error is least under an objective.

    Args:
        objective: what is made small.
        spans: what is played, one or several stretches of radius.
        pivot_to_spindle_mm: d, when it is held, any shape [mm].
        effective_length_mm: L, when it is held, any shape [mm]; one of the two.
        offset_angle_rad: beta, when it is held besides, broadcast [rad].
        overhang_range_mm: least and greatest overhang that the slots allow [mm].
        offset_range_rad: least and greatest offset angle [rad].

    Returns:
        the optimum of each arm.

    Raises:
        InputError: when nothing is played, not exactly one length is given, limits are swapped, or
            lofgren-a's linear offset is to be kept beside a held offset angle.

    >>> best = best_arms(
    ...     Objective(weighted=False), [Span(inner_mm=56.0, outer_mm=146.3)],
    ...     effective_length_mm=230.0,
    ... )
    >>> round(float(best.overhang_mm), 2), round(math.degrees(best.offset_angle_rad), 2)
    (18.56, 24.63)

    Source: equal peaks after P. L. Chebyshev; the worked line is P. Wilson's alignment in K.
    Howard, 'Arc Angles', Stereophile, March 2010, p. 2.
    """
    slides = pivot_to_spindle_mm is not None
    given = pivot_to_spindle_mm if slides else effective_length_mm
    if given is None or (slides and effective_length_mm is not None):
        raise InputError(
            "pivot-to-spindle",
            "neither length" if given is None else "both lengths",
            "one of pivot-to-spindle and effective-length",
            "give the one that stays as it is",
        )
    if objective.as_lofgren_a and offset_angle_rad is not None:
        raise InputError(
            "scheme",
            "lofgren-b",
            "a scheme that does not keep lofgren-a's linear offset, when the offset angle is held",
            "name lofgren-c, the same least squares with the offset as it is",
        )
    if not spans:
        raise InputError("play", "nothing", "one record or more", "say what is played")
    overhangs, offsets = _ordered(overhang_range_mm, offset_range_rad)
    limits = overhangs is not None or offsets is not None
    kept = objective.keeps or offset_angle_rad is not None
    if objective.norm == "peak" and len(spans) == 1 and not limits and not kept:
        return _equal_peaks(given, slides, spans[0], objective.weighted)
    fixed = np.asarray(given, float)
    fixed = np.where(fixed > 0, fixed, np.nan)
    held = np.asarray(np.nan if offset_angle_rad is None else offset_angle_rad, float)
    shape = np.broadcast_shapes(
        fixed.shape,
        held.shape,
        *(np.shape(s.inner_mm) for s in spans),
        *(np.shape(s.outer_mm) for s in spans),
    )
    search = Search(
        objective=objective,
        moving=Moving(fixed_mm=_column(fixed, shape), slides=slides),
        inner_mm=np.concatenate([_column(s.inner_mm, shape) for s in spans], axis=-1),
        outer_mm=np.concatenate([_column(s.outer_mm, shape) for s in spans], axis=-1),
        share=np.array([[s.share for s in spans]]),
        factor=np.array([[s.factor if objective.weighted else 1.0 for s in spans]]),
        held_rad=None if offset_angle_rad is None else _column(held, shape),
    )
    blocks = range(0, max(1, math.prod(shape)), BLOCK)
    with np.errstate(all="ignore"):
        found = [_solve(search.rows(k, k + BLOCK), overhangs, offsets) for k in blocks]
    p, beta, level, free_level = (
        np.concatenate([block[part] for block in found]).reshape(shape) for part in range(4)
    )
    at_overhang, at_offset = (
        np.concatenate([block[part] for block in found]).reshape(shape) for part in (4, 5)
    )
    return _optimum(
        Moving(fixed_mm=np.broadcast_to(fixed, shape), slides=slides),
        p,
        beta,
        level,
        free_level,
        at_overhang,
        at_offset,
    )


def _solve(
    search: Search, overhangs: Limits, offsets: Limits
) -> tuple[Floats, Floats, Floats, Floats, Signs, Signs]:
    """Place, offset angle, what is made small, the same without limits, and which limits bind."""
    p, beta = free_p, free_beta = search.solve(None, None)
    if overhangs is not None or offsets is not None:
        p, beta = search.solve(overhangs, offsets)
    low, high = (np.nan, np.nan) if overhangs is None else search.places(overhangs)
    below, above = offsets or (np.nan, np.nan)
    return (
        p,
        beta,
        search.level(p, beta),
        search.level(free_p, free_beta),
        _at(p, low, high),
        _at(beta, below, above),
    )


def _at(value: Floats, low: float | Floats, high: float | Floats) -> Signs:
    """-1 where a value is at the lower limit, 1 at the upper (or at both), else 0."""
    near = 1e-12 * (np.abs(value) + 1e-3)
    at_low, at_high = np.abs(value - low) <= near, np.abs(value - high) <= near
    return np.where(at_high, 1, np.where(at_low, -1, 0)).astype(np.int8)


def _ordered(overhangs: Limits, offsets: Limits) -> tuple[Limits, Limits]:
    """The two ranges as given; `InputError` when one is swapped or not finite."""
    for name, unit, scale, span in (
        ("overhang-range", "mm", 1.0, overhangs),
        ("offset-range", "degrees", 180 / math.pi, offsets),
    ):
        if span is not None and not (math.isfinite(span[0] + span[1]) and span[0] <= span[1]):
            raise InputError(
                name,
                f"{span[0] * scale:g} to {span[1] * scale:g} {unit}",
                "a lower and an upper limit",
                "swap the two, or mend one",
            )
    return overhangs, offsets


def _column(values: ArrayLike, shape: tuple[int, ...]) -> Floats:
    """Values broadcast to a shape and stood in one column (N, 1)."""
    return np.broadcast_to(np.asarray(values, float), shape).reshape(-1, 1)


def _equal_peaks(given: ArrayLike, slides: bool, span: Span, weighted: bool) -> Optimum:
    """The optimum of the common case: least peak, one span, nothing kept or limited."""
    if isinstance(given, float) and not np.ndim(span.inner_mm) and not np.ndim(span.outer_mm):
        return _equal_peaks_of_one(given, slides, span, weighted)
    fixed, inner, outer = np.broadcast_arrays(
        *(np.asarray(v, float) for v in (given, span.inner_mm, span.outer_mm))
    )
    fixed = np.where(fixed > 0, fixed, np.nan)
    with np.errstate(invalid="ignore"):
        p, beta, level = equal_peaks(fixed, slides, inner, outer, weighted)
        plays = outer * outer < 2 * fixed * fixed + (p if slides else -p)
        p, beta, level = (np.where(plays, v, np.nan) for v in (p, beta, level))
        return _optimum(Moving(fixed_mm=fixed, slides=slides), p, beta, level, level)


_ZERO = np.zeros((), np.int8)
_ZERO.flags.writeable = False


def _equal_peaks_of_one(fixed: float, slides: bool, span: Span, weighted: bool) -> Optimum:
    """The same for one arm, in plain floats: an array of one would take ten times as long."""
    inner, outer = float(span.inner_mm), float(span.outer_mm)  # type: ignore[arg-type]
    try:
        p, beta, level = equal_peaks(fixed, slides, inner, outer, weighted)
        squared = fixed * fixed + (p if slides else -p)
        plays = fixed > 0 and outer * outer < fixed * fixed + squared
    except ValueError:  # the root or the arc sine of what the arm cannot reach
        plays = False
    if plays:
        moved = math.sqrt(squared)
    else:
        p = beta = level = moved = math.nan
    d, length = (fixed, moved) if slides else (moved, fixed)
    height = np.asarray(level)
    return Optimum(
        pivot_to_spindle_mm=np.asarray(d),
        effective_length_mm=np.asarray(length),
        overhang_mm=np.asarray(p / (d + length)),
        offset_angle_rad=np.asarray(beta),
        level=height,
        unlimited_level=height,
        overhang_limit=_ZERO,
        offset_limit=_ZERO,
    )


def _optimum(
    moving: Moving,
    p: Floats,
    beta: Floats,
    level: Floats,
    unlimited_level: Floats,
    overhang_limit: Signs | None = None,
    offset_limit: Signs | None = None,
) -> Optimum:
    """The result for arms at a place and an offset angle."""
    nothing = np.zeros(p.shape, np.int8)
    return Optimum(
        pivot_to_spindle_mm=moving.pivot_to_spindle(p),
        effective_length_mm=moving.effective_length(p),
        overhang_mm=moving.overhang(p),
        offset_angle_rad=beta,
        level=level,
        unlimited_level=unlimited_level,
        overhang_limit=nothing if overhang_limit is None else overhang_limit,
        offset_limit=nothing if offset_limit is None else offset_limit,
    )
