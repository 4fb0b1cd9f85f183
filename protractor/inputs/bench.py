"""What a technician can give beside a deck's numbers: files, cutting, boards, decks and batches.

Declared as in `protractor.inputs.deck`.
"""

from __future__ import annotations

from protractor.arms.records import CENTRE_HOLE_DIAMETER_MM
from protractor.inputs.declaration import Input
from protractor.output.formats import ENDINGS

FORMAT = Input(
    name="format",
    kind="choice",
    choices=tuple(ENDINGS),
    help="Format of the file, when its name does not say.",
)
TEXT_AS = Input(
    name="text",
    kind="choice",
    choices=("outline", "text"),
    default="outline",
    help="SVG and DXF: letters as outlines, which every cutter follows, or as text.",
)
COLOURS = Input(
    name="colours",
    kind="text",
    longest=120,
    default="black",
    help="SVG and DXF: colours of the layers: black, layers, or pairs such as cut=#ff0000. "
    "Layers: cut, inner-cut, engrave, reference.",
)
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
    remedy="a gauge thicker than this stands above the spindle's tip",
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
NOTCH = Input(
    name="notch",
    kind="length",
    unit="mm",
    low=4.0,
    high=80.0,
    help="Diameter of the pillar under the pivot: makes a gauge that rests against it.",
    remedy="measure the pillar with calipers at the height of the gauge",
)
SLOTS = Input(
    name="slots",
    kind="length",
    unit="mm",
    low=0.0,
    high=40.0,
    default="6",
    help="Travel of the cartridge's screws in the headshell's slots, end to end; 0 for holes.",
    remedy="measure how far a screw slides from one end of its slot to the other",
)
MOUNT = Input(
    name="mount",
    kind="length",
    unit="mm",
    low=2.0,
    high=120.0,
    help="Diameter of the hole for the arm's base, from the arm maker's drawing.",
    remedy="take it from the arm maker's drawing",
)
SHEET = Input(
    name="sheet",
    kind="choice",
    choices=("template", "plate", "board"),
    help="A sheet to draw for every deck; may be said again. Default template and plate.",
)
PROCESSES = Input(
    name="processes",
    kind="number",
    low=1,
    high=64,
    help="How many decks are drawn at once. Default one a processor.",
    remedy="give a whole number",
)
NAME = Input(
    name="name",
    kind="text",
    longest=80,
    help="Name of the deck; no two decks of a file share one.",
)
EXACT = Input(
    name="exact",
    kind="choice",
    choices=("yes", "no"),
    default="no",
    help="Whether the true optimum for this arm is wanted, in place of the closed form.",
)
NOTES = Input(
    name="notes",
    kind="text",
    longest=1000,
    help="What else to remember.",
)
