"""What schemes cost, as columns of figures for a table."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from protractor.alignments.alignment import Alignment
from protractor.alignments.comparison import Comparison


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """A column of what schemes cost: its two headings, and a figure a row, nan for none.

    `least` is the text of the least figure: what prints the same is as little.
    """

    over: str
    name: str
    figures: list[float]

    def texts(self, missing: str) -> list[str]:
        """The figures as they are printed, with a sign for one that is missing."""
        return [missing if math.isnan(each) else f"{each:.2f}" for each in self.figures]

    @property
    def least(self) -> str:
        """The least figure as it is printed."""
        known = [each for each in self.figures if not math.isnan(each)]
        return f"{min(known):.2f}" if known else ""


def costs(comparison: Comparison) -> list[Cost]:
    """What the schemes cost: three columns of tracking error, three of second harmonic."""
    rows = comparison.rows
    inner = f"at {rows[0].record.inner_radius_mm:.1f} mm"
    error, harmonic = "Tracking error, deg", "Second harmonic, %"
    columns: tuple[tuple[str, str, Callable[[Alignment], float]], ...] = (
        (error, "peak", lambda row: row.peak_tracking_error_deg),
        (error, "rms", lambda row: row.rms_tracking_error_deg),
        (error, inner, lambda row: abs(row.inner_tracking_error_deg)),
        (harmonic, "peak", lambda row: row.peak_second_harmonic_percent),
        (harmonic, "rms", lambda row: row.rms_second_harmonic_percent),
        (harmonic, inner, lambda row: row.inner_harmonics_percent[0]),
    )
    return [
        Cost(over=over, name=name, figures=[figure(row) for row in rows])
        for over, name, figure in columns
    ]
