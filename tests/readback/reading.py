"""Reads a sheet's PDF with libraries that did not write it, and says what is wrong with it.

Everything is found by its shape on the page, not by what the writer says of it: the hole by its
diameter, a null point by the gap that four lines leave free, the foot of a fan by its dot, the arc
by its length, the overhang's marks by their circles round the pivot, the bars by their ticks.
"""

from __future__ import annotations

import io
import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
import pdfplumber
import pikepdf

MM = 25.4 / 72
LENGTH_SLACK_MM, ANGLE_SLACK_DEG = 0.002, 0.001
GAP_MM, FOOT_MM = 1.8, 18.0
"""A null's gap from end to end, and the way from a null to the foot of its fan [mm]."""


@dataclass(frozen=True)
class Stroke:
    """One stroke as read: points along it [mm], whether it is curved, and its width [mm]."""

    points: np.ndarray
    curved: bool
    width: float = 0.0

    @property
    def length(self) -> float:
        """Distance of the two ends [mm]."""
        return float(np.linalg.norm(self.points[-1] - self.points[0]))


def _bezier(p0: Any, p1: Any, p2: Any, p3: Any) -> np.ndarray:
    t = np.linspace(0, 1, 9)[:, None]
    p0, p1, p2, p3 = (np.asarray(p, float) for p in (p0, p1, p2, p3))
    return (1 - t) ** 3 * p0 + 3 * t * (1 - t) ** 2 * p1 + 3 * t**2 * (1 - t) * p2 + t**3 * p3


@lru_cache(maxsize=4)
def read_strokes(data: bytes) -> tuple[list[Stroke], tuple[float, float]]:
    """Strokes in mm from the lower left corner, y upwards, and the page's size in mm."""
    with pdfplumber.open(io.BytesIO(data)) as document:
        page = document.pages[0]
        height = float(page.height)
        strokes = []
        for thing in [*page.lines, *page.curves]:
            points: list[np.ndarray] = []
            for verb, *where in thing["path"]:
                at = [np.array([x, height - y]) * MM for x, y in where]
                if verb == "c":
                    points.extend(_bezier(points[-1], *at))
                elif verb in ("m", "l"):
                    points.extend(at)
            curved = thing["object_type"] == "curve"
            width = float(thing["linewidth"]) * MM
            strokes.append(Stroke(points=np.array(points), curved=curved, width=width))
        return strokes, (float(page.width) * MM, height * MM)


def circle_through(points: np.ndarray) -> tuple[np.ndarray, float, float]:
    """Least-squares circle: centre, radius, and the greatest distance of a point from it [mm]."""
    middle = points.mean(axis=0)
    q = points - middle
    solution, *_ = np.linalg.lstsq(
        np.column_stack([2 * q, np.ones(len(q))]), (q**2).sum(axis=1), rcond=None
    )
    centre = solution[:2]
    radius = math.sqrt(solution[2] + centre @ centre)
    stray = np.abs(np.linalg.norm(q - centre, axis=1) - radius).max()
    return centre + middle, radius, float(stray)


@dataclass(frozen=True)
class Found:
    """What stands on a sheet, found by its shape [mm]."""

    spindle: np.ndarray
    nulls: list[np.ndarray]
    feet: list[np.ndarray]
    arc_centre: np.ndarray
    arc_radius: float
    arc_ends: np.ndarray
    x_bar: np.ndarray
    y_bar: np.ndarray
    card: np.ndarray | None
    lines: list[np.ndarray]
    marks: list[np.ndarray]
    """Of the lines those that are followed or counted: no cut line, no end mark of a bar."""
    ladder: np.ndarray
    """How much further than the arc the overhang's marks lie from the pivot, sorted."""


def _bar(lines: list[np.ndarray], axis: int) -> np.ndarray:
    """Ends of the longest line along an axis that has mm ticks: its two long end marks."""
    along = [
        line
        for line in lines
        if abs(line[1] - line[0])[1 - axis] < 1e-6 and abs(line[1] - line[0])[axis] > 100
    ]
    best = None
    for line in along:
        marks = [
            mark
            for mark in lines
            if abs(mark[1] - mark[0])[axis] < 1e-6
            and abs(abs(mark[1] - mark[0])[1 - axis] - 6.4) < 0.05
            and abs((mark[0] + mark[1])[1 - axis] / 2 - line[0][1 - axis]) < 0.05
        ]
        if len(marks) == 2:
            middles = sorted(((m[0] + m[1]) / 2).tolist() for m in marks)
            best = np.array(sorted(middles, key=lambda m: m[axis]))
    assert best is not None, f"no bar along axis {axis}"
    return best


def gaps(lines: list[np.ndarray]) -> list[np.ndarray]:
    """The points where two pairs of lines leave a gap of `GAP_MM`: the null points."""
    ends = [(end, other) for a, b in lines for end, other in ((a, b), (b, a))]
    ends = [(end, other) for end, other in ends if np.linalg.norm(end - other) > 3]
    places = np.array([end for end, _ in ends])
    middles = []
    for number, (end, other) in enumerate(ends):
        away = (end - other) / np.linalg.norm(end - other)
        across = np.linalg.norm(places - (end + GAP_MM * away), axis=1)
        for near in np.nonzero(across < 0.003)[0]:
            facing = ends[near][0] - ends[near][1]
            square = abs(np.cross(np.append(facing, 0), np.append(away, 0))[2])
            if near > number and square < 1e-3 * np.linalg.norm(facing):
                middles.append((end + ends[near][0]) / 2)
    found: list[np.ndarray] = []
    for number, one in enumerate(middles):
        twin = any(np.linalg.norm(one - other) < 0.003 for other in middles[number + 1 :])
        if twin and not any(np.linalg.norm(one - other) < 1 for other in found):
            found.append(one)
    return found


def arc_of(strokes: list[Stroke]) -> tuple[np.ndarray, float, np.ndarray]:
    """Centre and radius of the stylus arc, and its two ends: the long pieces of one circle [mm]."""
    pieces = [s.points for s in strokes if s.curved and s.length > 3]
    rounds = [circle_through(points) for points in pieces]
    longest = max(range(len(pieces)), key=lambda at: np.linalg.norm(pieces[at][-1] - pieces[at][0]))
    centre, radius, _ = rounds[longest]
    same = [
        points
        for points in pieces
        if np.abs(np.linalg.norm(points - centre, axis=1) - radius).max() < 0.1
    ]
    whole = np.concatenate(same)
    centre, radius, stray = circle_through(whole)
    assert stray < LENGTH_SLACK_MM, "the arc is no circle"
    angles = np.arctan2(*(whole - centre).T[::-1]) % (2 * math.pi)
    return centre, radius, whole[[angles.argmin(), angles.argmax()]]


@lru_cache(maxsize=4)
def find(data: bytes) -> Found:
    """What stands on the first page of a sheet."""
    strokes, _ = read_strokes(data)
    lines = [s.points for s in strokes if not s.curved]
    curves = [s for s in strokes if s.curved]
    circles = [circle_through(s.points) for s in curves]
    holes = [c for c in circles if abs(c[1] - 3.62) < 0.3 and c[2] < 0.05]
    dots = [c[0] for c in circles if abs(c[1] - 0.3) < 0.02]
    nulls = gaps(lines)
    assert len(holes) == 1, f"{len(holes)} spindle holes"
    assert len(nulls) == len(dots), f"{len(nulls)} null points and {len(dots)} feet"
    spindle = holes[0][0]
    corners = [c[0] for c in circles if abs(c[1] - 3.18) < 0.05]
    card = None
    if len(corners) == 4:
        card = np.array([np.min(corners, axis=0) - 3.18, np.max(corners, axis=0) + 3.18])
    centre, radius, ends = arc_of(strokes)
    marks = {
        round(float(np.linalg.norm(s.points - centre, axis=1).mean()) - radius, 3)
        for s in curves
        if s.length < 8 and np.ptp(np.linalg.norm(s.points - centre, axis=1)) < 1e-3
    }
    nulls.sort(key=lambda p: float(np.linalg.norm(p - spindle)))
    return Found(
        spindle=spindle,
        nulls=nulls,
        feet=[min(dots, key=lambda d, n=null: float(np.linalg.norm(d - n))) for null in nulls],  # type: ignore[misc]
        arc_centre=centre,
        arc_radius=radius,
        arc_ends=ends,
        x_bar=_bar(lines, 0),
        y_bar=_bar(lines, 1),
        card=card,
        lines=lines,
        marks=[s.points for s in strokes if not s.curved and abs(s.width - 0.25) > 0.01],
        ladder=np.array(sorted(mark for mark in marks if 0.1 < abs(mark) < 3.4)),
    )


def local_to(null: np.ndarray, spindle: np.ndarray, points: np.ndarray) -> np.ndarray:
    """Points as (ahead, outward) of a null: along the groove toward the front, and away [mm]."""
    radial = (null - spindle) / np.linalg.norm(null - spindle)
    front = np.array([radial[1], -radial[0]])
    return (points - null) @ np.column_stack([front, radial])


def angles_to_tangent(
    lines: list[np.ndarray],
    spindle: np.ndarray,
    null: np.ndarray,
    foot: np.ndarray,
    wide: float = 12.2,
) -> tuple[list[float], list[float]]:
    """Angles [deg] of the rails beside a null, and of the fan's rays, to the groove's tangent.

    Positive clockwise from the tangent toward the front. A ray runs through the foot; a rail lies
    within `wide` mm beside the null and is longer than 5 mm.
    """
    away = local_to(null, spindle, foot[None])[0]
    rails, fan = [], []
    for line in lines:
        local = local_to(null, spindle, line)
        step = local[1] - local[0]
        length = float(np.linalg.norm(step))
        from_foot = local - away
        miss = abs(np.cross(np.append(step, 0), np.append(from_foot[0], 0))[2]) / length
        far = np.linalg.norm(from_foot, axis=1)
        if miss < LENGTH_SLACK_MM and far.min() > 5 and 4.9 < length < 40 and far.max() < 60:
            tip = from_foot[np.argmax(far)]
            if tip @ away > 0:
                fan.append(math.degrees(math.atan2(-tip[1], tip[0])))
        angle = (math.degrees(math.atan2(-step[1], step[0])) + 90) % 180 - 90
        beside = np.abs(local[:, 1]).max() < wide and np.abs(local[:, 0]).max() < 22.1
        rails += [angle] if beside and length > 5 and abs(angle) < 45 else []
    return rails, sorted(fan)


def _comparer(wrong: list[str]) -> Any:
    """A function that adds a sentence to `wrong` when two numbers differ by more than allowed."""

    def near(name: str, got: float, wanted: float, slack: float = LENGTH_SLACK_MM) -> None:
        if not abs(got - wanted) <= slack:
            wrong.append(f"{name}: {got:.4f} instead of {wanted:.4f}")

    return near


def faults(data: bytes, alignment: dict[str, Any], paper_mm: tuple[float, float]) -> list[str]:
    """What a ruler, a protractor and a look into the PDF would find wrong; empty when all is true.

    `alignment` holds the numbers that `solve --json` prints; nothing else is believed.
    """
    wrong = _page_faults(data, paper_mm)
    try:
        wrong += _bar_faults([s.points for s in read_strokes(data)[0] if not s.curved])
        found = find(data)
    except AssertionError as missing:
        return [*wrong, str(missing)]

    near = _comparer(wrong)
    if len(found.nulls) != 2:
        return [*wrong, f"{len(found.nulls)} null points"]
    for name, null, foot, radius in zip(
        ("inner null", "outer null"),
        found.nulls,
        found.feet,
        alignment["null_radii_mm"],
        strict=True,
    ):
        near(f"spindle to {name}", float(np.linalg.norm(null - found.spindle)), radius)
        near(
            f"pivot to {name}",
            float(np.linalg.norm(null - found.arc_centre)),
            alignment["effective_length_mm"],
        )
        # from the front: pivot to the right, nulls toward the viewer, the cartridge looks left
        if not (null[1] < found.spindle[1] and foot[0] < null[0]):
            wrong.append(f"{name} lies behind the spindle: the hand is wrong")
        ahead, outward = local_to(null, found.spindle, foot[None])[0]
        near(f"{name}, foot ahead", float(ahead), FOOT_MM)
        near(f"{name}, foot aside", float(outward), 0.0)
        apart = alignment["null_radii_mm"][1] - alignment["null_radii_mm"][0]
        wide = min(12.2, apart / 2)
        rails, fan = angles_to_tangent(found.marks, found.spindle, null, foot, wide)
        if len(rails) < 2 * int(wide) - 8:
            wrong.append(f"{name}: only {len(rails)} rails")
        near(f"{name}, rails to tangent", max(map(abs, rails), default=90.0), 0.0, ANGLE_SLACK_DEG)
        wanted = [half / 2 for half in range(-8, 9)]
        if len(fan) != len(wanted):
            wrong.append(f"{name}: {len(fan)} rays in the fan")
        for got, angle in zip(fan, wanted, strict=False):
            near(f"{name}, ray at {angle}", got, angle, ANGLE_SLACK_DEG)
    near("arc radius", found.arc_radius, alignment["effective_length_mm"])
    near("arc centre, up", found.arc_centre[1], found.spindle[1])
    near(
        "arc centre, across",
        found.arc_centre[0] - found.spindle[0],
        alignment["pivot_to_spindle_mm"],
    )
    reach = float(np.linalg.norm(found.arc_ends - found.spindle, axis=1).max())
    if not reach > alignment["record"]["outer_radius_mm"]:
        wrong.append(f"the arc ends at {reach:.2f} mm, inside the outer recorded radius")
    if not found.arc_ends[:, 1].max() > found.spindle[1] + 1:
        wrong.append("the arc ends before it has passed the spindle")
    wrong += _scale_faults(found, alignment)
    return wrong


def _bar_faults(lines: list[np.ndarray]) -> list[str]:
    """What is wrong with the lengths of the bars."""
    wrong: list[str] = []
    for name, bar in (("X bar", _bar(lines, 0)), ("Y bar", _bar(lines, 1))):
        length = float(np.linalg.norm(bar[1] - bar[0]))
        _comparer(wrong)(name, length, round(length / 10) * 10)
        if length < 149.9:
            wrong.append(f"{name} is only {length:.1f} mm long")
    return wrong


def _scale_faults(found: Found, alignment: dict[str, Any]) -> list[str]:
    """What is wrong with bars, card and the overhang's marks."""
    wrong: list[str] = []
    near = _comparer(wrong)
    _tick_faults(found, near)
    if found.card is not None:
        near("card width", float(found.card[1][0] - found.card[0][0]), 85.60)
        near("card height", float(found.card[1][1] - found.card[0][1]), 53.98)
    wanted = [half / 2 for half in range(-6, 7) if half]
    if len(found.ladder) != len(wanted):
        wrong.append(f"{len(found.ladder)} marks of the overhang")
    for got, mark in zip(found.ladder, wanted, strict=False):
        near(f"overhang {mark:+g}", float(got), mark)
    return wrong


def _tick_faults(found: Found, near: Any) -> None:
    """Every mm and every sixteenth of an inch along both bars stands where it should."""
    for name, bar, axis in (("X bar", found.x_bar, 0), ("Y bar", found.y_bar, 1)):
        origin, length = bar[0], float(np.linalg.norm(bar[1] - bar[0]))
        across = 1 - axis
        for pitch, side in ((1.0, 1), (25.4 / 16, -1)):
            # the figures' side: mm to the left of the bar's direction, inches to the right
            up = side if axis == 0 else -side
            places = sorted(
                line[0][axis] - origin[axis]
                for line in found.lines
                if abs(line[1] - line[0])[axis] < 1e-6
                and any(abs(p[across] - origin[across]) < 1e-3 for p in line)
                and max((p[across] - origin[across]) * up for p in line) > 1
                and -0.1 < line[0][axis] - origin[axis] < length + 0.1
            )
            places = [p for p in places if 0.1 < p < length - 0.1]
            wanted = np.arange(pitch, length - 0.1, pitch)
            near(f"{name}, number of ticks", len(places), len(wanted), 0)
            for got, place in zip(places, wanted, strict=False):
                near(f"{name}, tick at {place:.3f}", got, place)


def _page_faults(data: bytes, paper_mm: tuple[float, float]) -> list[str]:
    """What is wrong with the page itself and with what the viewer is told."""
    wrong = []
    with pikepdf.open(io.BytesIO(data)) as document:
        page = document.pages[0].obj
        box = [float(v) * MM for v in page.MediaBox]
        for got, wanted in zip(box, (0, 0, *paper_mm), strict=True):
            if abs(got - wanted) > LENGTH_SLACK_MM:
                wrong.append(f"media box {box} instead of {paper_mm}")
                break
        wrong += [
            f"{key} is set" for key in ("/CropBox", "/Rotate", "/UserUnit") if _says(page, key)
        ]
        root = document.Root
        asked = root.get("/ViewerPreferences", pikepdf.Dictionary())
        for key, value in (
            ("/PrintScaling", pikepdf.Name("/None")),
            ("/Enforce", [pikepdf.Name("/PrintScaling")]),
            ("/PickTrayByPDFSize", True),
            ("/Duplex", pikepdf.Name("/Simplex")),
        ):
            got = asked.get(key)
            if isinstance(got, pikepdf.Array):
                got = list(got)
            if got != value:
                wrong.append(f"viewer preference {key} is {got}, not {value}")
        for name, font in page.Resources.Font.items():
            if not str(font.BaseFont)[1:].partition("+")[2]:
                wrong.append(f"font {name} is not a subset")
            elif "/FontFile2" not in font.FontDescriptor:
                wrong.append(f"font {name} is not embedded")
    return wrong


def _says(page: Any, key: str) -> bool:
    value = page.get(key)
    return value is not None and value not in (0, 1)
