"""Fit and correction of a printer: exact without noise, honest with it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from protractor.errors import InputError
from protractor.printing.fit import (
    Fit,
    PrintCorrection,
    fit,
    least_squares_gain,
    pooled_scatter,
    printed_lengths,
)
from protractor.printing.readings import INSTRUMENTS, Instrument, Measured
from tests.benchmarks.verdicts_on_prints import coverage
from tests.simulated_printer import SimulatedPrinter, draw_printer, read, residual
from tests.tries import tries

A4_LENGTHS = {"x": 160.0, "y": 240.0, "rising": 275.0, "falling": 275.0}
NEAR_LENGTHS = dict.fromkeys(A4_LENGTHS, 150.0)
CALIPERS = INSTRUMENTS["calipers"]

printers = st.builds(
    SimulatedPrinter,
    scale_x=st.floats(0.975, 1.025),
    scale_y=st.floats(0.975, 1.025),
    lean_rad=st.floats(-0.0065, 0.0065),
    turn_rad=st.floats(-0.05, 0.05),
)


def exact(printer: SimulatedPrinter, nominal: dict[str, float]) -> list[Measured]:
    """Readings without noise."""
    return [
        Measured(line=line, nominal_mm=length, readings_mm=(printer.length(line, length),))
        for line, length in nominal.items()
    ]


def undoing(found: Fit) -> PrintCorrection:
    """What undoes the printer of a fit."""
    return PrintCorrection(
        printer="simulated",
        date="",
        scale_x=found.scale_x,
        scale_y=found.scale_y,
        shear=found.shear,
    )


# JCGM 100:2008 (GUM), H.3, table H.6 and equations H.13 to H.15: the temperature correction b of a
# thermometer, b = y1 + y2 (t - 20 °C). Data and results from memory; that they agree with each
# other to every printed digit is what the test shows.
GUM_TEMPERATURES = (
    *(21.521, 22.012, 22.512, 23.003, 23.507, 23.999),
    *(24.513, 25.002, 25.503, 26.010, 26.511),
)
GUM_CORRECTIONS = (
    *(-0.171, -0.169, -0.166, -0.159, -0.164, -0.165),
    *(-0.156, -0.157, -0.159, -0.161, -0.160),
)


def test_worked_example_of_the_gum() -> None:
    """GUM H.3: estimates, uncertainties, correlation, scatter, and a predicted correction."""
    design = np.column_stack([np.ones(11), np.array(GUM_TEMPERATURES) - 20])
    gain = least_squares_gain(design, np.ones(11))
    estimates = gain @ GUM_CORRECTIONS
    scatter = math.sqrt(np.sum((GUM_CORRECTIONS - design @ estimates) ** 2) / 9)
    covariance = scatter**2 * gain @ gain.T
    uncertainty = np.sqrt(np.diag(covariance))
    assert [f"{v:.4f}" for v in estimates[:1]] == ["-0.1712"]
    assert f"{estimates[1]:.5f}" == "0.00218"
    assert (f"{uncertainty[0]:.4f}", f"{uncertainty[1]:.5f}") == ("0.0029", "0.00067")
    assert f"{covariance[0, 1] / uncertainty[0] / uncertainty[1]:.3f}" == "-0.930"
    assert f"{scatter:.4f}" == "0.0035"
    at_30 = np.array([1.0, 10.0])
    assert f"{at_30 @ estimates:.4f}" == "-0.1494"
    assert f"{math.sqrt(at_30 @ covariance @ at_30):.4f}" == "0.0041"


@given(printers, st.sampled_from([A4_LENGTHS, NEAR_LENGTHS]))
def test_fit_without_noise_is_exact(printer: SimulatedPrinter, nominal: dict[str, float]) -> None:
    """Scale and shear come back to 1e-9, and the diagonals agree with the sides."""
    found = fit(exact(printer, nominal), CALIPERS)
    assert found.scale_x == pytest.approx(printer.scale_x, abs=1e-9)
    assert found.scale_y == pytest.approx(printer.scale_y, abs=1e-9)
    assert found.shear == pytest.approx(math.sin(printer.lean_rad), abs=1e-9)
    assert abs(found.misfit_mm) < 1e-8


@given(printers)
def test_correction_undoes_the_printer(printer: SimulatedPrinter) -> None:
    """A sheet sent through the correction comes out true: lengths and right angles."""
    correction = undoing(fit(exact(printer, A4_LENGTHS), CALIPERS))
    assert np.abs(residual(printer, correction.matrix)).max() < 1e-9


@given(st.floats(0.9, 1.1), st.floats(0.9, 1.1), st.floats(-0.05, 0.05))
def test_slopes_are_the_derivatives(x: float, y: float, s: float) -> None:
    """The derivatives that carry the uncertainty agree with differences."""
    lines = list(A4_LENGTHS)
    _, slopes = printed_lengths(lines, x, y, s)
    step = 1e-6
    for column, shift in enumerate(np.eye(3) * step):
        up = printed_lengths(lines, *(np.array([x, y, s]) + shift))[0]
        down = printed_lengths(lines, *(np.array([x, y, s]) - shift))[0]
        assert (up - down) / (2 * step) == pytest.approx(slopes[:, column], abs=1e-8)


@pytest.mark.parametrize("nominal", [A4_LENGTHS, NEAR_LENGTHS], ids=["ends", "150"])
def test_covariance_is_that_of_many_fits(nominal: dict[str, float]) -> None:
    """The stated covariance agrees with the scatter of many fits to noisy readings, to 12 %."""
    random = np.random.default_rng(100)
    printer = SimulatedPrinter(1.01, 0.995, 0.003)
    quiet = Instrument(name="test", label="test", reading_mm=0.05, accuracy_mm=0.08)
    found = np.array(
        [
            (one.scale_x, one.scale_y, one.shear)
            for one in (
                fit(read(printer, quiet, random, nominal, 1), quiet) for _ in range(tries(1500, 2))
            )
        ]
    )
    stated = np.array(fit(exact(printer, nominal), quiet).uncertainties)
    assert found.std(axis=0) == pytest.approx(stated, rel=0.12)


def test_an_error_of_the_instrument_does_not_average_out() -> None:
    """Thirty readings shrink what each adds, not what the instrument itself is off by."""
    tool = Instrument(name="test", label="test", reading_mm=0.0001, accuracy_mm=0.15)
    once = fit([Measured(line=k, nominal_mm=160, readings_mm=(160.0,)) for k in "xy"], tool)
    often = fit([Measured(line=k, nominal_mm=160, readings_mm=(160.0,) * 30) for k in "xy"], tool)
    assert once.uncertainties[0] == pytest.approx(0.15 / math.sqrt(3) / 160, rel=1e-3)
    assert often.uncertainties[0] == pytest.approx(once.uncertainties[0], rel=1e-3)


def test_scatter_beyond_the_instrument_counts() -> None:
    """Readings that scatter more than the instrument reads to enlarge the uncertainty."""
    calm = [Measured(line=k, nominal_mm=150, readings_mm=(150.0, 150.02, 150.01)) for k in "xy"]
    wild = [Measured(line=k, nominal_mm=150, readings_mm=(149.8, 150.2, 150.0)) for k in "xy"]
    assert pooled_scatter(wild)[0] == pytest.approx(0.2)
    assert pooled_scatter(wild)[1] == 4
    assert fit(calm, CALIPERS).reading_mm == CALIPERS.reading_mm
    assert fit(wild, CALIPERS).reading_mm == pytest.approx(0.2)
    assert fit(wild, CALIPERS).uncertainties[0] > 4 * fit(calm, CALIPERS).uncertainties[0]


def test_without_diagonals_the_shear_is_said_to_be_unknown() -> None:
    """The shear is taken as zero, with the uncertainty of not having looked."""
    found = fit([Measured(line=k, nominal_mm=150, readings_mm=(151.0,)) for k in "xy"], CALIPERS)
    assert found.shear == 0
    assert found.uncertainties[2] == pytest.approx(0.005 / math.sqrt(3))
    assert math.isnan(found.misfit_mm)


def test_one_diagonal_tells_the_shear() -> None:
    """Three lines are enough for three numbers, with nothing left over to check them by."""
    printer = SimulatedPrinter(1.004, 0.997, 0.002)
    found = fit(exact(printer, A4_LENGTHS)[:3], CALIPERS)
    assert found.shear == pytest.approx(math.sin(0.002), abs=1e-9)
    assert math.isnan(found.misfit_mm)


@pytest.mark.parametrize(
    ("lines", "named"),
    [(["x"], "y"), (["y", "rising"], "x"), (["x", "x", "y"], "x"), ([], "x")],
)
def test_missing_and_double_lines(lines: list[str], named: str) -> None:
    """Both axes are needed, each line once; the error names the option to mend."""
    measured = [Measured(line=k, nominal_mm=150, readings_mm=(150.0,)) for k in lines]
    with pytest.raises(InputError) as caught:
        fit(measured, CALIPERS)
    assert caught.value.name == named


@pytest.mark.parametrize("value", [0.0, -150.0, math.nan, math.inf, 1e9])
def test_readings_that_are_no_length(value: float) -> None:
    """Zero, negative, endless and absurd lengths are refused at once."""
    with pytest.raises(InputError, match=r"allowed: 0\.1 to 20000 mm"):
        Measured(line="x", nominal_mm=150.0, readings_mm=(150.0, value))
    with pytest.raises(InputError, match="one reading or more"):
        Measured(line="x", nominal_mm=150.0, readings_mm=())
    with pytest.raises(InputError, match="x, y, rising, falling"):
        Measured(line="slanting", nominal_mm=150.0, readings_mm=(150.0,))


@pytest.mark.parametrize(
    ("name", "nominal", "own_error", "most"),
    [
        ("calipers", NEAR_LENGTHS, "rectangular", 0.98),
        ("ruler", A4_LENGTHS, "rectangular", 0.99),
        ("calipers", NEAR_LENGTHS, "normal", 0.975),
        ("steel-rule", A4_LENGTHS, "normal", 0.975),
        ("printed-vernier", A4_LENGTHS, "normal", 0.975),
        ("ruler", A4_LENGTHS, "normal", 0.975),
    ],
)
def test_residual_lies_within_the_stated_uncertainty(
    name: str, nominal: dict[str, float], own_error: str, most: float
) -> None:
    """Printers with scale errors to 2 % and shear to 0.5 %, one round each.

    The residual of each axis and of the shear lies within the stated uncertainty at k = 2 in 95 %
    of the runs, 2,000 when all are tried: not fewer and not many more, but for chance. An own
    error of the instrument that is bounded (rectangular) is covered more often, as GUM G.2.2 says.
    With bounded calipers no run leaves 0.05 % or more.
    """
    instrument = INSTRUMENTS[name]
    random = np.random.default_rng(2000)
    runs = tries(2000)
    left, stated = np.empty((runs, 3)), np.empty((runs, 3))
    for run in range(runs):
        printer = draw_printer(random)
        found = fit(read(printer, instrument, random, nominal, own_error=own_error), instrument)
        left[run] = residual(printer, undoing(found).matrix)
        stated[run] = found.uncertainties
    covered = (np.abs(left) <= 2 * stated).mean(axis=0)
    chance = 2.5 * math.sqrt(0.9545 * 0.0455 / runs)
    fewer = chance - 2.5 * math.sqrt(0.9545 * 0.0455 / 2000)
    assert (covered >= 0.9545 - chance).all(), covered
    assert (covered <= most + fewer).all(), covered
    if own_error == "rectangular":
        assert (covered >= 0.95 - fewer).all(), covered
    if (name, own_error) == ("calipers", "rectangular"):
        assert np.abs(left).max() < 5e-4


@pytest.mark.parametrize("hand_mm", [0.0, 0.02])
def test_a_ruler_read_to_halves_by_a_steady_hand(hand_mm: float) -> None:
    """Three equal readings have one rounding error: counted, the stated uncertainty holds.

    It held the truth in 89 % of such cases while the three were taken for independent.
    """
    held = coverage(INSTRUMENTS["ruler"], hand_mm, 300, np.random.default_rng(6))
    assert held >= 0.95 - 2 * math.sqrt(0.95 * 0.05 / 300)


def test_equal_readings_are_less_sure_than_different_ones() -> None:
    """The same mean of three readings: 240 three times says less than three around it."""

    def sure(readings: tuple[float, ...]) -> float:
        lines = [Measured(line=k, nominal_mm=240, readings_mm=readings) for k in ("x", "y")]
        return fit(lines, INSTRUMENTS["ruler"]).uncertainties[0]

    # 0.2² / 3 and 0.3² / 3 of the ruler, and two thirds of 0.5² / 12
    assert sure((240.0,) * 3) == pytest.approx(math.sqrt(0.04 / 3 + 0.03 + 0.25 / 18) / 240)
    assert sure((239.95, 240.0, 240.05)) == pytest.approx(math.sqrt(0.04 / 3 + 0.03) / 240)
