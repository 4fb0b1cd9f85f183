"""The alignment sheet on any paper for any deck: nothing collides, nothing leaves the paper."""

from __future__ import annotations

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.alignments.sheet_code import continuing, sheet_code
from protractor.arms.records import record
from protractor.arms.schemes import SCHEMES
from protractor.drawing.shapes import Circle, Label, Line, Page, Stroke
from protractor.errors import InputError
from protractor.printing.paper import CLEAR_BOTTOM_MM, CLEAR_SIDE_MM, PAPERS
from protractor.sheets.alignment_sheet import alignment_pages
from protractor.sheets.setup_card import command_lines
from protractor.sheets.tool import CLOSEST_NULLS_MM
from tests.collisions import collisions

NO_SHRINKING = [Phase.explicit, Phase.generate]
"""A page takes too long to look for a smaller example."""


@settings(max_examples=30, phases=NO_SHRINKING)
@given(
    st.floats(120, 500),
    st.sampled_from(list(SCHEMES)),
    st.sampled_from(["12", "10", "7", "12-din-1981", "12-jis-1973"]),
    st.sampled_from([name for name in PAPERS if name != "a5"]),
    st.text(st.characters(min_codepoint=32, max_codepoint=0x24F), max_size=80),
)
def test_nothing_collides(d: float, scheme: str, name: str, paper: str, title: str) -> None:
    """No label runs into a stroke or another label, and all stays in the clear area."""
    deck = Deck(pivot_to_spindle_mm=d, scheme=scheme, record=record(name))
    alignment = align(deck)
    command = continuing(alignment, deck, code=sheet_code(alignment))
    for page in alignment_pages(alignment, PAPERS[paper], title, command=command):
        assert collisions(page) == []
        _clear(page)


def _clear(page: Page) -> None:
    import shapely

    from protractor.drawing.extent import outline

    across, down = CLEAR_BOTTOM_MM, CLEAR_SIDE_MM
    if page.width_mm < page.height_mm:
        across, down = down, across
    clear = shapely.box(
        across - 0.01,
        down - 0.8,
        page.width_mm - across + 0.01,
        page.height_mm - CLEAR_SIDE_MM + 0.3,  # a label's box is a hair higher than its capitals
    )
    for shape in page.shapes:
        assert clear.covers(shapely.LineString(outline(shape))), shape
        if isinstance(shape, Label):
            assert shape.size_pt >= 7


@settings(max_examples=25, phases=NO_SHRINKING)
@given(st.floats(120, 500), st.floats(30, 120), st.floats(1, 100), st.sampled_from(["a4", "a3"]))
def test_own_nulls(d: float, inner: float, gap: float, paper: str) -> None:
    """Any two null radii make a sheet without collisions, or one line that says why not."""
    try:
        alignment = align(Deck(pivot_to_spindle_mm=d, null_radii_mm=(inner, inner + gap)))
        pages = alignment_pages(alignment, PAPERS[paper])
    except InputError as error:
        unreachable = "can reach" in str(error)
        wide = error.name == "paper" and inner + gap > 140
        assert unreachable or wide or gap < CLOSEST_NULLS_MM
        return
    for page in pages:
        assert collisions(page) == []
        _clear(page)


def test_seen_from_the_front() -> None:
    """The pivot lies to the right, the nulls toward the viewer, on a page on its side."""
    [page] = alignment_pages(align(Deck(pivot_to_spindle_mm=160.0)), PAPERS["a3"])
    places = page.features
    spindle, pivot = places["spindle"], places["pivot"]
    assert page.width_mm > page.height_mm
    assert pivot is not None
    assert pivot[1] == spindle[1]
    assert pivot[0] == pytest.approx(spindle[0] + 160.0, abs=1e-12)
    assert places["null_outer"][1] < places["null_inner"][1] < spindle[1]


def test_the_pivot_is_reported_where_the_page_reaches_it() -> None:
    """A nine-inch arm's pivot is off an A4 sheet and on A3; nothing is drawn there."""
    alignment = align(Deck(pivot_to_spindle_mm=222.0))
    assert alignment_pages(alignment, PAPERS["a4"])[0].features["pivot"] is None
    assert alignment_pages(alignment, PAPERS["a3"])[0].features["pivot"] is not None


@pytest.mark.parametrize(("paper", "count"), [("a4", 2), ("letter", 2), ("legal", 2), ("a3", 1)])
def test_the_card_has_a_page_where_there_is_no_room(paper: str, count: int) -> None:
    """Beside the tool on A3; on smaller paper a page of its own in the same file."""
    pages = alignment_pages(align(Deck(pivot_to_spindle_mm=222.0)), PAPERS[paper])
    assert len(pages) == count
    words = [s.text for s in pages[-1].shapes if isinstance(s, Label)]
    assert {"measured", "set", "expect", "round 1", "round 2", "round 3"} <= set(words)


def test_the_command_breaks_between_options_alone() -> None:
    """However long, no line of it begins with a value, and nothing of it is lost."""
    command = 'protractor correct --pivot-to-spindle 222 --play "12:80" --reading 66.0:__ --exact'
    for width in (50.0, 70.0, 200.0):
        lines = command_lines(command, width, 9.0)
        assert " ".join(lines) == command
        assert all(line.startswith(("--", "protractor")) for line in lines)


def test_too_small_a_paper_names_one_that_does() -> None:
    """A 16-inch transcription disc does not fit A5; the message names what does."""
    alignment = align(
        Deck(pivot_to_spindle_mm=300.0, record=record(inner_radius_mm=90.0, outer_radius_mm=197.0))
    )
    with pytest.raises(InputError, match="take A4 or Letter"):
        alignment_pages(alignment, PAPERS["a5"])
    for page in alignment_pages(alignment, PAPERS["a4"]):
        assert collisions(page) == []


def test_collisions_can_be_found() -> None:
    """The check itself: a label on a line, on a label, and off the paper."""
    page = Page(
        title="",
        subject="",
        paper="a4",
        width_mm=100.0,
        height_mm=100.0,
        shapes=(
            Line((0.0, 51.0), (100.0, 51.0), Stroke()),
            Label("on the line", (10.0, 50.0)),
            Label("on each other", (10.0, 30.0)),
            Label("on each other", (12.0, 31.0)),
            Label("off the paper", (90.0, 10.0)),
            Circle((50.0, 70.0), 5.0, Stroke()),
            Label("x", (49.5, 69.5)),
        ),
        features={},
    )
    found = collisions(page)
    assert len(found) == 4, found  # two labels on each other are told from both sides
    assert "off the paper" in found[0]
