"""Paper sizes and the margin that every printer leaves alone."""

from __future__ import annotations

from dataclasses import dataclass

CLEAR_SIDE_MM = 10.0
CLEAR_BOTTOM_MM = 15.0
"""Kept free on the sides and top, and at the bottom: printers do not reach further."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A portrait sheet: name, width and height [mm]."""

    name: str
    label: str
    width_mm: float
    height_mm: float

    @property
    def left(self) -> float:
        """Left edge of the clear area [mm]."""
        return CLEAR_SIDE_MM

    @property
    def right(self) -> float:
        """Right edge of the clear area [mm]."""
        return self.width_mm - CLEAR_SIDE_MM

    @property
    def bottom(self) -> float:
        """Lower edge of the clear area [mm]."""
        return CLEAR_BOTTOM_MM

    @property
    def top(self) -> float:
        """Upper edge of the clear area [mm]."""
        return self.height_mm - CLEAR_SIDE_MM


# A sizes: ISO 216. Letter, Legal: ANSI/ASME Y14.1 (8.5 x 11 and 8.5 x 14 inches).
PAPERS = {
    paper.name: paper
    for paper in (
        Paper(name="a4", label="A4", width_mm=210.0, height_mm=297.0),
        Paper(name="letter", label="Letter", width_mm=215.9, height_mm=279.4),
        Paper(name="a3", label="A3", width_mm=297.0, height_mm=420.0),
        Paper(name="legal", label="Legal", width_mm=215.9, height_mm=355.6),
    )
}
