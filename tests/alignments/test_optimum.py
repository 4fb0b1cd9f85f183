"""The exact optimum: equal peaks, no better neighbour, limits, and arrays like single arms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from protractor.alignments.objective import Objective, Span
from protractor.alignments.optimum import Optimum, best_arms
from protractor.arms.arm import Floats, null_radii, tracking_error
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
    d, length = float(best.pivot_to_spindle_mm), float(best.effective_length_mm)
    if held == "pivot_to_spindle_mm":
        length += overhang
    else:
        d -= overhang
    return Optimum(
        pivot_to_spindle_mm=np.asarray(d),
        effective_length_mm=np.asarray(length),
        overhang_mm=np.asarray(length - d),
        offset_angle_rad=best.offset_angle_rad + offset,
        level=best.level,
        unlimited_level=best.level,
        overhang_limit=best.overhang_limit,
        offset_limit=best.offset_limit,
    )


@given(length=lengths, held=helds, inner=inner_radii, width=widths, weighted=st.booleans())
def test_three_equal_peaks_of_alternating_sign(
    length: float, held: str, inner: float, width: float, weighted: bool
) -> None:
    """The least peak error is as high at both edges as it is low between, to 1e-12 relative.

    The lowest point is found here by a golden-section search of its own.
    """
    outer = inner + width
    objective = Objective(norm="peak", weighted=weighted)
    best = best_arms(objective, [Span(inner_mm=inner, outer_mm=outer)], **{held: length})
    low, high = inner, outer
    ratio = (math.sqrt(5) - 1) / 2
    for _ in range(80):
        a, b = high - ratio * (high - low), low + ratio * (high - low)
        left, right = curve(best, objective, np.array([a, b]))
        low, high = (low, b) if left < right else (a, high)
    first, middle, last = curve(best, objective, np.array([inner, (low + high) / 2, outer]))
    level = float(best.level)
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
    best = best_arms(objective, [Span(inner_mm=inner, outer_mm=outer)], **{held: length})
    other = moved(best, held, size * math.cos(direction), math.radians(size) * math.sin(direction))
    assert value(other, objective, inner, outer) > value(best, objective, inner, outer)


@given(length=lengths, inner=inner_radii, width=widths, scale=st.floats(0.5, 2.0))
def test_scaling_all_lengths_scales_the_answer(
    length: float, inner: float, width: float, scale: float
) -> None:
    """Twice the deck, twice the overhang, the same angle."""
    for norm in ("peak", "rms"):
        one, two = (
            best_arms(
                Objective(norm=norm),
                [Span(inner_mm=k * inner, outer_mm=k * (inner + width))],
                pivot_to_spindle_mm=k * length,
            )
            for k in (1.0, scale)
        )
        assert float(two.overhang_mm) == pytest.approx(scale * float(one.overhang_mm), rel=1e-11)
        assert float(two.offset_angle_rad) == pytest.approx(float(one.offset_angle_rad), rel=1e-11)


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("held", ["pivot_to_spindle_mm", "effective_length_mm"])
@pytest.mark.parametrize("limits", [{}, {"overhang_range_mm": (12.0, 16.5)}])
def test_arrays_are_solved_as_single_arms_are(
    scheme: str, held: str, limits: dict[str, tuple[float, float]]
) -> None:
    """A 3 x 2 array of arms and records gives what each gives alone."""
    length = np.array([[180.0], [222.0], [310.0]])
    inner, outer = np.array([57.5, 60.325]), np.array([146.3, 120.9])
    objective = Objective.of(scheme)
    many = best_arms(objective, [Span(inner_mm=inner, outer_mm=outer)], **{held: length}, **limits)
    assert many.overhang_mm.shape == (3, 2)
    for i in range(3):
        for j in range(2):
            span = Span(inner_mm=float(inner[j]), outer_mm=float(outer[j]))
            one = best_arms(objective, [span], **{held: float(length[i, 0])}, **limits)
            assert many.overhang_mm[i, j] == pytest.approx(float(one.overhang_mm), abs=1e-10)
            assert many.offset_angle_rad[i, j] == pytest.approx(
                float(one.offset_angle_rad), abs=1e-12
            )
            assert many.level[i, j] == pytest.approx(float(one.level), rel=1e-11)
            assert many.overhang_limit[i, j] == one.overhang_limit


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
    best = best_arms(
        objective,
        [Span(inner_mm=60.325, outer_mm=146.05)],
        overhang_range_mm=(low, high),
        offset_range_rad=(below, above),
        **{held: length},
    )
    assert low - 1e-9 <= float(best.overhang_mm) <= high + 1e-9
    assert below - 1e-12 <= float(best.offset_angle_rad) <= above + 1e-12
    assert bool(best.overhang_limit) == bool(
        min(abs(float(best.overhang_mm) - v) for v in (low, high)) < 1e-9
    )
    if best.limited:
        assert float(best.level) >= float(best.unlimited_level)
    else:
        assert float(best.level) == float(best.unlimited_level)


def test_a_limit_that_does_not_bind_changes_nothing() -> None:
    """Wide slots give the answer without slots."""
    span = [Span(inner_mm=60.325, outer_mm=146.05)]
    for scheme in SCHEMES:
        free = best_arms(Objective.of(scheme), span, pivot_to_spindle_mm=222.0)
        wide = best_arms(
            Objective.of(scheme),
            span,
            pivot_to_spindle_mm=222.0,
            overhang_range_mm=(5.0, 30.0),
            offset_range_rad=(0.2, 0.6),
        )
        assert not wide.limited
        assert float(wide.overhang_mm) == pytest.approx(float(free.overhang_mm), abs=1e-10)


def test_a_kept_null_is_a_null() -> None:
    """Kept anywhere on the record, the error there is zero."""
    for norm in ("peak", "rms"):
        for radius in (60.325, 75.0, 110.0):
            best = best_arms(
                Objective(norm=norm, null_at_mm=radius),
                [Span(inner_mm=60.325, outer_mm=146.05)],
                pivot_to_spindle_mm=np.array([180.0, 222.0, 300.0]),
            )
            nulls = null_radii(
                best.pivot_to_spindle_mm, best.effective_length_mm, best.offset_angle_rad
            )
            assert np.abs(np.array(nulls) - radius).min(axis=0) == pytest.approx(0, abs=1e-9)


def test_records_at_one_speed_count_as_their_union_for_the_peak() -> None:
    """Two overlapping records at one speed: the least peak is that of the whole stretch."""
    whole = best_arms(
        Objective(), [Span(inner_mm=53.0, outer_mm=146.05)], pivot_to_spindle_mm=222.0
    )
    parts = best_arms(
        Objective(),
        [Span(inner_mm=53.0, outer_mm=84.0), Span(inner_mm=60.325, outer_mm=146.05)],
        pivot_to_spindle_mm=222.0,
    )
    assert float(parts.overhang_mm) == pytest.approx(float(whole.overhang_mm), abs=1e-9)
    assert float(parts.level) == pytest.approx(float(whole.level), rel=1e-12)


@given(share=st.floats(0.01, 0.99))
@settings(max_examples=40)
def test_the_least_rms_follows_what_is_played(share: float) -> None:
    """More of the small record pulls the inner null in, and never past the small record's own."""
    small, large = Span(inner_mm=53.0, outer_mm=84.0), Span(inner_mm=60.325, outer_mm=146.05)

    def nulls(*spans: Span) -> float:
        best = best_arms(Objective(norm="rms"), spans, pivot_to_spindle_mm=222.0)
        return float(best.overhang_mm)

    mixed = nulls(
        Span(inner_mm=53.0, outer_mm=84.0, share=share),
        Span(inner_mm=60.325, outer_mm=146.05, share=1 - share),
    )
    assert nulls(small) < mixed < nulls(large)


def test_what_the_arm_cannot_reach_is_nan() -> None:
    """A record larger than the arm, a negative length: nan, and no warning."""
    best = best_arms(
        Objective(),
        [Span(inner_mm=60.0, outer_mm=146.0)],
        effective_length_mm=np.array([60.0, -230.0, 230.0]),
    )
    assert np.isnan(best.overhang_mm[:2]).all()
    assert np.isfinite(best.overhang_mm[2])
    assert math.isnan(
        float(
            best_arms(
                Objective(), [Span(inner_mm=60.0, outer_mm=146.0)], effective_length_mm=60.0
            ).level
        )
    )


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
        best_arms(Objective(), [Span(inner_mm=60.0, outer_mm=146.0)], **arguments)
    assert refusal.value.name == name


@pytest.mark.parametrize("norm", ["peak", "rms"])
@pytest.mark.parametrize("shape", [(0,), (0, 3), (3, 0), (), (2, 1, 2), (1300,)])
def test_the_answer_has_the_shape_of_the_question(norm: str, shape: tuple[int, ...]) -> None:
    """None, one, or more arms than one block holds; with limits and without."""
    for limits in ({}, {"overhang_range_mm": (10.0, 16.0)}):
        best = best_arms(
            Objective(norm=norm),
            [Span(inner_mm=60.325, outer_mm=146.05)],
            pivot_to_spindle_mm=np.full(shape, 222.0),
            **limits,
        )
        for field in (best.overhang_mm, best.offset_angle_rad, best.level, best.overhang_limit):
            assert field.shape == shape
        assert len(np.unique(best.overhang_mm.round(9))) <= 1


def test_nothing_played_is_refused() -> None:
    """Without a record there is nothing to align for."""
    with pytest.raises(InputError, match="one record or more"):
        best_arms(Objective(), [], pivot_to_spindle_mm=222.0)


@given(offset=st.floats(0.0, 0.45), length=lengths)
@settings(max_examples=50)
def test_a_held_offset_angle_stays(offset: float, length: float) -> None:
    """With the angle held the one length moves; two peaks come out equal, of opposite sign."""
    objective = Objective()
    best = best_arms(
        objective,
        [Span(inner_mm=60.325, outer_mm=146.05)],
        pivot_to_spindle_mm=length,
        offset_angle_rad=offset,
    )
    assume(np.isfinite(best.level))
    assert float(best.offset_angle_rad) == offset
    error = curve(best, objective, np.linspace(60.325, 146.05, 20001))
    assert error.max() == pytest.approx(-error.min(), rel=1e-6)
    assert error.max() == pytest.approx(float(best.level), rel=1e-6)
