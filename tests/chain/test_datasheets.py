"""Slips that data sheets invite: each is answered in one line that says what to give."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from protractor.chain.cartridge import Cartridge
from protractor.chain.question import fit
from protractor.chain.stage import Stage
from protractor.chain.tonearm import Tonearm
from protractor.errors import InputError
from protractor.inputs.declaration import Input, inputs_of


@pytest.mark.parametrize(
    ("made", "line"),
    [
        (
            lambda: Cartridge(kind="moving-magnet", inductance_mh=0.5),
            "cartridge-inductance: got 0.5 mH; .*if the sheet says 0.5 H, give 500",
        ),
        (
            lambda: Cartridge(resistance_ohm=800.0, inductance_mh=0.5),
            "cartridge-inductance: got 0.5 mH",
        ),
        (
            lambda: Cartridge(kind="moving-magnet", load_ohm=(47.0, 47.0)),
            "cartridge-load: got 47 ohm; .*if the sheet says 47 kohm, give 47000",
        ),
        (
            lambda: Cartridge(load_pf=(0.1, 0.2)),
            "cartridge-load-capacitance: got '0.1'; .*pF; write \"0.1nF\" if you mean nF",
        ),
        (
            lambda: Stage(capacitance_pf=0.2),
            "stage-capacitance: got '0.2'; .*write \"0.2nF\" if you mean nF",
        ),
        (lambda: Tonearm(cable_pf=0.15), "arm-cable: got '0.15'; allowed: 0, or 1 to 3000 pF"),
        (
            lambda: Cartridge(force_g=(15.0, 20.0)),
            "cartridge-force: got '15.0'; .* g; write \"15mN\" if you mean mN",
        ),
        (lambda: Tonearm(force_g=17.5), "arm-force: got '17.5'.*write \"17.5mN\" if you mean mN"),
        (
            lambda: Cartridge(output_mv=0.005),
            "cartridge-output: got '0.005'; .* mV; write \"0.005V\" if you mean V",
        ),
        (lambda: Cartridge(force_g=(2.0, 1.5)), "cartridge-force: got 2 and 1.5 g.*swap the two"),
        (lambda: Cartridge(velocity_is="mean"), "cartridge-velocity-is: got mean.*peak, rms"),
        (lambda: Cartridge(mass_g=float("nan")), "cartridge-mass: got nan"),
        (
            lambda: Cartridge(impedance_ohm=800.0, inductance_mh=500.0),
            "cartridge-impedance: got 800 ohm; allowed: over 3142 ohm.*DC resistance belongs",
        ),
        (
            lambda: Tonearm(length_mm=239.3, pivot_to_spindle_mm=150.0),
            "effective-length: got 239.3 mm beside 150 mm",
        ),
        (
            lambda: Tonearm(
                length_mm=230.0, effective_mass_g=3.0, counterweight_g=150.0, seat_mm=40.0
            ),
            "arm-effective-mass: got 3 g; allowed: over 4.5 g, what the counterweight alone",
        ),
        (
            lambda: fit(Cartridge(kind="moving-magnet"), stages=[Stage(load_ohm=47.0)]),
            "stage-load: got 47 ohm; .*if the sheet says 47 kohm, give 47000",
        ),
        (
            lambda: fit(Cartridge(), stages=[Stage(gain_db=40.0), Stage(gain_db=60.0)]),
            "stage-name: got phono input, phono input; .*name them apart",
        ),
        (lambda: Tonearm(higher_mm=120.0), "arm-stylus-higher: got '120.0'; allowed: -50 to 50"),
    ],
)
def test_a_slip_is_one_line(made: Callable[[], object], line: str) -> None:
    """What was given, what is allowed, what to give instead."""
    with pytest.raises(InputError, match=line) as caught:
        made()
    assert "\n" not in str(caught.value)


def test_47_ohm_is_right_for_a_moving_coil() -> None:
    """What is a slip with one kind is the sheet's own figure with the other."""
    sheet = Cartridge(kind="moving-coil", load_ohm=(47.0, 100.0))
    answers = fit(sheet, stages=[Stage(load_ohm=47.0)])
    assert next(one for one in answers if one.name == "load").verdict == "fits"


def test_impedance_in_place_of_resistance_is_asked_about() -> None:
    """A magnet's 3.2 kohm beside 500 mH is its impedance at 1 kHz, or the coil wants measuring."""
    sheet = Cartridge(kind="moving-magnet", resistance_ohm=3242.0, inductance_mh=500.0)
    asked = next(one for one in fit(sheet, stages=[Stage()]) if one.name == "coil-resistance")
    assert asked.verdict == "cannot tell"
    assert "impedance at 1 kHz" in asked.reason
    stated = Cartridge(kind="moving-magnet", impedance_ohm=3241.9, inductance_mh=500.0)
    assert stated.dc_resistance_ohm == pytest.approx(800.0, abs=1.0)


def test_output_without_velocity_is_asked_about() -> None:
    """An output alone says nothing about level, and the answer asks for the velocity."""
    gain = next(one for one in fit(Cartridge(output_mv=5.0)) if one.name == "gain")
    assert (gain.verdict, gain.value) == ("cannot tell", None)
    assert "velocity" in gain.change


def test_effective_mass_without_headshell_is_asked_about() -> None:
    """Unless the sheet says so, both readings stay open, and the headshell's mass is wanted."""
    sheet = Cartridge(mass_g=6.0, compliance_um_mn=15.0, compliance_is="10hz")
    arm = Tonearm(effective_mass_g=12.0)
    asked = next(one for one in fit(sheet, arm) if one.name == "resonance")
    assert "headshell" in asked.change
    mass = next(
        one.value
        for one in fit(sheet, Tonearm(effective_mass_g=12.0, headshell_g=9.0))
        if one.name == "effective-mass"
    )
    assert mass is not None
    assert mass.low < 12.0 + 6.0 < 12.0 + 9.0 + 6.0 < mass.high


def test_units_of_compliance_are_the_same_number() -> None:
    """10^-6 cm/dyne and µm/mN: the answer says so."""
    sheet = Cartridge(mass_g=6.0, compliance_um_mn=15.0, compliance_is="10hz")
    arm = Tonearm(effective_mass_g=12.0, effective_mass_is="with-headshell")
    answer = next(one for one in fit(sheet, arm) if one.name == "resonance")
    assert "10^-6 cm/dyne" in answer.reason


def sheets_of(sheet: type[Any]) -> st.SearchStrategy[Any]:
    """Data sheets with any fields given and any left out, all in their ranges."""

    def field(asked: Input) -> st.SearchStrategy[Any]:
        if asked.kind == "text":
            return st.sampled_from(["phono input", "low gain"])
        if asked.choices:
            return st.sampled_from(asked.choices)
        one = st.floats(asked.low, asked.high)
        one = one | st.just(0.0) if asked.or_zero else one
        if asked.count == 2:
            return st.tuples(one, one).map(lambda pair: tuple(sorted(pair)))
        return st.lists(one, max_size=3).map(tuple) if asked.many else one

    optional = {name: field(asked) for name, asked in inputs_of(sheet).items()}

    def made(figures: dict[str, Any]) -> Any:
        try:
            return sheet(**figures)
        except InputError:
            return None

    return st.fixed_dictionaries({}, optional=optional).map(made).filter(lambda one: one)


@settings(max_examples=150, suppress_health_check=[HealthCheck.filter_too_much])
@given(sheets_of(Cartridge), sheets_of(Tonearm), sheets_of(Stage))
def test_whatever_is_given_is_answered(cartridge: Cartridge, arm: Tonearm, stage: Stage) -> None:
    """Any figures in their ranges, any left out: answers, or one line about a contradiction.

    Each answer has a figure or a verdict, and each that is not a plain yes says what to do.
    """
    try:
        answers = fit(cartridge, arm, [stage, Stage(name="another")])
    except InputError as error:
        if error.name != "stage-load":
            raise
        return
    subjects = {one.subject for one in answers}
    assert subjects == {"level", "load", "balance", "resonance", "side"}
    for one in answers:
        assert one.change or one.verdict in ("fits", None), one
        assert one.value is not None or one.verdict, one


def test_every_field_is_declared() -> None:
    """Each field has its name, its range or its words, and what to do about another value."""
    names = []
    for sheet in (Cartridge, Tonearm, Stage):
        kind: Any = sheet
        asked = inputs_of(kind)
        assert list(asked) == list(sheet.__slots__)
        names += [one.name for one in asked.values()]
        for one in asked.values():
            assert one.help.endswith(".")
            assert one.kind not in ("number", "length") or one.remedy != "correct it"
            assert one.choices or one.longest or one.low < one.high
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("attribute", "written", "value"),
    [
        ("inductance_mh", "0.5 H", 500.0),
        ("inductance_mh", "40 µH", 0.04),
        ("resistance_ohm", "1.2k", 1200.0),
        ("load_ohm", ["47kohm", "47 kΩ"], (47_000.0, 47_000.0)),
        ("load_pf", ["0.1 nF", "200pF"], (100.0, 200.0)),
        ("force_g", ["15 mN", "20mN"], (1.52957, 2.03943)),
        ("output_mv", "0.005V", 5.0),
        ("output_mv", "300 μV", 0.3),
        ("velocity_cm_s", "5 cm/s", 5.0),
        ("velocity_cm_s", "50 mm/s", 5.0),
        ("compliance_um_mn", "15 µm/mN", 15.0),
        ("compliance_um_mn", "15e-6 cm/dyne", 15.0),
        ("compliance_um_mn", "15mm/N", 15.0),
    ],
)
def test_a_unit_is_converted(attribute: str, written: Any, value: Any) -> None:
    """A figure with its unit is what it says, whatever prefix the sheet has chosen."""
    sheet = Cartridge(**{attribute: written})
    assert getattr(sheet, attribute) == pytest.approx(value, rel=1e-5)
