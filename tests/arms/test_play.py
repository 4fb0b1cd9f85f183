"""What is played: shares, spans and figures over several records."""

from __future__ import annotations

import math

import pytest

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.alignments.objective import spans_of
from protractor.arms.play import Play, side_minutes
from protractor.arms.records import record
from protractor.errors import InputError

LARGE, SMALL = record("12"), record("7")
BOTH = Play(records=(LARGE, SMALL), shares=(0.8, 0.2))


def test_figures_are_weighed_by_shares() -> None:
    """The peak is the worse of the two, the rms the root of the weighted mean of squares."""
    both = align(Deck(pivot_to_spindle_mm=222.0, play=BOTH))
    large, small = (
        align(Deck(pivot_to_spindle_mm=222.0, null_radii_mm=both.arm.null_radii_mm, record=side))
        for side in (LARGE, SMALL)
    )
    assert both.peak_second_harmonic_percent == pytest.approx(
        max(large.peak_second_harmonic_percent, small.peak_second_harmonic_percent)
    )
    assert both.rms_second_harmonic_percent == pytest.approx(
        math.sqrt(
            0.8 * large.rms_second_harmonic_percent**2 + 0.2 * small.rms_second_harmonic_percent**2
        )
    )


def test_the_exact_optimum_is_best_for_what_is_played() -> None:
    """Least squares over both records beats least squares over either, on both together."""
    best = align(Deck(exact=True, pivot_to_spindle_mm=222.0, scheme="lofgren-c", play=BOTH))
    for side in (LARGE, SMALL):
        other = align(Deck(exact=True, pivot_to_spindle_mm=222.0, scheme="lofgren-c", record=side))
        on_both = align(
            Deck(pivot_to_spindle_mm=222.0, null_radii_mm=other.arm.null_radii_mm, play=BOTH)
        )
        assert best.rms_second_harmonic_percent < on_both.rms_second_harmonic_percent


def test_a_faster_record_counts_less() -> None:
    """The weight of a span is the slowest record's speed over its own."""
    assert [span.factor for span in spans_of(BOTH)] == pytest.approx([1.0, 100 / 3 / 45])


def test_rounded_shares_are_taken() -> None:
    """Three of 33.3 % are three thirds."""
    play = Play(records=(LARGE, SMALL, LARGE), shares=(0.333, 0.333, 0.333))
    assert play.shares == pytest.approx([1 / 3] * 3)


@pytest.mark.parametrize("shares", [(0.8, 0.3), (0.8, 0.1), (1.0, 0.0), (1.2, -0.2)])
def test_shares_that_do_not_add_up(shares: tuple[float, ...]) -> None:
    """Too much, too little, nothing, less than nothing: refused by the input's name."""
    with pytest.raises(InputError) as refusal:
        Play(records=(LARGE, SMALL), shares=shares)
    assert refusal.value.name == "play"


def test_nothing_played() -> None:
    """No record at all."""
    with pytest.raises(InputError, match="above 0"):
        Play(records=(), shares=())


def test_minutes_of_a_side_are_what_sleeves_say() -> None:
    """About 20 minutes on a 12-inch side at 33 1/3, 3 to 5 on a single and on a 10-inch at 78.

    Common practice.
    """
    assert 18 < side_minutes(LARGE) < 24
    assert 4 < side_minutes(SMALL) < 7
    assert 2.5 < side_minutes(record("10", rpm=78.0)) < 4
