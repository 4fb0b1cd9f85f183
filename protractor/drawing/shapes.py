"""What a drawing is made of: strokes, arcs, circles and labels, in mm with y upwards.

A circle stays a circle down to the last format. Line widths are those of ISO 128.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar, Literal

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]
Layer = Literal["engrave", "cut", "inner cut", "reference"]

THINNEST, FINE, PLAIN, BOLD, HEAVY = 0.13, 0.18, 0.25, 0.35, 0.5
"""Line widths [mm], ISO 128."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """How a line looks: width [mm], dashes as lengths on and off [mm], and the layer it is on."""

    width_mm: float = PLAIN
    dashes_mm: tuple[float, ...] = ()
    layer: Layer = "engrave"


@dataclass(frozen=True, slots=True)
class Line:
    """A straight stroke from point to point [mm]."""

    start: Point
    end: Point
    stroke: Stroke


@dataclass(frozen=True, slots=True)
class Arc:
    """A stroke along a circle, counter-clockwise from `start_rad` to `end_rad`."""

    centre: Point
    radius_mm: float
    start_rad: float
    end_rad: float
    stroke: Stroke

    def at(self, angle_rad: float) -> Point:
        """The point of the circle at an angle [rad]."""
        return polar(self.centre, self.radius_mm, angle_rad)

    def points(self, tolerance_mm: float) -> list[Point]:
        """Points from its start to its end whose chords stray at most `tolerance_mm` from it."""
        # a chord strays from its arc by r (1 - cos(step / 2))
        step = 2 * math.acos(max(0.0, 1 - tolerance_mm / self.radius_mm))
        sweep = self.end_rad - self.start_rad
        count = max(2, math.ceil(sweep / step))
        return [self.at(self.start_rad + sweep * i / count) for i in range(count + 1)]


@dataclass(frozen=True, slots=True)
class Circle:
    """A whole circle."""

    centre: Point
    radius_mm: float
    stroke: Stroke

    def arc(self) -> Arc:
        """The same stroke as an arc all the way round."""
        return Arc(self.centre, self.radius_mm, 0.0, 2 * math.pi, self.stroke)


@dataclass(frozen=True, slots=True)
class Label:
    """One line of text; `at` is on its baseline at the `anchor`, turned by `angle_rad` about it.

    A `mirrored` label runs from right to left with its letters reversed: to be read from behind.
    """

    text: str
    at: Point
    size_pt: float = 8.0
    anchor: Anchor = "start"
    bold: bool = False
    angle_rad: float = 0.0
    layer: Layer = "engrave"
    mirrored: bool = False


Shape = Line | Arc | Circle | Label

SHARE_BEFORE = {"start": 0.0, "middle": 0.5, "end": 1.0}
"""How much of a label's width lies before its point, by anchor."""


def polar(centre: Point, distance_mm: float, angle_rad: float) -> Point:
    """The point at a distance [mm] and an angle from the x axis [rad] of a centre."""
    return (
        centre[0] + distance_mm * math.cos(angle_rad),
        centre[1] + distance_mm * math.sin(angle_rad),
    )


def bearing(origin: Point, point: Point) -> float:
    """Direction from a point to another, from the x axis [rad]."""
    return math.atan2(point[1] - origin[1], point[0] - origin[0])


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One page of a sheet: its paper's size [mm], its shapes, and where the measured things are.

    The origin is the lower left corner of the paper. `features` maps the name of a thing that a
    reader may measure to its point, pair of points or None when it is not on the page [mm].
    """

    title: str
    subject: str
    paper: str
    width_mm: float
    height_mm: float
    shapes: tuple[Shape, ...]
    features: dict[str, list[float] | list[list[float]] | None]

    preview: ClassVar[Callable[[Page], str] | None] = None
    """Draws a page for a notebook; the sheets set it, since a drawing knows no format."""

    def _repr_svg_(self) -> str | None:
        """The page as a notebook shows it; None, which is plain text there, without a preview."""
        draw = Page.preview
        return draw(self) if draw else None

    @property
    def anchor(self) -> Point:
        """The point that a printer's correction leaves in place: the spindle, else the centre."""
        spindle = self.features.get("spindle")
        if spindle and not isinstance(spindle[0], list) and not isinstance(spindle[1], list):
            return spindle[0], spindle[1]
        return self.width_mm / 2, self.height_mm / 2
