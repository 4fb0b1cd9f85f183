"""Pivot to spindle by an ordinary ruler: the length, and that its bound covers what hands do."""

from __future__ import annotations

import numpy as np
import pytest

from protractor.errors import InputError
from protractor.setup.ruler import ruled_length
from protractor.setup.statements import read_statement


def test_length_is_the_mean_and_half_the_spindle() -> None:
    """Readings go to the near edge; the axis is half a diameter further (common practice)."""
    found = ruled_length([218.5, 219.0, 218.9], 7.0)
    assert found.length_mm == pytest.approx(218.8 + 3.5)
    assert found.apart_mm == pytest.approx(0.5)


def test_scatter_widens_the_bound() -> None:
    """Readings that agree are worth a ruler's half millimetre; scattered ones less."""
    alike, apart = ruled_length([218.9] * 3), ruled_length([218.0, 219.0, 220.0])
    assert 0.5 <= alike.bound_mm < 0.52
    # the mean of three that scatter by 1 mm: 1 / sqrt(3), as a bound sqrt(3) of it (JCGM 100)
    assert apart.bound_mm == pytest.approx(np.hypot(alike.bound_mm, 1.0))


def test_the_bound_covers_rulers_spindles_and_hands() -> None:
    """A ruler within 0.5 mm, spindles of 6.95 to 7.25 mm, readings to half millimetres."""
    rng, covered = np.random.default_rng(5), 0
    for _ in range(400):
        true, spindle = rng.uniform(200, 250), 7.1 + rng.uniform(-0.15, 0.15)
        edge = true - spindle / 2 + rng.uniform(-0.45, 0.45)
        readings = np.round(2 * (edge + rng.normal(0, 0.2, 3))) / 2
        stated = read_statement("pivot-to-spindle", ruled_length(list(readings)).statement)
        covered += abs(stated.value - true) <= stated.bound
    assert covered >= 0.97 * 400


def test_no_reading_is_said() -> None:
    """Without a reading there is no length."""
    with pytest.raises(InputError, match="near-edge"):
        ruled_length([])
