"""Reads strokes from PDF, SVG and DXF with libraries that did not write them.

All three come out as the same lists, in mm from the lower left corner with y upwards: straight
lines as their two ends, arcs as their two ends and the point half way, circles as centre and
radius. (Three points say where an arc lies; the centre of a short flat arc cannot be told from
ends that are rounded.)
"""

from __future__ import annotations

import io
import xml.etree.ElementTree as ET
from dataclasses import dataclass, field

import ezdxf
import numpy as np
from svgpathtools import Arc, parse_path

from tests.readback.reading import circle_through, read_strokes

SVG = "{http://www.w3.org/2000/svg}"


@dataclass
class Strokes:
    """What a file draws, text apart: rows of numbers [mm]."""

    lines: list[list[float]] = field(default_factory=list)
    arcs: list[list[float]] = field(default_factory=list)
    circles: list[list[float]] = field(default_factory=list)
    size: tuple[float, float] = (0.0, 0.0)

    def add_line(self, a: np.ndarray, b: np.ndarray) -> None:
        """A straight line; the end further left, then lower, comes first."""
        first, last = sorted(([float(v) for v in end] for end in (a, b)), key=_rank)
        self.lines.append([*first, *last])

    def add_arc(self, a: np.ndarray, middle: np.ndarray, b: np.ndarray) -> None:
        """An arc by its two ends and the point half way."""
        first, last = sorted(([float(v) for v in end] for end in (a, b)), key=_rank)
        self.arcs.append([*first, float(middle[0]), float(middle[1]), *last])


def _rank(point: list[float]) -> tuple[float, float]:
    return round(point[0], 2), round(point[1], 2)


def from_pdf(data: bytes) -> Strokes:
    """Strokes of a PDF's first page, by pdfplumber; a curve is an arc by its fitted circle."""
    read, size = read_strokes(data)
    found = Strokes(size=size)
    for stroke in read:
        if not stroke.curved:
            found.add_line(stroke.points[0], stroke.points[-1])
            continue
        centre, radius, stray = circle_through(stroke.points)
        assert stray < 0.002, "a curve that is no circle"
        if stroke.length < 1e-3:
            found.circles.append([*map(float, centre), radius])
        else:
            a, b = stroke.points[[0, -1]]
            square = np.array([a[1] - b[1], b[0] - a[0]]) / stroke.length
            bulk = stroke.points.mean(axis=0) - (a + b) / 2
            found.add_arc(a, centre + radius * square * np.sign(square @ bulk), b)
    return found


def from_svg(data: bytes) -> Strokes:
    """Strokes of an SVG, by the standard library's XML reader and svgpathtools' arcs."""
    root = ET.fromstring(data)
    width, height = (float(root.get(side, "").removesuffix("mm")) for side in ("width", "height"))
    assert root.get("viewBox") == f"0 0 {width:g} {height:g}" or [
        float(v) for v in root.get("viewBox", "").split()
    ] == [0, 0, width, height], "one user unit is not one millimetre"
    found = Strokes(size=(width, height))

    def up(x: float, y: float) -> np.ndarray:
        return np.array([x, height - y])

    for thing in root.iter():
        number = {k: float(v) for k, v in thing.attrib.items() if k in LENGTHS}
        if thing.tag == f"{SVG}line":
            found.add_line(up(number["x1"], number["y1"]), up(number["x2"], number["y2"]))
        elif thing.tag == f"{SVG}circle":
            found.circles.append([number["cx"], height - number["cy"], number["r"]])
        elif thing.tag == f"{SVG}path" and thing.get("aria-label") is None:
            (arc,) = parse_path(thing.get("d", ""))
            assert isinstance(arc, Arc), "a stroke that is no arc"
            assert arc.radius.real == arc.radius.imag
            found.add_arc(*(up(p.real, p.imag) for p in map(arc.point, (0.0, 0.5, 1.0))))
    return found


LENGTHS = {"x1", "y1", "x2", "y2", "cx", "cy", "r"}


def from_dxf(data: bytes) -> Strokes:
    """Strokes of a DXF's model space, by ezdxf's reader, which must find nothing to mend."""
    document = ezdxf.read(io.StringIO(data.decode("utf-8")))
    auditor = document.audit()
    assert not auditor.errors
    assert not auditor.fixes
    assert document.dxfversion == "AC1024"  # R2010
    assert document.header["$INSUNITS"] == 4
    assert document.header["$MEASUREMENT"] == 1
    found = Strokes(size=tuple(document.header["$LIMMAX"][:2]))
    for thing in document.modelspace():
        if thing.dxftype() == "LINE":
            found.add_line(np.array(thing.dxf.start)[:2], np.array(thing.dxf.end)[:2])
        elif thing.dxftype() == "CIRCLE":
            found.circles.append([thing.dxf.center.x, thing.dxf.center.y, thing.dxf.radius])
        elif thing.dxftype() == "ARC":
            start, end = thing.dxf.start_angle, thing.dxf.end_angle
            angles = [start, start + (end - start) % 360 / 2, end]
            found.add_arc(*(np.array(p)[:2] for p in thing.vertices(angles)))
    return found


def differences(one: Strokes, other: Strokes) -> dict[str, float]:
    """Greatest difference of matching strokes [mm], by kind; inf where one has no partner."""
    worst = {"size": float(np.abs(np.subtract(one.size, other.size)).max())}
    for kind in ("lines", "arcs", "circles"):
        a, b = np.array(getattr(one, kind)), np.array(getattr(other, kind))
        if a.shape != b.shape:
            worst[kind] = float("inf")
            continue
        if not len(a):
            worst[kind] = 0.0
            continue
        apart = np.abs(a[:, None, :] - b[None, :, :]).max(axis=2)
        nearest = apart.argmin(axis=1)
        # every stroke must have a partner of its own
        taken = len(set(nearest.tolist())) == len(b) or _twins(b)
        worst[kind] = float(apart.min(axis=1).max()) if taken else float("inf")
    return worst


def _twins(rows: np.ndarray) -> bool:
    """Whether some strokes lie on one another, so that partners cannot be told apart."""
    return len(np.unique(rows.round(4), axis=0)) < len(rows)
