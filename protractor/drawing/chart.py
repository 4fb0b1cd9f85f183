"""A chart in plain numbers: axes, curves, regions and marks. Knows no plotting library.

A room that computes makes charts, and the room of curves draws them.
"""

from __future__ import annotations

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

    `dashes` are lengths on and off in line widths.
    """

    x: Floats
    y: Floats
    name: str = ""
    dashes: Floats = ()
    width_mm: float = BOLD
    accent: bool = False


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
