"""Paper sizes, the user's own too, and the margin that every printer leaves alone."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

from protractor.errors import InputError, check_range

CLEAR_SIDE_MM = 10.0
CLEAR_BOTTOM_MM = 15.0
"""Kept free on the sides and top, and at the bottom: printers do not reach further."""

CLEAR_RANGE_MM = (3.0, 30.0)
"""What a user may say that his own printer keeps free."""

SIZE_RANGE_MM = (90.0, 1300.0)
"""Sides of a sheet: from cards to A0."""

Made = TypeVar("Made")


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A sheet of paper: name, width and height, and what is kept free along its edges [mm].

    Printers reach less far at the edge that leaves them last. On a sheet on its side (`turned`)
    that may be the left or the right one, so both are kept free like an upright one's lower edge.
    """

    name: str
    label: str
    width_mm: float
    height_mm: float
    clear_side_mm: float = CLEAR_SIDE_MM
    clear_bottom_mm: float = CLEAR_BOTTOM_MM
    turned: bool = False

    @property
    def left(self) -> float:
        """Left edge of the clear area [mm]."""
        return self.clear_bottom_mm if self.turned else self.clear_side_mm

    @property
    def right(self) -> float:
        """Right edge of the clear area [mm]."""
        return self.width_mm - self.left

    @property
    def bottom(self) -> float:
        """Lower edge of the clear area [mm]."""
        return self.clear_side_mm if self.turned else self.clear_bottom_mm

    @property
    def top(self) -> float:
        """Upper edge of the clear area [mm]."""
        return self.height_mm - self.clear_side_mm


# A sizes: ISO 216. Letter, Legal, Tabloid: ANSI/ASME Y14.1 (8.5 x 11, 8.5 x 14, 11 x 17 inches).
PAPERS = {
    paper.name: paper
    for paper in (
        Paper(name="a4", label="A4", width_mm=210.0, height_mm=297.0),
        Paper(name="letter", label="Letter", width_mm=215.9, height_mm=279.4),
        Paper(name="a3", label="A3", width_mm=297.0, height_mm=420.0),
        Paper(name="legal", label="Legal", width_mm=215.9, height_mm=355.6),
        Paper(name="tabloid", label="Tabloid", width_mm=279.4, height_mm=431.8),
        Paper(name="a5", label="A5", width_mm=148.0, height_mm=210.0),
    )
}

_NUMBER = r"([0-9]+(?:\.[0-9]+)?)"
_SIZE = re.compile(rf"\s*{_NUMBER}\s*(mm|cm|in)?\s*[x×]\s*{_NUMBER}\s*(mm|cm|in)\s*", re.IGNORECASE)
_UNITS_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4}

PAPERS_ALLOWED = f"{', '.join(PAPERS)} or a size such as 210x297mm"
"""What a paper may be, in words."""


def paper(name: str, clear_margin_mm: float | None = None) -> Paper:
    """The paper of a name or size, with the margin that the user's printer keeps free.

    A size is always taken upright, its shorter side as the width; the size of a known paper is that
    paper. Raises `InputError` for an unknown name, a size outside `SIZE_RANGE_MM` or a margin
    outside `CLEAR_RANGE_MM`.

    >>> paper("8.5x11in").label, paper("297 x 200 mm").width_mm, paper("a4", 5).bottom
    ('Letter', 200.0, 5)
    """
    found = PAPERS.get(name.strip().lower()) or _own_size(name)
    if clear_margin_mm is None:
        return found
    remedy = "give what your printer leaves white at the edges"
    check_range("clear-margin", clear_margin_mm, "mm", CLEAR_RANGE_MM, remedy)
    return replace(found, clear_side_mm=clear_margin_mm, clear_bottom_mm=clear_margin_mm)


def _own_size(text: str) -> Paper:
    size = _SIZE.fullmatch(text)
    if size is None:
        remedy = "name one of these, or give width x height with a unit"
        raise InputError("paper", text, PAPERS_ALLOWED, remedy)
    unit = (size[4] or "mm").lower()
    first = float(size[1]) * _UNITS_MM[(size[2] or unit).lower()]
    width, height = (round(v, 4) for v in sorted((first, float(size[3]) * _UNITS_MM[unit])))
    low, high = SIZE_RANGE_MM
    if not low <= width <= height <= high:
        allowed = f"sides of {low:g} to {high:g} mm"
        raise InputError("paper", text, allowed, "give the size of the sheet")
    for known in PAPERS.values():
        if abs(known.width_mm - width) < 0.06 and abs(known.height_mm - height) < 0.06:
            return known
    name, label = f"{width:g}x{height:g}mm", f"{width:g} x {height:g} mm"
    return Paper(name=name, label=label, width_mm=width, height_mm=height)


def turn_sheet(sheet: Paper) -> Paper:
    """The sheet on its side, or upright again. Its page is printed turned, either way round."""
    return replace(
        sheet, width_mm=sheet.height_mm, height_mm=sheet.width_mm, turned=not sheet.turned
    )


def place_on_paper(make: Callable[[Paper], Made], sheet: Paper) -> tuple[Made, bool]:
    """What `make` makes of the sheet upright, or else on its side; and whether it was turned.

    `make` raises `InputError` named `paper` when its thing does not fit. When it fits neither way,
    the error names the smallest paper that would do.
    """
    upright = _try(make, sheet)
    if not isinstance(upright, InputError):
        return upright, False
    on_its_side = _try(make, turn_sheet(sheet))
    if not isinstance(on_its_side, InputError):
        return on_its_side, True

    def takes(known: Paper) -> bool:
        own = replace(
            known, clear_side_mm=sheet.clear_side_mm, clear_bottom_mm=sheet.clear_bottom_mm
        )
        return any(not isinstance(_try(make, way), InputError) for way in (own, turn_sheet(own)))

    raise InputError("paper", upright.got, upright.allowed, larger(takes))


def _try(make: Callable[[Paper], Made], sheet: Paper) -> Made | InputError:
    """What `make` makes of a sheet, or the error when the sheet is too small for it."""
    try:
        return make(sheet)
    except InputError as error:
        if error.name != "paper":
            raise
        return error


def larger(takes: Callable[[Paper], bool]) -> str:
    """What to do when a sheet is too small: the smallest ISO and the smallest US size that takes.

    >>> larger(lambda paper: paper.width_mm > 250)
    'take A3 or Tabloid'
    """
    found: dict[bool, str] = {}
    for known in sorted(PAPERS.values(), key=lambda p: p.width_mm * p.height_mm):
        iso = known.name.startswith("a")
        if iso not in found and takes(known):
            found[iso] = known.label
    names = [found[iso] for iso in (True, False) if iso in found]
    if names:
        return f"take {' or '.join(names)}"
    return "no paper known here is large enough: give a size of your own, such as 300x480mm"
