"""Options that say which file is written, in which format and dress; and the default folder."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from protractor.cli.options import Function, force_option, option, print_json
from protractor.cli.sheet_options import correction_dict, output_option
from protractor.drawing.shapes import Page
from protractor.drawing.type import printable
from protractor.errors import InputError
from protractor.files import make_folder, refuse, write_whole
from protractor.inputs import bench as bench_inputs
from protractor.output.formats import ENDINGS, format_of, page_bytes
from protractor.output.style import Style, read_colours

if TYPE_CHECKING:
    from protractor.printing.fit import Correction

DEFAULT_FOLDER = Path("templates_out")


def format_options(function: Function) -> Function:
    """Adds `--text` and `--colours`."""
    return option(bench_inputs.TEXT_AS)(option(bench_inputs.COLOURS)(function))


def file_options(function: Function) -> Function:
    """Adds `--output`, `--format`, `--text`, `--colours` and `--force`."""
    function = format_options(force_option(function))
    return output_option(option(bench_inputs.FORMAT)(function))


def style_of(text: str | None, colours: str | None) -> Style:
    """The dress of a cut file that the options ask for."""
    return Style(
        text="text" if text == "text" else "outline",
        colours=read_colours(colours or str(bench_inputs.COLOURS.default)),
    )


def place_of(
    output: Path | None,
    file_format: str | None,
    force: bool,
    stem: str,
    default_format: str = "pdf",
    correction: Correction | None = None,
) -> tuple[Path, str]:
    """The file to write and its format, refused before any work when it cannot be written.

    `stem` names the file when the user names none. A correction for a printer is for PDF alone.
    """
    path = output or DEFAULT_FOLDER / (stem + ENDINGS[file_format or default_format])
    if correction is not None and (path.suffix.lower() or ".pdf") != ".pdf":
        raise InputError(
            "printer",
            f"{correction.printer} for {path.name}",
            "PDF sheets alone",
            "a cut file or drawing must keep its lengths: leave out --printer, or name a .pdf",
        )
    file_format = format_of(path, file_format)
    if output is not None or DEFAULT_FOLDER.exists():  # made when there is something to put there
        refuse(path, force)
    return path, file_format


def write_sheet(path: Path, data: bytes, force: bool) -> None:
    """Writes a sheet whole; the default folder is made only now."""
    if path.parent == DEFAULT_FOLDER:
        make_folder(DEFAULT_FOLDER)
    write_whole(path, data, force=force)


def write_page(
    page: Page,
    path: Path,
    file_format: str,
    style: Style,
    force: bool,
    correction: Correction | None = None,
) -> None:
    """Writes the page, and says so when its words have letters that the typeface lacks."""
    matrix = correction.matrix if correction else None
    write_sheet(path, page_bytes(page, file_format, style, matrix), force)
    tell_missing_letters(page.title)


def tell_missing_letters(title: str) -> None:
    """Says so when the title has letters that the sheets' typeface lacks."""
    if printable(title) != title:
        click.echo(
            "protractor: note: the sheet's typeface lacks some characters of the title", err=True
        )


def proof(file_format: str) -> str:
    """What to do before a sheet with two bars is used."""
    if file_format == "pdf":
        return "Print at 100 % (actual size), then measure both bars before you use the sheet."
    return "One unit is one millimetre; measure both bars on the piece before you use it."


def report_page(
    page: Page,
    path: Path,
    text: str,
    values: dict[str, Any] | None,
    correction: Correction | None = None,
) -> None:
    """Prints where the page went: `text`, or `values` with sheet and features as JSON."""
    if values is None:
        click.echo(f"{path}\n{text}")
        return
    print_json(
        {
            **values,
            "file": str(path),
            "sheet": {
                "paper": page.paper,
                "width_mm": page.width_mm,
                "height_mm": page.height_mm,
            },
            "printer": correction_dict(correction) if correction else None,
            "features": page.features,
        }
    )
