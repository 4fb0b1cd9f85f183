"""Sheets for straight arms and for askew styli, measured on the PDF."""

from __future__ import annotations

import math

import numpy as np
import pytest

from protractor.alignments.align import align
from protractor.alignments.alignment import Alignment
from protractor.alignments.deck import Deck
from protractor.arms.records import record
from protractor.output.pdf import pdf_bytes
from protractor.printing.paper import PAPERS
from protractor.sheets.alignment_sheet import alignment_pages
from tests.collisions import collisions
from tests.readback import reading
from tests.readback.reading import ANGLE_SLACK_DEG, LENGTH_SLACK_MM

STRAIGHT = [
    align(Deck(pivot_to_spindle_mm=240.0, straight=True)),
    align(Deck(pivot_to_spindle_mm=300.0, scheme="equal-angle", straight=True)),
    align(Deck(pivot_to_spindle_mm=230.0, scheme="stevenson", straight=True)),
    align(Deck(pivot_to_spindle_mm=120.0, record=record("7"), straight=True)),
]


@pytest.mark.parametrize("alignment", STRAIGHT)
def test_the_sheet_of_a_straight_arm_is_true(alignment: Alignment) -> None:
    """Its one null, arc, fan and marks lie where an underhung arm without offset puts them."""
    pages = alignment_pages(alignment, PAPERS["a4"], "An invented straight arm")
    found = reading.find(pdf_bytes(pages))
    [null], [foot] = found.nulls, found.feet
    assert found.arc_radius == pytest.approx(alignment.arm.effective_length_mm, abs=LENGTH_SLACK_MM)
    assert found.arc_centre - found.spindle == pytest.approx(
        [alignment.arm.pivot_to_spindle_mm, 0.0], abs=LENGTH_SLACK_MM
    )
    away = float(np.linalg.norm(null - found.spindle))
    assert away == pytest.approx(alignment.arm.null_radii_mm[1], abs=LENGTH_SLACK_MM)
    # the arc crosses the line from spindle to pivot short of the spindle
    assert found.arc_ends[:, 1].max() > found.spindle[1]
    # with no offset the tangent in the null points at the pivot
    along = (found.arc_centre - null) / np.linalg.norm(found.arc_centre - null)
    assert along @ (null - found.spindle) == pytest.approx(0.0, abs=1e-2)
    _, fan = reading.angles_to_tangent(found.marks, found.spindle, null, foot)
    assert fan == pytest.approx(np.arange(-4, 4.25, 0.5), abs=ANGLE_SLACK_DEG)
    assert found.ladder == pytest.approx([n / 2 for n in range(-6, 7) if n], abs=LENGTH_SLACK_MM)
    features = pages[0].features
    assert features["null_inner"] is None
    assert features["null_outer"] == pytest.approx(list(null), abs=LENGTH_SLACK_MM)
    assert [found for page in pages for found in collisions(page)] == []


@pytest.mark.parametrize(
    ("zenith", "paper"), [(-10.0, "letter"), (-2.5, "a4"), (1.5, "letter"), (10.0, "a4")]
)
def test_targets_are_turned_for_an_askew_stylus(zenith: float, paper: str) -> None:
    """Stylus clockwise of the body: the fans are turned counter-clockwise by as much.

    A body along the turned rails then has its stylus along the groove; arc and nulls stay.
    """
    alignment = align(Deck(pivot_to_spindle_mm=222.0))
    turned = alignment_pages(alignment, PAPERS[paper], "Askew", math.radians(zenith))
    plain = alignment_pages(alignment, PAPERS[paper], "Askew")
    found, straight = (reading.find(pdf_bytes(pages)) for pages in (turned, plain))
    assert len(found.nulls) == 2
    for null, foot, as_plain in zip(found.nulls, found.feet, straight.nulls, strict=True):
        rails, fan = reading.angles_to_tangent(found.marks, found.spindle, null, foot, 15.5)
        assert fan == pytest.approx(np.arange(-4, 4.25, 0.5) - zenith, abs=ANGLE_SLACK_DEG)
        assert rails == pytest.approx([-zenith] * len(rails), abs=ANGLE_SLACK_DEG)
        assert len(rails) > 15
        shift = straight.spindle - found.spindle
        assert null + shift == pytest.approx(as_plain, abs=LENGTH_SLACK_MM)
    assert [found for page in turned for found in collisions(page)] == []


def test_a_short_seven_inch_deck_has_a_sheet() -> None:
    """120 mm from pivot to spindle with a 7-inch record: solved and drawn without collision."""
    alignment = align(Deck(pivot_to_spindle_mm=120.0, record=record("7")))
    for page in alignment_pages(alignment, PAPERS["a4"]):
        assert collisions(page) == []
