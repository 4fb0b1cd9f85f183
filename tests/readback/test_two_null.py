"""The two-null sheet, and the page of numbers, read back."""

from __future__ import annotations

import json
import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from protractor.alignments.align import align, chosen_nulls
from protractor.alignments.deck import Deck
from protractor.arms.records import record
from protractor.drawing.shapes import Page
from protractor.errors import InputError
from protractor.output.pdf import pdf_bytes
from protractor.printing.paper import PAPERS, Paper, place_on_paper
from protractor.sheets.two_null import two_null_page
from tests.collisions import collisions
from tests.conftest import Ran
from tests.readback.reading import (
    ANGLE_SLACK_DEG,
    LENGTH_SLACK_MM,
    circle_through,
    read_strokes,
)
from tests.readback.sheets_in_print import page_of


@pytest.mark.parametrize("name", ["a4", "letter", "a5"])
def test_targets_are_where_they_should_be(name: str) -> None:
    """Null points at their radii, grids along and square to the groove, fans in half degrees.

    Found by their shapes: the hole is 7.24 mm across, a null point 1.4 mm. Upright and on its side
    the front of each fan lies clockwise of the line outward: pivot at the right rear.
    """
    strokes, _ = read_strokes(pdf_bytes([page_of("two-null", name)]))
    circles = [circle_through(s.points)[:2] for s in strokes if s.curved and s.length < 1e-6]
    [spindle] = [c for c, r in circles if abs(2 * r - 7.24) < LENGTH_SLACK_MM]
    points = sorted(
        (c for c, r in circles if abs(r - 0.7) < LENGTH_SLACK_MM),
        key=lambda c: float(np.linalg.norm(c - spindle)),
    )
    wanted = chosen_nulls(Deck())[2]
    straight = [s for s in strokes if not s.curved]
    assert len(points) == 2
    for null, radius in zip(points, wanted, strict=True):
        assert np.linalg.norm(null - spindle) == pytest.approx(radius, abs=LENGTH_SLACK_MM)
        outward = (null - spindle) / radius
        front = np.array([outward[1], -outward[0]])
        grid, fan = [], []
        for stroke in straight:
            start, end = stroke.points[0] - null, stroke.points[-1] - null
            along = (stroke.points[-1] - stroke.points[0]) / stroke.length
            near = abs(start @ outward) < 14
            if near and abs(start @ front + 22) < 0.01 and abs(end @ front - 10) < 0.01:
                grid.append(math.degrees(abs(along @ outward)))
            if 54 < end @ front < 58 and abs(end @ outward) < 5 and abs(start @ front) > 9:
                fan.append(math.degrees(math.atan2(along @ -outward, along @ front)))
        assert len(grid) == 13
        assert max(grid) < ANGLE_SLACK_DEG
        assert sorted(fan) == pytest.approx([n / 2 for n in range(-8, 9)], abs=ANGLE_SLACK_DEG)


@pytest.mark.parametrize("change", [-0.6, 0.6])
def test_the_step_that_tells_where_to_slide(change: float) -> None:
    """Square at the inner null, an arm too long stands clockwise at the outer one: slide it back.

    Seen from above, in the frame of the arm: the cartridge's axis from the pivot to the stylus,
    turned by the offset angle toward the spindle, against the groove's tangent.
    """
    arm = align(Deck(pivot_to_spindle_mm=222.0)).arm
    inner, outer = arm.null_radii_mm
    length = arm.effective_length_mm + change
    pivot = np.array([0.0, arm.pivot_to_spindle_mm])

    def clockwise_of_tangent(radius: float, offset: float) -> float:
        y = (radius**2 + arm.pivot_to_spindle_mm**2 - length**2) / (2 * arm.pivot_to_spindle_mm)
        stylus = np.array([math.sqrt(radius**2 - y**2), y])
        toward_front = stylus - pivot
        heading = math.atan2(toward_front[1], toward_front[0]) - offset
        tangent = math.atan2(stylus[1], stylus[0]) - math.pi / 2
        return (tangent - heading + math.pi) % (2 * math.pi) - math.pi

    offset = -clockwise_of_tangent(inner, 0.0)
    assert offset == pytest.approx(arm.offset_angle_rad, abs=0.02)
    assert clockwise_of_tangent(inner, offset) == pytest.approx(0.0, abs=1e-12)
    at_outer = clockwise_of_tangent(outer, offset)
    assert math.copysign(1.0, at_outer) == math.copysign(1.0, change)
    page = two_null_page((inner, outer), "lofgren-a", record(), PAPERS["a4"])
    words = " ".join(s.text for s in page.shapes if hasattr(s, "text"))
    assert "on the + side of the fan, slide it back toward the pivot" in words


@settings(max_examples=25)
@given(
    st.floats(30, 110),
    st.floats(17, 90),
    st.sampled_from(list(PAPERS)),
    st.sampled_from(["", "A"]),
    st.sampled_from([0.0, 10.0, -10.0, 1.5]),
)
@example(30.0, 17.0, "a5", "", 0.0)
def test_any_nulls_on_any_paper(
    inner: float, gap: float, paper: str, title: str, zenith: float
) -> None:
    """Nothing collides for any two radii, turned or not; what does not fit is the paper's fault.

    Out to 120 mm every paper takes them; A5 does so when the grids are not turned.
    """
    nulls = (inner, inner + gap)

    def make(sheet: Paper) -> Page:
        turned = math.radians(zenith)
        return two_null_page(nulls, "null-radii", record(), sheet, title * 80, turned)

    page = refused = None
    try:
        page = place_on_paper(make, PAPERS[paper])[0]
    except InputError as error:
        refused = error.name
    if inner + gap > 120 or (paper == "a5" and zenith != 0):
        assert refused in (None, "paper")
    else:
        assert refused is None
    assert page is None or collisions(page) == []


@pytest.mark.parametrize("scheme", ["lofgren-a", "lofgren-b", "lofgren-c", "stevenson"])
def test_the_schemes_fit_on_the_smallest_paper(scheme: str) -> None:
    """The nulls of the usual schemes on a 12-inch record fit on A5."""
    found, side, nulls = chosen_nulls(Deck(scheme=scheme))
    page = place_on_paper(lambda sheet: two_null_page(nulls, found, side, sheet), PAPERS["a5"])[0]
    assert collisions(page) == []


@pytest.mark.parametrize("nulls", [(29.0, 90.0), (60.0, 76.0), (60.0, 60.0)])
def test_nulls_without_room_for_targets(nulls: tuple[float, float]) -> None:
    """Radii too near the spindle or each other are refused."""
    with pytest.raises(InputError, match="null-radii"):
        two_null_page(nulls, "null-radii", record(), PAPERS["a4"])


def test_two_null_without_a_deck_refuses_what_needs_one(run: Callable[..., Ran]) -> None:
    """An exact optimum needs an arm; what is played chooses the record of the closed form."""
    ran = run("template", "--kind", "two-null", "--exact")
    assert ran.status == 2
    assert "--pivot-to-spindle: got neither length" in ran.err
    ran = run("template", "--kind", "two-null", "--held", "offset-angle")
    assert ran.status == 2
    told = json.loads(
        run("template", "--kind", "two-null", "--play", "7:80", "--play", "12:20", "--json").out
    )
    assert told["record"]["name"] == "7-jis-1973"
    ran = run("template", "--kind", "two-null", "--exact", "--pivot-to-spindle", "222")
    assert "templates_out/two-null_lofgren-a-exact_a4.pdf" in ran.out
    assert "Exact for this arm" in ran.out
