"""The figures over a side against a dense grid and independent quadrature."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, optimize

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.arms.distortion import peak_velocity, second_harmonic, weighted_turning_radius
from protractor.arms.records import record
from protractor.arms.schemes import SCHEMES
from protractor.errors import InputError


@settings(max_examples=40)
@given(st.floats(120.0, 500.0), st.sampled_from(list(SCHEMES)), st.sampled_from(["12", "10", "7"]))
def test_peaks_against_a_dense_grid(d: float, scheme: str, name: str) -> None:
    """The peaks found at the curve's few extrema are those of a dense grid."""
    alignment = align(Deck(pivot_to_spindle_mm=d, scheme=scheme, record=record(name)))
    side = alignment.record
    r = np.linspace(side.inner_radius_mm, side.outer_radius_mm, 20_001)
    error = alignment.arm.tracking_error(r)
    grid_peak = math.degrees(np.abs(error).max())
    assert alignment.peak_tracking_error_deg == pytest.approx(grid_peak, rel=1e-6)
    grid_harmonic = 100 * second_harmonic(error, r, side.rpm, 10.0).max()
    assert alignment.peak_second_harmonic_percent == pytest.approx(grid_harmonic, rel=1e-6)
    assert alignment.peak_second_harmonic_percent >= grid_harmonic * (1 - 1e-12)


def test_rms_against_scipy_quadrature() -> None:
    """The rms figures agree with scipy's adaptive quadrature."""
    alignment = align(Deck(pivot_to_spindle_mm=222.0))
    side, arm = alignment.record, alignment.arm
    span = side.outer_radius_mm - side.inner_radius_mm
    area = (side.inner_radius_mm, side.outer_radius_mm)
    mean = integrate.quad(lambda r: float(arm.tracking_error(r)) ** 2, *area)[0] / span
    assert alignment.rms_tracking_error_deg == pytest.approx(
        math.degrees(math.sqrt(mean)), rel=1e-10
    )
    mean = (
        integrate.quad(
            lambda r: float(second_harmonic(arm.tracking_error(r), r, side.rpm, 10.0)) ** 2, *area
        )[0]
        / span
    )
    assert alignment.rms_second_harmonic_percent == pytest.approx(100 * math.sqrt(mean), rel=1e-10)


def test_rms_velocity_is_stronger_by_root_two() -> None:
    """10 cm/s rms is 14.14 cm/s peak, and the distortion follows."""
    assert peak_velocity(10.0, "rms") == pytest.approx(10.0 * math.sqrt(2))
    peak = align(Deck(pivot_to_spindle_mm=222.0)).peak_second_harmonic_percent
    rms = align(Deck(pivot_to_spindle_mm=222.0, velocity_is="rms")).peak_second_harmonic_percent
    assert rms == pytest.approx(peak * math.sqrt(2))


def test_velocity_refused() -> None:
    """A velocity that no groove has, or of an unknown kind, is refused."""
    with pytest.raises(InputError, match=r"velocity: got 0 cm/s; allowed: 0\.1 to 100 cm/s"):
        peak_velocity(0.0, "peak")
    with pytest.raises(InputError, match="velocity-is: got mean"):
        peak_velocity(10.0, "mean")


@pytest.mark.parametrize("d", [150.0, 222.0, 400.0])
@pytest.mark.parametrize("scheme", ["lofgren-a", "stevenson"])
def test_the_weighted_error_turns_where_a_minimiser_finds_it(d: float, scheme: str) -> None:
    """Between the nulls tan(error) / r is least where scipy's bounded minimiser says."""
    arm = align(Deck(pivot_to_spindle_mm=d, scheme=scheme)).arm
    found = optimize.minimize_scalar(
        lambda r: 1e3 * math.tan(float(arm.tracking_error(r))) / r,
        bounds=arm.null_radii_mm,
        method="bounded",
        options={"xatol": 1e-7},
    )
    assert weighted_turning_radius(arm) == pytest.approx(found.x, abs=2e-4)
