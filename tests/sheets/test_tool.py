"""The tool on the platter: within reach, without words, nothing hidden that has to be read."""

from __future__ import annotations

import math
import random
import re
from dataclasses import replace

import numpy as np
import pytest
import shapely

from protractor.alignments.align import align
from protractor.alignments.alignment import to_hundredth
from protractor.alignments.deck import Deck
from protractor.arms.records import record
from protractor.arms.schemes import SCHEMES
from protractor.drawing.extent import geometries, outline
from protractor.drawing.shapes import Arc, Label, Line, Shape
from protractor.printing.paper import PAPERS, turn_sheet
from protractor.setup import sight
from protractor.sheets import pointer, signs, target
from protractor.sheets.alignment_sheet import alignment_pages
from protractor.sheets.piece import PLATTER_MM
from protractor.sheets.tool import Tool

ARM_MM = 20.0
"""Width of the band that arm and headshell hide, from the pivot to the stylus (common practice)."""

FIGURE = re.compile(r"[+–]?[0-9]+(\.[0-9]+)?|pivot|[+–]")
"""What may be written on the tool: figures, signs and one word."""


def drawn(count: int, seed: int) -> list[Tool]:
    """Tools of random decks, straight and askew ones among them."""
    rolls = random.Random(seed)
    made = []
    for number in range(count):
        deck = Deck(
            pivot_to_spindle_mm=round(rolls.uniform(120, 400), 2),
            scheme=rolls.choice(list(SCHEMES)),
            record=record(rolls.choice(["12", "12", "10", "7", "12-din-1981", "12-jis-1973"])),
            straight=number % 7 == 3,
        )
        askew = math.radians(rolls.choice([0.0, 0.0, 1.5, -3.0, 10.0, -10.0]))
        made.append(
            Tool(alignment=align(deck), spindle=(110.0, 180.0), tongue_end=283.0, zenith_rad=askew)
        )
    return made


def faults(tool: Tool, shapes: list[Shape]) -> list[str]:
    """What is wrong with a tool, in words; empty when nothing is."""
    (x, y), wrong = tool.spindle, []
    edge = [shape for shape in shapes if isinstance(shape, Line) and shape.stroke.layer == "cut"]
    piece = shapely.Polygon([line.start for line in edge])
    for px, py in piece.exterior.coords:
        tongue = px > x and abs(py - y) < 7.6
        if math.hypot(px - x, py - y) > PLATTER_MM + 0.02 and not tongue:
            wrong.append(f"({px:.1f}, {py:.1f}) lies beyond the platter")
    inside = [shape for shape in shapes if not isinstance(shape, Line) or shape not in edge]
    held = shapely.covers(piece.buffer(0.01), geometries(inside))
    for shape, ok in zip(inside, held, strict=True):
        if not ok:
            wrong.append(f"off the tool: {shape}")
        if isinstance(shape, Label) and not FIGURE.fullmatch(shape.text):
            wrong.append(f"a word on the tool: {shape.text}")
        if not isinstance(shape, Label) and shape.stroke.width_mm < 0.18:
            wrong.append(f"a line too thin: {shape}")
    for null, mark in zip(tool.nulls, tool.piece.targets, strict=True):
        band = shapely.LineString([tool.pivot, null]).buffer(ARM_MM / 2, cap_style="flat")
        read = [s for s in mark.shapes() if isinstance(s, Label)]
        read += [s for s in inside if isinstance(s, Label) and s.size_pt == target.NAME_PT]
        for label in read:
            if label.text != "pivot" and band.intersects(geometries([label])[0]):
                wrong.append(f"under the arm: {label.text}")
    return wrong


def test_every_tool_keeps_to_the_platter_and_hides_nothing() -> None:
    """Within 147 mm but for the tongue, figures alone, nothing to be read under the arm."""
    for tool in drawn(14, 1):
        assert faults(tool, tool.shapes()) == [], tool.alignment.arm


def test_faults_of_a_tool_are_caught() -> None:
    """A word, a hairline, a figure under the arm, a piece too long: each is found."""
    [tool] = drawn(1, 2)
    shapes = tool.shapes()
    [word] = [s for s in shapes if isinstance(s, Label) and s.text == "pivot"]
    x, y = tool.nulls[0]
    figure = replace(word, text="66.00")
    arc = next(s for s in shapes if isinstance(s, Arc))
    for spoilt, fault in (
        (replace(word, text="stylus arc"), "a word on the tool"),
        (replace(figure, at=(x + 12.0, y + 3.0)), "under the arm"),
        (replace(arc, stroke=replace(arc.stroke, width_mm=0.13)), "too thin"),
        (replace(word, at=(250.0, 100.0)), "off the tool"),
    ):
        assert any(fault in found for found in faults(tool, [*shapes, spoilt])), fault
    far = [
        replace(s, start=(s.start[0] - 80, s.start[1]), end=(s.end[0] - 80, s.end[1]))
        if isinstance(s, Line) and s.stroke.layer == "cut"
        else s
        for s in shapes
    ]
    assert any("beyond the platter" in found for found in faults(tool, far))


def overhang_figures(tool: Tool) -> list[Label]:
    """The figures of the overhang beside the arc, if there is room for them on the tool."""
    _, placed = tool.piece.marks(tool.arc(), [tool.ladders()])
    text = to_hundredth(tool.arm.overhang_mm).replace("-", "–")
    return [s for s in placed if isinstance(s, Label) and s.text == text]


def test_no_deck_lacks_its_overhang() -> None:
    """On 200 random decks the overhang's figure lies within 10 mm of the arc, and once."""
    for tool in drawn(200, 3):
        [figure] = overhang_figures(tool)
        away = math.dist(figure.at, tool.pivot) - tool.arm.effective_length_mm
        assert abs(away) < 10, tool.alignment.arm


def test_a_missing_overhang_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without its places the figure is missing, and the test above would say so."""
    monkeypatch.setattr(Tool, "ladders", lambda _: iter(()))
    [tool] = drawn(1, 3)
    assert overhang_figures(tool) == []


def test_longer_is_away_from_the_pivot() -> None:
    """The marks' + lies further from the pivot than the arc by 3 mm, their – nearer by as much."""
    [tool] = drawn(1, 3)
    _, placed = tool.piece.marks(tool.arc(), [tool.ladders()])
    for text, sign in (("+3", 1), ("–3", -1)):
        [label] = [s for s in placed if isinstance(s, Label) and s.text == text]
        away = math.dist(label.at, tool.pivot) - tool.arm.effective_length_mm
        assert away == pytest.approx(sign * 3.0, abs=1e-6)


def test_the_side_of_plus_on_the_fan() -> None:
    """A cartridge turned clockwise about the tip looks at the + side, seen from above.

    Page and deck are both seen from above, so clockwise is clockwise: what points left swings up.
    """
    [tool] = drawn(1, 5)
    mark = replace(tool.piece.targets[0], zenith_rad=0.0)
    plus = next(s for s in mark.shapes() if isinstance(s, Label) and s.text == "+4")
    ahead = np.array(mark.at(40.0, 0.0)) - mark.null
    turn = -math.radians(4.0)
    swung = np.array(
        [
            ahead[0] * math.cos(turn) - ahead[1] * math.sin(turn),
            ahead[0] * math.sin(turn) + ahead[1] * math.cos(turn),
        ]
    )
    outward = np.array([math.cos(mark.outward_rad), math.sin(mark.outward_rad)])
    assert swung @ outward < 0
    assert (np.array(plus.at) - mark.null) @ outward < 0


def test_what_is_read_is_large_enough() -> None:
    """Half a degree at the fan's end is over two arc minutes at 400 mm, on the shortest fan too.

    That is what 20/40 sight resolves; its letters are ten arc minutes high (ISO 8596).
    """
    assert target.FAN_LENGTH_MM == sight.FAN_LENGTH_MM
    assert target.SHORTEST_FAN_MM == sight.SHORTEST_FAN_MM
    for fan in (sight.FAN_LENGTH_MM, sight.SHORTEST_FAN_MM):
        assert sight.arcmin(sight.division_mm(fan)) >= sight.ACUITY_ARCMIN
    assert sight.arcmin(target.capital_mm(target.SMALLEST_PT)) > 5 * sight.ACUITY_ARCMIN
    assert sight.arcmin(target.RAIL_PITCH_MM) > 2 * sight.ACUITY_ARCMIN


def test_the_pointer_fits_what_it_is_for() -> None:
    """Its edge is straight and square to the fold; the foot lies ahead of its base, under no card.

    With its bar on fronts 0 to 9 mm ahead of the tip, the foot is free and the stem's end lies on
    the fan; a stylus 3 mm ahead of the front finds room in the window.
    """
    corners = pointer.OUTLINE
    assert (pointer.STEM_MM, 0.0) in corners
    assert (pointer.BASE_MM, 0.0) in corners
    for front in (0.0, 9.0):
        assert front + pointer.BASE_MM < target.FOOT_MM
        end = front + pointer.STEM_MM - target.FOOT_MM
        assert target.FAN_LENGTH_MM - target.FAN_DEPTH_MM < end < target.FAN_LENGTH_MM + 9
    assert pointer.WINDOW_DEPTH_MM >= 3.0
    assert pointer.WINDOW_HALF_MM < pointer.BAR_HALF_MM - 5


def test_what_a_pointer_reads_by_simulation() -> None:
    """Drawn at random within its errors, a pointer is wrong by what the budget says, to 2 %.

    The bound is worth the same standard uncertainty: of a million readings, each error uniform.
    """
    random_numbers = np.random.default_rng(1)
    for fan in (sight.FAN_LENGTH_MM, sight.SHORTEST_FAN_MM):
        bounds = np.array(list(sight.pointer_errors_deg(fan).values()))
        wrong = random_numbers.uniform(-bounds, bounds, (200_000, len(bounds))).sum(axis=1)
        assert wrong.std() * math.sqrt(3) == pytest.approx(sight.pointer_bound_deg(fan), rel=0.02)
        assert sight.pointer_bound_deg(fan) <= sight.READING_BOUND_DEG
    # what the old way misread: 8 mm beside the axis
    assert sight.beside_the_foot_deg(8.0, 55.0) > 8


@pytest.mark.parametrize("name", list(signs.SIGNS))
def test_signs_can_be_told(name: str) -> None:
    """Black strokes of 0.25 mm or more, over two arc minutes at 400 mm, within the sign's size."""
    shapes = list(signs.SIGNS[name]((0.0, 0.0)))
    for shape in shapes:
        assert not isinstance(shape, Label)
        assert sight.arcmin(shape.stroke.width_mm) > sight.ACUITY_ARCMIN
        for x, y in outline(shape):
            assert max(abs(x), abs(y)) <= signs.SIGN_MM / 2 + 0.05


@pytest.mark.parametrize("paper", ["a4", "letter", "a3"])
def test_steps_are_large_and_the_tool_stays_out_of_the_words(paper: str) -> None:
    """Every step is set in 9 pt or more, and no word of the card lies on the tool."""
    alignment = align(Deck(pivot_to_spindle_mm=222.0))
    pages = alignment_pages(alignment, PAPERS[paper], "An invented deck", command="protractor x")
    steps = [
        s
        for page in pages
        for s in page.shapes
        if isinstance(s, Label) and len(s.text) > 25 and s.size_pt != 8.0
    ]
    assert len(steps) > 25
    assert min(s.size_pt for s in steps) >= 9.0
    tool = Tool(
        alignment=alignment,
        spindle=(pages[0].features["spindle"][0], pages[0].features["spindle"][1]),  # type: ignore[index,arg-type]
        tongue_end=turn_sheet(PAPERS[paper]).right - 4.0,
    )
    assert set(tool.shapes()) <= set(pages[0].shapes)
    edge = [s for s in tool.shapes() if isinstance(s, Line) and s.stroke.layer == "cut"]
    piece = shapely.Polygon([line.start for line in edge])
    words = [
        s for s in pages[0].shapes if isinstance(s, Label) and piece.intersects(geometries([s])[0])
    ]
    assert all(FIGURE.fullmatch(label.text) for label in words)
