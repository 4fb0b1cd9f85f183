"""The worksheet's page: every word in its place, however much there is to say."""

from __future__ import annotations

from dataclasses import replace

import pytest

from protractor.drawing.shapes import Label
from protractor.errors import InputError
from protractor.printing.paper import paper
from protractor.sheets.grid import Group
from protractor.sheets.worksheet import BY_HAND, Round, Worksheet, worksheet_page
from tests.collisions import collisions

SHEET = Worksheet(
    title="Bench deck 1, nine-inch arm (invented)",
    measured=Group(
        heading="Measured and stated",
        rows=(("pivot to spindle", "222.3±0.3 mm"), ("note", "overhang is off, by 1.70 mm " * 4)),
    ),
    target=Group(heading="Aimed at", rows=(("scheme", "lofgren-a"), ("overhang", "17.27 mm"))),
    rounds=(),
    ended="No round yet.",
    due="Print the sheet, set the cartridge by it and read its fans.",
    command='protractor template --deck "Bench deck 1, nine-inch arm (invented)"',
    verdicts=(Group(heading="Cartridge", rows=(("resonance", "fits"),)),),
    notes="new belt, counterweight loose",
)


def rounds(count: int) -> tuple[Round, ...]:
    """So many rounds, the first of another target."""
    read = "66 mm: +2.5 deg, 120.9 mm: +1.5 deg, overhang 15.5 mm"
    move = "slide 2.0 mm toward the front, turn 0.7 deg counter-clockwise"
    head = "For pivot to spindle 222.00 mm, nulls at 60.33 and 117.42 mm:"
    return tuple(
        Round(number=at + 1, read=read, move=move, series="" if at else head) for at in range(count)
    )


def words(sheet: Worksheet, name: str) -> str:
    """What is written on the page, in order, after a look that nothing collides."""
    page = worksheet_page(sheet, paper(name))
    assert collisions(page) == []
    return " ".join(shape.text for shape in page.shapes if isinstance(shape, Label))


@pytest.mark.parametrize(("name", "count"), [("a4", 0), ("letter", 3), ("a5", 1), ("a5", 30)])
def test_nothing_collides(name: str, count: int) -> None:
    """On any usual paper; the latest rounds are on it, and the others counted."""
    text = words(replace(SHEET, rounds=rounds(count)), name)
    assert ("earlier in the log" in text) == (count == 30)
    assert f" {count} 66 mm: +2.5 deg" in text or not count
    for word in (SHEET.title, "222.3±0.3 mm", "lofgren-a", "fits", "tracking force", "Next"):
        assert word.split()[0] in text


def test_rounds_can_be_written_by_hand() -> None:
    """While there is none in the log, rows are left for them."""
    empty = worksheet_page(SHEET, paper("a4")).shapes
    one = worksheet_page(replace(SHEET, rounds=rounds(1)), paper("a4")).shapes
    lines = [sum(not isinstance(shape, Label) for shape in shapes) for shapes in (empty, one)]
    assert lines[0] - lines[1] == BY_HAND


def test_a_paper_that_is_too_small() -> None:
    """It is refused rather than written over the edge."""
    with pytest.raises(InputError, match="room for the worksheet"):
        worksheet_page(replace(SHEET, rounds=rounds(1)), paper("90x90mm"))
