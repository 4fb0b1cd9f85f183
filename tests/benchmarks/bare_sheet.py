"""The baseline: as many strokes and words as a sheet has, with the PDF library's own calls.

    python tests/benchmarks/bare_sheet.py LINES ARCS LABELS.json OUT.pdf

As a process it imports what `protractor template` imports, draws, and writes the file.
"""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

import click  # noqa: F401  # what the command imports too
import numpy  # noqa: F401
import shapely  # noqa: F401
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

TYPEFACE = Path(__file__).parents[2] / "protractor" / "typeface"


def register() -> None:
    """Makes the sheet's two fonts known to the library."""
    for name, file in (("Bare", "NotoSans-Regular.ttf"), ("BareBold", "NotoSans-Bold.ttf")):
        pdfmetrics.registerFont(TTFont(name, str(TYPEFACE / file)))


def bare_drawing(lines: int, arcs: int, labels: list[tuple[str, bool]]) -> bytes:
    """As many straight strokes, arcs and labels, each with the library's plain call."""
    buffer = io.BytesIO()
    canvas = Canvas(buffer, pagesize=(595, 842), pageCompression=0, invariant=1)
    canvas.setLineWidth(0.4)
    for number in range(lines):
        x = 30 + number % 500 + 0.123456
        canvas.line(x, 40.25, x + 3.33333, 47.123456)
    for number in range(arcs):
        canvas.arc(100.123456, 100.123456, 150.5 + number, 150.5 + number, 0, 300)
    current = None
    for number, (text, bold) in enumerate(labels):
        if bold != current:
            current = bold
            canvas.setFont("BareBold" if bold else "Bare", 8)
        canvas.drawString(40.123456, 60.5 + number, text)
    canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def main() -> None:
    """Draws and writes what the command line says."""
    lines, arcs, labels, out = sys.argv[1:]
    register()
    words = json.loads(Path(labels).read_text())
    Path(out).write_bytes(bare_drawing(int(lines), int(arcs), words))


if __name__ == "__main__":
    main()
