"""Values about cartridge, arm and phono stage that stand outside this code, as printed.

`status` says how each is known: `seen` in a published text that the row names, `memory` of the
trade or of a standard that is not at hand, `principle` for what was computed apart from this code.
The tolerance is half the last printed digit.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Value:
    """A figure as printed, what it belongs to, and where it stands."""

    given: tuple[float, ...]
    printed: str
    status: Literal["seen", "memory", "principle"]
    source: str


IEC_60098 = "time constants 3180, 318, 75 µs of IEC 60098"

REPLAY_DB = tuple(
    Value((frequency,), printed, "principle", IEC_60098)
    for frequency, printed in (
        (20.0, "19.27"),
        (100.0, "13.09"),
        (315.0, "5.18"),
        (630.0, "1.64"),
        (3150.0, "-5.04"),
        (10_000.0, "-13.73"),
        (20_000.0, "-19.62"),
    )
)
"""Replay equalisation at a frequency [Hz] against 1 kHz [dB]."""

A_WEIGHT_DB = tuple(
    Value((10 ** (band / 10),), printed, "memory", "IEC 61672-1, table of frequency weightings")
    for band, printed in (
        (13, "-50.5"),
        (15, "-39.4"),
        (18, "-26.2"),
        (20, "-19.1"),
        (24, "-8.6"),
        (27, "-3.2"),
        (30, "0.0"),
        (33, "1.2"),
        (36, "1.0"),
        (40, "-2.5"),
        (43, "-9.3"),
    )
)
"""A-weighting at the exact third-octave frequencies 10^(n/10) Hz [dB]."""

VELOCITY_DB = (
    Value((5.0, 3.54), "-3.0", "principle", "ratio of two velocities"),
    Value((5.0, 5.6), "0.98", "principle", "ratio of two velocities"),
    Value((5.0, 25.0), "14", "principle", "ratio of two velocities"),
    Value((5.0, 50.0), "20", "principle", "ratio of two velocities"),
)
"""From one velocity to another of the same definition [dB]."""

CHANNEL_PEAK_CM_S = Value((5.0,), "3.54", "seen", "notes on contents of test records")
"""Peak per channel of 5 cm/s peak lateral."""

WHITE_NOISE_NV = (
    Value((0.0,), "93", "principle", f"1 nV/√Hz, 20 Hz to 20 kHz, {IEC_60098}"),
    Value((1.0,), "57", "principle", f"the same, A-weighted, {IEC_60098}"),
)
"""1 nV/√Hz after replay equalisation [nV]; given is 1 with the A-weighting."""

COIL_RATIO_DB = (
    Value((10.0, 0.4, 0.0, 0.0), "80.6", "principle", "e = sqrt(4 k T R B), 295 K"),
    Value((10.0, 0.4, 0.0, 1.0), "84.9", "principle", "the same, A-weighted"),
    Value((10.0, 0.4, 1.0, 0.0), "72.0", "principle", "with a stage of 1 nV/√Hz"),
    Value((40.0, 0.3, 0.0, 0.0), "72.0", "principle", "e = sqrt(4 k T R B), 295 K"),
)
"""Signal over noise [dB] of a coil [ohm] of an output [mV], stage [nV/√Hz], 1 for A-weighted."""

MAGNET_A_RATIO_DB = Value(
    (800.0, 500.0, 47_000.0, 200.0, 5.0), "81.0", "principle", "real part of Z, A-weighted, 295 K"
)
"""Moving magnet: R [ohm], L [mH], load [ohm], C [pF], output at the load [mV]."""


@dataclass(frozen=True)
class Loaded:
    """A coil of 800 ohm and 500 mH into a load: quality, peak and -3 dB point against 1 kHz."""

    load_ohm: float
    capacitance_pf: float
    quality: str | None
    peak_db: str
    minus_3_db_khz: str | None


LOADED_SOURCE = "second-order circuit, from the principle"
LOADED = (
    Loaded(47_000.0, 200.0, "0.93", "0.86", "19.7"),
    Loaded(47_000.0, 300.0, "1.14", "2.01", "17.5"),
    Loaded(47_000.0, 500.0, "1.44", "3.68", "14.4"),
    Loaded(100_000.0, 250.0, None, "6.9", None),
)
LOADED_WITHOUT_PEAK = Loaded(47_000.0, 100.0, "0.67", "0", None)

DIVISION_DB = Value((10.0, 100.0), "-0.83", "principle", "load ten times the source")
REFLECTED_OHM = (
    Value((47_000.0, 10.0), "470", "principle", "RL / n²"),
    Value((47_000.0, 20.0), "117.5", "principle", "RL / n²"),
)

RESONANCE_HZ = (
    Value((18.0, 10.0), "11.86", "principle", "1000 / (2 pi sqrt(M C)), the handbooks' formula"),
    Value((18.0, 15.0), "9.69", "principle", "the same"),
    Value((20.0, 5.0), "15.9", "principle", "the same"),
)

SKATING_LEVER_MM = (
    Value((60.3, 239.3, 222.0), "96.3", "principle", "(r² + L² - d²) / (2 r)"),
    Value((89.3, 239.3, 222.0), "89.3", "principle", "the same"),
    Value((146.05, 239.3, 222.0), "100.3", "principle", "the same"),
)

RISE_MM = (
    Value((215.0,), "3.75", "principle", "L sin(1°)"),
    Value((239.3,), "4.18", "principle", "L sin(1°)"),
    Value((307.0,), "5.36", "principle", "L sin(1°)"),
)

GROOVE_SPEED_CM_S = (
    Value((60.325,), "21.06", "principle", "33 1/3 rpm"),
    Value((146.05,), "50.98", "principle", "33 1/3 rpm"),
)

FREQUENCY_MODULATION_PERCENT = (
    Value((5.0, 63.0, 15.0, 25.0), "4.5", "seen", "a published example, 33 1/3 rpm"),
    Value((5.0, 63.0, 22.0, 25.0), "1.4", "seen", "a published example, 33 1/3 rpm"),
)
"""Velocity [cm/s], radius [mm], the two vertical angles [deg]."""
