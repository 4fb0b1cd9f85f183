"""Laws of figures that are known within limits."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protractor.chain.answer import judged
from protractor.chain.interval import Interval, spread
from protractor.chain.resonance import resonance_hz

POSITIVE = st.floats(0.1, 100.0)
DOUBT = st.floats(0.0, 0.5)


def test_an_interval_is_in_order() -> None:
    """The nominal value lies between the edges, and all are finite."""
    for low, nominal, high in ((1.0, 0.5, 2.0), (2.0, 3.0, 1.0), (0.0, 0.0, math.inf)):
        with pytest.raises(ValueError, match="no interval"):
            Interval(nominal=nominal, low=low, high=high)
    with pytest.raises(ValueError, match="no interval"):
        Interval.exactly(math.nan)


@given(POSITIVE, POSITIVE, DOUBT, DOUBT, DOUBT)
def test_more_doubt_is_wider(m: float, c: float, small: float, more: float, other: float) -> None:
    """An argument that is more doubtful never narrows the result."""
    one = spread(resonance_hz, Interval.about(m, small), Interval.about(c, other))
    two = spread(resonance_hz, Interval.about(m, min(small + more, 0.9)), Interval.about(c, other))
    assert two.covers(one)


@given(POSITIVE, POSITIVE, DOUBT, DOUBT, st.floats(0, 1), st.floats(0, 1))
def test_corners_hold_what_lies_between(
    m: float, c: float, dm: float, dc: float, tm: float, tc: float
) -> None:
    """A monotone formula anywhere inside its arguments' limits is inside the result's."""
    mass, compliance = Interval.about(m, dm), Interval.about(c, dc)
    found = spread(resonance_hz, mass, compliance)
    inside = resonance_hz(
        mass.low + tm * (mass.high - mass.low),
        compliance.low + tc * (compliance.high - compliance.low),
    )
    assert found.low * (1 - 1e-12) <= inside <= found.high * (1 + 1e-12)


def test_a_doubt_that_enters_twice_counts_once() -> None:
    """x / x is 1 however doubtful x is."""
    found = spread(lambda x: x / x, Interval.about(3.0, 0.5))
    assert (found.low, found.high) == (1.0, 1.0)


def test_points_between_the_corners_find_a_peak() -> None:
    """A formula with its peak inside needs more than the corners."""
    around = Interval(nominal=0.5, low=-1.0, high=1.0)
    assert spread(lambda x: 1 - x * x, around).high == 0.75
    assert spread(lambda x: 1 - x * x, around, points=5).high == 1.0


@given(st.integers(-9, 9), st.integers(0, 5), st.integers(-9, 9), st.integers(0, 5))
def test_verdicts(middle: int, half: int, low: int, width: int) -> None:
    """All inside fits, all outside does not, and the rest is open."""
    value = Interval(nominal=middle, low=middle - half, high=middle + half)
    verdict = judged(value, low, low + width)
    points = set(range(middle - half, middle + half + 1))
    window = set(range(low, low + width + 1))
    wanted = "fits" if points <= window else "cannot tell" if points & window else "does not fit"
    assert verdict == wanted
