"""Loaded coils solved twice: in closed form, and by the nodes of the circuit."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize

from protractor.chain.circuit import (
    corner,
    division_db,
    greatest_change_db,
    reflected,
    response_db,
    transfer,
)
from protractor.chain.load import next_setting
from protractor.chain.noise import source_impedance
from tests.chain.nodal import Part, Transformer, coil, load, voltages

OHM = st.floats(1.0, 5000.0)
MILLIHENRY = st.floats(0.01, 1000.0)
LOAD = st.floats(10.0, 200_000.0)
PICOFARAD = st.floats(1.0, 2000.0)
HERTZ = st.floats(20.0, 20_000.0)


@given(OHM, MILLIHENRY, LOAD, PICOFARAD, HERTZ)
def test_transfer_by_nodes(r: float, mh: float, rl: float, pf: float, f: float) -> None:
    """The voltage at the load by closed form and by nodes agree to 1e-9."""
    nodes = voltages([*coil(r, mh), *load(3, rl, pf)], f, source=(1, 1.0))
    assert abs(complex(transfer(f, r, mh, rl, pf)) - nodes[3]) <= 1e-9 * abs(nodes[3])


@given(OHM, MILLIHENRY, LOAD, PICOFARAD, HERTZ)
def test_source_impedance_by_nodes(r: float, mh: float, rl: float, pf: float, f: float) -> None:
    """An ampere into the input node, the source shorted, makes its impedance as a voltage."""
    parts = [Part("R", (0, 1), r), Part("L", (1, 2), mh * 1e-3), *load(2, rl, pf)]
    nodes = voltages(parts, f, current=(2, 1.0))
    z = complex(source_impedance(f, r, mh, rl, pf))
    assert abs(z - nodes[2]) <= 1e-9 * abs(nodes[2])


@given(OHM, MILLIHENRY, LOAD, PICOFARAD, HERTZ, st.floats(1.0, 40.0))
def test_step_up_by_nodes(
    r: float, mh: float, rl: float, pf: float, f: float, ratio: float
) -> None:
    """A transformer and the load it reflects are the same to the coil, and n times the voltage."""
    nodes = voltages(
        [*coil(r, mh), *load(4, rl, pf)],
        f,
        source=(1, 1.0),
        transformer=Transformer(primary=3, secondary=4, ratio=ratio),
    )
    seen = complex(transfer(f, r, mh, *reflected(rl, pf, ratio)))
    assert abs(seen - nodes[3]) <= 1e-9 * abs(seen)
    assert abs(ratio * seen - nodes[4]) <= 1e-9 * abs(nodes[4])


@given(OHM, LOAD)
def test_division_is_the_response_of_a_coil_without_inductance(r: float, rl: float) -> None:
    """The loss of a moving coil is the circuit's at 0 Hz."""
    assert division_db(r, rl) == pytest.approx(20 * math.log10(abs(transfer(0.0, r, 0, rl, 0))))


@given(st.floats(200, 2000), st.floats(100, 1000), st.floats(2e4, 2e5), st.floats(50, 1000))
def test_corner_against_a_search(r: float, mh: float, rl: float, pf: float) -> None:
    """Peak and -3 dB point in closed form are those that a search on the nodes' response finds."""
    found = corner(r, mh, rl, pf)

    def level(f: float) -> float:
        parts = [*coil(r, mh), *load(3, rl, pf)]
        ratio = voltages(parts, f, source=(1, 1.0))[3] / voltages(parts, 1e3, source=(1, 1.0))[3]
        return 20 * math.log10(abs(ratio))

    assert level(found.minus_3_db_hz) == pytest.approx(-3.0, abs=1e-7)
    if found.peak_hz is not None:
        around = (found.peak_hz * 0.7, found.peak_hz * 1.4)
        top = optimize.minimize_scalar(lambda f: -level(f), bounds=around, method="bounded")
        assert found.peak_db == pytest.approx(-top.fun, abs=1e-7)
    else:
        assert all(level(f) <= 1e-9 for f in np.geomspace(1000.0, 1e5, 30))


@given(OHM, MILLIHENRY, LOAD, PICOFARAD)
def test_units_of_the_circuit(r: float, mh: float, rl: float, pf: float) -> None:
    """Impedances all times a thousand, capacitance by a thousand: the same response."""
    f = np.geomspace(20.0, 20_000.0, 7)
    scaled = response_db(f, 1e3 * r, 1e3 * mh, 1e3 * rl, pf / 1e3)
    assert scaled == pytest.approx(response_db(f, r, mh, rl, pf), abs=1e-9)


@given(st.floats(200, 2000), st.floats(100, 1000), st.floats(50, 400), st.floats(50, 400))
def test_change_against_the_recommended_load(r: float, mh: float, pf: float, own: float) -> None:
    """No change at the recommended load, and a change that turns its sign when the two swap."""
    now, wanted = (47_000.0, pf), (47_000.0, own)
    assert greatest_change_db(r, mh, now, now) == 0.0
    there, back = greatest_change_db(r, mh, now, wanted), greatest_change_db(r, mh, wanted, now)
    assert abs(there) == pytest.approx(abs(back), abs=1e-9)


def test_next_setting_is_the_nearest_inside() -> None:
    """Of the positions inside the range the nearest; none outside it."""
    positions = (30.0, 100.0, 200.0, 470.0, 47_000.0)
    assert next_setting(positions, (100.0, 400.0), 47_000.0) == 200.0
    assert next_setting(positions, (100.0, 400.0), 10.0) == 100.0
    assert next_setting(positions, (500.0, 1000.0), 47_000.0) is None
    assert next_setting((0.0, 100.0), (-50.0, 50.0), None) == 0.0
