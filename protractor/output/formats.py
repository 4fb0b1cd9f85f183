"""Which format a file is written in, and pages in that format."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Protocol

from protractor.drawing.shapes import Page
from protractor.errors import InputError
from protractor.files import refuse, write_whole
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
                "name it so, or add `format`",
            )
        return suffix or "pdf"
    if suffix in ENDINGS and suffix != given:
        raise InputError(
            "format", f"{given} for {path}", f"{suffix} for this name", "change one of the two"
        )
    return given


def page_bytes(
    page: Page | Sequence[Page],
    file_format: str,
    style: Style | None = None,
    correction: Sequence[Sequence[float]] | None = None,
    printer: str = "",
) -> bytes:
    """The page as a file of a format: pdf, svg or dxf.

    Of several pages a PDF has all and a cut file the first, the one with what is cut. `style`
    dresses the cut files; `correction` is a printer's matrix and `printer` its name, for a PDF
    alone.
    """
    pages = [page] if isinstance(page, Page) else list(page)
    if file_format == "svg":
        from protractor.output.svg import svg_bytes

        return svg_bytes(pages[0], style)
    if file_format == "dxf":
        from protractor.output.dxf import dxf_bytes

        return dxf_bytes(pages[0], style)
    from protractor.output.pdf import pdf_bytes

    return pdf_bytes(pages, correction, printer=printer)


class Drawn(Protocol):
    """What is no page and turns itself into a file, as the page of curves does."""

    @property
    def formats(self) -> tuple[str, ...]:
        """The formats that it knows."""
        ...

    def file_bytes(self, file_format: str) -> bytes:
        """Its file in one of these formats."""
        ...


def save(
    drawing: Page | Sequence[Page] | Drawn,
    path: str | Path,
    *,
    force: bool = False,
    style: Style | None = None,
    correction: Sequence[Sequence[float]] | None = None,
) -> Path:
    """Write a page, several pages or a page of curves to a file, whole or not at all.

    The ending of the name says the format: .pdf, .svg or .dxf, and .png for curves. Several pages
    make one PDF. A file that is there stays unless `force` is set; one that is the same already is
    left as it is.

    Args:
        drawing: what is drawn.
        path: the file.
        force: whether a file that is there may be replaced.
        style: colours and text of a cut file; SVG and DXF.
        correction: a printer's matrix, for a PDF alone.

    Returns:
        the file.

    Raises:
        InputError: for an ending that is not known, for several pages in a format that takes one,
            for a correction of what is not a PDF, or when the file cannot be written.
    """
    path = Path(path)
    file_format, make = _maker(drawing, path, style, correction)
    if correction is not None and file_format != "pdf":
        raise InputError(
            "correction", path, "a PDF alone: a cut file keeps its lengths", "name a .pdf"
        )
    refuse(path, True)
    write_whole(path, make(), force=force)
    return path


def _maker(
    drawing: Page | Sequence[Page] | Drawn,
    path: Path,
    style: Style | None,
    correction: Sequence[Sequence[float]] | None,
) -> tuple[str, Callable[[], bytes]]:
    """The format that a file's ending names, and what makes its bytes."""
    file_format = path.suffix.lower().lstrip(".")
    pages = [drawing] if isinstance(drawing, Page) else drawing
    known = tuple(ENDINGS) if isinstance(pages, Sequence) else pages.formats
    if file_format not in known:
        endings = ", ".join(f".{name}" for name in known)
        raise InputError("path", path, f"a name that ends in {endings}", "name it so")
    if not isinstance(pages, Sequence):
        return file_format, lambda: pages.file_bytes(file_format)
    if file_format == "pdf":
        from protractor.output.pdf import pdf_bytes

        return file_format, lambda: pdf_bytes(pages, correction)
    if len(pages) != 1:
        raise InputError(
            "path", path, f"one page in a .{file_format}, not {len(pages)}", "name a .pdf"
        )
    return file_format, lambda: page_bytes(pages[0], file_format, style)
