"""How a gauge is cut: kerf, hole, stock, and the side that is engraved."""

from __future__ import annotations

from dataclasses import dataclass

from protractor.arms.records import CENTRE_HOLE_DIAMETER_MM
from protractor.inputs.declaration import Input, declared, take_all

KERF = Input(
    name="kerf",
    kind="length",
    unit="mm",
    low=0.0,
    high=10.0,
    default="0",
    help="Full width of the cut; outlines move out by half of it and openings in.",
    remedy="give the full width of the cut as `protractor gauge kerf` reads it",
)
HOLE = Input(
    name="hole",
    kind="length",
    unit="mm",
    low=6.5,
    high=40.0,
    default=f"{CENTRE_HOLE_DIAMETER_MM:g}",
    help="Diameter of the spindle hole; the standards' centre hole is 7.24 mm, +0.09/-0 (IEC 98).",
    remedy="measure the spindle and add what it needs to slide",
)
THICKNESS = Input(
    name="thickness",
    kind="length",
    unit="mm",
    low=0.1,
    high=12.0,
    default="3",
    help="Thickness of the stock, noted on the gauge.",
    remedy="take thinner stock: a thicker gauge rises above the spindle's tip",
)
NOTCH = Input(
    name="notch",
    kind="length",
    unit="mm",
    low=4.0,
    high=80.0,
    help="Diameter of the pillar under the pivot: makes a gauge that rests against it.",
    remedy="measure the pillar with calipers at the height of the gauge",
)
STOCK = Input(
    name="stock",
    kind="length",
    unit="mm",
    low=20.0,
    high=3000.0,
    count=2,
    help="Width and height of the stock to cut from; default as large as the gauge needs.",
    remedy="give width and height of the sheet",
)
MIRROR = Input(
    name="mirror",
    kind="flag",
    help="Mirror the drawing, to engrave the underside of clear stock.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """How a gauge is made, in mm.

    `notch_mm` is None for a plate without a notch, `stock_mm` None for stock as large as the plate
    needs. Raises `InputError` for the first value that is not allowed.
    """

    kerf_mm: float = declared(KERF, default=0.0)
    hole_mm: float = declared(HOLE, default=CENTRE_HOLE_DIAMETER_MM)
    thickness_mm: float = declared(THICKNESS, default=3.0)
    notch_mm: float | None = declared(NOTCH)
    stock_mm: tuple[float, float] | None = declared(STOCK)
    mirror: bool = declared(MIRROR, default=False)

    def __post_init__(self) -> None:
        take_all(self)
