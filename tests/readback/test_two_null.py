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
from protractor.printing.paper import PAPERS, Paper
from protractor.sheets.steps import two_null_steps
from protractor.sheets.two_null import two_null_pages
from tests.collisions import collisions
from tests.conftest import Ran
from tests.readback.reading import (
    ANGLE_SLACK_DEG,
    LENGTH_SLACK_MM,
    angles_to_tangent,
    circle_through,
    gaps,
    read_strokes,
)
from tests.readback.sheets_in_print import page_of


@pytest.mark.parametrize("name", ["a4", "letter", "a5"])
def test_targets_are_where_they_should_be(name: str) -> None:
    """Null points at their radii, rails along the groove, fans in half degrees, found by shape.

    Both lie below the spindle, and the front is to the left: pivot at the right rear.
    """
    strokes, _ = read_strokes(pdf_bytes([page_of("two-null", name)]))
    lines = [s.points for s in strokes if not s.curved]
    marks = [s.points for s in strokes if not s.curved and abs(s.width - 0.25) > 0.01]
    circles = [circle_through(s.points)[:2] for s in strokes if s.curved and s.length < 1e-6]
    [spindle] = [c for c, r in circles if abs(2 * r - 7.24) < LENGTH_SLACK_MM]
    feet = [c for c, r in circles if abs(r - 0.3) < LENGTH_SLACK_MM]
    nulls = sorted(gaps(lines), key=lambda c: float(np.linalg.norm(c - spindle)))
    wanted = chosen_nulls(Deck())[2]
    assert len(nulls) == len(feet) == 2
    for null, radius in zip(nulls, wanted, strict=True):
        assert null - spindle == pytest.approx([0.0, -radius], abs=LENGTH_SLACK_MM)
        [foot] = [f for f in feet if np.linalg.norm(f - null) < 20]
        assert foot - null == pytest.approx([-18.0, 0.0], abs=LENGTH_SLACK_MM)
        rails, fan = angles_to_tangent(marks, spindle, null, foot)
        assert len(rails) > 15
        assert max(map(abs, rails)) < ANGLE_SLACK_DEG
        assert fan == pytest.approx([n / 2 for n in range(-8, 9)], abs=ANGLE_SLACK_DEG)


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
    words = [step.what for step in two_null_steps()]
    assert any("Slide the cartridge back toward the pivot if you read +" in what for what in words)


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

    def make(sheet: Paper) -> tuple[Page, ...]:
        turned = math.radians(zenith)
        return two_null_pages(nulls, "null-radii", record(), sheet, title * 80, turned)

    pages: tuple[Page, ...] = ()
    refused = None
    try:
        pages = make(PAPERS[paper])
    except InputError as error:
        refused = error.name
    if inner + gap > 120 or (paper == "a5" and zenith != 0):
        assert refused in (None, "paper")
    else:
        assert refused is None
    assert [found for page in pages for found in collisions(page)] == []


@pytest.mark.parametrize("scheme", ["lofgren-a", "lofgren-b", "lofgren-c", "stevenson"])
def test_the_schemes_fit_on_the_smallest_paper(scheme: str) -> None:
    """The nulls of the usual schemes on a 12-inch record fit on A5."""
    found, side, nulls = chosen_nulls(Deck(scheme=scheme))
    pages = two_null_pages(nulls, found, side, PAPERS["a5"])
    assert [clash for page in pages for clash in collisions(page)] == []


@pytest.mark.parametrize("nulls", [(29.0, 90.0), (60.0, 76.0), (60.0, 60.0)])
def test_nulls_without_room_for_targets(nulls: tuple[float, float]) -> None:
    """Radii too near the spindle or each other are refused."""
    with pytest.raises(InputError, match="null-radii"):
        two_null_pages(nulls, "null-radii", record(), PAPERS["a4"])


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
