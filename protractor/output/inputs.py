"""What a user can give of a file: its format, and how a cut file is dressed."""

from __future__ import annotations

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
