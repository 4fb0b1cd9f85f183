"""Noise against an independent integration, and the laws it obeys."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import constants, integrate

from protractor.chain.noise import BOLTZMANN_J_K, ROOM_K, input_noise_nv, replayed_noise_nv
from tests.chain.nodal import Part, load, voltages


def replay_squared(f: float) -> float:
    """Square of the replay equalisation against 1 kHz, from its poles and zero."""

    def gain(w: float) -> float:
        one = abs(1 + 1j * w * 318e-6)
        return one / abs((1 + 1j * w * 3180e-6) * (1 + 1j * w * 75e-6))

    return (gain(2 * math.pi * f) / gain(2 * math.pi * 1000)) ** 2


def a_squared(f: float) -> float:
    """Square of the A-weighting, by its rounded poles (IEC 61672-1, from memory)."""

    def gain(x: float) -> float:
        x2 = x * x
        below = (x2 + 20.6**2) * math.sqrt((x2 + 107.7**2) * (x2 + 737.9**2)) * (x2 + 12194**2)
        return 12194**2 * x2 * x2 / below

    return (gain(f) / gain(1000.0)) ** 2


def test_boltzmann_against_the_library() -> None:
    """The constant as a general library has it."""
    assert constants.Boltzmann == BOLTZMANN_J_K


@pytest.mark.parametrize(("weighted", "tolerance"), [(False, 1e-9), (True, 2e-4)])
@pytest.mark.parametrize(
    ("r", "mh", "rl", "pf"),
    [
        (800.0, 500.0, 47_000.0, 200.0),
        (1500.0, 900.0, 100_000.0, 400.0),
        (10.0, 0.02, 100.0, 500.0),
    ],
)
def test_noise_by_adaptive_quadrature(
    weighted: bool, tolerance: float, r: float, mh: float, rl: float, pf: float
) -> None:
    """Real part of the nodes' impedance, the stage's two noises, integrated adaptively.

    The weighted one is looser by the digits of the rounded poles.
    """
    parts = [Part("R", (0, 1), r), Part("L", (1, 2), mh * 1e-3), *load(2, rl, pf)]

    def integrand(u: float) -> float:
        f = math.exp(u)
        z = voltages(parts, f, current=(2, 1.0))[2]
        squared = 4 * constants.k * ROOM_K * z.real + (3e-9) ** 2 + (0.5e-12 * abs(z)) ** 2
        return squared * replay_squared(f) * (a_squared(f) if weighted else 1.0) * f * 1e18

    ends = math.log(20.0), math.log(20_000.0)
    reference = integrate.quad(integrand, *ends, epsabs=0, epsrel=1e-11, limit=400)[0]
    ours = input_noise_nv(r, mh, rl, pf, stage_nv=3.0, stage_pa=0.5, weighted=weighted)
    assert ours == pytest.approx(math.sqrt(reference), rel=tolerance)


@settings(max_examples=30)
@given(st.floats(1.0, 5000.0), st.floats(0.0, 10.0), st.floats(0.0, 10.0))
def test_noises_add_by_their_squares(r: float, a: float, b: float) -> None:
    """Two independent noises add as the sides of a right triangle."""
    both = input_noise_nv(r, stage_nv=math.hypot(a, b))
    apart = math.hypot(
        input_noise_nv(r, stage_nv=a), replayed_noise_nv(lambda f: b * b + 0 * f, False)
    )
    assert both == pytest.approx(apart, rel=1e-9)


def test_resistance_is_noisier_by_its_root() -> None:
    """Four times the resistance, twice the noise."""
    assert input_noise_nv(40.0) == pytest.approx(2 * input_noise_nv(10.0), rel=1e-12)


@given(st.floats(1.0, 40.0), st.floats(5.0, 100.0))
def test_a_step_up_raises_signal_and_source_noise_alike(ratio: float, r: float) -> None:
    """Seen from the secondary, a source's noise is n times what it is at the primary."""
    assert input_noise_nv(r * ratio**2) == pytest.approx(ratio * input_noise_nv(r), rel=1e-9)
