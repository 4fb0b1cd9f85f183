"""The harmonic series of a skewed groove against Bessel functions and a traced groove."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special

from protractor.arms.distortion import Equalisation, harmonics, replay_gain, second_harmonic
from protractor.errors import InputError

RADIUS_MM, RPM = 60.0, 100 / 3
GROOVE_SPEED_CM_S = RPM / 60 * 2 * math.pi * RADIUS_MM / 10


def series(e: float, count: int) -> np.ndarray:
    """Our harmonics 2 to `count` at an eccentricity e, by an error of atan(e) at groove speed."""
    return harmonics(math.atan(e), RADIUS_MM, RPM, GROOVE_SPEED_CM_S, count)


@given(st.floats(1e-6, 0.95))
def test_the_series_is_that_of_the_bessel_functions(e: float) -> None:
    """J_n(n e) / J_1(e) of scipy, to 1e-9 (here: 1e-11 relative)."""
    order = np.arange(2, 9)
    assert series(e, 8) == pytest.approx(
        special.jv(order, order * e) / special.jv(1, e), rel=1e-11, abs=1e-300
    )


@pytest.mark.parametrize("e", [0.002, 0.01, 0.05, 0.2, 0.5])
def test_the_series_is_that_of_a_traced_groove(e: float) -> None:
    """A stylus guided askew over a sine groove, traced point by point and transformed, to 1e-9.

    The stylus moves along a line that stands askew by the tracking error: its sideways place y
    obeys y = a sin(k (x + y tan(error))). Solved by Newton at 4096 places along the groove.
    """
    error = math.atan(e)  # with k a = 1: the groove's own slope is one
    x = np.linspace(0, 2 * math.pi, 4096, endpoint=False)
    y = np.zeros_like(x)
    for _ in range(60):
        phase = x + y * math.tan(error)
        y = y - (y - np.sin(phase)) / (1 - math.tan(error) * np.cos(phase))
    velocity = np.abs(np.fft.rfft(y)) * np.arange(2049)  # of displacement's harmonics
    assert series(e, 8) == pytest.approx(velocity[2:9] / velocity[1], abs=1e-9)


@given(st.floats(1e-6, 0.05))
def test_the_first_term_is_the_formula_of_the_trade(e: float) -> None:
    """For a small error the exact second harmonic is the first-order one, to second order."""
    first = float(second_harmonic(math.atan(e), RADIUS_MM, RPM, GROOVE_SPEED_CM_S))
    assert series(e, 2)[0] == pytest.approx(first, rel=e * e)


def test_arrays_get_a_last_axis_and_folded_grooves_nan() -> None:
    """A 2 x 3 array gives 2 x 3 x harmonics; e of one or more has no series; no error gives 0."""
    errors = np.array([[0.0, 0.01, 0.02], [0.5, 0.7, 1.0]])
    found = harmonics(errors, RADIUS_MM, RPM, GROOVE_SPEED_CM_S, 4)
    assert found.shape == (2, 3, 3)
    assert (found[0, 0] == 0).all()
    assert np.isnan(found[1, 2]).all()


def test_equalisation_by_frequency_and_by_slope() -> None:
    """By frequency the gains' ratio, by slope so many dB an octave, else nothing."""
    by_signal = Equalisation(signal_hz=1000.0)
    assert by_signal.factor(3) == pytest.approx(float(replay_gain(3000.0) / replay_gain(1000.0)))
    assert 20 * math.log10(Equalisation(slope_db_octave=6.0).factor(4)) == pytest.approx(-12.0)
    assert Equalisation().factor(2) == 1.0


@pytest.mark.parametrize(
    ("arguments", "name"),
    [
        ({"signal_hz": 5.0}, "signal"),
        ({"signal_hz": math.nan}, "signal"),
        ({"slope_db_octave": -1.0}, "replay-slope"),
        ({"signal_hz": 1000.0, "slope_db_octave": 3.9}, "signal"),
    ],
)
def test_equalisations_that_cannot_be(arguments: dict[str, float], name: str) -> None:
    """Out of range, or both at once."""
    with pytest.raises(InputError) as refusal:
        Equalisation(**arguments)
    assert refusal.value.name == name
