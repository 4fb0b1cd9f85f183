"""Laws of an arm on a deck."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.arms.arm import Arm, null_radii, tracking_angle, tracking_error
from protractor.arms.schemes import SCHEMES
from protractor.errors import InputError

distances = st.floats(120.0, 500.0)
schemes = st.sampled_from(list(SCHEMES))


@given(distances, schemes)
def test_error_is_zero_at_the_nulls(d: float, scheme: str) -> None:
    """The cartridge is tangent to the groove at both null radii."""
    arm = align(Deck(pivot_to_spindle_mm=d, scheme=scheme)).arm
    assert np.abs(arm.tracking_error(arm.null_radii_mm)).max() < 1e-12


@given(distances, schemes)
def test_identities_of_the_nulls(d: float, scheme: str) -> None:
    """r1 + r2 = 2 L sin(beta) and r1 r2 = L² - d²."""
    arm = align(Deck(pivot_to_spindle_mm=d, scheme=scheme)).arm
    r1, r2 = arm.null_radii_mm
    assert r1 + r2 == pytest.approx(2 * arm.linear_offset_mm, rel=1e-12)
    assert r1 * r2 == pytest.approx(
        arm.effective_length_mm**2 - arm.pivot_to_spindle_mm**2, rel=1e-10
    )


@given(distances, schemes, st.floats(50.0, 150.0))
def test_identity_of_the_error(d: float, scheme: str, r: float) -> None:
    """sin(phi) - sin(beta) = (r - r1)(r - r2) / (2 r L)."""
    arm = align(Deck(pivot_to_spindle_mm=d, scheme=scheme)).arm
    assume(arm.reach_mm[0] < r)
    r1, r2 = arm.null_radii_mm
    left = math.sin(float(arm.tracking_angle(r))) - math.sin(arm.offset_angle_rad)
    assert left == pytest.approx((r - r1) * (r - r2) / (2 * r * arm.effective_length_mm), abs=1e-13)


@given(distances, schemes)
def test_from_either_length(d: float, scheme: str) -> None:
    """Solving from d, then from the effective length that comes out, gives the same arm."""
    arm = align(Deck(pivot_to_spindle_mm=d, scheme=scheme)).arm
    again = align(Deck(effective_length_mm=arm.effective_length_mm, scheme=scheme)).arm
    assert again.pivot_to_spindle_mm == pytest.approx(d, rel=1e-12)
    assert again.offset_angle_rad == pytest.approx(arm.offset_angle_rad, rel=1e-12)


@given(distances, st.floats(45.0, 70.0), st.floats(20.0, 80.0), st.floats(0.2, 5.0))
def test_scaling_all_lengths(d: float, r1: float, gap: float, factor: float) -> None:
    """Scaling every length scales the lengths of the answer and leaves the angle."""
    nulls = (r1, r1 + gap)
    arm = Arm.through_nulls(nulls, pivot_to_spindle_mm=d)
    scaled = Arm.through_nulls(
        (nulls[0] * factor, nulls[1] * factor), pivot_to_spindle_mm=d * factor
    )
    assert scaled.overhang_mm == pytest.approx(arm.overhang_mm * factor, rel=1e-9)
    assert scaled.offset_angle_rad == pytest.approx(arm.offset_angle_rad, rel=1e-12)


@given(distances, schemes, st.floats(60.0, 146.0))
def test_tracking_angle_from_vectors(d: float, scheme: str, r: float) -> None:
    """The tracking angle is the angle between the vectors stylus to pivot and groove tangent."""
    arm = align(Deck(pivot_to_spindle_mm=d, scheme=scheme)).arm
    stylus = arm.stylus(r)
    to_pivot = np.array([0.0, d]) - stylus
    tangent = np.array([-stylus[1], stylus[0]])  # clockwise platter: the groove runs toward -this
    cosine = to_pivot @ tangent / np.linalg.norm(to_pivot) / np.linalg.norm(tangent)
    assert float(arm.tracking_angle(r)) == pytest.approx(math.acos(cosine), abs=1e-9)
    assert np.linalg.norm(stylus) == pytest.approx(r, rel=1e-12)
    assert np.linalg.norm(to_pivot) == pytest.approx(arm.effective_length_mm, rel=1e-12)
    assert stylus[0] > 0


def test_formulas_broadcast_and_give_nan_out_of_reach() -> None:
    """Arrays in, arrays out; nan where the stylus cannot be."""
    angle = tracking_angle(np.array([[5.0], [100.0]]), np.array([222.0, 300.0]), 239.3)
    assert angle.shape == (2, 2)
    assert np.isnan(angle[0, 0])
    assert not np.isnan(angle[1, 0])
    assert tracking_error(100.0, 222.0, 239.3, np.zeros(3)).shape == (3,)
    assert all(np.isnan(r) for r in null_radii(222.0, 260.0, 0.1))


@given(distances, st.floats(0.5, 20.0))
def test_straight_underhung_arm_has_one_null(d: float, underhang: float) -> None:
    """Without offset and with underhang, the one null is at sqrt(d² - L²)."""
    length = d - underhang
    _, outer = null_radii(d, length, 0.0)
    assert float(outer) == pytest.approx(math.sqrt((d - length) * (d + length)), rel=1e-9)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"pivot_to_spindle_mm": -1.0}, "pivot-to-spindle: got -1.0 mm"),
        ({"effective_length_mm": math.nan}, "effective-length: got nan mm"),
        ({"offset_angle_rad": 1.2}, "offset-angle: got 68.7549 deg"),
    ],
)
def test_arm_refuses(change: dict[str, float], message: str) -> None:
    """An arm with a length or an angle that none has is not made."""
    good = {"pivot_to_spindle_mm": 222.0, "effective_length_mm": 239.0, "offset_angle_rad": 0.4}
    with pytest.raises(InputError, match=message):
        Arm(**(good | change))
