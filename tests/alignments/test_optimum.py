"""The exact optimum: equal peaks, no better neighbour, and limits."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any, Literal

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from protractor.alignments.objective import Objective, Span
from protractor.alignments.optimum import Optimum, best_arm
from protractor.arms.arm import Floats, tracking_error
from protractor.arms.schemes import SCHEMES
from protractor.errors import InputError

lengths = st.floats(160.0, 450.0)
inner_radii = st.floats(45.0, 75.0)
widths = st.floats(25.0, 85.0)
helds = st.sampled_from(["pivot_to_spindle_mm", "effective_length_mm"])
objectives = st.builds(Objective, norm=st.sampled_from(["peak", "rms"]), weighted=st.booleans())


def curve(best: Optimum, objective: Objective, radius: Floats) -> Floats:
    """The error that the objective is about, at radii."""
    error = tracking_error(
        radius, best.pivot_to_spindle_mm, best.effective_length_mm, best.offset_angle_rad
    )
    return error / radius if objective.weighted else error


def value(best: Optimum, objective: Objective, inner: float, outer: float) -> float:
    """The objective on 4001 radii."""
    error = curve(best, objective, np.linspace(inner, outer, 4001))
    if objective.norm == "peak":
        return float(np.abs(error).max())
    return math.sqrt(float(np.trapezoid(error**2)) / 4000)


def moved(best: Optimum, held: str, overhang: float, offset: float) -> Optimum:
    """The arm with its free length and its offset angle moved a little."""
    slides = held == "pivot_to_spindle_mm"
    return replace(
        best,
        pivot_to_spindle_mm=best.pivot_to_spindle_mm - (0 if slides else overhang),
        effective_length_mm=best.effective_length_mm + (overhang if slides else 0),
        offset_angle_rad=best.offset_angle_rad + offset,
    )


def found(*arguments: Any, **given: Any) -> Optimum:
    """The best arm of a question that has one."""
    best = best_arm(*arguments, **given)
    assert best is not None
    return best


@given(length=lengths, held=helds, inner=inner_radii, width=widths, weighted=st.booleans())
def test_three_equal_peaks_of_alternating_sign(
    length: float, held: str, inner: float, width: float, weighted: bool
) -> None:
    """The least peak error is as high at both edges as it is low between, to 1e-12 relative.

    The lowest point is found here by a golden-section search of its own.
    """
    outer = inner + width
    objective = Objective(norm="peak", weighted=weighted)
    best = found(objective, [Span(inner_mm=inner, outer_mm=outer)], **{held: length})
    low, high = inner, outer
    ratio = (math.sqrt(5) - 1) / 2
    for _ in range(80):
        a, b = high - ratio * (high - low), low + ratio * (high - low)
        left, right = curve(best, objective, np.array([a, b]))
        low, high = (low, b) if left < right else (a, high)
    first, middle, last = curve(best, objective, np.array([inner, (low + high) / 2, outer]))
    level = best.level
    # the error is the difference of two angles near 0.4 rad: that is where its digits end
    rounding = 4e-16 / (level * (inner if weighted else 1))
    assert first == pytest.approx(level, rel=1e-12 + rounding)
    assert middle == pytest.approx(-level, rel=1e-12 + rounding)
    assert last == pytest.approx(level, rel=1e-12 + rounding)


@given(
    length=lengths,
    held=helds,
    inner=inner_radii,
    width=widths,
    objective=objectives,
    direction=st.floats(0.0, 2 * math.pi),
    size=st.floats(1e-3, 1.0),
)
@settings(max_examples=150)
def test_any_other_arm_is_worse(
    length: float,
    held: str,
    inner: float,
    width: float,
    objective: Objective,
    direction: float,
    size: float,
) -> None:
    """Moved by up to 1 mm and 1° in any direction, the objective rises."""
    outer = inner + width
    best = found(objective, [Span(inner_mm=inner, outer_mm=outer)], **{held: length})
    other = moved(best, held, size * math.cos(direction), math.radians(size) * math.sin(direction))
    assert value(other, objective, inner, outer) > value(best, objective, inner, outer)


@given(length=lengths, inner=inner_radii, width=widths, scale=st.floats(0.5, 2.0))
def test_scaling_all_lengths_scales_the_answer(
    length: float, inner: float, width: float, scale: float
) -> None:
    """Twice the deck, twice the overhang, the same angle."""
    for norm in ("peak", "rms"):
        one, two = (
            found(
                Objective(norm=norm),
                [Span(inner_mm=k * inner, outer_mm=k * (inner + width))],
                pivot_to_spindle_mm=k * length,
            )
            for k in (1.0, scale)
        )
        assert two.overhang_mm == pytest.approx(scale * one.overhang_mm, rel=1e-11)
        assert two.offset_angle_rad == pytest.approx(one.offset_angle_rad, rel=1e-11)


@given(
    length=lengths,
    held=helds,
    objective=objectives,
    overhangs=st.tuples(st.floats(-5.0, 40.0), st.floats(-5.0, 40.0)),
    offsets=st.tuples(st.floats(0.05, 0.7), st.floats(0.05, 0.7)),
)
@settings(max_examples=60)
def test_limits_are_kept_told_and_paid_for(
    length: float,
    held: str,
    objective: Objective,
    overhangs: tuple[float, float],
    offsets: tuple[float, float],
) -> None:
    """The arm stays within the limits, says which binds, and is worse exactly when one does."""
    low, high = sorted(overhangs)
    below, above = sorted(offsets)
    best = found(
        objective,
        [Span(inner_mm=60.325, outer_mm=146.05)],
        overhang_range_mm=(low, high),
        offset_range_rad=(below, above),
        **{held: length},
    )
    assert low - 1e-9 <= best.overhang_mm <= high + 1e-9
    assert below - 1e-12 <= best.offset_angle_rad <= above + 1e-12
    assert bool(best.overhang_limit) == bool(
        min(abs(best.overhang_mm - v) for v in (low, high)) < 1e-9
    )
    if best.limited:
        assert best.level >= best.unlimited_level
    else:
        assert best.level == best.unlimited_level


def test_a_limit_that_does_not_bind_changes_nothing() -> None:
    """Wide slots give the answer without slots."""
    span = [Span(inner_mm=60.325, outer_mm=146.05)]
    for scheme in SCHEMES:
        free = found(Objective.of(scheme), span, pivot_to_spindle_mm=222.0)
        wide = found(
            Objective.of(scheme),
            span,
            pivot_to_spindle_mm=222.0,
            overhang_range_mm=(5.0, 30.0),
            offset_range_rad=(0.2, 0.6),
        )
        assert not wide.limited
        assert wide.overhang_mm == pytest.approx(free.overhang_mm, abs=1e-10)


@pytest.mark.parametrize("norm", ["peak", "rms"])
@pytest.mark.parametrize("radius", [60.325, 75.0, 110.0])
@pytest.mark.parametrize("length", [180.0, 222.0, 300.0])
def test_a_kept_null_is_a_null(norm: Literal["peak", "rms"], radius: float, length: float) -> None:
    """Kept anywhere on the record, the error there is zero."""
    best = found(
        Objective(norm=norm, null_at_mm=radius),
        [Span(inner_mm=60.325, outer_mm=146.05)],
        pivot_to_spindle_mm=length,
    )
    assert min(abs(null - radius) for null in best.arm.null_radii_mm) <= 1e-9


@given(
    length=lengths,
    held=helds,
    share=st.floats(0.1, 0.9),
    factor=st.floats(0.4, 1.0),
    objective=objectives,
    offset=st.floats(-0.1, 0.7),
)
@settings(max_examples=30)
def test_a_held_angle_is_a_range_of_no_width(
    length: float, held: str, share: float, factor: float, objective: Objective, offset: float
) -> None:
    """Two ways to ask the same: the angle held, or limits that leave no other."""
    spans = [
        Span(inner_mm=53.0, outer_mm=84.0, share=share, factor=factor),
        Span(inner_mm=60.325, outer_mm=146.05, share=1 - share),
    ]
    fixed = found(objective, spans, offset_angle_rad=offset, **{held: length})
    between = found(objective, spans, offset_range_rad=(offset, offset), **{held: length})
    assert fixed.overhang_mm == pytest.approx(between.overhang_mm, abs=1e-9)
    assert (fixed.limited, between.offset_limit) == (False, 1)


def test_records_at_one_speed_count_as_their_union_for_the_peak() -> None:
    """Two overlapping records at one speed: the least peak is that of the whole stretch."""
    whole = found(Objective(), [Span(inner_mm=53.0, outer_mm=146.05)], pivot_to_spindle_mm=222.0)
    parts = found(
        Objective(),
        [Span(inner_mm=53.0, outer_mm=84.0), Span(inner_mm=60.325, outer_mm=146.05)],
        pivot_to_spindle_mm=222.0,
    )
    assert parts.overhang_mm == pytest.approx(whole.overhang_mm, abs=1e-9)
    assert parts.level == pytest.approx(whole.level, rel=1e-12)


@given(share=st.floats(0.01, 0.99))
@settings(max_examples=40)
def test_the_least_rms_follows_what_is_played(share: float) -> None:
    """More of the small record pulls the inner null in, and never past the small record's own."""
    small, large = Span(inner_mm=53.0, outer_mm=84.0), Span(inner_mm=60.325, outer_mm=146.05)

    def nulls(*spans: Span) -> float:
        best = found(Objective(norm="rms"), spans, pivot_to_spindle_mm=222.0)
        return best.overhang_mm

    mixed = nulls(
        Span(inner_mm=53.0, outer_mm=84.0, share=share),
        Span(inner_mm=60.325, outer_mm=146.05, share=1 - share),
    )
    assert nulls(small) < mixed < nulls(large)


@pytest.mark.parametrize(
    "objective", [Objective(), Objective(norm="rms"), Objective.of("lofgren-b")]
)
@pytest.mark.parametrize("length", [60.0, -230.0, 0.0])
def test_for_what_the_arm_cannot_reach_there_is_none(objective: Objective, length: float) -> None:
    """A record larger than the arm, a negative length: no arm, with limits or without."""
    span = [Span(inner_mm=60.0, outer_mm=146.0)]
    assert best_arm(objective, span, effective_length_mm=length) is None
    assert best_arm(objective, span, effective_length_mm=length, offset_range_rad=(0, 1)) is None


@pytest.mark.parametrize(
    ("arguments", "name"),
    [
        ({}, "pivot-to-spindle"),
        ({"pivot_to_spindle_mm": 222.0, "effective_length_mm": 240.0}, "pivot-to-spindle"),
        ({"pivot_to_spindle_mm": 222.0, "overhang_range_mm": (20.0, 10.0)}, "overhang-range"),
        ({"pivot_to_spindle_mm": 222.0, "offset_range_rad": (0.4, 0.3)}, "offset-range"),
        ({"pivot_to_spindle_mm": 222.0, "offset_range_rad": (0.4, math.nan)}, "offset-range"),
    ],
)
def test_what_cannot_be_asked_is_refused(arguments: dict[str, float], name: str) -> None:
    """The error names the input."""
    with pytest.raises(InputError) as refusal:
        best_arm(Objective(), [Span(inner_mm=60.0, outer_mm=146.0)], **arguments)
    assert refusal.value.name == name


def test_nothing_played_is_refused() -> None:
    """Without a record there is nothing to align for."""
    with pytest.raises(InputError, match="one record or more"):
        best_arm(Objective(), [], pivot_to_spindle_mm=222.0)


def test_swapped_limits_are_shown_in_degrees() -> None:
    """Limits of the offset angle are given in radians, and named as users know them."""
    with pytest.raises(InputError, match="got 30 to 20 degrees"):
        best_arm(
            Objective(),
            [Span(inner_mm=60.0, outer_mm=146.0)],
            pivot_to_spindle_mm=222.0,
            offset_range_rad=(math.radians(30), math.radians(20)),
        )


@given(offset=st.floats(0.0, 0.45), length=lengths)
@settings(max_examples=50)
def test_a_held_offset_angle_stays(offset: float, length: float) -> None:
    """With the angle held the one length moves; two peaks come out equal, of opposite sign."""
    objective = Objective()
    best = best_arm(
        objective,
        [Span(inner_mm=60.325, outer_mm=146.05)],
        pivot_to_spindle_mm=length,
        offset_angle_rad=offset,
    )
    assume(best is not None)
    assert best is not None
    assert best.offset_angle_rad == offset
    error = curve(best, objective, np.linspace(60.325, 146.05, 20001))
    assert error.max() == pytest.approx(-error.min(), rel=1e-6)
    assert error.max() == pytest.approx(best.level, rel=1e-6)
