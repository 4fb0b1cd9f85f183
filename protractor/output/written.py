"""What a PDF that protractor wrote says of itself: its pages' sizes, and whom it was corrected for.

Its objects are never compressed, so a few patterns find them; another program's PDF is none of ours
and is not read.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from urllib.parse import quote, unquote

MM_PER_POINT = 25.4 / 72

_CREATOR = re.compile(rb"/Creator \(protractor [^()]*\)")
_PAGE = re.compile(rb"/Type /Page\b")
_SIZE = re.compile(rb"/MediaBox \[ ?0 0 ([0-9.]{1,20}) ([0-9.]{1,20}) ?\]")
_PRINTER = re.compile(rb"/Keywords \(printer:([^()\s]+)\)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """The pages' widths and heights [mm], and the printer's name; empty without a correction."""

    sizes_mm: tuple[tuple[float, float], ...]
    printer: str


def keywords_of(printer: str) -> str:
    """A printer's name as the keywords of a PDF hold it."""
    return f"printer:{quote(printer)}"


def read_written(data: bytes) -> Written | None:
    """What a PDF of ours says of itself; None for any other file."""
    sizes = _SIZE.findall(data)
    ours = data.startswith(b"%PDF") and _CREATOR.search(data)
    if not ours or not sizes or len(sizes) != len(_PAGE.findall(data)):
        return None
    printer = _PRINTER.search(data)
    return Written(
        sizes_mm=tuple(
            (float(width) * MM_PER_POINT, float(height) * MM_PER_POINT) for width, height in sizes
        ),
        printer=unquote(printer[1].decode("ascii", "replace")) if printer else "",
    )
