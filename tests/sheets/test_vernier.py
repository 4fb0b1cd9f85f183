"""The vernier's law: any tenth is told by one line alone."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from protractor.sheets.pivot_gauge import VERNIER_LINES, VERNIER_STEP_MM


def from_nearest_mark(index_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far the lines 0 to 9 stand from the millimetre mark next to each, by index [mm]."""
    places = index_mm[..., None] - VERNIER_STEP_MM * np.arange(VERNIER_LINES)
    return np.abs(places - np.round(places))


@given(tenths=st.integers(0, 6000))
def test_one_line_alone_meets_a_mark(tenths: int) -> None:
    """At every whole tenth exactly the line of that number meets a millimetre mark."""
    meets = from_nearest_mark(np.array(tenths / 10)) < 1e-9
    assert np.flatnonzero(meets).tolist() == [tenths % 10]


def test_between_tenths_the_nearest_line_tells() -> None:
    """Between two tenths the nearer one is read: the error is at most half a tenth."""
    index = np.linspace(100, 130, 30_001) + 1e-6
    read = np.floor(index * 10 + 0.5) % 10
    assert np.array_equal(np.argmin(from_nearest_mark(index), axis=-1), read)
