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
from protractor.sheets.alignment_sheet import alignment_page
from tests.collisions import collisions
from tests.readback import reading
from tests.readback.reading import ANGLE_SLACK_DEG, LENGTH_SLACK_MM


def fan_angles(strokes: list[reading.Stroke], null: np.ndarray, spindle: np.ndarray) -> list[float]:
    """Angles of the rays of a null's fan to the groove's tangent [deg], clockwise positive."""
    radial = (null - spindle) / np.linalg.norm(null - spindle)
    front = np.array([radial[1], -radial[0]])
    angles = []
    for stroke in strokes:
        if stroke.curved or not 10 < stroke.length < 50:
            continue
        local = np.array([[(p - null) @ front, (p - null) @ radial] for p in stroke.points])
        step = local[1] - local[0]
        miss = abs(step[0] * local[0][1] - step[1] * local[0][0]) / np.linalg.norm(step)
        away = local[np.argmax(np.linalg.norm(local, axis=1))]
        clear = np.linalg.norm(local, axis=1).min() > 9.9
        if miss < LENGTH_SLACK_MM and clear and away[0] > 50 and np.linalg.norm(away) < 60:
            angles.append(math.degrees(math.atan2(-away[1], away[0])))
    return sorted(angles)


STRAIGHT = [
    align(Deck(pivot_to_spindle_mm=240.0, straight=True)),
    align(Deck(pivot_to_spindle_mm=300.0, scheme="equal-angle", straight=True)),
    align(Deck(pivot_to_spindle_mm=230.0, scheme="stevenson", straight=True)),
    align(Deck(pivot_to_spindle_mm=120.0, record=record("7"), straight=True)),
]


@pytest.mark.parametrize("alignment", STRAIGHT)
def test_the_sheet_of_a_straight_arm_is_true(alignment: Alignment) -> None:
    """Its one null, arc and fan stand where an underhung arm without offset puts them."""
    page = alignment_page(alignment, PAPERS["a4"], "An invented straight arm")
    strokes, _ = reading.read_strokes(pdf_bytes([page]))
    curves = [(reading.circle_through(s.points), s) for s in strokes if s.curved]
    spindle = next(c[0] for c, _ in curves if abs(c[1] - 3.62) < 0.3 and c[2] < 0.05)
    dots = [c[0] for c, _ in curves if abs(c[1] - 0.7) < 0.05]
    arcs = [(c, s) for c, s in curves if s.length > 60]
    assert len(dots) == len(arcs) == 1
    (centre, radius, _), arc = arcs[0]
    assert radius == pytest.approx(alignment.arm.effective_length_mm, abs=LENGTH_SLACK_MM)
    assert centre - spindle == pytest.approx(
        [0.0, alignment.arm.pivot_to_spindle_mm], abs=LENGTH_SLACK_MM
    )
    null = float(np.linalg.norm(dots[0] - spindle))
    assert null == pytest.approx(alignment.arm.null_radii_mm[1], abs=LENGTH_SLACK_MM)
    # the arc crosses the line pivot to spindle short of the spindle
    assert arc.points[:, 0].min() < spindle[0]
    # with no offset the tangent in the null points at the pivot
    along = (centre - dots[0]) / np.linalg.norm(centre - dots[0])
    assert along @ (dots[0] - spindle) == pytest.approx(0.0, abs=1e-2)
    assert fan_angles(strokes, dots[0], spindle) == pytest.approx(
        np.arange(-4, 4.25, 0.5), abs=ANGLE_SLACK_DEG
    )
    assert page.features["null_inner"] is None
    assert page.features["null_outer"] == pytest.approx(list(dots[0]), abs=LENGTH_SLACK_MM)
    assert collisions(page) == []


@pytest.mark.parametrize(
    ("zenith", "paper"), [(-10.0, "letter"), (-2.5, "a4"), (1.5, "letter"), (10.0, "a4")]
)
def test_grids_are_turned_for_an_askew_stylus(zenith: float, paper: str) -> None:
    """Stylus clockwise of the body: the fans are turned counter-clockwise by as much.

    A body along the turned grid then has its stylus along the groove; arc and nulls stay.
    """
    alignment = align(Deck(pivot_to_spindle_mm=222.0))
    page = alignment_page(alignment, PAPERS[paper], "Askew", math.radians(zenith))
    plain = alignment_page(alignment, PAPERS[paper], "Askew")
    strokes, _ = reading.read_strokes(pdf_bytes([page]))
    circles = [reading.circle_through(s.points) for s in strokes if s.curved]
    spindle = next(c[0] for c in circles if abs(c[1] - 3.62) < 0.3 and c[2] < 0.05)
    nulls = [c[0] for c in circles if abs(c[1] - 0.7) < 0.05]
    assert len(nulls) == 2
    for null in nulls:
        assert fan_angles(strokes, null, spindle) == pytest.approx(
            np.arange(-4, 4.25, 0.5) - zenith, abs=ANGLE_SLACK_DEG
        )
    assert page.features == plain.features
    assert collisions(page) == []


def test_a_short_seven_inch_deck_has_a_sheet() -> None:
    """120 mm from pivot to spindle with a 7-inch record: solved and drawn without collision."""
    alignment = align(Deck(pivot_to_spindle_mm=120.0, record=record("7")))
    assert collisions(alignment_page(alignment, PAPERS["a4"])) == []
