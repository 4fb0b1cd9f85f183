"""What a print costs on the deck: its share in the set-up's tolerance, and in distortion."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

from protractor.alignments.align import align
from protractor.alignments.alignment import Alignment
from protractor.alignments.deck import Deck
from protractor.printing.fit import COVERAGE_FACTOR
from protractor.printing.verification import Verification
from protractor.setup.bounds import SetupBounds
from protractor.setup.model import name_and_unit
from protractor.setup.tolerance import tolerance

DRAWS = 5_000
USUAL_DECK_MM = 222.0
"""Pivot to spindle of the deck that a print is judged for when none is given."""

MOST_PERCENT = 5.0
"""A print that may be off by more is no print of the sheet, and nothing is worked out for it."""

UNCALIBRATED_PERCENT = 1.0
"""What a healthy printer that nobody calibrated may be off by, along either side (common practice:
0.3 to 1 %)."""

LITTLE_PERCENT = 10.0
"""Up to this share of the set-up's variance, a better print would change next to nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintCost:
    """What a print costs on a deck, beside all else that is uncertain in a set-up.

    `scale_bound_percent` is what the print's scale may be off by; `share_percent` the print's share
    in the variance of the tracking error over the radius; `peak_second_harmonic_percent_p95` what
    95 % of set-ups keep with this print, `_perfect` the same with a perfect one, `_straight` with
    this print and a stylus that is known to stand straight in its cartridge.
    """

    alignment: Alignment
    scale_bound_percent: float
    share_percent: float
    peak_second_harmonic_percent_p95: float
    peak_second_harmonic_percent_p95_perfect: float
    peak_second_harmonic_percent_p95_straight: float

    @property
    def little(self) -> bool:
        """Whether a better print would change next to nothing."""
        return self.share_percent <= LITTLE_PERCENT

    def as_dict(self) -> dict[str, Any]:
        """Everything under the stable keys of `--json`."""
        return {
            "pivot_to_spindle_mm": self.alignment.arm.pivot_to_spindle_mm,
            "scheme": self.alignment.scheme,
            "print_scale_bound_percent": self.scale_bound_percent,
            "share_percent": self.share_percent,
            "peak_second_harmonic_percent_p95": self.peak_second_harmonic_percent_p95,
            "peak_second_harmonic_percent_p95_perfect": (
                self.peak_second_harmonic_percent_p95_perfect
            ),
        }


def print_cost(result: Verification, deck: Deck | None = None) -> PrintCost | None:
    """What a print that was verified costs on a deck.

    Args:
        result: the verification of the print.
        deck: the deck; the one without lengths has pivot to spindle 222 mm.

    Returns:
        the cost, None for a print that may be off by more than 5 %.

    Raises:
        InputError: as `align`.

    The print's error and its uncertainty together are taken as an even spread of the same standard
    deviation, sqrt(3) hypot(error, u), and put in the place of the usual bound of the print's
    scale. All other causes keep their usual bounds.

    >>> from protractor.printing.fit import fit
    >>> from protractor.printing.readings import DIRECTIONS, INSTRUMENTS, Measured
    >>> from protractor.printing.verification import verify
    >>> lines = [Measured(line=k, nominal_mm=150, readings_mm=(150,)) for k in DIRECTIONS]
    >>> cost = print_cost(verify(fit(lines, INSTRUMENTS["ruler"])))
    >>> cost.little
    True

    Source: JCGM 100:2008, 4.3.7 and 5.1; `protractor.setup.tolerance`.
    """
    u = result.expanded_mm / COVERAGE_FACTOR
    bound = 100 * math.sqrt(3) * math.hypot(result.error_mm, u) / result.over_mm
    return None if bound > MOST_PERCENT else scale_cost(bound, deck)


def scale_cost(bound_percent: float, deck: Deck | None = None) -> PrintCost:
    """What a print whose scale is within a bound costs on a deck.

    Args:
        bound_percent: what the scale may be off by, up to 5; anything within is as likely [%].
        deck: the deck; the one without lengths has pivot to spindle 222 mm.

    Returns:
        the cost.

    Raises:
        InputError: as `align`, and for a bound beyond 5 %.

    A printer that nobody calibrated costs next to nothing, beside a stylus up to 1 deg askew:

    >>> scale_cost(UNCALIBRATED_PERCENT).share_percent < 1
    True

    Source: `protractor.setup.tolerance`.
    """
    deck = deck or Deck()
    if deck.pivot_to_spindle_mm is None and deck.effective_length_mm is None:
        deck = replace(deck, pivot_to_spindle_mm=USUAL_DECK_MM)
    alignment = align(deck)
    found = tolerance(alignment, SetupBounds(print_scale_percent=bound_percent), draws=DRAWS)
    causes = {each.name: each for each in found.causes}
    cause, zenith = (
        causes[name_and_unit(field)[0]] for field in ("print_scale_percent", "zenith_deg")
    )
    return PrintCost(
        alignment=alignment,
        scale_bound_percent=bound_percent,
        share_percent=cause.share_percent,
        peak_second_harmonic_percent_p95=found.peak_harmonic_percent.p95,
        peak_second_harmonic_percent_p95_perfect=cause.peak_second_harmonic_percent_p95_without,
        peak_second_harmonic_percent_p95_straight=zenith.peak_second_harmonic_percent_p95_without,
    )
