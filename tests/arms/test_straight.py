"""Straight arms without offset: Radiotron's constants, a second opinion, and the law behind."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import trapezoid
from scipy.optimize import minimize_scalar

from protractor.arms.records import Record, record
from protractor.arms.straight import SINGLE_NULLS, single_null_radius, straight_arm
from protractor.errors import InputError

INCH = 25.4
# outer radii of the records that the handbook treats, and the constant it prints for each
# F. Langford-Smith, Radiotron Designer's Handbook, 4th ed., 1953, ch. 17, read second-hand;
# its inner radius of 1 7/8 in is derived from the two constants
RADIOTRON = [(5.75, "3.18"), (4.75, "3.04")]


@pytest.mark.parametrize(("outer_in", "printed"), RADIOTRON)
def test_radiotron_constants(outer_in: float, printed: str) -> None:
    """Half of d² - L² is the handbook's constant, to half of its last printed digit."""
    null = single_null_radius("lofgren-a", 1.875 * INCH, outer_in * INCH) / INCH
    assert float(null) ** 2 / 2 == pytest.approx(float(printed), abs=0.005)


OBJECTIVES = {
    "lofgren-a": lambda r, k: np.max(np.abs(1 - k / r**2)),
    "lofgren-c": lambda r, k: trapezoid((1 - k / r**2) ** 2, r),
    "equal-angle": lambda r, k: np.max(np.abs(r - k / r)),
}


@pytest.mark.parametrize("scheme", OBJECTIVES)
def test_a_general_minimiser_agrees(scheme: str) -> None:
    """scipy's bounded minimiser over the error of sines finds the same null."""
    ri, ro = 60.325, 146.05
    r = np.linspace(ri, ro, 4001)
    found = minimize_scalar(
        lambda null: OBJECTIVES[scheme](r, null**2),
        bounds=(ri, ro),
        method="bounded",
        options={"xatol": 1e-9},
    )
    assert float(single_null_radius(scheme, ri, ro)) == pytest.approx(found.x, abs=1e-4)


@given(
    scheme=st.sampled_from(sorted(SINGLE_NULLS)),
    ri=st.floats(40, 80),
    width=st.floats(10, 100),
    d=st.floats(200, 500),
)
def test_the_null_is_a_null(scheme: str, ri: float, width: float, d: float) -> None:
    """The arm has no error at the single null, which lies on the record, and is underhung."""
    side = Record(name="x", inner_radius_mm=ri, outer_radius_mm=ri + width)
    null = float(single_null_radius(scheme, ri, ri + width))
    assert ri - 1e-9 <= null <= ri + width
    arm = straight_arm(scheme, side, pivot_to_spindle_mm=d)
    assert arm.overhang_mm < 0
    assert float(arm.tracking_error(null)) == pytest.approx(0.0, abs=1e-12)
    again = straight_arm(scheme, side, effective_length_mm=arm.effective_length_mm)
    assert again.pivot_to_spindle_mm == pytest.approx(d, abs=1e-9)


def test_equal_weighted_error_at_both_edges() -> None:
    """Löfgren's objective leaves equal weighted errors at both edges, on true angles nearly."""
    arm = straight_arm("lofgren-a", record(), pivot_to_spindle_mm=240.0)
    radii = np.array([60.325, 146.05])
    sines = np.sin(arm.tracking_error(radii)) / radii
    assert sines[0] == pytest.approx(-sines[1], rel=1e-12)


def test_a_seven_inch_deck() -> None:
    """A short straight arm for 7-inch records alone has an answer too."""
    arm = straight_arm("lofgren-a", record("7"), pivot_to_spindle_mm=120.0)
    assert 0 < -arm.overhang_mm < 20
    assert math.isclose(arm.offset_angle_rad, 0.0)


def test_impossible_straight_arms_are_refused() -> None:
    """No length, a length no deck has, and an unknown scheme are said."""
    with pytest.raises(InputError, match="one of pivot-to-spindle"):
        straight_arm("lofgren-a", record())
    with pytest.raises(InputError, match="120 to 500 mm"):
        straight_arm("lofgren-a", record(), pivot_to_spindle_mm=90.0)
    with pytest.raises(InputError, match="scheme"):
        straight_arm("null-radii", record(), pivot_to_spindle_mm=240.0)
