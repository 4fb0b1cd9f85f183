"""How a cut file is dressed: the colour of each layer, and text as outlines or as text."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, get_args

from protractor.drawing.shapes import Layer
from protractor.errors import InputError

LAYERS: tuple[Layer, ...] = get_args(Layer)

_BLACK = "#000000"
COLOUR_SETS: Mapping[str, Mapping[Layer, str]] = {
    "black": dict.fromkeys(LAYERS, _BLACK),
    "layers": {
        "engrave": _BLACK,
        "cut": "#c00000",
        "inner cut": "#0000c0",
        "reference": "#007030",
    },
}
"""Colours by layer. Shops disagree and no standard exists, so the layer's name is what counts."""

COLOURS_ALLOWED = "black, layers, or pairs such as cut=#c00000,inner-cut=#0000c0,engrave=#000000"

TextAs = Literal["outline", "text"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """The dress of a cut file: `colours` by layer as #rrggbb, and what becomes of text."""

    colours: Mapping[Layer, str] = field(default_factory=lambda: COLOUR_SETS["black"])
    text: TextAs = "outline"


def style_of(text: str | None, colours: str | None) -> Style:
    """The dress of a cut file that is asked for by `text` and `colours`; None for the usual.

    Raises `InputError` for colours that cannot be read.
    """
    return Style(
        text="text" if text == "text" else "outline",
        colours=read_colours(colours) if colours else Style().colours,
    )


def read_colours(text: str) -> Mapping[Layer, str]:
    """The colours that a profile's name or a list of pairs stands for.

    A layer that is not named keeps black. Raises `InputError` for anything else.

    >>> read_colours("cut=#ff0000")["cut"], read_colours("black")["engrave"]
    ('#ff0000', '#000000')
    """
    word = text.strip().lower()
    if word in COLOUR_SETS:
        return COLOUR_SETS[word]
    colours: dict[Layer, str] = dict(COLOUR_SETS["black"])
    layers = {layer.replace(" ", "-"): layer for layer in LAYERS}
    for pair in word.split(","):
        name, _, colour = (part.strip() for part in pair.partition("="))
        if name not in layers or not re.fullmatch(r"#[0-9a-f]{6}", colour):
            raise InputError("colours", text, COLOURS_ALLOWED, f"layers: {', '.join(layers)}")
        colours[layers[name]] = colour
    return colours
