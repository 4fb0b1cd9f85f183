"""Charts to SVG inside a page in the browser: plain numbers in, elements out, no plotting library.

A drawing takes the page's own ink (`currentColor`) and typeface. Curves differ by dashes and bear
their names at one end; what bears the accent is wider and dotted besides. One user unit is one
pixel at the width that a drawing is made for.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from protractor.drawing.chart import (
    Axis,
    Chart,
    Curve,
    Mark,
    Region,
    names_left,
    spread_labels,
)
from protractor.drawing.shapes import FINE, HEAVY, PLAIN
from protractor.drawing.type import MM_PER_POINT, printable, width_mm, wrap

PX_PER_MM = 5.0
"""Line widths on a screen: those of paper, a quarter wider than a screen's millimetre."""

DOT_PX, RING_PX = 3.6, 4.0
TICK_PX, AIR_PX, BESIDE_PX = 5.0, 5.0, 4.0
LEADER_PX = 14.0
WIDER = 1.04
"""Room for a text, as a share of its width: a browser sets letters a little wider."""

GRID, AREA = 0.2, 0.14
"""Strength of the grid and of a grey area against the ink."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """The width that a drawing is made for, height of its panel, size of its text, and the piece
    of line beside a name [px]."""

    name: str
    width: float
    panel: float
    text: float
    sample: float

    @property
    def line(self) -> float:
        """From one line of text to the next [px]."""
        return 1.3 * self.text

    def room(self, text: str, bold: bool = False) -> float:
        """Width of a text [px]."""
        return WIDER * width_mm(text, self.text, bold) / MM_PER_POINT


WIDE = Size(name="wide", width=680.0, panel=152.0, text=14.0, sample=36.0)
NARROW = Size(name="narrow", width=340.0, panel=190.0, text=12.0, sample=24.0)
"""Beside a form or across a tablet; and across a phone."""


def chart_svgs(charts: Sequence[Chart], size: Size, key: str) -> list[str]:
    """Charts that stand above each other, each as an `<svg>` element.

    Args:
        charts: they share the edge where their curves are named, and the room beside.
        size: what they are made for.
        key: begins the ids of the elements; unlike that of any other drawing on the page.

    Returns:
        an element a chart, with its title and its numbers in words for those who cannot see it.
    """
    at_left = names_left(charts, size.panel, size.line)
    named = [curve for chart in charts for curve in filter(_named, chart.curves)]
    names = max((size.room(printable(c.name), stands_out(c)) for c in named), default=0.0)
    beside = LEADER_PX + size.sample + BESIDE_PX + names if named else 0.0
    figures = [size.room(text) for chart in charts for _, text in chart.y.ticks]
    ticks = TICK_PX + AIR_PX + max(figures, default=0.0)
    half = max(size.room(chart.x.ticks[at][1]) / 2 for chart in charts for at in (0, -1))
    left, right = (beside, ticks) if at_left else (ticks, beside)
    frame = _Frame(
        size=size, left=max(left, half), right=size.width - max(right, half), at_left=at_left
    )
    return [_svg(chart, frame, f"{key}-{n}") for n, chart in enumerate(charts)]


def stands_out(curve: Curve) -> bool:
    """Whether a curve's name is bold."""
    return curve.accent or curve.width_mm >= HEAVY


def _named(curve: Curve) -> bool:
    return bool(curve.name and curve.x)


def in_words(chart: Chart) -> str:
    """What a chart shows, in numbers: each curve's ends and how far it reaches."""
    sentences = [f"{chart.x.label}, from {chart.x.ticks[0][1]} to {chart.x.ticks[-1][1]}."]
    for curve in filter(_named, chart.curves):
        (_, first), (_, last) = curve.end(True), curve.end(False)
        sentences.append(
            f"{curve.name}: {first:.2f} at the left, {last:.2f} at the right, "
            f"between {min(curve.y):.2f} and {max(curve.y):.2f}."
        )
    return " ".join(sentences)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """Where the panel lies in a drawing [px], and whether curves are named at its left."""

    size: Size
    left: float
    right: float
    at_left: bool

    @property
    def top(self) -> float:
        return self.size.text / 2 + 2.0

    @property
    def bottom(self) -> float:
        return self.top + self.size.panel

    def xs(self, axis: Axis, values: Sequence[float]) -> list[float]:
        """Where values stand across."""
        return _placed(axis, values, self.left, self.right)

    def ys(self, axis: Axis, values: Sequence[float]) -> list[float]:
        """Where values stand, downwards."""
        return _placed(axis, values, self.bottom, self.top)

    def at(self, chart: Chart, x: float, y: float) -> tuple[float, float]:
        """Where a point of a chart stands."""
        return self.xs(chart.x, [x])[0], self.ys(chart.y, [y])[0]


def _placed(axis: Axis, values: Sequence[float], start: float, end: float) -> list[float]:
    """Values of an axis on a line from its low end to its high one."""
    low, high = axis.low, axis.high
    if axis.log:
        low, high, values = math.log(low), math.log(high), [math.log(value) for value in values]
    scale = (end - start) / (high - low)
    return [start + scale * (value - low) for value in values]


def _svg(chart: Chart, frame: _Frame, key: str) -> str:
    size = frame.size
    labels = _wrapped(chart.x.label, size)
    height = frame.bottom + TICK_PX + size.line * (1 + len(labels)) + 0.4 * size.text
    body = [*(_region(region, chart, frame) for region in chart.regions)]
    body += [*_grid(chart, frame), *_labels(labels, frame)]
    for curve in sorted(chart.curves, key=stands_out):
        body.append(_curve(curve, chart, frame))
    body += [_mark(mark, chart, frame) for mark in chart.marks]
    body += _names(chart, frame)
    return "".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" class="drawing chart {size.name}" role="img" '
            f'viewBox="0 0 {size.width:g} {height:.1f}" font-size="{size.text:g}" '
            f'aria-labelledby="{key}-t {key}-d" fill="none" stroke="none">',
            f'<title id="{key}-t">{escape(chart.title)}</title>',
            f'<desc id="{key}-d">{escape(in_words(chart))}</desc>',
            *body,
            "</svg>",
        ]
    )


def _wrapped(text: str, size: Size) -> list[str]:
    """A text in lines as wide as the drawing."""
    return wrap(printable(text), size.width / WIDER * MM_PER_POINT, size.text) if text else []


def _line(points: Sequence[tuple[float, float]], wide_mm: float, more: str = "") -> str:
    places = " ".join([f"{x:.1f},{y:.1f}" for x, y in points])
    width = f"{PX_PER_MM * wide_mm:.2f}"
    return f'<polyline points="{places}" stroke="currentColor" stroke-width="{width}"{more}/>'


def _text(x: float, y: float, text: str, anchor: str = "", more: str = "") -> str:
    """A text whose middle height is at y."""
    placed = f' text-anchor="{anchor}"' if anchor else ""
    return f'<text x="{x:.1f}" y="{y:.1f}" dy="0.35em"{placed}{more}>{escape(text)}</text>'


def _grid(chart: Chart, frame: _Frame) -> Iterator[str]:
    """Lines at the ticks, their figures, the frame's two edges and the line of nothing."""
    size = frame.size
    left, right, top, bottom = frame.left, frame.right, frame.top, frame.bottom
    faint = f' stroke-opacity="{GRID:g}"'
    beside = right if frame.at_left else left
    way, anchor = (1.0, "start") if frame.at_left else (-1.0, "end")
    for value, text in chart.y.ticks:
        (y,) = frame.ys(chart.y, [value])
        yield _line([(left, y), (right, y)], FINE, faint)
        yield _line([(beside, y), (beside + way * TICK_PX, y)], FINE)
        yield _text(beside + way * (TICK_PX + AIR_PX), y, text, anchor)
    for value, _ in chart.x.ticks:
        (x,) = frame.xs(chart.x, [value])
        yield _line([(x, top), (x, bottom)], FINE, faint)
        yield _line([(x, bottom), (x, bottom + TICK_PX)], FINE)
    for x, text in _apart(chart.x, frame):
        yield _text(x, bottom + TICK_PX + size.line / 2, text, "middle")
    yield _line([(beside, top), (beside, bottom)], FINE)
    yield _line([(left, bottom), (right, bottom)], FINE)
    if chart.y.low < 0 < chart.y.high:
        (y,) = frame.ys(chart.y, [0.0])
        yield _line([(left, y), (right, y)], FINE)


def _apart(axis: Axis, frame: _Frame) -> list[tuple[float, str]]:
    """The figures of the lower axis that do not run into each other; those of its ends stay."""
    ticks = [*axis.ticks[:1], *axis.ticks[-1:], *axis.ticks[1:-1]]
    places = frame.xs(axis, [value for value, _ in ticks])
    kept: list[tuple[float, str, float]] = []
    for x, (_, text) in zip(places, ticks, strict=True):
        half = (frame.size.room(text) + AIR_PX) / 2
        if all(abs(x - other) >= half + beside for other, _, beside in kept):
            kept.append((x, text, half))
    return [(x, text) for x, text, _ in kept]


def _labels(lines: Sequence[str], frame: _Frame) -> Iterator[str]:
    """The label of the axis below its figures."""
    size = frame.size
    middle = (frame.left + frame.right) / 2
    widest = max(map(size.room, lines), default=0.0)
    middle = min(max(middle, widest / 2), size.width - widest / 2)
    for number, line in enumerate(lines):
        y = frame.bottom + TICK_PX + size.line * (1.5 + number) + 0.15 * size.text
        yield _text(middle, y, line, "middle")


def _dashes(curve: Curve) -> str:
    """The dashes of a curve in pixels, which count in its line widths."""
    if not curve.dashes:
        return ""
    width = PX_PER_MM * curve.width_mm
    return f' stroke-dasharray="{" ".join(f"{width * each:.1f}" for each in curve.dashes)}"'


def _inked(accent: bool, body: str, more: str = "") -> str:
    """What belongs together, in the accent or in the ink."""
    colour = ' class="accent"' if accent else ""
    return f"<g{colour}{more}>{body}</g>"


def _region(region: Region, chart: Chart, frame: _Frame) -> str:
    """A grey area, which tints what lies below it."""
    x = frame.xs(chart.x, region.x)
    edge = [*zip(x, frame.ys(chart.y, region.low), strict=True)]
    edge += [*zip(x, frame.ys(chart.y, region.high), strict=True)][::-1]
    places = " ".join([f"{x:.1f},{y:.1f}" for x, y in edge])
    return f'<polygon points="{places}" fill="currentColor" fill-opacity="{AREA:g}"/>'


def _curve(curve: Curve, chart: Chart, frame: _Frame) -> str:
    points = zip(frame.xs(chart.x, curve.x), frame.ys(chart.y, curve.y), strict=True)
    body = _line([*points], curve.width_mm, f'{_dashes(curve)} stroke-linejoin="round"')
    for x, y in curve.dots:
        body += _dot(*frame.at(chart, x, y))
    return _inked(curve.accent, body, f" data-curve={quoteattr(curve.name)}")


def _dot(x: float, y: float) -> str:
    return f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{DOT_PX:g}" fill="currentColor"/>'


def _mark(mark: Mark, chart: Chart, frame: _Frame) -> str:
    """A ring on a curve, and a text above and to its right."""
    x, y = frame.at(chart, mark.x, mark.y)
    ring = (
        f'<circle class="ring" cx="{x:.2f}" cy="{y:.2f}" r="{RING_PX:g}" '
        f'stroke="currentColor" stroke-width="{PX_PER_MM * PLAIN:g}"/>'
    )
    body = ring if mark.ring else ""
    if mark.text:
        body += _text(x + RING_PX, y - 0.8 * frame.size.text, printable(mark.text))
    return _inked(mark.accent, body)


def _names(chart: Chart, frame: _Frame) -> Iterator[str]:
    """The curves' names at one edge, kept apart, each with a fine line and a piece of its curve."""
    size = frame.size
    named = [*filter(_named, chart.curves)]
    ends = frame.ys(chart.y, [curve.end(frame.at_left)[1] for curve in named])
    places = spread_labels(ends, size.line, frame.top, frame.bottom)
    way, edge = (-1.0, frame.left) if frame.at_left else (1.0, frame.right)
    for curve, end, y in zip(named, ends, places, strict=True):
        start, stop = edge + way * LEADER_PX, edge + way * (LEADER_PX + size.sample)
        yield _line([(edge, end), (edge + way * 3.0, end), (start, y)], FINE, ' class="leader"')
        body = _line([(start, y), (stop, y)], curve.width_mm, _dashes(curve))
        body += _dot((start + stop) / 2, y) if curve.dots else ""
        bold = ' font-weight="700"' if stands_out(curve) else ""
        anchor = "end" if frame.at_left else ""
        body += _text(stop + way * BESIDE_PX, y, printable(curve.name), anchor, bold)
        yield _inked(curve.accent, body)
