"""The vernier's law: any tenth is told by one line alone."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from protractor.sheets.vernier import vernier_places, vernier_reads


@given(tenths=st.integers(0, 6000))
def test_one_line_alone_meets_a_mark(tenths: int) -> None:
    """At every whole tenth exactly the line of that number meets a millimetre mark."""
    places = vernier_places(tenths / 10)[:10]
    meets = np.abs(places - np.round(places)) < 1e-9
    assert np.flatnonzero(meets).tolist() == [tenths % 10]


def test_between_tenths_the_nearest_line_tells() -> None:
    """Between two tenths the nearer one is read: the error is at most half a tenth."""
    index = np.linspace(100, 130, 30_001) + 1e-6
    read = np.floor(index * 10 + 0.5) % 10
    assert np.array_equal(vernier_reads(index), read)
