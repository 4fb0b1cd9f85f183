"""The same truth from pixels: a 600 dpi picture of the page, to half a pixel."""

from __future__ import annotations

import numpy as np
import pypdfium2
import pytest
from scipy import ndimage

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.output.pdf import pdf_bytes
from protractor.printing.paper import PAPERS
from protractor.sheets.alignment_sheet import alignment_pages

DPI = 600


class Picture:
    """A rendered page whose darkness is asked for in mm from the lower left corner."""

    def __init__(self, data: bytes, width_mm: float, height_mm: float) -> None:
        page = pypdfium2.PdfDocument(data)[0]
        pixels = page.render(scale=DPI / 72, grayscale=True).to_numpy()
        self.dark = 255.0 - (pixels[..., 0] if pixels.ndim == 3 else pixels)
        # normalised by the page's own pixels, since the renderer rounds the page's size up
        self.per_mm = (self.dark.shape[1] / width_mm, self.dark.shape[0] / height_mm)
        self.height_mm = height_mm

    def across(self, at: np.ndarray, direction: np.ndarray, half_mm: float = 0.6) -> float:
        """Where, along a direction from a point, the centre of a line lies [mm]."""
        t = np.linspace(-half_mm, half_mm, 241)
        x = (at[0] + t * direction[0]) * self.per_mm[0] - 0.5
        y = (self.height_mm - at[1] - t * direction[1]) * self.per_mm[1] - 0.5
        dark = ndimage.map_coordinates(self.dark, [y, x], order=1)
        assert dark.max() > 80, "no line there"
        return float((t * dark).sum() / dark.sum())


@pytest.mark.parametrize(("d", "paper"), [(215.0, "a4"), (295.5, "letter")])
def test_pixels(d: float, paper: str) -> None:
    """Bars, spindle and null points lie where they should, to half a pixel (0.021 mm)."""
    alignment = align(Deck(pivot_to_spindle_mm=d))
    page = alignment_pages(alignment, PAPERS[paper])[0]
    picture = Picture(pdf_bytes([page]), page.width_mm, page.height_mm)
    half_pixel = 25.4 / DPI / 2
    x_axis, y_axis = np.array([1.0, 0.0]), np.array([0.0, 1.0])

    for name, axis, other in (("x_bar", x_axis, y_axis), ("y_bar", y_axis, x_axis)):
        ends = np.array(page.features[name])
        side = -3.0 if name == "x_bar" else 3.0  # where only the end mark is, on the inch side
        got = [picture.across(end + side * other, axis) for end in ends]
        assert np.abs(got).max() < half_pixel, name

    spindle = np.array(page.features["spindle"])
    assert abs(picture.across(spindle + 2.0 * y_axis, x_axis, 0.4)) < half_pixel
    assert abs(picture.across(spindle + 2.0 * x_axis, y_axis, 0.4)) < half_pixel

    for name in ("null_inner", "null_outer"):
        null = np.array(page.features[name])
        radial = (null - spindle) / np.linalg.norm(null - spindle)
        front = np.array([radial[1], -radial[0]])
        for along, across in ((radial, front), (front, radial)):
            for step in (-5.0, 5.0):
                assert abs(picture.across(null + step * along, across)) < half_pixel, name


def test_pixels_can_tell() -> None:
    """A picture taken for 0.5 % wider than it is fails the same measurement."""
    alignment = align(Deck(pivot_to_spindle_mm=215.0))
    page = alignment_pages(alignment, PAPERS["a4"])[0]
    picture = Picture(pdf_bytes([page]), page.width_mm * 1.005, page.height_mm)
    end = np.array(page.features["x_bar"][1]) + np.array([0.0, -3.0])
    try:
        shift = picture.across(end, np.array([1.0, 0.0]))
    except AssertionError:
        return
    assert abs(shift) > 25.4 / DPI / 2
