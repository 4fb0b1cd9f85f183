"""What no sheet may have: a label that something runs into, a shape that leaves the paper."""

from __future__ import annotations

import shapely

from protractor.drawing.extent import CLEARANCE_MM, clashes, geometries
from protractor.drawing.shapes import Label, Page


def collisions(page: Page, clearance_mm: float = CLEARANCE_MM) -> list[str]:
    """What runs into a label of the page or leaves the paper, in words; empty when all is well."""
    paper = shapely.box(0, 0, page.width_mm, page.height_mm)
    shapes = page.shapes
    inside = shapely.covers(paper, geometries(shapes))
    labels = [shape for shape in shapes if isinstance(shape, Label)]
    return [
        *(f"off the paper: {shape}" for shape, ok in zip(shapes, inside, strict=True) if not ok),
        *(
            f"{one} runs into {other}"
            for one, other in clashes(labels, shapes, clearance_mm=clearance_mm)
        ),
    ]
