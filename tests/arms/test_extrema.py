"""Peaks from a few extrema against a dense grid, for arms of every kind."""

import math

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from protractor.arms.arm import Arm, tracking_error
from protractor.arms.distortion import peak_second_harmonic, peak_tracking_error
from protractor.arms.extrema import peak_tracking_errors, peak_weighted_errors
from protractor.arms.records import record

SIDE = record()


def grid_peaks(d: float, length: float, beta: float) -> tuple[float, float]:
    """Both peaks on 20,001 radii, bettered by the parabola through the greatest three."""
    r = np.linspace(SIDE.inner_radius_mm, SIDE.outer_radius_mm, 20_001)
    error = tracking_error(r, d, length, beta)
    return topped(np.abs(error)), topped(np.tan(np.abs(error)) / r)


def topped(curve: np.ndarray) -> float:
    """The greatest value of a sampled curve, between its samples."""
    i = int(np.argmax(curve))
    if i in (0, len(curve) - 1):
        return float(curve[i])
    before, at, after = curve[i - 1 : i + 2]
    bend = before - 2 * at + after
    return float(at - (after - before) ** 2 / (8 * bend)) if bend < 0 else float(at)


@given(
    d=st.floats(180, 400),
    overhang=st.floats(-25, 30),
    beta_deg=st.floats(-3, 35),
)
def test_three_evaluations_equal_a_dense_grid(d: float, overhang: float, beta_deg: float) -> None:
    """Tracking error and weighted error agree with the grid, whatever the arm."""
    beta = math.radians(beta_deg)
    angle, weighted = grid_peaks(d, d + overhang, beta)
    fast = float(peak_tracking_errors(d, d + overhang, beta, SIDE))
    assert math.isclose(fast, angle, abs_tol=1e-9)
    assert math.isclose(
        float(peak_weighted_errors(d, d + overhang, beta, SIDE)), weighted, rel_tol=1e-6
    )


def test_one_arm_alone_gives_the_same() -> None:
    """The figures of a single alignment come out the same here."""
    arm = Arm.through_nulls((66.0, 120.9), pivot_to_spindle_mm=222.0)
    three = arm.pivot_to_spindle_mm, arm.effective_length_mm, arm.offset_angle_rad
    assert math.isclose(
        float(peak_tracking_errors(*three, SIDE)), peak_tracking_error(arm, SIDE), rel_tol=1e-12
    )
    per_mm = 10 * 10 / (SIDE.rpm * 2 * math.pi / 60)
    assert math.isclose(
        float(peak_weighted_errors(*three, SIDE)) * per_mm,
        peak_second_harmonic(arm, SIDE, 10.0),
        rel_tol=1e-12,
    )
