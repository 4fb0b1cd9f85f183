"""How sure a set-up is: the model against vectors, linear against Monte Carlo, and the culprit."""

import math

import numpy as np
import pytest

from protractor.alignments.align import align
from protractor.alignments.alignment import Alignment
from protractor.alignments.deck import Deck
from protractor.arms.play import Play
from protractor.arms.records import record
from protractor.arms.straight import straight_arm
from protractor.errors import InputError
from protractor.setup.bounds import SetupBounds
from protractor.setup.model import (
    CAUSES,
    draw,
    generator,
    resulting_arms,
    standard_uncertainties,
)
from protractor.setup.tolerance import peaks, tolerance

DECK = align(Deck(pivot_to_spindle_mm=222.0))
NO_DOUBT = SetupBounds(
    pivot_to_spindle_mm=0,
    print_scale_percent=0,
    hole_play_mm=0,
    aim_mm=0,
    arc_mm=0,
    grid_deg=0,
    zenith_deg=0,
)


def errors_of(**causes: float) -> np.ndarray:
    """One column of errors, zero but for those named; `_x` and `_y` tell the axes apart."""
    column = np.zeros((len(CAUSES), 1))
    for name, value in causes.items():
        axis = 1 if name.endswith("_y") else 0
        column[CAUSES.index(name.removesuffix("_x").removesuffix("_y")) + axis] = value
    return column


def by_hand(
    d_error: float = 0.0,
    scale: tuple[float, float] = (0.0, 0.0),
    play: tuple[float, float] = (0.0, 0.0),
    aim: float = 0.0,
) -> tuple[float, float]:
    """L and beta of the same set-up, by matrices and angles written out."""
    arm = DECK.arm
    turn = aim / arm.pivot_to_spindle_mm
    matrix = np.array(
        [[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]]
    ) @ np.diag([1 + scale[0], 1 + scale[1]])
    pivot = np.array([0.0, arm.pivot_to_spindle_mm + d_error])
    lengths, angles = [], []
    for null in arm.stylus(arm.null_radii_mm):
        line = matrix @ null + np.array(play) - pivot
        grid = matrix @ np.array([null[1], -null[0]])
        lengths.append(np.hypot(*line))
        angles.append(math.atan2(line[1], line[0]) - math.atan2(grid[1], grid[0]))
    return float(np.mean(lengths)), float(np.mean(angles))


def test_without_errors_the_arm_is_the_target() -> None:
    """No error gives the very arm that the sheet was drawn for."""
    d, length, beta = resulting_arms(DECK, errors_of())
    assert d[0] == pytest.approx(222.0, abs=1e-12)
    assert length[0] == pytest.approx(DECK.arm.effective_length_mm, abs=1e-10)
    assert beta[0] == pytest.approx(DECK.arm.offset_angle_rad, abs=1e-12)


@pytest.mark.parametrize(
    ("causes", "hand"),
    [
        ({"pivot_to_spindle_mm": 0.7}, {"d_error": 0.7}),
        ({"print_scale_percent_x": 0.005}, {"scale": (0.005, 0.0)}),
        ({"print_scale_percent_y": -0.005}, {"scale": (0.0, -0.005)}),
        ({"hole_play_mm_x": 0.1, "hole_play_mm_y": -0.2}, {"play": (0.1, -0.2)}),
        ({"aim_mm": 2.0}, {"aim": 2.0}),
    ],
)
def test_the_model_is_the_sheet_taken_at_its_word(
    causes: dict[str, float], hand: dict[str, object]
) -> None:
    """Each cause moves length and angle as matrices written out by hand say."""
    _, length, beta = resulting_arms(DECK, errors_of(**causes))
    wanted = by_hand(**hand)  # type: ignore[arg-type]
    assert length[0] == pytest.approx(wanted[0], abs=1e-8)
    assert beta[0] == pytest.approx(wanted[1], abs=1e-10)


def test_reading_errors_add() -> None:
    """Arc, grid and stylus errors go straight into length and offset angle."""
    _, length, beta = resulting_arms(DECK, errors_of(arc_mm=0.2, grid_deg=0.01, zenith_deg=-0.02))
    assert length[0] == pytest.approx(DECK.arm.effective_length_mm + 0.2, abs=1e-10)
    assert beta[0] == pytest.approx(DECK.arm.offset_angle_rad - 0.01, abs=1e-12)


def test_draws_have_the_stated_uncertainties() -> None:
    """The draws' standard deviations are those that linear propagation uses, within 4 sigma."""
    count = 100_000
    sample = draw(SetupBounds(), count, np.random.default_rng(3))
    assert np.std(sample, axis=1) == pytest.approx(
        standard_uncertainties(SetupBounds()), rel=4 / math.sqrt(2 * count)
    )
    play = sample[[i for i, name in enumerate(CAUSES) if name == "hole_play_mm"]]
    assert np.hypot(*play).max() <= SetupBounds().hole_play_mm / 2


@pytest.mark.parametrize("seed", [1, 2, 3])
@pytest.mark.parametrize(
    "alignment",
    [
        DECK,
        align(Deck(pivot_to_spindle_mm=120.0, scheme="stevenson", record=record("7"))),
        align(Deck(pivot_to_spindle_mm=310.0, scheme="lofgren-b")),
        Alignment(
            arm=straight_arm("lofgren-a", record(), pivot_to_spindle_mm=240.0),
            scheme="lofgren-a",
            record=record(),
        ),
    ],
    ids=["9-inch", "7-inch only", "12-inch", "straight"],
)
def test_linear_agrees_with_monte_carlo(alignment: Alignment, seed: int) -> None:
    """Both ways of propagation agree within 4 standard errors of the Monte Carlo's own."""
    for c in tolerance(alignment, seed=seed, draws=100_000).certainties:
        assert abs(c.u_linear - c.u_monte_carlo) < 4 * c.u_monte_carlo_error, c


def test_the_dominant_cause_is_the_one_worth_mending() -> None:
    """Leaving out the dominant cause lowers the 95 % distortion more than any other."""
    for bounds in (
        SetupBounds(),
        SetupBounds(zenith_deg=0.0),
        SetupBounds(zenith_deg=0.1, grid_deg=0.1),
    ):
        causes = tolerance(DECK, bounds).causes
        assert causes[0].peak_second_harmonic_percent_p95_without == min(
            c.peak_second_harmonic_percent_p95_without for c in causes
        )
        assert sum(c.share_percent for c in causes) == pytest.approx(100.0)


def test_what_is_played_and_how_it_is_replayed_counts() -> None:
    """Without doubt the peaks are the alignment's own: over all records, after equalisation."""
    alignment = align(
        Deck(
            pivot_to_spindle_mm=222.0,
            play=Play(records=(record(), record("7")), shares=(0.8, 0.2)),
            signal_hz=1000.0,
        )
    )
    errors, harmonics = peaks(alignment, NO_DOUBT, 10)
    assert np.degrees(errors) == pytest.approx(alignment.peak_tracking_error_deg, rel=1e-9)
    assert 100 * harmonics == pytest.approx(alignment.peak_second_harmonic_percent, rel=1e-9)


def test_no_doubt_no_spread() -> None:
    """With every bound zero the spread closes on the nominal figures."""
    sure = tolerance(DECK, NO_DOUBT, draws=1000)
    for spread in (sure.peak_error_deg, sure.peak_harmonic_percent):
        assert spread.median == pytest.approx(spread.nominal, rel=1e-9)
        assert spread.p95 == pytest.approx(spread.nominal, rel=1e-9)


def test_the_same_seed_gives_the_same_draws() -> None:
    """A seed fixes the result; another gives another."""
    first = peaks(DECK, SetupBounds(), 20_000, seed=7)[0]
    assert np.array_equal(first, peaks(DECK, SetupBounds(), 20_000, seed=7)[0])
    assert not np.array_equal(first, peaks(DECK, SetupBounds(), 20_000, seed=8)[0])


@pytest.mark.parametrize(
    ("bad", "match"),
    [
        ({"pivot_to_spindle_mm": -1.0}, "pivot-to-spindle-bound"),
        ({"zenith_deg": 11.0}, "0 to 10 deg"),
        ({"print_scale_percent": math.nan}, "print-scale-bound"),
    ],
)
def test_absurd_bounds_are_refused(bad: dict[str, float], match: str) -> None:
    """A bound that is negative, absurd or no number is said with its option."""
    with pytest.raises(InputError, match=match):
        SetupBounds(**bad)


def test_too_few_draws_are_refused() -> None:
    """A hundred draws settle nothing."""
    with pytest.raises(InputError, match="1000 to 10000000"):
        tolerance(DECK, draws=100)


def test_the_uncertainty_of_the_uncertainty() -> None:
    """What the draws leave open of a standard deviation, against the jackknife of the same draws.

    B. Efron, 'The Jackknife, the Bootstrap and Other Resampling Plans', SIAM 1982, ch. 3.
    """
    count, seed = 5000, 4
    found = tolerance(DECK, draws=count, seed=seed)
    d, length, beta = resulting_arms(DECK, draw(SetupBounds(), count, generator(seed)))
    for one, sample in zip(found.certainties, (length - d, np.degrees(beta)), strict=False):
        square = (sample - sample.mean()) ** 2
        # the mean square without each draw in turn
        rest = (square.sum() - square * count / (count - 1)) / (count - 1)
        deviations = np.sqrt(rest)
        wanted = math.sqrt((count - 1) * np.var(deviations))
        assert one.u_monte_carlo == pytest.approx(np.std(sample), rel=1e-9)
        assert one.u_monte_carlo_error == pytest.approx(wanted, rel=0.01)
