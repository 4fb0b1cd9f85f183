"""The true optimum of an alignment for one arm: true angles, what is held, and limits.

The published closed forms replace angles by their sines, which makes them the same for every arm.
Here the tracking error itself is made small. What moves is said by what is held: with pivot to
spindle held the cartridge slides and turns, with the effective length held the pivot moves and the
cartridge turns, and with the offset angle held as well only the one length that is left moves.

Whatever is asked, one freedom is left, the place of the arm: at each place the offset angle is what
is kept, or else the best that the limits allow. Along the places the objective has one valley, and
the sign of its slope says on which side of the bottom a place is.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

from protractor.alignments.equal_peaks import equal_peaks
from protractor.alignments.norms import Moving, Peak, Rms, first_above
from protractor.alignments.objective import Objective, Span
from protractor.arms.arm import Arm, check_one_length
from protractor.errors import InputError

Limits = tuple[float, float] | None

STAYS = "give the one that stays as it is"
"""What to do when not exactly one length is given: it is the one that the optimum leaves alone."""

Path = Callable[[float], tuple[float, float]]
"""Offset angle at a place, and its slope by the place."""

NEAR = 1e-12
"""Part of itself by which a value may miss a limit and still be at it: rounding."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Optimum:
    """The best arm under an objective.

    `level` is what was made small [rad/mm when weighted, else rad], `unlimited_level` what it would
    be without limits, nan when there is no arm without them. `overhang_limit` and `offset_limit`
    are -1 where the lower limit stops the arm, 1 where the upper does, else 0.
    """

    pivot_to_spindle_mm: float
    effective_length_mm: float
    overhang_mm: float
    offset_angle_rad: float
    level: float
    unlimited_level: float
    overhang_limit: int = 0
    offset_limit: int = 0

    @property
    def arm(self) -> Arm:
        """The arm; `InputError` when its offset angle is beyond what an arm has."""
        return Arm(
            pivot_to_spindle_mm=self.pivot_to_spindle_mm,
            effective_length_mm=self.effective_length_mm,
            offset_angle_rad=self.offset_angle_rad,
        )

    @property
    def limited(self) -> bool:
        """Whether any limit binds."""
        return bool(self.overhang_limit or self.offset_limit)


def best_arm(
    objective: Objective,
    spans: Sequence[Span],
    *,
    pivot_to_spindle_mm: float | None = None,
    effective_length_mm: float | None = None,
    offset_angle_rad: float | None = None,
    overhang_range_mm: Limits = None,
    offset_range_rad: Limits = None,
) -> Optimum | None:
    """The arm whose tracking error is least under an objective.

    Args:
        objective: what is made small.
        spans: what is played, one or several stretches of radius.
        pivot_to_spindle_mm: d, when it is held [mm].
        effective_length_mm: L, when it is held [mm]; one of the two.
        offset_angle_rad: beta, when it is held besides [rad].
        overhang_range_mm: least and greatest overhang that the slots allow [mm].
        offset_range_rad: least and greatest offset angle [rad].

    Returns:
        the optimum; None where limits leave no arm, or the arm cannot play the record (its stylus
        does not reach it, or only past r² = L² + d²).

    Raises:
        InputError: when nothing is played, not exactly one length is given, limits are swapped, or
            lofgren-a's linear offset is to be kept beside a held offset angle.

    >>> best = best_arm(
    ...     Objective(weighted=False), [Span(inner_mm=56.0, outer_mm=146.3)],
    ...     effective_length_mm=230.0,
    ... )
    >>> round(best.overhang_mm, 2), round(math.degrees(best.offset_angle_rad), 2)
    (18.56, 24.63)

    Source: equal peaks after P. L. Chebyshev; the worked line is P. Wilson's alignment in K.
    Howard, 'Arc Angles', Stereophile, March 2010, p. 2.
    """
    moving = _checked(objective, spans, pivot_to_spindle_mm, effective_length_mm, offset_angle_rad)
    overhangs = _ordered("overhang-range", "mm", 1.0, overhang_range_mm)
    offsets = _ordered("offset-range", "degrees", 180 / math.pi, offset_range_rad)
    if moving.fixed_mm <= 0:
        return None
    if overhangs is None and offsets is None:
        return _without_limits(objective, spans, moving, offset_angle_rad)
    freedom = Freedom.of(objective, spans, moving, offset_angle_rad)
    if freedom is None:
        return None
    free = _without_limits(objective, spans, moving, offset_angle_rad)
    low, high = freedom.low, freedom.high
    if overhangs is not None:
        low, high = max(low, moving.place(overhangs[0])), min(high, moving.place(overhangs[1]))
    below, above = offsets or (-math.inf, math.inf)
    p = math.nan if free is None else moving.place(free.overhang_mm)
    if free is not None and low <= p <= high and below <= free.offset_angle_rad <= above:
        best = free
    else:
        found = freedom.lowest(low, high, below, above)
        if found is None:
            return None
        p = found[0]
        best = _optimum(moving, *found, freedom.norm.level(*found))
    return replace(
        best,
        unlimited_level=math.nan if free is None else free.level,
        overhang_limit=0 if overhangs is None else _end(p, low, high),
        offset_limit=_end(best.offset_angle_rad, below, above),
    )


def reach_mm(
    objective: Objective,
    spans: Sequence[Span],
    *,
    pivot_to_spindle_mm: float | None = None,
    effective_length_mm: float | None = None,
    offset_angle_rad: float | None = None,
) -> tuple[float, float]:
    """Least and greatest overhang at which an arm plays all that is asked for [mm].

    The arguments are those of `best_arm`, which finds an arm for them without limits.
    """
    moving = _checked(objective, spans, pivot_to_spindle_mm, effective_length_mm, offset_angle_rad)
    freedom = Freedom.of(objective, spans, moving, offset_angle_rad)
    assert freedom is not None
    return moving.overhang(freedom.low), moving.overhang(freedom.high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Freedom:
    """The one freedom that an arm has under an objective: its place, within the arm's reach.

    `low` and `high` are the ends of the reach [mm²]; `kept` is the offset angle at which a null or
    a linear offset is kept, None when the norm alone decides; `held_rad` is one that is held.
    """

    norm: Peak | Rms
    low: float
    high: float
    kept: Path | None
    held_rad: float | None

    @classmethod
    def of(
        cls, objective: Objective, spans: Sequence[Span], moving: Moving, held_rad: float | None
    ) -> Freedom | None:
        """The freedom under an objective; None when there is no lofgren-a to take after."""
        nearest, farthest = min(s.inner_mm for s in spans), max(s.outer_mm for s in spans)
        null = nearest if objective.null_at_mm == "inner" else objective.null_at_mm
        kept: Path | None = None
        if null is not None:
            nearest, farthest = min(nearest, null), max(farthest, null)
            kept = partial(moving.angle, null)
        low, high = moving.reach(nearest, farthest)
        if objective.as_lofgren_a:
            model = _without_limits(Objective(), spans, moving, None)
            if model is None:
                return None
            linear = model.effective_length_mm * math.sin(model.offset_angle_rad)
            kept = partial(moving.angle_of_linear_offset, linear)
            if moving.slides:  # L sin(beta) with beta under 1.5 rad
                low = max(low, (linear / math.sin(1.5)) ** 2 - moving.fixed_mm**2)
        norm: Peak | Rms
        if objective.norm == "peak":
            norm = Peak(moving=moving, spans=spans, weighted=objective.weighted)
        else:
            norm = Rms.over(moving, spans, objective.weighted)
        return cls(norm=norm, low=low, high=high, kept=kept, held_rad=held_rad)

    def lowest(
        self, low: float, high: float, below: float, above: float
    ) -> tuple[float, float] | None:
        """Place and offset angle of the valley's bottom within limits; None when they leave none.

        Places [mm²] from `low` to `high`, offset angles [rad] from `below` to `above`.
        """
        if self.held_rad is not None:
            below, above = max(below, self.held_rad), min(above, self.held_rad)
        if not (low <= high and below <= above):
            return None

        def offset(p: float) -> tuple[float, float]:
            if self.kept is not None:
                return self.kept(p)
            beta, rise = self.norm.offset(p)
            return (beta, rise) if below <= beta <= above else (min(max(beta, below), above), 0.0)

        def slope(p: float) -> float:
            beta, rise = offset(p)
            if not below <= beta <= above:  # what is kept lies outside the limits: back to them
                return rise if beta > above else -rise
            return self.norm.slope(p, beta, rise)

        p = first_above(slope, low, high)
        beta = offset(p)[0]
        if not below - NEAR <= beta <= above + NEAR:
            return None
        return p, min(max(beta, below), above)


def _without_limits(
    objective: Objective, spans: Sequence[Span], moving: Moving, held_rad: float | None
) -> Optimum | None:
    """The best arm without limits; None where it would lie beyond the arm's reach."""
    kept = objective.keeps or held_rad is not None
    if objective.norm == "peak" and len(spans) == 1 and not kept:
        return _equal_peaks(moving, spans[0], objective.weighted)
    freedom = Freedom.of(objective, spans, moving, held_rad)
    if freedom is None:
        return None
    found = freedom.lowest(freedom.low, freedom.high, -math.inf, math.inf)
    if found is None or (not kept and found[0] in (freedom.low, freedom.high)):
        return None
    return _optimum(moving, *found, freedom.norm.level(*found))


def _equal_peaks(moving: Moving, span: Span, weighted: bool) -> Optimum | None:
    """The least peak over one span, nothing kept or limited; None when the arm cannot play it."""
    try:
        p, beta, level = equal_peaks(
            moving.fixed_mm, moving.slides, span.inner_mm, span.outer_mm, weighted
        )
        best = _optimum(moving, p, beta, level)
    except ValueError:  # the root or the arc sine of what the arm cannot reach
        return None
    swing = best.effective_length_mm**2 + best.pivot_to_spindle_mm**2
    return best if span.outer_mm**2 < swing else None


def _optimum(moving: Moving, p: float, beta: float, level: float) -> Optimum:
    """The optimum at a place and an offset angle, as it is without limits."""
    d, length = moving.pivot_to_spindle(p), moving.effective_length(p)
    return Optimum(
        pivot_to_spindle_mm=d,
        effective_length_mm=length,
        overhang_mm=p / (d + length),
        offset_angle_rad=beta,
        level=level,
        unlimited_level=level,
    )


def _checked(
    objective: Objective,
    spans: Sequence[Span],
    pivot_to_spindle_mm: float | None,
    effective_length_mm: float | None,
    offset_angle_rad: float | None,
) -> Moving:
    """The arm that moves; `InputError` when the question of `best_arm` has no meaning."""
    check_one_length(pivot_to_spindle_mm, effective_length_mm, STAYS)
    slides = pivot_to_spindle_mm is not None
    fixed = pivot_to_spindle_mm if slides else effective_length_mm
    assert fixed is not None
    if objective.as_lofgren_a and offset_angle_rad is not None:
        raise InputError(
            "scheme",
            "lofgren-b",
            "a scheme that does not keep lofgren-a's linear offset, when the offset angle is held",
            "name lofgren-c, the same least squares with the offset as it is",
        )
    if not spans:
        raise InputError("play", "nothing", "one record or more", "say what is played")
    return Moving(fixed_mm=fixed, slides=slides)


def _ordered(name: str, unit: str, scale: float, limits: Limits) -> Limits:
    """Limits as given; `InputError` when they are swapped or not finite."""
    if limits is not None and not (math.isfinite(sum(limits)) and limits[0] <= limits[1]):
        raise InputError(
            name,
            f"{limits[0] * scale:g} to {limits[1] * scale:g} {unit}",
            "a lower and an upper limit",
            "swap the two, or correct one",
        )
    return limits


def _end(value: float, low: float, high: float) -> int:
    """-1 where a value is at the lower limit, 1 at the upper (or at both), else 0."""
    near = NEAR * (abs(value) + 1e-3)
    return 1 if abs(value - high) <= near else -1 if abs(value - low) <= near else 0
