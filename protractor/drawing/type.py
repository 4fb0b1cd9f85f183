"""The one typeface: how wide a text is, and where a paragraph breaks."""

from __future__ import annotations

import re
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from protractor.drawing.surroundings import undisturbed

TYPEFACE_FILES = {
    False: Path(__file__).parents[1] / "typeface" / "NotoSans-Regular.ttf",
    True: Path(__file__).parents[1] / "typeface" / "NotoSans-Bold.ttf",
}
"""The font file of plain and of bold text."""

FONT_NAMES = {False: "ProtractorPlain", True: "ProtractorBold"}

MM_PER_POINT = 25.4 / 72
CAPITAL_HEIGHT_EM = 0.714
"""Height of a capital letter over the size."""

SMALLEST_PT = 7.0
"""Nothing on a sheet is set smaller."""

MISSING = "\N{REPLACEMENT CHARACTER}"
"""Stands for a character that the typeface lacks, or that no file takes."""

_UNWRITABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")


def writable(text: str) -> str:
    """The text with every character that XML forbids, and every control, shown as `MISSING`.

    Line ends and tabs, which XML takes, become spaces: no text here has lines.
    Source: Extensible Markup Language 1.0, 5th edition, 2.2, production 2.
    """
    return _UNWRITABLE.sub(MISSING, text.translate({9: " ", 10: " ", 13: " "}))


def capital_mm(size_pt: float) -> float:
    """Height of a capital letter [mm]."""
    return CAPITAL_HEIGHT_EM * size_pt * MM_PER_POINT


@cache
def font(bold: bool) -> Any:
    """The font as the PDF library reads it, read once: its tables tell the widths too."""
    with undisturbed():
        from reportlab.pdfbase.ttfonts import TTFont

    return TTFont(FONT_NAMES[bold], str(TYPEFACE_FILES[bold]))


def printable(text: str) -> str:
    """The text with every character that the typeface lacks shown as `MISSING`."""
    known = font(False).face.charToGlyph
    return "".join(c if ord(c) in known else MISSING for c in writable(text))


@lru_cache(maxsize=4096)  # a few sheets' words; a thousand sheets must not pile up
def _width_units(text: str, bold: bool) -> float:
    face = font(bold).face
    widths, default = face.charWidths, face.defaultWidth
    return float(sum(widths.get(ord(c), default) for c in text))


def width_mm(text: str, size_pt: float, bold: bool = False) -> float:
    """Width of one line of text [mm]."""
    return _width_units(text, bold) * size_pt * MM_PER_POINT / 1000


def wrap(text: str, limit_mm: float, size_pt: float, bold: bool = False) -> list[str]:
    """The text broken at spaces into lines no wider than `limit_mm`.

    A single word that is wider is broken inside.
    """
    space = width_mm(" ", size_pt, bold)
    lines: list[str] = []
    line: list[str] = []
    used = -space
    words = text.split()[::-1]
    while words:
        word = words.pop()
        width = width_mm(word, size_pt, bold)
        if used + space + width <= limit_mm:
            line.append(word)
            used += space + width
        elif line:
            lines.append(" ".join(line))
            line, used = [], -space
            words.append(word)
        else:
            fits = (
                n for n in range(len(word), 0, -1) if width_mm(word[:n], size_pt, bold) <= limit_mm
            )
            cut = next(fits, 1)
            lines.append(word[:cut])
            words += [word[cut:]] if word[cut:] else []
    return [*lines, " ".join(line)] if line else lines
