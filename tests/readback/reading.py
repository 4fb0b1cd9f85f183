"""Reads a sheet's PDF with libraries that did not write it, and says what is wrong with it.

Everything is found by its shape on the page, not by what the writer says of it: the hole by its
diameter, the null points by their small circles, the arc by its radius, the bars by their ticks.
"""

from __future__ import annotations

import io
import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import pdfplumber
import pikepdf

MM = 25.4 / 72
LENGTH_SLACK_MM, ANGLE_SLACK_DEG = 0.002, 0.001


@dataclass(frozen=True)
class Stroke:
    """One stroke as read: points along it [mm], and whether it is curved."""

    points: np.ndarray
    curved: bool

    @property
    def length(self) -> float:
        """Distance of the two ends [mm]."""
        return float(np.linalg.norm(self.points[-1] - self.points[0]))


def _bezier(p0: Any, p1: Any, p2: Any, p3: Any) -> np.ndarray:
    t = np.linspace(0, 1, 9)[:, None]
    p0, p1, p2, p3 = (np.asarray(p, float) for p in (p0, p1, p2, p3))
    return (1 - t) ** 3 * p0 + 3 * t * (1 - t) ** 2 * p1 + 3 * t**2 * (1 - t) * p2 + t**3 * p3


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
            strokes.append(Stroke(points=np.array(points), curved=curved))
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
    arc_centre: np.ndarray
    arc_radius: float
    arc_ends: np.ndarray
    x_bar: np.ndarray
    y_bar: np.ndarray
    card: np.ndarray | None
    lines: list[np.ndarray]
    overhang_ticks: np.ndarray


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


def find(data: bytes) -> Found:
    """What stands on the first page of a sheet."""
    strokes, _ = read_strokes(data)
    lines = [s.points for s in strokes if not s.curved]
    circles = [circle_through(s.points) for s in strokes if s.curved]
    holes = [c for c in circles if abs(c[1] - 3.62) < 0.3 and c[2] < 0.05]
    dots = [c for c in circles if abs(c[1] - 0.7) < 0.05]
    arcs = [
        (c, s.points)
        for c, s in zip(circles, (s for s in strokes if s.curved), strict=True)
        if s.length > 60
    ]
    assert len(holes) == 1, f"{len(holes)} spindle holes"
    assert len(dots) == 2, f"{len(dots)} null points"
    assert len(arcs) == 1, f"{len(arcs)} stylus arcs"
    spindle = holes[0][0]
    corners = [c[0] for c in circles if abs(c[1] - 3.18) < 0.05]
    card = None
    if len(corners) == 4:
        card = np.array([np.min(corners, axis=0) - 3.18, np.max(corners, axis=0) + 3.18])
    ticks = [
        ((line[0] + line[1]) / 2)[1]
        for line in lines
        if abs(line[1] - line[0])[1] < 1e-6
        and abs((line[0] + line[1])[0] / 2 - spindle[0]) < 0.01
        and line[0][1] < spindle[1] - 4
        and line[0][1] > spindle[1] - 60
    ]
    return Found(
        spindle=spindle,
        nulls=sorted((d[0] for d in dots), key=lambda p: float(np.linalg.norm(p - spindle))),
        arc_centre=arcs[0][0][0],
        arc_radius=arcs[0][0][1],
        arc_ends=arcs[0][1][[0, -1]],
        x_bar=_bar(lines, 0),
        y_bar=_bar(lines, 1),
        card=card,
        lines=lines,
        overhang_ticks=np.sort(spindle[1] - np.array(ticks)),
    )


def _angles_to_tangent(found: Found, null: np.ndarray) -> tuple[list[float], list[float]]:
    """Angles [deg] of the grid's lines round a null point and of the fan's rays, to the tangent.

    A ray's angle is positive clockwise from the tangent toward the front; a grid line's is what is
    left over from the nearest multiple of 90°.
    """
    radial = (null - found.spindle) / np.linalg.norm(null - found.spindle)
    front = np.array([radial[1], -radial[0]])
    apart = float(np.linalg.norm(found.nulls[1] - found.spindle)) - float(
        np.linalg.norm(found.nulls[0] - found.spindle)
    )
    width = min(13.1, apart / 2 - 1.4)
    grid, fan = [], []
    for line in found.lines:
        local = np.array([[(p - null) @ front, (p - null) @ radial] for p in line])
        step = local[1] - local[0]
        angle = math.degrees(math.atan2(step[1], step[0]))
        inside = np.abs(local[:, 1]).max() < width and np.abs(local[:, 0]).max() < 22.5
        if inside and np.linalg.norm(step) > 5:
            grid.append((angle + 45) % 90 - 45)
        away = local[np.argmax(np.linalg.norm(local, axis=1))]
        miss = abs(np.cross(np.append(step, 0), np.append(local[0], 0))[2]) / np.linalg.norm(step)
        clear = local[:, 0].min() > 9.9 and np.linalg.norm(step) > 10
        if clear and np.linalg.norm(away) < 60 and miss < 0.05:
            fan.append(math.degrees(math.atan2(-away[1], away[0])))
            assert miss < LENGTH_SLACK_MM, "a ray of the fan misses its null point"
    return grid, sorted(fan)


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
        found = find(data)
    except AssertionError as missing:
        return [*wrong, str(missing)]

    near = _comparer(wrong)
    for name, null, radius in zip(
        ("inner null", "outer null"), found.nulls, alignment["null_radii_mm"], strict=True
    ):
        near(f"spindle to {name}", float(np.linalg.norm(null - found.spindle)), radius)
        near(
            f"pivot to {name}",
            float(np.linalg.norm(null - found.arc_centre)),
            alignment["effective_length_mm"],
        )
        if not null[0] > found.spindle[0]:
            wrong.append(f"{name} lies left of the spindle: the hand is wrong")
        grid, fan = _angles_to_tangent(found, null)
        if len(grid) < 10:
            wrong.append(f"{name}: only {len(grid)} grid lines")
        near(f"{name}, grid to tangent", max(map(abs, grid), default=90.0), 0.0, ANGLE_SLACK_DEG)
        wanted = [half / 2 for half in range(-8, 9)]
        if len(fan) != len(wanted):
            wrong.append(f"{name}: {len(fan)} rays in the fan")
        for got, angle in zip(fan, wanted, strict=False):
            near(f"{name}, ray at {angle}", got, angle, ANGLE_SLACK_DEG)
    near("arc radius", found.arc_radius, alignment["effective_length_mm"])
    near("arc centre, across", found.arc_centre[0], found.spindle[0])
    near("arc centre, up", found.arc_centre[1] - found.spindle[1], alignment["pivot_to_spindle_mm"])
    reach = float(np.linalg.norm(found.arc_ends - found.spindle, axis=1).max())
    if not reach > alignment["record"]["outer_radius_mm"] + 1:
        wrong.append(f"the arc ends at {reach:.2f} mm, inside the outer recorded radius")
    if not found.arc_ends[:, 0].min() < found.spindle[0] - 1:
        wrong.append("the arc ends before it has passed the spindle")
    wrong += _scale_faults(found, alignment)
    return wrong


def _scale_faults(found: Found, alignment: dict[str, Any]) -> list[str]:
    """What is wrong with bars, card and overhang scale."""
    wrong: list[str] = []
    near = _comparer(wrong)
    for name, bar in (("X bar", found.x_bar), ("Y bar", found.y_bar)):
        length = float(np.linalg.norm(bar[1] - bar[0]))
        near(name, length, round(length / 10) * 10)
        if length < 149.9:
            wrong.append(f"{name} is only {length:.1f} mm long")
    _tick_faults(found, near)
    if found.card is not None:
        near("card width", float(found.card[1][0] - found.card[0][0]), 85.60)
        near("card height", float(found.card[1][1] - found.card[0][1]), 53.98)
    for got, wanted in zip(
        found.overhang_ticks, np.arange(5, 60, 0.5)[: len(found.overhang_ticks)], strict=True
    ):
        near("overhang tick", float(got), float(wanted))
    if not found.overhang_ticks[-1] > alignment["overhang_mm"] + 2:
        wrong.append("the overhang scale ends too soon")
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
