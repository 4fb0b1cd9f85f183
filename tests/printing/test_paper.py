"""Papers: known, the user's own, with the printer's margins, upright or on their side."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.errors import InputError
from protractor.printing.inputs import PAPER
from protractor.printing.paper import PAPERS, Paper, paper, place_on_paper, turn_sheet
from protractor.sheets.alignment_sheet import alignment_pages


@pytest.mark.parametrize(
    ("name", "width", "height"),
    [
        ("a3", 297, 420),
        ("a4", 210, 297),
        ("a5", 148, 210),
        ("letter", 8.5 * 25.4, 11 * 25.4),
        ("legal", 8.5 * 25.4, 14 * 25.4),
        ("tabloid", 11 * 25.4, 17 * 25.4),
    ],
)
def test_sizes(name: str, width: float, height: float) -> None:
    """A sizes as ISO 216 prints them; US sizes in inches (ANSI/ASME Y14.1)."""
    assert (PAPERS[name].width_mm, PAPERS[name].height_mm) == pytest.approx((width, height))


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("A4", "a4"),
        (" Letter ", "letter"),
        ("210x297mm", "a4"),
        ("297 x 210 mm", "a4"),
        ("21x29.7cm", "a4"),
        ("8.5x11in", "letter"),
        ("11 in x 8.5 in", "letter"),
        ("200x300mm", "200x300mm"),
        ("300×200mm", "200x300mm"),
        ("8x10in", "203.2x254mm"),
        ("150mm x 10in", "150x254mm"),
    ],
)
def test_paper_as_users_write_it(written: str, name: str) -> None:
    """Names in any case; sizes in mm, cm or inches, either side first; known sizes get their name.

    What is read can be read again.
    """
    assert PAPER.read(written) == name
    assert paper(name).name == name


@pytest.mark.parametrize(
    "written",
    [
        *("", "a44", "b5", "x", "210", "210x", "x297mm", "210x297", "210x297ft", "210x297x3mm"),
        *("0x297mm", "-210x297mm", "nanxnanmm", "infx297mm", "1e3x1e3mm", "210,5x297mm"),
        *("50x50mm", "210x9999mm", "a4 letter", "９x９mm", "210x297mm; rm", "a" * 9999),
    ],
)
def test_papers_that_are_none(written: str) -> None:
    """Everything else is one error, named after the option, with what is allowed."""
    with pytest.raises(InputError) as caught:
        PAPER.read(written)
    assert caught.value.name == "paper"
    assert len(str(caught.value)) < 300


@given(st.floats(90, 1300), st.floats(90, 1300))
def test_own_sizes_stand_upright(one: float, other: float) -> None:
    """Any two sides make an upright sheet of that size, to a hundredth of a millimetre."""
    made = paper(f"{one:.2f}x{other:.2f}mm")
    assert made.width_mm <= made.height_mm
    assert sorted([one, other]) == pytest.approx([made.width_mm, made.height_mm], abs=0.066)


def test_clear_margin() -> None:
    """The user's margin takes the place of all four; out of range it is refused."""
    made = paper("a4", 5.0)
    assert (made.left, made.bottom, made.right, made.top) == (5, 5, 205, 292)
    for value in (0.0, 2.9, 31.0, -1.0, math.nan, math.inf):
        with pytest.raises(InputError, match="clear-margin"):
            paper("a4", value)


def test_a_wider_margin_moves_the_drawing() -> None:
    """With 14 mm kept clear on Letter nothing of the sheet lies within 14 mm of the edge."""
    from protractor.drawing.extent import outline
    from tests.collisions import collisions

    for page in alignment_pages(align(Deck(pivot_to_spindle_mm=222.0)), paper("letter", 14.0)):
        points = [p for shape in page.shapes for p in outline(shape)]
        assert min(min(p) for p in points) > 13.6
        assert max(p[0] for p in points) < page.width_mm - 13.6
        assert collisions(page) == []


def wide(sheet: Paper) -> str:
    """A thing that needs 200 mm in width and 100 mm in height."""
    if sheet.width_mm < 200 or sheet.height_mm < 100:
        raise InputError("paper", sheet.label, "200 x 100 mm", "")
    return sheet.name


def test_placed_upright_or_on_its_side() -> None:
    """Upright where it fits, else on its side; else the smallest ISO and US sizes are named."""
    assert place_on_paper(wide, PAPERS["a4"]) == ("a4", False)
    assert place_on_paper(wide, PAPERS["a5"]) == ("a5", True)
    with pytest.raises(InputError, match="take A5 or Letter"):
        place_on_paper(wide, paper("100x150mm"))

    def never(sheet: Paper) -> str:
        raise InputError("paper", sheet.label, "more than there is", "")

    with pytest.raises(InputError, match="no paper known here is large enough"):
        place_on_paper(never, PAPERS["a4"])


def test_other_errors_are_not_swallowed() -> None:
    """An error that is not about the paper goes through at once."""

    def broken(sheet: Paper) -> str:
        raise InputError("null-radii", "equal", "different", "choose")

    with pytest.raises(InputError, match="null-radii"):
        place_on_paper(broken, PAPERS["a4"])


def test_a_sheet_on_its_side_keeps_the_last_edge_free() -> None:
    """Left and right of a turned sheet are what leaves the printer first or last: 15 mm each."""
    side = turn_sheet(PAPERS["a4"])
    assert (side.width_mm, side.height_mm) == (297.0, 210.0)
    assert (side.left, side.right, side.bottom, side.top) == (15.0, 282.0, 10.0, 200.0)
    assert turn_sheet(side) == PAPERS["a4"]
    own = turn_sheet(paper("a4", 5.0))
    assert (own.left, own.right, own.bottom, own.top) == (5.0, 292.0, 5.0, 205.0)
