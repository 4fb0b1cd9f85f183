"""Plain line drawings for the page: strokes of three weights, one accent, few words.

A picture's own unit is a two-hundredth of its width, y downwards; a `View` brings millimetres, with
y upwards as everywhere, into it. On a phone 360 px wide a unit is about 1.6 px.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from markupsafe import Markup, escape

from protractor.drawing.shapes import Anchor, Arc, Circle, Label, Line, Point, Shape, polar
from protractor.sheets.signs import SIGNS

WIDTH, HEIGHT = 200.0, 150.0
"""The box of every picture, at the most."""

ROOM = 4.0
"""Above and below what a picture shows; the rest of its box is left away."""

LETTER = 8.0
"""Size of the letters: 13 px on a phone 360 px wide."""

Weight = Literal["fine", "plain", "heavy"]

WIDTHS: dict[Weight, float] = {"fine": 0.5, "plain": 1.0, "heavy": 2.0}

SAGITTA = 0.05
"""How far the straight pieces of an arc may stray from it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How a stroke looks.

    `over` fills it with the paper, so that it hides what was drawn before; `solid` fills it with
    ink. The accent never stands alone: what bears it has an arrow, a dot or a word too.
    """

    weight: Weight = "plain"
    accent: bool = False
    dashed: bool = False
    over: bool = False
    solid: bool = False


FINE, PLAIN, HEAVY = Look(weight="fine"), Look(), Look(weight="heavy")
MOVES = Look(weight="heavy", accent=True)
SEEN = Look(accent=True, dashed=True)
HIDDEN = Look(weight="fine", dashed=True)
BODY = Look(over=True)


@dataclass(frozen=True, slots=True)
class Path:
    """A stroke through points."""

    points: tuple[Point, ...]
    look: Look = PLAIN
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Disc:
    """A circle."""

    centre: Point
    radius: float
    look: Look = PLAIN


@dataclass(frozen=True, slots=True)
class Word:
    """A short label; `at` is on its baseline at the anchor."""

    text: str
    at: Point
    anchor: Anchor = "middle"
    accent: bool = False


Mark = Path | Disc | Word


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Where millimetres come to lie: `of` at `place`, `scale` units for one, turned about it."""

    scale: float
    place: Point
    of: Point = (0.0, 0.0)
    turn_rad: float = 0.0

    def __call__(self, point: Point) -> Point:
        """The place of a point [mm] in the picture."""
        x, y = point[0] - self.of[0], point[1] - self.of[1]
        cos, sin = math.cos(self.turn_rad), math.sin(self.turn_rad)
        return (
            self.place[0] + self.scale * (x * cos - y * sin),
            self.place[1] - self.scale * (x * sin + y * cos),
        )

    def path(self, points: Iterable[Point], look: Look = PLAIN, *, closed: bool = False) -> Path:
        """A stroke through points [mm]."""
        return Path(tuple(map(self, points)), look, closed)

    def disc(self, centre: Point, radius_mm: float, look: Look = PLAIN) -> Disc:
        """A circle [mm]."""
        return Disc(self(centre), radius_mm * self.scale, look)

    def arc(self, arc: Arc, look: Look = PLAIN) -> Path:
        """A stroke along a circle [mm]."""
        return self.path(arc.points(SAGITTA / self.scale), look)

    def shapes(self, shapes: Iterable[Shape], look: Look = FINE) -> list[Mark]:
        """The strokes of a sheet in one look; its labels are left out, being too small here."""
        marks: list[Mark] = []
        for shape in shapes:
            if isinstance(shape, Line):
                marks.append(self.path((shape.start, shape.end), look))
            elif isinstance(shape, Arc):
                marks.append(self.arc(shape, look))
            elif isinstance(shape, Circle):
                marks.append(self.disc(shape.centre, shape.radius_mm, look))
            else:
                assert isinstance(shape, Label)
        return marks


@dataclass(slots=True)
class Picture:
    """A drawing: what it shows in words, and its marks in the order in which they are drawn."""

    title: str
    marks: list[Mark] = field(default_factory=list)

    def add(self, *marks: Mark | Iterable[Mark]) -> None:
        """Draws marks over those that are there."""
        for mark in marks:
            self.marks += [mark] if isinstance(mark, (Path, Disc, Word)) else list(mark)

    @property
    def words(self) -> list[Word]:
        """The labels."""
        return [mark for mark in self.marks if isinstance(mark, Word)]

    @property
    def span(self) -> tuple[float, float]:
        """From where to where it reaches downwards, with a little room."""
        spans = list(map(_span, self.marks))
        top, low = min(span[0] for span in spans), max(span[1] for span in spans)
        return max(0.0, math.floor(top - ROOM)), min(HEIGHT, math.ceil(low + ROOM))

    def svg(self) -> Markup:
        """The drawing as an element of a page, whose ink it takes."""
        body = "".join(map(_element, self.marks))
        top, low = self.span
        return Markup(
            f'<svg class="drawing" viewBox="0 {top:.0f} {WIDTH:g} {low - top:.0f}" role="img" '
            'fill="none" stroke="currentColor" stroke-linecap="round" stroke-linejoin="round">'
            f"<title>{escape(self.title)}</title>{body}</svg>"
        )


def arrow(start: Point, end: Point, look: Look = MOVES, head: float = 6.0) -> list[Mark]:
    """An arrow from a point of the picture to another: what moves goes this way."""
    back = math.atan2(start[1] - end[1], start[0] - end[0])
    barbs = [polar(end, head, back + spread) for spread in (0.45, -0.45)]
    stem = Path((start, polar(end, 0.8 * head, back)), look)
    return [stem, Path((end, *barbs), replace(look, solid=True, dashed=False), closed=True)]


def turning(centre: Point, radius: float, start_deg: float, end_deg: float) -> list[Mark]:
    """An arrow along a circle; angles count clockwise as the picture shows it, 0 to the right."""
    count = max(3, int(abs(end_deg - start_deg) / 6))
    way = math.copysign(1.0, end_deg - start_deg)
    stop = end_deg - way * math.degrees(4.0 / radius)
    angles = [start_deg + (stop - start_deg) * i / count for i in range(count + 1)]
    points = [polar(centre, radius, math.radians(angle)) for angle in angles]
    tip = polar(centre, radius, math.radians(end_deg))
    [_, head] = arrow(points[-1], tip)
    return [Path(tuple(points), MOVES), head]


def eye(at: Point, look_to: Point) -> list[Mark]:
    """An eye, and its line of sight to a point."""
    x, y = at
    away = math.atan2(look_to[1] - y, look_to[0] - x)
    upper = [(x + 7.0 * math.cos(t), y - 4.6 * math.sin(t)) for t in _HALF_TURN]
    lower = [(a, 2 * y - b) for a, b in reversed(upper)]
    return [
        Path((polar(at, 10.0, away), look_to), SEEN),
        Path((*upper, *lower), BODY, closed=True),
        Disc(at, 2.4, Look(solid=True)),
    ]


_HALF_TURN = tuple(math.pi * i / 12 for i in range(13))


def sign_svg(name: str) -> Markup:
    """A small sign of the sheets beside words that say the same; empty without a name."""
    if not name:
        return Markup("")
    strokes = View(scale=10.0, place=(0.0, 0.0)).shapes(SIGNS[name]((0.0, 0.0)), PLAIN)
    return Markup(
        '<svg class="drawing sign" viewBox="-36 -36 72 72" aria-hidden="true" fill="none" '
        'stroke="currentColor" stroke-width="5" stroke-linecap="round" stroke-linejoin="round">'
        f"{''.join(map(_element, strokes))}</svg>"
    )


def box(corner: Point, width: float, height: float) -> Sequence[Point]:
    """The corners of a rectangle from its upper left one."""
    x, y = corner
    return (x, y), (x + width, y), (x + width, y + height), (x, y + height)


def _span(mark: Mark) -> tuple[float, float]:
    """From where to where a mark reaches downwards."""
    if isinstance(mark, Word):
        return mark.at[1] - LETTER, mark.at[1]
    if isinstance(mark, Disc):
        return mark.centre[1] - mark.radius, mark.centre[1] + mark.radius
    heights = [y for _, y in mark.points]
    return min(heights), max(heights)


def _element(mark: Mark) -> str:
    if isinstance(mark, Word):
        accent = " accent" if mark.accent else ""
        x, y = mark.at
        return (
            f'<text class="word{accent}" x="{x:.2f}" y="{y:.2f}" font-size="{LETTER:g}" '
            f'text-anchor="{mark.anchor}">{escape(mark.text)}</text>'
        )
    look = mark.look
    kinds = [name for name in ("accent", "over", "solid") if getattr(look, name)]
    said = f' class="{" ".join(kinds)}"' if kinds else ""
    said += f' stroke-width="{WIDTHS[look.weight]:g}"' if look.weight != "plain" else ""
    said += ' stroke-dasharray="3 2.5"' if look.dashed else ""
    if isinstance(mark, Disc):
        x, y = mark.centre
        return f'<circle{said} cx="{x:.2f}" cy="{y:.2f}" r="{mark.radius:.2f}"/>'
    steps = " ".join(f"{x:.2f},{y:.2f}" for x, y in mark.points)
    return f'<{"polygon" if mark.closed else "polyline"}{said} points="{steps}"/>'
