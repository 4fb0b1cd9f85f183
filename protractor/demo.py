"""An invented scenario: a repair bench with three decks of no maker."""

from __future__ import annotations

from protractor.alignment import solve
from protractor.paper import PAPERS

DEMO_DECKS = (
    ("nine-inch", "Bench deck 1, nine-inch arm (invented)", 215.0, "lofgren-a"),
    ("ten-inch", "Bench deck 2, ten-inch arm (invented)", 239.5, "lofgren-b"),
    ("twelve-inch", "Bench deck 3, twelve-inch arm (invented)", 295.5, "stevenson"),
)
"""File name, title, pivot to spindle [mm] and scheme of each deck."""


def demo_sheets() -> dict[str, bytes]:
    """The PDFs of the demo by file name: each deck on A4 and on Letter."""
    from protractor.output.pdf import pdf_bytes
    from protractor.sheets.alignment_sheet import alignment_page

    return {
        f"demo-{name}-{paper}.pdf": pdf_bytes(
            [alignment_page(solve(pivot_to_spindle_mm=d, scheme=scheme), PAPERS[paper], title)]
        )
        for name, title, d, scheme in DEMO_DECKS
        for paper in ("a4", "letter")
    }
