"""Letters as outlines: the typeface's own curves, in the place where the text would stand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from protractor.drawing.lettering import contours
from protractor.drawing.shapes import Label
from protractor.drawing.type import MISSING, MM_PER_POINT, TYPEFACE_FILES, width_mm

LABEL = Label("Hå%8", (50.0, 40.0), 24.0)


def corners(label: Label) -> tuple[float, float, float, float]:
    """The box of a label's outlines, curves flattened to a thousandth of a millimetre."""
    return shapely.MultiPoint(
        [p for contour in contours(label) for p in contour.flatten(0.001)]
    ).bounds


@pytest.mark.parametrize("character", "HO8%åÅg&ßЖ")
def test_glyph_is_the_typefaces(character: str) -> None:
    """Area and box of a letter are those that the font library finds by its own pens."""
    font = TTFont(str(TYPEFACE_FILES[False]))
    glyphs = font.getGlyphSet()
    name = font.getBestCmap()[ord(character)]
    area, bounds = AreaPen(glyphs), BoundsPen(glyphs)
    glyphs[name].draw(area)
    glyphs[name].draw(bounds)
    scale = 100.0 * MM_PER_POINT / font["head"].unitsPerEm
    label = Label(character, (0.0, 0.0), 100.0)
    rings = [shapely.LinearRing(c.flatten(1e-4)) for c in contours(label)]
    signed = sum(math.copysign(shapely.Polygon(r).area, 1 if r.is_ccw else -1) for r in rings)
    assert abs(signed) == pytest.approx(abs(area.value) * scale**2, rel=1e-3)
    assert corners(label) == pytest.approx([v * scale for v in bounds.bounds], abs=0.005)


def test_anchor_turn_and_mirror() -> None:
    """The middle of a word stays on its anchor; turned and mirrored it lies where it must."""
    left, low, right, high = corners(replace(LABEL, anchor="middle"))
    wide = width_mm(LABEL.text, LABEL.size_pt)
    assert (left + right) / 2 == pytest.approx(50.0, abs=0.06 * wide)
    start, *_ = corners(LABEL)
    mirrored = corners(replace(LABEL, mirrored=True))
    assert mirrored[2] == pytest.approx(100.0 - start, abs=1e-9)
    turned = corners(replace(LABEL, anchor="middle", angle_rad=math.pi / 2))
    assert turned[1] - 40.0 == pytest.approx(left - 50.0, abs=1e-9)
    assert 50.0 - turned[0] == pytest.approx(high - 40.0, abs=1e-9)
    assert low < high


def test_flattening_keeps_its_tolerance() -> None:
    """A polygon of 0.05 mm tolerance strays no further than that from one of 0.0005 mm."""
    for contour in contours(replace(LABEL, text="OS8", size_pt=60.0)):
        coarse = shapely.LinearRing(contour.flatten(0.05))
        fine = shapely.LinearRing(contour.flatten(0.0005))
        assert 0.0005 < coarse.hausdorff_distance(fine.segmentize(0.1)) < 0.0506


def test_unknown_letters_have_a_sign() -> None:
    """A character that the typeface lacks is drawn as the sign that stands for it."""
    assert corners(Label("♫", (0.0, 0.0), 10.0)) == corners(Label(MISSING, (0.0, 0.0), 10.0))
