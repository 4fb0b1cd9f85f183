"""A loaded coil as a circuit: division, response, peak, a step-up transformer in front of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from protractor.chain.inputs import Pair

Complexes = NDArray[np.complex128]
Floats = NDArray[np.float64]

REFERENCE_HZ = 1000.0
AUDIBLE_HZ = (20.0, 20_000.0)


def reflected(load_ohm: float, capacitance_pf: float, ratio: float) -> tuple[float, float]:
    """Load [ohm] and capacitance [pF] that a step-up of 1 : `ratio` shows to the cartridge.

    >>> reflected(47_000.0, 100.0, 20.0)
    (117.5, 40000.0)
    """
    return load_ohm / ratio**2, capacitance_pf * ratio**2


def division_db(source_ohm: float, load_ohm: float) -> float:
    """Level at the load against no load [dB].

    >>> round(division_db(10.0, 100.0), 2)
    -0.83
    """
    return 20 * math.log10(load_ohm / (load_ohm + source_ohm))


def transfer(
    frequency_hz: ArrayLike,
    resistance_ohm: float,
    inductance_mh: float,
    load_ohm: float,
    capacitance_pf: float,
) -> Complexes:
    """Voltage at the load over the coil's own.

    Args:
        frequency_hz: any shape [Hz].
        resistance_ohm: DC resistance R of the coil [ohm].
        inductance_mh: inductance L of the coil [mH].
        load_ohm: load resistance RL [ohm].
        capacitance_pf: wire, cable and input together, C [pF].

    Returns:
        complex ratio, the same shape [1].

    1 / (1 + (R + s L)(1/RL + s C)) with s = 2 pi i f: resistance and inductance in series with the
    load, capacitance across it. The coil's own losses are left out.

    >>> round(abs(complex(transfer(0.0, 800.0, 500.0, 47_000.0, 200.0))), 4)
    0.9833
    """
    s = 2j * math.pi * np.asarray(frequency_hz, float)
    series = resistance_ohm + s * inductance_mh * 1e-3
    ratio: Complexes = 1 / (1 + series * (1 / load_ohm + s * capacitance_pf * 1e-12))
    return ratio


def response_db(
    frequency_hz: ArrayLike,
    resistance_ohm: float,
    inductance_mh: float,
    load_ohm: float,
    capacitance_pf: float,
) -> Floats:
    """`transfer` as a level against 1 kHz, the frequency's shape [dB]; arguments as there."""
    circuit = resistance_ohm, inductance_mh, load_ohm, capacitance_pf
    at_reference = abs(transfer(REFERENCE_HZ, *circuit))
    level: Floats = 20 * np.log10(np.abs(transfer(frequency_hz, *circuit)) / at_reference)
    return level


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """Where a loaded coil's response bends: resonance, its quality, the peak and the -3 dB point.

    Levels are against 1 kHz. `peak_db` is 0 and `peak_hz` None without a peak.
    """

    resonance_hz: float
    quality: float
    peak_db: float
    peak_hz: float | None
    minus_3_db_hz: float


def corner(
    resistance_ohm: float, inductance_mh: float, load_ohm: float, capacitance_pf: float
) -> Corner:
    """The bend of `transfer` in closed form; arguments as there, capacitance above 0.

    w0² = (1 + R/RL) / (L C), Q = w0 / (R/L + 1/(RL C)); with x = f/f0 the level falls as
    (1 - x²)² + x²/Q², which is least at x² = 1 - 1/(2 Q²).

    >>> found = corner(800.0, 500.0, 47_000.0, 300.0)
    >>> round(found.quality, 2), round(found.peak_db, 1), round(found.minus_3_db_hz, -2)
    (1.14, 2.0, 17500.0)
    """
    henries, farads = inductance_mh * 1e-3, capacitance_pf * 1e-12
    w0 = math.sqrt((1 + resistance_ohm / load_ohm) / (henries * farads))
    quality = w0 / (resistance_ohm / henries + 1 / (load_ohm * farads))
    f0 = w0 / (2 * math.pi)

    def fall(u: float) -> float:
        return (1 - u) ** 2 + u / quality**2

    at_reference = fall((REFERENCE_HZ / f0) ** 2)
    peak_u = 1 - 1 / (2 * quality**2)
    peaks = peak_u > 0 and fall(peak_u) < at_reference
    wanted = at_reference * 10**0.3
    minus_3_u = peak_u + math.sqrt(peak_u**2 - 1 + wanted)
    return Corner(
        resonance_hz=f0,
        quality=quality,
        peak_db=10 * math.log10(at_reference / fall(peak_u)) if peaks else 0.0,
        peak_hz=f0 * math.sqrt(peak_u) if peaks else None,
        minus_3_db_hz=f0 * math.sqrt(minus_3_u),
    )


def greatest_change_db(
    resistance_ohm: float, inductance_mh: float, load: Pair, recommended: Pair
) -> float:
    """The greatest difference that another load makes, 20 Hz to 20 kHz, with its sign [dB].

    `load` and `recommended` are pairs of load resistance [ohm] and capacitance [pF]; both
    responses are taken against 1 kHz, so a difference in level alone does not count.
    """
    frequencies = np.geomspace(*AUDIBLE_HZ, 241)
    coil = resistance_ohm, inductance_mh
    difference = response_db(frequencies, *coil, *load)
    difference -= response_db(frequencies, *coil, *recommended)
    return float(difference[np.argmax(np.abs(difference))])
