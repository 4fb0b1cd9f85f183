"""The charts of fit: every point is as the answers have it; what lacks figures is left out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from protractor.chain.cartridge import Cartridge
from protractor.chain.charts import charts, reading
from protractor.chain.circuit import corner
from protractor.chain.question import fit
from protractor.chain.stage import Stage
from protractor.chain.tonearm import Tonearm
from protractor.drawing.chart import Chart, Curve
from protractor.errors import InputError
from tests.chain.test_answers import ARM, COIL, COIL_INPUT, MAGNET, MAGNET_INPUT, named, value


def curve(chart: Chart, name: str) -> Curve:
    """The curve whose name begins so."""
    return next(one for one in chart.curves if one.name.startswith(name))


def test_the_response_is_that_of_the_circuit() -> None:
    """Peak and -3 dB of the drawn curve are those of the closed form, with the maker's beside."""
    (response,) = charts(MAGNET, ARM, [MAGNET_INPUT])[0]
    now = curve(response, "500 pF, now")
    found = corner(800.0, 500.0, 47_000.0, 500.0)
    assert max(now.y) == pytest.approx(found.peak_db, abs=0.01)
    assert np.interp(found.minus_3_db_hz, now.x, now.y) == pytest.approx(-3.0, abs=0.05)
    low, high = curve(response, "150 pF"), curve(response, "250 pF")
    (grey,) = response.regions
    assert np.allclose(grey.low, np.minimum(low.y, high.y))
    assert np.allclose(grey.high, np.maximum(low.y, high.y))
    assert [one.accent for one in (now, low, high)] == [True, False, False]


def test_the_levels_are_those_of_the_answers() -> None:
    """Gain, room for hot passages and noise as the answers have them, in volts."""
    (levels,) = charts(MAGNET, ARM, [MAGNET_INPUT])[1]
    signal, hot = curve(levels, "5 cm/s"), curve(levels, "25 cm/s")
    clips, noise = curve(levels, "clips"), curve(levels, "noise")
    answers = fit(MAGNET, ARM, [MAGNET_INPUT])

    def decibels(one: Curve, other: Curve, at: int = -1) -> float:
        return float(20 * np.log10(one.y[at] / other.y[at]))

    assert signal.y[-1] / signal.y[-2] == pytest.approx(100.0)
    assert decibels(clips, hot) == pytest.approx(value(answers, "overload").nominal)
    assert decibels(signal, noise) == pytest.approx(value(answers, "signal-to-noise").nominal)
    surplus = 20 * np.log10(signal.y[-1] / curve(levels, "wanted").y[-1])
    assert surplus == pytest.approx(value(answers, "gain").nominal)
    dots = [one for one in levels.curves if one.accent and not one.name]
    assert dots[0].y[-1] < signal.y[-1] < dots[1].y[-1]


def test_the_resonance_crosses_at_the_mass() -> None:
    """The bar reaches from the least to the greatest that the answer gives, on the nominal mass."""
    ((resonance,),) = charts(MAGNET, ARM, [])[-1:]
    answers = fit(MAGNET, ARM)
    bar = next(one for one in resonance.curves if one.accent)
    mass, found = value(answers, "effective-mass"), value(answers, "resonance")
    assert bar.x == (mass.nominal, mass.nominal)
    assert bar.y == (found.low, found.high)
    assert [(mark.x, mark.y) for mark in resonance.marks] == [(mass.nominal, found.nominal)]
    middle = curve(resonance, "12 µm")
    assert np.interp(mass.nominal, middle.x, middle.y) == pytest.approx(found.nominal, abs=0.01)
    ((measured,),) = charts(MAGNET, replace(ARM, measured_resonance_hz=14.0), [])[-1:]
    own = next(one for one in measured.curves if one.name.endswith("measured"))
    assert np.interp(mass.nominal, own.x, own.y) == pytest.approx(14.0, abs=0.01)


def test_what_lacks_its_figures_is_left_out() -> None:
    """A moving coil has no response; without gain there is no level, without mass no resonance."""
    both = charts(COIL, ARM, [replace(MAGNET_INPUT, capacitance_pf=100.0), COIL_INPUT])
    assert [len(row) for row in both] == [2, 1]
    assert "response" not in reading(both)
    assert "inputs are drawn" not in reading(both, 2)
    assert "Only the first 2 inputs are drawn." in reading(both, 3)
    assert "response" in reading(charts(MAGNET, ARM, [MAGNET_INPUT]))
    assert [chart.title for chart in both[0]] == [
        "Level, volts rms at 1 kHz: 40 dB",
        "Level, volts rms at 1 kHz: 62 dB",
    ]
    assert len(charts(COIL, Tonearm(), [COIL_INPUT])) == 1
    assert len(charts(replace(COIL, compliance_um_mn=None), ARM, [COIL_INPUT])) == 1
    alone = charts(MAGNET, Tonearm(), [Stage(load_ohm=47_000.0)])
    assert [len(row) for row in alone] == [1]
    with pytest.raises(InputError, match="figures for no curve"):
        charts(Cartridge(), Tonearm(), [])


def test_every_curve_is_inside_its_axes() -> None:
    """Of levels and resonances of any cartridge nothing is drawn beyond the panel."""
    for sheet in (MAGNET, replace(COIL, compliance_um_mn=50.0, compliance_is="100hz")):
        for row in charts(sheet, ARM, [replace(MAGNET_INPUT, step_up=None)]):
            for chart in row:
                for one in chart.curves:
                    assert chart.x.low <= min(one.x) <= max(one.x) <= chart.x.high
                    assert chart.y.low <= min(one.y) <= max(one.y) <= chart.y.high
    assert named(fit(MAGNET, ARM), "resonance").verdict == "cannot tell"
