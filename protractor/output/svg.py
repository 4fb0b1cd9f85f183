"""A page to SVG: one user unit is one millimetre, arcs are arcs, one group a layer.

The same page gives the same bytes.
"""

from __future__ import annotations

import math
from xml.sax.saxutils import escape, quoteattr

from protractor.drawing.lettering import Contour, contours
from protractor.drawing.shapes import Arc, Circle, Label, Layer, Line, Page, Shape, Stroke
from protractor.drawing.type import MM_PER_POINT, printable, width_mm, writable
from protractor.output.style import LAYERS, Style


def number(value: float) -> str:
    """A coordinate [mm] to the nanometre, without idle zeros.

    >>> number(12.5), number(-1e-9)
    ('12.5', '0')
    """
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def svg_bytes(page: Page, style: Style | None = None) -> bytes:
    """One SVG of the page, as large as its paper, in millimetres."""
    style = style or Style()
    width, height = number(page.width_mm), number(page.height_mm)
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{width}mm" '
        f'height="{height}mm" viewBox="0 0 {width} {height}">',
        f"<title>{escape(writable(page.title))}</title>",
        f"<desc>{escape(writable(page.subject))}</desc>",
    ]
    for layer in LAYERS:
        lines += _layer(page, layer, style)
    return ("\n".join([*lines, "</svg>"]) + "\n").encode("utf-8")


def _layer(page: Page, layer: Layer, style: Style) -> list[str]:
    """The group of one layer: its strokes, gathered by their look, then its text."""
    colour = style.colours[layer]
    body: list[str] = []
    current: Stroke | None = None
    for shape in page.shapes:
        if isinstance(shape, Label) or shape.stroke.layer != layer:
            continue
        if shape.stroke != current:
            body += ["</g>"] if current is not None else []
            current = shape.stroke
            dashes = " ".join(number(length) for length in current.dashes_mm)
            dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
            body.append(f'<g stroke-width="{number(current.width_mm)}"{dashed}>')
        body.append(_stroke(shape, page.height_mm))
    body += ["</g>"] if current is not None else []
    for shape in page.shapes:
        if isinstance(shape, Label) and shape.layer == layer and shape.text.strip():
            body.append(_text(shape, page.height_mm, colour, style))
    if not body:
        return []
    name = layer.replace(" ", "-")
    return [
        f'<g id="{name}" fill="none" stroke="{colour}">',
        f"<title>{layer}</title>",
        *body,
        "</g>",
    ]


def _stroke(shape: Shape, height_mm: float) -> str:
    """The element of one stroke; y turns round, because SVG counts it downwards."""
    if isinstance(shape, Line):
        (x1, y1), (x2, y2) = shape.start, shape.end
        return (
            f'<line x1="{number(x1)}" y1="{number(height_mm - y1)}" '
            f'x2="{number(x2)}" y2="{number(height_mm - y2)}"/>'
        )
    assert isinstance(shape, (Arc, Circle))
    cx, cy = shape.centre
    radius = number(shape.radius_mm)
    if isinstance(shape, Circle) or shape.end_rad - shape.start_rad >= 2 * math.pi - 1e-9:
        return f'<circle cx="{number(cx)}" cy="{number(height_mm - cy)}" r="{radius}"/>'
    (x1, y1), (x2, y2) = shape.at(shape.start_rad), shape.at(shape.end_rad)
    large = int(shape.end_rad - shape.start_rad > math.pi)
    return (
        f'<path d="M{number(x1)} {number(height_mm - y1)}A{radius} {radius} 0 {large} 0 '
        f'{number(x2)} {number(height_mm - y2)}"/>'
    )


def _text(label: Label, height_mm: float, colour: str, style: Style) -> str:
    """A label as one path of its outlines, or as text of its own width."""
    text = printable(label.text)
    if style.text == "outline":
        path = "".join(_contour(contour, height_mm) for contour in contours(label))
        return f'<path fill="{colour}" stroke="none" aria-label={quoteattr(text)} d="{path}"/>'
    x, y = label.at[0], height_mm - label.at[1]
    cos, sin = math.cos(label.angle_rad), math.sin(label.angle_rad)
    side = -1.0 if label.mirrored else 1.0
    matrix = " ".join(number(v) for v in (side * cos, -side * sin, sin, cos, x, y))
    weight = ' font-weight="bold"' if label.bold else ""
    return (
        f'<text transform="matrix({matrix})" fill="{colour}" stroke="none" '
        f"font-family=\"'Noto Sans', sans-serif\"{weight} "
        f'font-size="{number(label.size_pt * MM_PER_POINT)}" text-anchor="{label.anchor}" '
        f'textLength="{number(width_mm(text, label.size_pt, label.bold))}" '
        f'lengthAdjust="spacingAndGlyphs">{escape(text)}</text>'
    )


def _contour(contour: Contour, height_mm: float) -> str:
    """The path of one contour, to a tenth of a micrometre."""
    steps = [f"M{contour.start[0]:.4f} {height_mm - contour.start[1]:.4f}"]
    for pull, (x, y) in contour.pieces:
        if pull is None:
            steps.append(f"L{x:.4f} {height_mm - y:.4f}")
        else:
            steps.append(f"Q{pull[0]:.4f} {height_mm - pull[1]:.4f} {x:.4f} {height_mm - y:.4f}")
    return "".join(steps) + "Z"
