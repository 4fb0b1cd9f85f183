"""The alignment sheet on any paper for any deck: nothing collides, nothing leaves the paper."""

from __future__ import annotations

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.arms.records import record
from protractor.arms.schemes import SCHEMES
from protractor.drawing.shapes import Arc, Circle, Label, Line, Page, Stroke
from protractor.errors import InputError
from protractor.printing.paper import CLEAR_BOTTOM_MM, CLEAR_SIDE_MM, PAPERS
from protractor.sheets.alignment_sheet import CLOSEST_NULLS_MM, alignment_page
from tests.collisions import collisions

NO_SHRINKING = [Phase.explicit, Phase.generate]
"""A page takes too long to look for a smaller example."""


@settings(max_examples=50, phases=NO_SHRINKING)
@given(
    st.floats(120, 500),
    st.sampled_from(list(SCHEMES)),
    st.sampled_from(["12", "10", "7", "12-din-1981", "12-jis-1973"]),
    st.sampled_from([name for name in PAPERS if name != "a5"]),
    st.text(st.characters(min_codepoint=32, max_codepoint=0x24F), max_size=80),
)
def test_nothing_collides(d: float, scheme: str, name: str, paper: str, title: str) -> None:
    """No label runs into a stroke or another label, and all stays in the clear area."""
    alignment = align(Deck(pivot_to_spindle_mm=d, scheme=scheme, record=record(name)))
    page = alignment_page(alignment, PAPERS[paper], title)
    assert collisions(page) == []
    _clear(page)


@pytest.mark.parametrize(
    ("d", "name"), [(500.0, "12"), (310.0, "10"), (330.0, "12"), (310.0, "7"), (500.0, "7")]
)
def test_the_overhang_scale_bears_two_figures(d: float, name: str) -> None:
    """However short the overhang, two figures say which way the scale runs and where it is."""
    page = alignment_page(align(Deck(pivot_to_spindle_mm=d, record=record(name))), PAPERS["letter"])
    assert len(_scale_figures(page)) >= 2
    assert collisions(page) == []


def test_an_underhang_scale_bears_two_figures() -> None:
    """So does the scale of a straight arm, which runs toward the pivot."""
    for d in (150.0, 222.0, 222.7, 240.0, 320.0, 480.0):
        page = alignment_page(align(Deck(pivot_to_spindle_mm=d, straight=True)), PAPERS["letter"])
        assert len(_scale_figures(page)) >= 2, d
        assert collisions(page) == []


def _scale_figures(page: Page) -> list[str]:
    """What stands beside the ticks of the overhang scale, left of the spindle."""
    x, y = page.features["spindle"]
    return [
        shape.text
        for shape in page.shapes
        if isinstance(shape, Label)
        and shape.text.isdigit()
        and shape.anchor == "end"
        and abs(shape.at[0] - (x - 2.9)) < 1e-6
        and abs(shape.at[1] - y) < 40
    ]


def _clear(page: Page) -> None:
    import shapely

    from protractor.drawing.extent import outline

    clear = shapely.box(
        CLEAR_SIDE_MM - 0.01,
        CLEAR_BOTTOM_MM - 0.8,
        page.width_mm - CLEAR_SIDE_MM + 0.01,
        page.height_mm - CLEAR_SIDE_MM + 0.01,
    )
    for shape in page.shapes:
        assert clear.covers(shapely.LineString(outline(shape))), shape
        if isinstance(shape, Label):
            assert shape.size_pt >= 7


@settings(max_examples=50, phases=NO_SHRINKING)
@given(st.floats(120, 500), st.floats(30, 120), st.floats(1, 100), st.sampled_from(["a4", "a3"]))
def test_own_nulls(d: float, inner: float, gap: float, paper: str) -> None:
    """Any two null radii make a sheet without collisions, or one line that says why not."""
    try:
        alignment = align(Deck(pivot_to_spindle_mm=d, null_radii_mm=(inner, inner + gap)))
        page = alignment_page(alignment, PAPERS[paper])
    except InputError as error:
        unreachable = "can reach" in str(error)
        wide = error.name == "paper" and inner + gap > 130
        assert unreachable or wide or gap < CLOSEST_NULLS_MM
        return
    assert collisions(page) == []
    _clear(page)


def test_nulls_lie_right_of_the_spindle() -> None:
    """Seen from above with the pivot at the top, the nulls lie to the right."""
    page = alignment_page(align(Deck(pivot_to_spindle_mm=160.0)), PAPERS["a4"])
    places = page.features
    spindle, pivot = places["spindle"], places["pivot"]
    assert pivot is not None
    assert pivot[0] == spindle[0]
    assert pivot[1] == pytest.approx(spindle[1] + 160.0, abs=1e-12)
    assert places["null_outer"][0] > places["null_inner"][0] > spindle[0]


def test_larger_paper_shows_the_pivot() -> None:
    """A nine-inch arm's pivot is off an A4 sheet and on A3."""
    alignment = align(Deck(pivot_to_spindle_mm=222.0))
    assert alignment_page(alignment, PAPERS["a4"]).features["pivot"] is None
    assert alignment_page(alignment, PAPERS["a3"]).features["pivot"] is not None


def test_too_small_a_paper_names_one_that_does() -> None:
    """A 16-inch transcription disc does not fit A4; the message names A3."""
    alignment = align(
        Deck(pivot_to_spindle_mm=300.0, record=record(inner_radius_mm=90.0, outer_radius_mm=197.0))
    )
    with pytest.raises(InputError, match="take A3"):
        alignment_page(alignment, PAPERS["a4"])
    assert collisions(alignment_page(alignment, PAPERS["a3"])) == []


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


def test_names_of_the_edges_stand_off_the_groove() -> None:
    """Of the inner edge toward the spindle, of the outer one away from it, a millimetre beside."""
    page = alignment_page(align(Deck(pivot_to_spindle_mm=222.0)), PAPERS["a4"])
    spindle = page.features["spindle"]
    grooves = [s for s in page.shapes if isinstance(s, Arc) and s.centre == tuple(spindle)]
    for name, radius, anchor, beside in (
        ("inner edge", 60.325, "end", -1.0),
        ("outer edge", 146.05, "start", 1.0),
    ):
        [label] = [s for s in page.shapes if isinstance(s, Label) and s.text == name]
        [groove] = [arc for arc in grooves if abs(arc.radius_mm - radius) < 1e-9]
        x, y = groove.at(groove.start_rad)
        assert label.anchor == anchor
        assert label.at == pytest.approx((x + beside, y), abs=1e-9)
