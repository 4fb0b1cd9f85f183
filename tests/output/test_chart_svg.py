"""Charts as SVG read back: curves where the numbers say, names apart, words large enough."""

from __future__ import annotations

import math
import random
import xml.etree.ElementTree as ET
from dataclasses import dataclass

import numpy as np
import pytest

from protractor.alignments.comparison import Comparison, compare
from protractor.alignments.deck import Deck
from protractor.curves.side import side_axis, side_charts
from protractor.drawing.chart import Axis, Chart, Curve, Mark, Region, rounded_axis
from protractor.drawing.type import MM_PER_POINT, width_mm
from protractor.errors import InputError
from protractor.output.chart_svg import NARROW, WIDE, Size, chart_svgs, in_words

SVG = "{http://www.w3.org/2000/svg}"

DECK = Deck(pivot_to_spindle_mm=222.0)


def compared(deck: Deck = DECK, overhang: float = 17.0, offset: float = 22.5) -> Comparison:
    """All schemes and a present setting."""
    return compare(deck, now_overhang_mm=overhang, now_offset_angle_deg=offset)


def drawn(
    comparison: Comparison, size: Size, points: int, by_time: bool = False
) -> list[ET.Element]:
    """The three charts as elements."""
    axis = side_axis(comparison, by_time, None)
    charts = side_charts(comparison, axis, points=points)
    return [ET.fromstring(text) for text in chart_svgs(charts, size, "x")]


@dataclass(frozen=True)
class Words:
    """A text and the box of its letters."""

    text: str
    left: float
    right: float
    top: float
    bottom: float


def words(svg: ET.Element) -> list[Words]:
    """Every text with its box; letters reach from 0.75 em above the line to 0.25 em below."""
    size = float(svg.get("font-size", "nan"))
    found = []
    for element in svg.iter(f"{SVG}text"):
        text = element.text or ""
        width = width_mm(text, size, element.get("font-weight") == "700") / MM_PER_POINT
        x, middle = float(element.get("x", "nan")), float(element.get("y", "nan"))
        left = x - {"end": width, "middle": width / 2}.get(element.get("text-anchor", ""), 0.0)
        line = middle + 0.35 * size
        found.append(Words(text, left, left + width, line - 0.75 * size, line + 0.25 * size))
    return found


def curves(svg: ET.Element) -> dict[str, list[tuple[float, float]]]:
    """The points of every curve by its name."""
    return {
        group.get("data-curve", ""): [
            (float(x), float(y))
            for x, y in (
                pair.split(",") for pair in group.find(f"{SVG}polyline").get("points").split()
            )
        ]
        for group in svg.iter(f"{SVG}g")
        if group.get("data-curve")
    }


def scale(svg: ET.Element, low: str, high: str, upright: bool) -> tuple[float, float]:
    """Where the figures of an axis stand, by the ticks' own words."""
    key = "y" if upright else "x"
    at = {e.text: float(e.get(key, "nan")) for e in svg.iter(f"{SVG}text")}
    return at[low], at[high]


@pytest.mark.parametrize("size", [WIDE, NARROW], ids=lambda size: size.name)
def test_a_curve_lies_where_the_numbers_say(size: Size) -> None:
    """Tracking error of the present setting by the law of cosines, read off the axes' figures."""
    svg = drawn(compared(), size, 61)[0]
    left, right = scale(svg, "80", "120", upright=False)
    zero, two = scale(svg, "0", "+2", upright=True)
    points = curves(svg)["now"]
    assert len(points) == 61
    for x, y in points:
        radius = 80 + 40 * (x - left) / (right - left)
        angle = math.asin((radius**2 + 239.0**2 - 222.0**2) / (2 * radius * 239.0))
        error = 2 * (y - zero) / (two - zero)
        # a tenth of a pixel is drawn, and the steepest curve falls by 0.1 degrees a millimetre
        assert error == pytest.approx(math.degrees(angle) - 22.5, abs=0.02)


def test_minutes_rise_as_radii_fall() -> None:
    """Along the time the outer edge comes first, at 0 min; the numbers are the same."""
    comparison = compared()
    by_radius = curves(drawn(comparison, WIDE, 31)[2])["stevenson"]
    by_time = curves(drawn(comparison, WIDE, 31, by_time=True)[2])["stevenson"]
    assert by_time[0][0] > by_time[-1][0]
    assert [y for _, y in by_time] == [y for _, y in by_radius]


def test_null_radii_bear_rings() -> None:
    """Rings of the first chart stand on the line of nothing, at the published null radii."""
    svg = drawn(compare(DECK, ["lofgren-a"]), WIDE, 31)[0]
    left, right = scale(svg, "80", "120", upright=False)
    zero, _ = scale(svg, "0", "+1.0", upright=True)
    rings = [ring for ring in svg.iter(f"{SVG}circle") if ring.get("class") == "ring"]
    radii = [80 + 40 * (float(r.get("cx", "0")) - left) / (right - left) for r in rings]
    assert radii == pytest.approx([66.0, 120.9], abs=0.1)  # common practice
    assert [float(ring.get("cy", "0")) for ring in rings] == pytest.approx([zero] * 2, abs=0.1)


@pytest.mark.parametrize("size", [WIDE, NARROW], ids=lambda size: size.name)
def test_no_words_collide_on_any_deck(size: Size) -> None:
    """100 random decks in both sizes: words apart, inside, and 10.5 pixels or more on a screen.

    The drawing across a phone is shown 328 pixels wide; the other one 512 or more.
    """
    chance = random.Random(4)
    tried = 0
    while tried < 50:
        deck = Deck(
            pivot_to_spindle_mm=chance.uniform(150, 400),
            inner_radius_mm=chance.uniform(45, 75),
            outer_radius_mm=chance.uniform(80, 150),
            null_radii_mm=(chance.uniform(50, 80), chance.uniform(90, 130)),
        )
        try:
            comparison = compared(deck, chance.uniform(-5, 25), chance.uniform(10, 28))
        except InputError:
            continue
        tried += 1
        for svg in drawn(comparison, size, 5, by_time=tried % 2 == 0):
            _, _, width, height = map(float, svg.get("viewBox", "").split())
            boxes = words(svg)
            for number, one in enumerate(boxes):
                assert one.left >= 0, one
                assert one.right <= width, one
                assert one.top >= -0.5, one
                assert one.bottom <= height + 0.5, one
                for other in boxes[number + 1 :]:
                    apart = one.right <= other.left or other.right <= one.left
                    above = one.bottom <= other.top + 0.01 or other.bottom <= one.top + 0.01
                    assert apart or above, (deck, one, other)
            shown = {"wide": 512.0, "narrow": 328.0}[size.name]
            assert float(svg.get("font-size", "0")) * shown / width >= 10.5


def test_curves_differ_without_colour() -> None:
    """No two curves share dashes and width; the present setting is widest and bears dots."""
    svg = drawn(compared(), WIDE, 31)[0]
    looks = {}
    for group in svg.iter(f"{SVG}g"):
        line = group.find(f"{SVG}polyline")
        if group.get("data-curve") and line is not None:
            dots = len(group.findall(f"{SVG}circle"))
            looks[group.get("data-curve")] = (
                float(line.get("stroke-width", "0")),
                line.get("stroke-dasharray"),
                dots,
            )
    assert len(set(looks.values())) == len(looks) == 6
    assert looks["now"][0] == max(width for width, _, _ in looks.values())
    assert looks["now"][2] == len(range(70, 150, 10))


def test_every_part_of_a_chart_is_drawn() -> None:
    """Logarithmic axis, grey area, text of a mark, a curve without a name; nothing obeyed."""
    chart = Chart(
        title="a < b",
        caption="",
        x=Axis(low=1.0, high=100.0, log=True, ticks=((1.0, "1"), (10.0, "10"), (100.0, "100"))),
        y=rounded_axis(0.0, 10.0),
        regions=(Region(x=(1.0, 100.0), low=(2.0, 2.0), high=(4.0, 4.0)),),
        curves=(
            Curve(x=(1.0, 10.0, 100.0), y=(0.0, 5.0, 10.0), name='"<script>"'),
            Curve(x=(1.0, 100.0), y=(1.0, 1.0)),
        ),
        marks=(Mark(x=10.0, y=5.0, text="bend", ring=True),),
    )
    svg = ET.fromstring(chart_svgs([chart], WIDE, "x")[0])
    first, middle, last = curves(svg)['"<script>"']
    assert middle == pytest.approx(((first[0] + last[0]) / 2, (first[1] + last[1]) / 2), abs=0.1)
    [area] = svg.iter(f"{SVG}polygon")
    assert len(area.get("points", "").split()) == 4
    assert {"bend", '"<script>"'} <= {box.text for box in words(svg)}
    assert svg.findtext(f"{SVG}title") == "a < b"


def test_what_is_drawn_is_in_words() -> None:
    """The description gives each curve's ends and reach, as the charts' numbers have them."""
    comparison = compared()
    chart = side_charts(comparison, side_axis(comparison, False, None), points=31)[2]
    now = chart.curves[-1]
    assert chart.x.ticks[0][1] == "60.325"
    said = f"now: {now.y[0]:.2f} at the left, {now.y[-1]:.2f} at the right, between "
    assert said + f"{min(now.y):.2f} and {max(now.y):.2f}." in in_words(chart)
    svg = ET.fromstring(chart_svgs([chart], WIDE, "x")[0])
    assert svg.get("role") == "img"
    ids = {element.get("id") for element in svg.iter() if element.get("id")}
    assert set(svg.get("aria-labelledby", "").split()) == ids


@pytest.mark.parametrize("span", np.geomspace(1e-3, 1e4, 29).tolist())
def test_axes_have_a_few_round_figures(span: float) -> None:
    """Three to seven ticks whose texts are their values, and all values inside."""
    for low in (0.0, -0.3 * span, 1.7 * span):
        axis = rounded_axis(low, low + span)
        assert axis.low <= low + 1e-9 * span
        assert axis.high >= low + span - 1e-9 * span
        assert 3 <= len(axis.ticks) <= 8
        for value, text in axis.ticks:
            assert float(text.replace("\N{EN DASH}", "-")) == pytest.approx(value, abs=1e-9 * span)
