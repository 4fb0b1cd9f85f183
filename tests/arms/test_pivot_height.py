"""A pivot above the record's plane: against vectors in space."""

import math

from hypothesis import given
from hypothesis import strategies as st

from protractor.arms.pivot_height import horizontal_length, length_on_record


@given(length=st.floats(150, 400), height=st.floats(0, 60), lift=st.floats(-3, 3))
def test_the_slant_stays(length: float, height: float, lift: float) -> None:
    """Lifted onto a record the stylus keeps its distance from the pivot in space."""
    slant = math.hypot(length, height)
    assert math.isclose(float(horizontal_length(slant, height)), length, abs_tol=1e-9)
    lifted = float(length_on_record(length, height, lift))
    assert math.isclose(math.hypot(lifted, height - lift), slant, abs_tol=1e-9)


def test_a_height_above_the_slant_has_no_length() -> None:
    """A pivot higher than the arm is long gives nan, not a complex number."""
    assert math.isnan(float(horizontal_length(20.0, 30.0)))
