"""Cartridge, arm and phono stage against values that stand outside this code."""

from __future__ import annotations

import math

import pytest

from protractor.arms.distortion import replay_gain
from protractor.chain.circuit import corner, division_db, reflected
from protractor.chain.level import decibel
from protractor.chain.noise import a_weight, input_noise_nv, replayed_noise_nv, signal_to_noise_db
from protractor.chain.resonance import resonance_hz
from protractor.chain.side import (
    frequency_modulation_percent,
    groove_speed_cm_s,
    lift_mm,
    skating_lever_mm,
)
from tests.published import fit_values as printed
from tests.published.alignment_values import half_digit
from tests.published.fit_values import Value


def agrees(value: float, row: Value) -> bool:
    """Whether a value rounds to what is printed."""
    return abs(value - float(row.printed)) <= half_digit(row.printed) * (1 + 1e-9)


def given(row: Value) -> str:
    """Name of a row among a test's cases."""
    return "-".join(f"{one:.5g}" for one in row.given)


@pytest.mark.parametrize("row", printed.REPLAY_DB, ids=given)
def test_replay_equalisation(row: Value) -> None:
    """Replay equalisation against 1 kHz by the time constants of IEC 60098."""
    assert agrees(decibel(float(replay_gain(row.given[0]) / replay_gain(1000.0))), row)


@pytest.mark.parametrize("row", printed.A_WEIGHT_DB, ids=given)
def test_a_weighting(row: Value) -> None:
    """The table of IEC 61672-1, from memory."""
    assert agrees(decibel(float(a_weight(row.given[0]))), row)


@pytest.mark.parametrize("row", printed.VELOCITY_DB, ids=given)
def test_velocities_of_one_definition(row: Value) -> None:
    """Levels between the velocities that sheets and test records name."""
    assert agrees(decibel(row.given[1] / row.given[0]), row)


def test_a_channel_of_a_lateral_velocity() -> None:
    """5 cm/s lateral are 3.54 cm/s in each channel: notes on contents of test records."""
    row = printed.CHANNEL_PEAK_CM_S
    assert agrees(row.given[0] / math.sqrt(2.0), row)


@pytest.mark.parametrize("row", printed.WHITE_NOISE_NV, ids=given)
def test_white_noise_after_replay_equalisation(row: Value) -> None:
    """What 1 nV/√Hz comes to, plain and A-weighted."""
    assert agrees(replayed_noise_nv(lambda f: 1.0 + 0.0 * f, bool(row.given[0])), row)


@pytest.mark.parametrize("row", printed.COIL_RATIO_DB, ids=given)
def test_signal_over_noise_of_a_moving_coil(row: Value) -> None:
    """A coil's resistance alone, and with a stage behind it."""
    ohm, mv, stage, weighted = row.given
    noise = input_noise_nv(ohm, stage_nv=stage, weighted=bool(weighted))
    assert agrees(signal_to_noise_db(mv, noise), row)


def test_signal_over_noise_of_a_moving_magnet() -> None:
    """The real part of its impedance with the load; the DC resistance alone is 8 dB off."""
    row = printed.MAGNET_A_RATIO_DB
    ohm, mh, load, pf, mv = row.given
    assert agrees(signal_to_noise_db(mv, input_noise_nv(ohm, mh, load, pf, weighted=True)), row)
    resistance_alone = signal_to_noise_db(mv, input_noise_nv(ohm, weighted=True))
    assert resistance_alone - float(row.printed) > 5


@pytest.mark.parametrize(
    "row", printed.LOADED, ids=lambda r: f"{r.load_ohm:g}-{r.capacitance_pf:g}"
)
def test_peak_of_a_loaded_magnet(row: printed.Loaded) -> None:
    """Quality, peak and -3 dB point of 800 ohm and 500 mH into the usual loads."""
    found = corner(800.0, 500.0, row.load_ohm, row.capacitance_pf)
    assert abs(found.peak_db - float(row.peak_db)) <= half_digit(row.peak_db)
    if row.quality is not None and row.minus_3_db_khz is not None:
        assert abs(found.quality - float(row.quality)) <= half_digit(row.quality)
        khz = found.minus_3_db_hz / 1000
        assert abs(khz - float(row.minus_3_db_khz)) <= half_digit(row.minus_3_db_khz)


def test_little_capacitance_makes_no_peak() -> None:
    """100 pF: Q 0.67, no peak, -3 dB above 20 kHz."""
    row = printed.LOADED_WITHOUT_PEAK
    found = corner(800.0, 500.0, row.load_ohm, row.capacitance_pf)
    assert abs(found.quality - float(row.quality or "nan")) <= 0.005
    assert (found.peak_db, found.peak_hz) == (0.0, None)
    assert found.minus_3_db_hz > 20_000


def test_division_and_step_up() -> None:
    """Ten times the source costs 0.83 dB; 47 kohm through 1 : 10 and 1 : 20."""
    assert agrees(division_db(*printed.DIVISION_DB.given), printed.DIVISION_DB)
    for row in printed.REFLECTED_OHM:
        assert agrees(reflected(row.given[0], 0.0, row.given[1])[0], row)


@pytest.mark.parametrize("row", printed.RESONANCE_HZ, ids=given)
def test_resonance(row: Value) -> None:
    """Effective mass on compliance at 10 Hz."""
    assert agrees(resonance_hz(*row.given), row)


@pytest.mark.parametrize("row", printed.SKATING_LEVER_MM, ids=given)
def test_skating_lever(row: Value) -> None:
    """Lever of the groove's drag about the pivot."""
    assert agrees(float(skating_lever_mm(*row.given)), row)


@pytest.mark.parametrize("row", printed.RISE_MM, ids=given)
def test_rise_of_the_pillar(row: Value) -> None:
    """A degree of vertical angle."""
    assert agrees(lift_mm(1.0, row.given[0]), row)


@pytest.mark.parametrize("row", printed.GROOVE_SPEED_CM_S, ids=given)
def test_groove_speed(row: Value) -> None:
    """Speed of the groove at 33 1/3 rpm."""
    assert agrees(groove_speed_cm_s(row.given[0], 100 / 3), row)


@pytest.mark.parametrize("row", printed.FREQUENCY_MODULATION_PERCENT, ids=given)
def test_frequency_modulation_as_printed(row: Value) -> None:
    """Modulation by a difference of the vertical angles of cutting and replay."""
    velocity, radius, cut, replay = row.given
    speed = groove_speed_cm_s(radius, 100 / 3)
    assert agrees(frequency_modulation_percent(velocity, speed, cut, replay), row)
