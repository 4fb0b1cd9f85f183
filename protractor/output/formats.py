"""Which format a file is written in, and a page in that format."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from protractor.drawing.shapes import Page
from protractor.errors import InputError
from protractor.output.style import Style

ENDINGS = {"pdf": ".pdf", "svg": ".svg", "dxf": "_mm.dxf"}
"""How the name of a file ends, by format; a DXF says its unit, since readers like to guess it."""


def format_of(path: Path | None, given: str | None) -> str:
    """The format that a file's name and the user's word for it agree on; pdf when neither says.

    Raises `InputError` when the two disagree, or when the name ends in another format's letters.

    >>> format_of(Path("plate_mm.dxf"), None), format_of(None, "svg")
    ('dxf', 'svg')
    """
    suffix = path.suffix.lower().lstrip(".") if path is not None else ""
    if given is None:
        if suffix and suffix not in ENDINGS:
            raise InputError(
                "output",
                path,
                f"a name that ends in {', '.join(f'.{name}' for name in ENDINGS)}",
                "name it so, or say --format",
            )
        return suffix or "pdf"
    if suffix in ENDINGS and suffix != given:
        raise InputError(
            "format", f"{given} for {path}", f"{suffix} for this name", "mend one of the two"
        )
    return given


def page_bytes(
    page: Page,
    file_format: str,
    style: Style | None = None,
    correction: Sequence[Sequence[float]] | None = None,
) -> bytes:
    """The page as a file of a format: pdf, svg or dxf.

    `style` dresses the cut files; `correction` is a printer's matrix, for a PDF alone.
    """
    if file_format == "svg":
        from protractor.output.svg import svg_bytes

        return svg_bytes(page, style)
    if file_format == "dxf":
        from protractor.output.dxf import dxf_bytes

        return dxf_bytes(page, style)
    from protractor.output.pdf import pdf_bytes

    return pdf_bytes([page], correction)
