"""Noise of a cartridge and its input after replay equalisation, and what is left above it.

A resistor's noise is white, a moving magnet's is not: what counts is the real part of its impedance
with the load in parallel, at every frequency, and the load's resistance is part of it.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from protractor.arms.distortion import gauss_legendre, replay_gain
from protractor.chain.circuit import AUDIBLE_HZ, REFERENCE_HZ

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]

BOLTZMANN_J_K = 1.380649e-23
"""SI Brochure, 9th edition, 2019: exact."""

ROOM_K = 295.0
"""22 °C."""

A_WEIGHT_HZ = (20.598997, 107.65265, 737.86223, 12194.217)
"""Pole frequencies of the A-weighting: IEC 61672-1, Annex E (from memory)."""


def a_weight(frequency_hz: ArrayLike) -> Floats:
    """A-weighting as a gain, 1 at 1 kHz.

    Args:
        frequency_hz: any shape, above zero [Hz].

    Returns:
        ratio, the same shape [1].

    >>> round(20 * math.log10(a_weight(100.0)), 1)
    -19.1

    Source: IEC 61672-1, Annex E.
    """

    def gain(f: Floats) -> Floats:
        f1, f2, f3, f4 = A_WEIGHT_HZ
        found: Floats = f**4 / (
            (f * f + f1 * f1) * np.hypot(f, f2) * np.hypot(f, f3) * (f * f + f4 * f4)
        )
        return found

    weight: Floats = gain(np.asarray(frequency_hz, float)) / gain(np.asarray(REFERENCE_HZ))
    return weight


def source_impedance(
    frequency_hz: ArrayLike,
    resistance_ohm: float,
    inductance_mh: float = 0.0,
    load_ohm: float = math.inf,
    capacitance_pf: float = 0.0,
) -> Complexes:
    """What an input sees looking out: the coil with load and capacitance in parallel.

    Args:
        frequency_hz: any shape [Hz].
        resistance_ohm: DC resistance of the coil [ohm].
        inductance_mh: its inductance [mH].
        load_ohm: load resistance [ohm].
        capacitance_pf: wire, cable and input together [pF].

    Returns:
        impedance, the same shape [ohm].
    """
    s = 2j * math.pi * np.asarray(frequency_hz, float)
    coil = resistance_ohm + s * inductance_mh * 1e-3
    impedance: Complexes = 1 / (1 / coil + 1 / load_ohm + s * capacitance_pf * 1e-12)
    return impedance


def replayed_noise_nv(density_squared: Callable[[Floats], ArrayLike], weighted: bool) -> float:
    """Noise, 20 Hz to 20 kHz, after replay equalisation that is 1 at 1 kHz.

    Args:
        density_squared: square of the density at frequencies [Hz], as [nV²/Hz].
        weighted: with the A-weighting.

    Returns:
        the noise referred to the input at 1 kHz [nV].

    >>> round(replayed_noise_nv(lambda f: 1.0 + 0 * f, False))
    93
    >>> round(replayed_noise_nv(lambda f: 1.0 + 0 * f, True))
    57

    Source: replay equalisation of IEC 60098; Gauss-Legendre quadrature over the logarithm of f.
    """
    nodes, weights = gauss_legendre(128)
    low, high = (math.log(f) for f in AUDIBLE_HZ)
    frequency = np.exp((low + high) / 2 + (high - low) / 2 * nodes)
    gain = replay_gain(frequency) / replay_gain(REFERENCE_HZ)
    if weighted:
        gain = gain * a_weight(frequency)
    integrand = np.asarray(density_squared(frequency), float) * gain**2 * frequency
    return math.sqrt(float(weights @ integrand) * (high - low) / 2)


def input_noise_nv(
    resistance_ohm: float,
    inductance_mh: float = 0.0,
    load_ohm: float = math.inf,
    capacitance_pf: float = 0.0,
    stage_nv: float = 0.0,
    stage_pa: float = 0.0,
    weighted: bool = False,
) -> float:
    """Noise at an input after replay equalisation: source, load and the stage's own.

    Args:
        resistance_ohm: DC resistance of the coil [ohm].
        inductance_mh: its inductance [mH].
        load_ohm: load resistance [ohm].
        capacitance_pf: wire, cable and input together [pF].
        stage_nv: the input's own voltage noise [nV/√Hz].
        stage_pa: the input's own current noise [pA/√Hz].
        weighted: with the A-weighting.

    Returns:
        the noise referred to the input at 1 kHz [nV].

    4 k T Re Z + e² + i² |Z|² at 295 K, all three independent of each other and white.

    Source: H. Nyquist, 'Thermal Agitation of Electric Charge in Conductors', Phys. Rev. 32, 1928.
    """

    def density_squared(frequency: Floats) -> Floats:
        z = source_impedance(frequency, resistance_ohm, inductance_mh, load_ohm, capacitance_pf)
        thermal = 4 * BOLTZMANN_J_K * ROOM_K * 1e18 * z.real
        total: Floats = thermal + stage_nv**2 + (1e-3 * stage_pa * np.abs(z)) ** 2
        return total

    return replayed_noise_nv(density_squared, weighted)


def signal_to_noise_db(signal_mv: float, noise_nv: float) -> float:
    """Signal over noise [dB].

    >>> round(signal_to_noise_db(0.4, input_noise_nv(10.0)), 1)
    80.6
    """
    return 20 * math.log10(signal_mv * 1e6 / noise_nv)
