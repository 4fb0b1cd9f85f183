"""Whole answers: three cases of an invented workshop, and the laws that all answers obey."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from protractor.chain.answer import Answer
from protractor.chain.cartridge import Cartridge
from protractor.chain.interval import Interval
from protractor.chain.question import CAUTIONS, fit
from protractor.chain.stage import Stage
from protractor.chain.tonearm import Tonearm

MAGNET = Cartridge(
    kind="moving-magnet",
    output_mv=5.0,
    velocity_cm_s=5.0,
    velocity_is="peak",
    resistance_ohm=800.0,
    inductance_mh=500.0,
    load_ohm=(47_000.0, 47_000.0),
    load_pf=(150.0, 250.0),
    mass_g=6.5,
    force_g=(1.5, 2.0),
    compliance_um_mn=12.0,
    compliance_is="10hz",
    vertical_angle_deg=22.0,
)
COIL = Cartridge(
    kind="moving-coil",
    output_mv=0.3,
    velocity_cm_s=5.0,
    velocity_is="peak",
    resistance_ohm=12.0,
    load_ohm=(100.0, 400.0),
    mass_g=13.0,
    force_g=(1.8, 2.2),
    compliance_um_mn=12.0,
    compliance_is="100hz",
)
ARM = Tonearm(
    length_mm=239.3,
    pivot_to_spindle_mm=222.0,
    effective_mass_g=10.0,
    effective_mass_is="with-headshell",
    headshell_g=9.0,
    screws_g=0.8,
    old_screws_g=0.8,
    force_g=2.0,
    old_force_g=1.8,
    counterweight_g=100.0,
    seat_mm=40.0,
    seat_range_mm=(25.0, 50.0),
    old_cartridge_g=6.0,
    wire_pf=30.0,
    cable_pf=250.0,
    height_travel_mm=8.0,
)
MAGNET_INPUT = Stage(
    name="40 dB",
    gain_db=40.0,
    input_limit_mv=100.0,
    noise_nv=3.0,
    noise_pa=0.5,
    load_ohm=47_000.0,
    capacitance_pf=220.0,
)
COIL_INPUT = Stage(
    name="62 dB",
    gain_db=62.0,
    input_limit_mv=10.0,
    noise_nv=0.8,
    load_ohm=1000.0,
    loads_ohm=(1000.0, 470.0, 200.0, 47.0),
)


def named(answers: list[Answer], name: str, at: str = "") -> Answer:
    """The answer of a name, about one input where there are several."""
    return next(one for one in answers if one.name == name and at in ("", one.at))


def value(answers: list[Answer], name: str) -> Interval:
    """The figure of an answer that has one."""
    found = named(answers, name).value
    assert found is not None
    return found


def test_a_magnet_into_too_much_capacitance() -> None:
    """The workshop's first case: 500 pF where 150 to 250 are asked for."""
    answers = fit(MAGNET, ARM, [MAGNET_INPUT])
    capacitance = named(answers, "capacitance")
    assert capacitance.verdict == "fits with a change"
    assert capacitance.change.startswith("Lose 250 pF or more")
    response = named(answers, "load-response")
    assert response.verdict == "fits with a change"
    assert response.value is not None
    assert -7.0 < response.value.nominal < -5.0
    assert named(answers, "overload").verdict == "fits"
    switched = replace(MAGNET_INPUT, capacitances_pf=(220.0, 100.0, 0.0), capacitance_pf=220.0)
    shorter = replace(ARM, cable_pf=100.0)
    change = named(fit(MAGNET, shorter, [switched]), "capacitance").change
    assert change == "Set the input capacitance to 100 pF."
    done = fit(MAGNET, shorter, [replace(switched, capacitance_pf=70.0)])
    assert named(done, "capacitance").verdict == "fits"
    assert named(done, "load-response").verdict == "fits"


def test_a_coil_into_a_stage_of_two_gains() -> None:
    """The second: the lower gain is 20 dB short, the higher one wants another load."""
    answers = fit(COIL, ARM, [replace(MAGNET_INPUT, capacitance_pf=100.0), COIL_INPUT])
    short = named(answers, "gain", "40 dB")
    assert short.verdict == "does not fit"
    assert "58 to 62 dB" in short.change
    assert named(answers, "gain", "62 dB").verdict == "fits"
    assert named(answers, "overload", "62 dB").verdict == "fits"
    load = named(answers, "load", "62 dB")
    assert (load.verdict, load.change) == ("fits with a change", "Set the load to 200 ohm.")
    better = named(answers, "better-input")
    assert (better.verdict, better.change) == ("fits with a change", 'Use the input "62 dB".')


def test_a_heavy_cartridge_beyond_the_counterweight() -> None:
    """The third: the seat lies beyond the travel; the added weight makes up the same moment."""
    answers = fit(COIL, ARM)
    seat = named(answers, "counterweight")
    assert seat.verdict == "fits with a change"
    assert seat.value is not None
    assert seat.value.nominal == pytest.approx(40 + 239.3 * (7.0 - 0.2) / 100)
    more = 100 * (seat.value.nominal / 50 - 1)
    assert seat.change.startswith(f"Add {more:.0f} g to the counterweight")


def test_a_force_out_of_range_says_who_suffers() -> None:
    """Below the range the record suffers from mistracking, above it everything does."""
    low = named(fit(MAGNET, replace(ARM, force_g=1.2)), "tracking-force")
    high = named(fit(MAGNET, replace(ARM, force_g=2.5)), "tracking-force")
    assert low.verdict == high.verdict == "fits with a change"
    assert "mistracks" in low.reason
    assert "record suffer" in high.reason


def test_a_step_up_before_an_input() -> None:
    """1 : 20 lifts the level by 26 dB and shows 47 kohm as 117.5 ohm."""
    answers = fit(COIL, ARM, [replace(MAGNET_INPUT, capacitance_pf=100.0, step_up=20.0)])
    assert value(answers, "step-up").nominal == pytest.approx(26.02, abs=0.005)
    assert "117.5 ohm" in named(answers, "step-up").reason
    assert named(answers, "load").verdict == "fits"
    assert named(answers, "gain").verdict == "fits"


def test_a_load_across_the_input() -> None:
    """A resistor across an input that shows too much brings it to the top of the range."""
    stage = Stage(load_ohm=47_000.0)
    change = named(fit(COIL, ARM, [stage]), "load").change
    assert change.startswith("Put a resistor of 403 ohm")
    assert pytest.approx(400.0, abs=0.5) == 1 / (1 / 403 + 1 / 47_000)


def test_parts_left_out() -> None:
    """What is left out leaves an answer that names the inputs it wants, in every subject."""
    nothing = fit()
    assert {one.subject for one in nothing} == {"level", "load", "balance", "resonance", "side"}
    assert {one.verdict for one in nothing} == {"cannot tell"}
    assert all(one.wanted and one.value is None for one in nothing)
    alone = fit(MAGNET)
    assert value(alone, "gain").nominal == pytest.approx(36.0, abs=0.1)
    assert named(alone, "gain").wanted == ("stage-gain",)
    assert named(fit(arm=ARM), "skating-force").value is not None
    assert named(fit(MAGNET, ARM), "load-response").wanted == ("stage-load", "stage-capacitance")
    assert named(fit(stages=[MAGNET_INPUT]), "gain").wanted == (
        "cartridge-output",
        "cartridge-velocity",
    )


def test_every_answer_has_a_reason_and_a_source() -> None:
    """Nothing is judged without a sentence and a rule; what does not fit says what to change."""
    for answers in (fit(), fit(MAGNET, ARM, [MAGNET_INPUT]), fit(COIL, ARM, [COIL_INPUT])):
        for one in answers:
            assert one.reason.endswith(".")
            assert one.source
            assert one.change or one.verdict in ("fits", None)
    assert any("scale" in line for line in CAUTIONS)
    assert any("plug" in line for line in CAUTIONS)


DOUBTS: tuple[tuple[str, str, dict[str, Any]], ...] = (
    ("gain", "cartridge", {"velocity_is": None}),
    ("gain", "cartridge", {"velocity_of": "unknown"}),
    ("overload", "cartridge", {"velocity_is": None}),
    ("signal-to-noise", "cartridge", {"velocity_of": "unknown"}),
    ("resonance", "cartridge", {"compliance_is": None}),
    ("effective-mass", "arm", {"effective_mass_is": None}),
    ("resonance", "arm", {"effective_mass_is": None}),
)


@pytest.mark.parametrize(("name", "part", "doubt"), DOUBTS)
@pytest.mark.parametrize("sheet", [MAGNET, COIL])
def test_a_doubtful_statement_widens(
    name: str, part: str, doubt: dict[str, Any], sheet: Cartridge
) -> None:
    """What a sheet does not say widens the answer, on both sides or on one, never narrows it."""
    stage = MAGNET_INPUT if sheet is MAGNET else COIL_INPUT
    sure = value(fit(sheet, ARM, [stage]), name)
    if part == "cartridge":
        sheet = replace(sheet, **doubt)
    arm = replace(ARM, **doubt) if part == "arm" else ARM
    doubtful = value(fit(sheet, arm, [stage]), name)
    assert doubtful.covers(sure)
    assert doubtful.high - doubtful.low > sure.high - sure.low


@settings(max_examples=40)
@given(
    st.sets(st.sampled_from(["velocity_is", "velocity_of", "compliance_is"])),
    st.sets(st.sampled_from(["velocity_is", "velocity_of", "compliance_is"])),
    st.sampled_from(["peak", "rms"]),
    st.sampled_from(["lateral", "channel"]),
    st.sampled_from(["10hz", "static", "100hz"]),
    st.floats(0.1, 10.0),
)
def test_more_doubtful_statements_widen_more(
    some: set[str], more: set[str], is_: str, of: str, at: str, output: float
) -> None:
    """A sheet that leaves out more covers one that leaves out less, whatever its words."""
    sheet = replace(COIL, output_mv=output, velocity_is=is_, velocity_of=of, compliance_is=at)
    left = {"velocity_is": None, "velocity_of": "unknown", "compliance_is": None}
    one, both = ({name: left[name] for name in names} for names in (some, some | more))
    less = fit(replace(sheet, **one), ARM, [COIL_INPUT])
    most = fit(replace(sheet, **both), ARM, [COIL_INPUT])
    for name in ("gain", "overload", "signal-to-noise", "resonance"):
        assert value(most, name).covers(value(less, name))


def test_an_unqualified_velocity_is_open_by_three_decibels() -> None:
    """Peak or rms: 3.01 dB more than the sheet's own ± 2 dB."""
    sure = value(fit(MAGNET, ARM, [MAGNET_INPUT]), "gain")
    open_ = value(fit(replace(MAGNET, velocity_is=None), ARM, [MAGNET_INPUT]), "gain")
    assert sure.high - sure.low == pytest.approx(4.0)
    assert open_.high - open_.low == pytest.approx(7.0103, abs=1e-4)


def test_a_measured_resonance_settles_it() -> None:
    """A sheet leaves the resonance open; a test record does not, and names the mass to add."""
    by_sheet = named(fit(MAGNET, ARM), "resonance")
    assert by_sheet.verdict == "cannot tell"
    assert "test record" in by_sheet.change
    good = named(fit(MAGNET, replace(ARM, measured_resonance_hz=9.5)), "resonance")
    assert good.verdict == "fits"
    stiff = named(fit(MAGNET, replace(ARM, measured_resonance_hz=14.0)), "resonance")
    assert stiff.verdict == "fits with a change"
    assert stiff.change.startswith("Add ")
    soft = named(fit(MAGNET, replace(ARM, measured_resonance_hz=6.0)), "resonance")
    assert soft.verdict == "does not fit"
    assert soft.change.startswith("Remove ")
    edge = named(fit(MAGNET, replace(ARM, measured_resonance_hz=11.9)), "resonance")
    assert (edge.verdict, bool(edge.change)) == ("cannot tell", True)
    alone = named(fit(arm=Tonearm(measured_resonance_hz=14.0)), "resonance")
    assert alone.change == "Add mass at the headshell."


def test_height_with_and_without_travel() -> None:
    """A mat of 2 mm wants 2 mm of pillar, which it has, or has not."""
    fits = named(fit(MAGNET, replace(ARM, higher_mm=2.0)), "arm-height")
    assert (fits.verdict, fits.change) == ("fits with a change", "Raise the pillar by 2.0 mm.")
    assert named(fit(MAGNET, replace(ARM, higher_mm=9.0)), "arm-height").verdict == "does not fit"
    unknown = replace(ARM, higher_mm=2.0, height_travel_mm=None)
    assert named(fit(MAGNET, unknown), "arm-height").verdict == "cannot tell"
