"""A page to DXF: millimetres, true circles and arcs, one named layer a purpose.

DXF R2010 with its units set, because a file that leaves them out is read in inches or metres by
half of the world. The origin is the lower left corner of the page. The same page gives the same
bytes: no date, no random identifier.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from protractor.drawing.lettering import contours
from protractor.drawing.shapes import Arc, Circle, Label, Line, Page, Shape, Stroke
from protractor.drawing.surroundings import undisturbed
from protractor.drawing.type import capital_mm, printable, writable
from protractor.output.style import LAYERS, Style

VERSION = "R2010"
MILLIMETRES = 4
METRIC = 1
TEXT_TOLERANCE_MM = 0.02
"""How far an outline's polygon may stray from the typeface's curve."""

BACKWARD = 2
"""The flag of a text that runs from right to left with its letters reversed."""


@contextmanager
def _without_dates() -> Iterator[None]:
    """The library writes fixed dates and identifiers while this lasts."""
    from ezdxf import options  # type: ignore[attr-defined]  # documented, not in __all__

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def dxf_bytes(page: Page, style: Style | None = None) -> bytes:
    """One DXF drawing of the page, in millimetres."""
    with undisturbed("XDG_CONFIG_HOME", "XDG_CACHE_HOME"):
        from ezdxf import colors, units
        from ezdxf.filemanagement import new

    style = style or Style()
    with _without_dates():
        document = new(VERSION, units=units.MM)
        document.header["$INSUNITS"] = MILLIMETRES
        document.header["$MEASUREMENT"] = METRIC
        document.header["$LIMMIN"] = (0.0, 0.0)
        document.header["$LIMMAX"] = (page.width_mm, page.height_mm)
        document.header.custom_vars.append("Title", _as_text(page.title))
        document.header.custom_vars.append("Subject", _as_text(page.subject))
        for layer in LAYERS:
            made = document.layers.add(layer)
            red, green, blue = (int(style.colours[layer][at : at + 2], 16) for at in (1, 3, 5))
            # 7 is black on white paper and white on a dark screen
            if red or green or blue:
                made.rgb = (red, green, blue)
            else:
                made.color = colors.WHITE
        space = document.modelspace()
        space.reset_extents((0, 0, 0), (page.width_mm, page.height_mm, 0))
        space.reset_limits((0, 0), (page.width_mm, page.height_mm))
        document.set_modelspace_vport(
            1.05 * page.height_mm, (page.width_mm / 2, page.height_mm / 2)
        )
        looks: dict[Stroke, dict[str, Any]] = {}
        for shape in page.shapes:
            if isinstance(shape, Label):
                if shape.text.strip():
                    _text(document, space, shape, style)
                continue
            if shape.stroke not in looks:
                looks[shape.stroke] = _look(document, shape.stroke)
            _stroke(space, shape, looks[shape.stroke])
        # the library would add these in the order of a set, another one in every process
        for kind in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(kind)
        stream = io.StringIO()
        document.write(stream)
    return stream.getvalue().encode("utf-8")


def _look(document: Any, stroke: Stroke) -> dict[str, Any]:
    """The attributes of a stroke; its dashes become a line type of the drawing."""
    look: dict[str, Any] = {"layer": stroke.layer, "lineweight": round(100 * stroke.width_mm)}
    if stroke.dashes_mm:
        name = "DASHES_" + "_".join(f"{length:g}" for length in stroke.dashes_mm)
        if name not in document.linetypes:
            lengths = [
                length if at % 2 == 0 else -length for at, length in enumerate(stroke.dashes_mm)
            ]
            document.linetypes.add(name, [sum(stroke.dashes_mm), *lengths])
        look["linetype"] = name
    return look


def _stroke(space: Any, shape: Shape, look: dict[str, Any]) -> None:
    if isinstance(shape, Line):
        space.add_line(shape.start, shape.end, dxfattribs=look)
        return
    assert isinstance(shape, (Arc, Circle))
    if isinstance(shape, Circle) or shape.end_rad - shape.start_rad >= 2 * math.pi - 1e-9:
        space.add_circle(shape.centre, shape.radius_mm, dxfattribs=look)
        return
    space.add_arc(
        shape.centre,
        shape.radius_mm,
        math.degrees(shape.start_rad) % 360,
        math.degrees(shape.end_rad) % 360,
        dxfattribs=look,
    )


def _as_text(text: str) -> str:
    r"""The text as DXF writes it: `^J` would be read as a line end, `\U+0041` as an A.

    >>> _as_text("^J"), _as_text(r"\U+0041")
    ('^ J', '\\U+005CU+0041')
    """
    return writable(text).replace("\\U+", r"\U+005CU+").replace("^", "^ ")


def _text(document: Any, space: Any, label: Label, style: Style) -> None:
    """A label as closed polygons, or as a text in the typeface's own name."""
    if style.text == "outline":
        look = {"layer": label.layer}
        for contour in contours(label):
            outline = space.add_lwpolyline((), close=True, dxfattribs=look)
            # x, y, two widths and a bulge; all at once, for one by one takes ten times as long
            outline.lwpoints.set(
                [
                    (round(x, 4), round(y, 4), 0.0, 0.0, 0.0)
                    for x, y in contour.flatten(TEXT_TOLERANCE_MM)
                ]
            )
        return
    from ezdxf.enums import TextEntityAlignment

    face = "BOLD" if label.bold else "PLAIN"
    if face not in document.styles:
        document.styles.add(face, font=f"NotoSans-{'Bold' if label.bold else 'Regular'}.ttf")
    # two signs in a row would be read as a code
    entity = space.add_text(
        _as_text(printable(label.text)).replace("%%", "%%%%%%"),
        height=capital_mm(label.size_pt),  # what DXF calls the height of a text
        rotation=math.degrees(label.angle_rad),
        dxfattribs={
            "layer": label.layer,
            "style": face,
            "text_generation_flag": BACKWARD if label.mirrored else 0,
        },
    )
    entity.set_placement(
        label.at,
        align={
            "start": TextEntityAlignment.LEFT,
            "middle": TextEntityAlignment.CENTER,
            "end": TextEntityAlignment.RIGHT,
        }[label.anchor],
    )
