"""Balance, resonance, skating and height by their principles."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from protractor.arms.arm import tracking_angle
from protractor.chain.balance import added_effective_mass, new_seat, weight_to_add
from protractor.chain.inputs import MILLINEWTON_A_GRAM
from protractor.chain.resonance import compliance_at_ten_hertz, mass_for_g, resonance_hz
from protractor.chain.side import lift_mm, skating_force_g, skating_lever_mm, turned_deg

MASS = st.floats(2.0, 20.0)
FORCE = st.floats(0.5, 4.0)
LENGTH = st.floats(200.0, 320.0)


@given(
    MASS, MASS, st.floats(0.5, 4), st.floats(0.5, 4), LENGTH, st.floats(20, 80), st.floats(50, 200)
)
def test_moments_balance_before_and_after(
    old: float, new: float, old_force: float, force: float, length: float, x: float, weight: float
) -> None:
    """The moment that the rest of the arm has is the same at both balances."""
    seat = new_seat(x, length, new - old, force - old_force, weight)
    before = weight * x - (old - old_force) * length
    after = weight * seat - (new - force) * length
    assert after == pytest.approx(before, abs=1e-6)


@given(MASS, MASS, LENGTH, st.floats(20, 80), st.floats(50, 200))
def test_effective_mass_is_inertia_over_length_squared(
    old: float, new: float, length: float, x: float, weight: float
) -> None:
    """Two point masses and a rest that does not move, their inertia summed before and after."""
    seat = new_seat(x, length, new - old, 0.0, weight)
    inertia = [np.dot([m, weight], np.square([length, at])) for m, at in ((old, x), (new, seat))]
    gain = added_effective_mass(new - old, weight, x, seat, length)
    assert gain == pytest.approx((inertia[1] - inertia[0]) / length**2, abs=1e-9)


@given(st.floats(51.0, 90.0), st.floats(50.0, 200.0))
def test_weight_added_at_the_end_makes_the_same_moment(seat: float, weight: float) -> None:
    """A heavier counterweight at 50 mm balances what the old one would beyond."""
    assert (weight + weight_to_add(seat, 50.0, weight)) * 50.0 == pytest.approx(weight * seat)


@given(st.floats(5.0, 40.0), st.floats(3.0, 40.0))
def test_resonance_in_si(mass: float, compliance: float) -> None:
    """Kilograms and metres a newton give the same: 1 µm/mN is 1e-3 m/N, and 10^-6 cm/dyne."""
    si = 1 / (2 * math.pi * math.sqrt(mass * 1e-3 * compliance * 1e-3))
    cgs = 1 / (2 * math.pi * math.sqrt(mass * compliance * 1e-6))
    assert resonance_hz(mass, compliance) == pytest.approx(si, rel=1e-12)
    assert resonance_hz(mass, compliance) == pytest.approx(cgs, rel=1e-12)
    assert mass_for_g(resonance_hz(mass, compliance), compliance) == pytest.approx(mass)


@given(st.floats(3.0, 40.0))
def test_a_converted_compliance_is_doubtful_by_two(compliance: float) -> None:
    """Static is twice and 100 Hz half of 10 Hz, each doubtful by 2; unstated covers them all."""
    static, fast = (compliance_at_ten_hertz(compliance, one) for one in ("static", "100hz"))
    assert (static.low, static.high) == (compliance / 4, compliance)
    assert (fast.low, fast.high) == (compliance, 4 * compliance)
    anything = compliance_at_ten_hertz(compliance, None)
    assert all(
        anything.covers(compliance_at_ten_hertz(compliance, one))
        for one in ("static", "10hz", "100hz")
    )


@given(st.floats(60.0, 146.0), st.floats(200.0, 320.0), st.floats(-15.0, 20.0))
def test_skating_lever_is_the_pivots_distance_from_the_drag(
    r: float, d: float, overhang: float
) -> None:
    """The drag runs along the groove, and its distance from the pivot is found from the plan."""
    length = d + overhang
    y = (r * r - (length - d) * (length + d)) / (2 * d)
    stylus = np.array([math.sqrt(r * r - y * y), y])
    along = np.array([-stylus[1], stylus[0]]) / r
    to_pivot = np.array([0.0, d]) - stylus
    lever = abs(along[0] * to_pivot[1] - along[1] * to_pivot[0])
    assert abs(float(skating_lever_mm(r, length, d))) == pytest.approx(lever, rel=1e-9)
    sine = math.sin(float(tracking_angle(r, d, length)))
    assert float(skating_lever_mm(r, length, d)) == pytest.approx(length * sine, rel=1e-9)


@given(st.floats(0.3, 8.0))
def test_skating_in_millinewtons(force: float) -> None:
    """A force in mN gives a skating force in mN."""
    grams = skating_force_g(0.275, force, 95.0, 239.3)
    assert skating_force_g(0.275, force * MILLINEWTON_A_GRAM, 95.0, 239.3) == pytest.approx(
        grams * MILLINEWTON_A_GRAM
    )


@given(st.floats(-5.0, 5.0), LENGTH)
def test_height_and_angle_undo_each_other(angle: float, length: float) -> None:
    """The rise for an angle turns by that angle."""
    assert turned_deg(lift_mm(angle, length), length) == pytest.approx(angle, abs=1e-9)
