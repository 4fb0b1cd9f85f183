"""A chart in plain numbers: axes, curves, regions and marks. Knows no plotting library.

A room that computes makes charts; `curves/` draws them on paper, `output/chart_svg.py` for a
browser.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from protractor.drawing.shapes import BOLD

Floats = tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """An axis from `low` to `high`, with places and texts of its ticks."""

    label: str = ""
    low: float
    high: float
    log: bool = False
    ticks: tuple[tuple[float, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A line through points. Its `name` is written at its right end, black unless `accent`.

    `dashes` are lengths on and off in line widths; `dots` are points of the line that bear one.
    """

    x: Floats
    y: Floats
    name: str = ""
    dashes: Floats = ()
    width_mm: float = BOLD
    accent: bool = False
    dots: tuple[tuple[float, float], ...] = ()

    def end(self, left: bool) -> tuple[float, float]:
        """The point at its left or its right end, whichever way it runs."""
        at = 0 if (self.x[0] <= self.x[-1]) == left else -1
        return self.x[at], self.y[at]


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """A grey area between two curves over the same `x`."""

    x: Floats
    low: Floats
    high: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A ring at a point, where `ring`, with a text above it and to its right."""

    x: float
    y: float
    text: str = ""
    ring: bool = False
    accent: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """One panel: its title, a caption of a sentence or two, and what is drawn on its axes."""

    title: str
    caption: str
    x: Axis
    y: Axis
    regions: tuple[Region, ...] = ()
    curves: tuple[Curve, ...] = ()
    marks: tuple[Mark, ...] = ()


def rounded_axis(low: float, high: float, *, label: str = "", most: int = 6) -> Axis:
    """A linear axis about two values, to the next half step, with at most `most` steps.

    >>> axis = rounded_axis(-1.1, 1.8)
    >>> axis.low, axis.high, [text for _, text in axis.ticks]
    (-1.25, 2.0, ['–1.0', '–0.5', '0', '+0.5', '+1.0', '+1.5', '+2.0'])
    >>> [text for _, text in rounded_axis(0.0, 0.65).ticks]
    ['0', '0.2', '0.4', '0.6']
    """
    step, digits = rounded_step(high - low or abs(high) or 1.0, most)
    half = step / 2
    first, last = math.floor(low / half + 1e-9), math.ceil(high / half - 1e-9)
    last = max(last, first + 2)
    sign = "+" if first < 0 else ""
    ticks = tuple(
        (number * step, tick_text(number * step, digits, sign))
        for number in range(math.ceil(first / 2), last // 2 + 1)
    )
    return Axis(label=label, low=first * half, high=last * half, ticks=ticks)


def rounded_step(span: float, most: int) -> tuple[float, int]:
    """The least step of 1, 2 or 5 and zeros that goes into a span at most `most` times.

    Returns the step, and how many decimals its figures have.

    >>> rounded_step(85.7, 5), rounded_step(0.65, 4)
    ((20.0, 0), (0.2, 1))
    """
    power = math.floor(math.log10(span / most))
    for digit, up in ((1, 0), (2, 0), (5, 0), (1, 1)):
        step = float(f"{digit}e{power + up}")
        if span / step <= most + 1e-9:
            break
    return step, max(0, -(power + up))


def tick_text(value: float, digits: int, sign: str = "") -> str:
    """A figure of an axis; a minus as wide as a plus, and none before nothing."""
    text = f"{round(value, digits) + 0.0:{sign}.{digits}f}".replace("-", "\N{EN DASH}")
    return "0" if not value else text


def spread_labels(places: list[float], gap: float, low: float, high: float) -> list[float]:
    """Places moved as little as need be to stand `gap` apart between two bounds, order kept."""
    order = sorted(range(len(places)), key=lambda i: places[i])
    # least squares under order: blocks of equal spacing, merged while they overlap
    blocks: list[list[float]] = []  # sum of (place - its offset), count
    for rank, index in enumerate(order):
        blocks.append([places[index] - rank * gap, 1.0])
        while len(blocks) > 1 and blocks[-2][0] / blocks[-2][1] >= blocks[-1][0] / blocks[-1][1]:
            total, count = blocks.pop()
            blocks[-1][0] += total
            blocks[-1][1] += count
    moved = list(places)
    rank = 0
    most = high - gap * (len(places) - 1)
    for total, count in blocks:
        base = min(max(total / count, low), max(most, low))
        for _ in range(int(count)):
            moved[order[rank]] = base + rank * gap
            rank += 1
    return moved


def names_left(charts: Sequence[Chart], height: float, gap: float) -> bool:
    """Whether the names of the curves are less crowded at the left ends than at the right.

    The charts share one edge for their names; each is `height` high, names stand `gap` apart.
    """

    def moved(left: bool) -> float:
        total = 0.0
        for chart in charts:
            named = [curve for curve in chart.curves if curve.name and curve.x]
            low = min((min(curve.y) for curve in named), default=0.0)
            high = max((max(curve.y) for curve in named), default=0.0)
            ends = [height * (curve.end(left)[1] - low) / (high - low or 1.0) for curve in named]
            spread = spread_labels(ends, gap, 0.0, height)
            total += sum(abs(one - other) for one, other in zip(ends, spread, strict=True))
        return total

    return moved(True) < moved(False)
