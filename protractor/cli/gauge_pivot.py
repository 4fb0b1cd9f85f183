"""`protractor gauge pivot`: a paper gauge for the distance from pivot to spindle."""

from __future__ import annotations

from pathlib import Path

import click

from protractor import inputs
from protractor.cli.options import force_option, json_option, option, print_json, value_of
from protractor.cli.template import DEFAULT_FOLDER, file_stem
from protractor.drawing.type import printable
from protractor.output.files import make_folder, refuse, write_whole
from protractor.paper import PAPERS


@click.command("pivot")
@option(inputs.START)
@option(inputs.PAPER)
@option(inputs.TITLE)
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="File to write. Default: a name that says start and paper, in templates_out/.",
)
@force_option
@json_option
def command(
    start: float | None,
    paper: str | None,
    title: str | None,
    output: Path | None,
    force: bool,
    as_json: bool,
) -> None:
    """Write a gauge that measures pivot to spindle to a tenth of a millimetre.

    A ladder of two scales stands from the spindle to the pivot; a slider with verniers and two
    flaps carries the reading up to the pivot's height. An arm that is longer than the sheet gets a
    second sheet, as from --start 190, which is laid on the first and read where it lies.
    """
    sheet = PAPERS[paper or str(inputs.PAPER.default)]
    begin, name = value_of(start, inputs.START), title or ""
    parts = file_stem(name), "pivot-gauge", f"from-{begin:g}mm", sheet.name
    path = output or DEFAULT_FOLDER / ("_".join(part for part in parts if part) + ".pdf")
    if output is not None or DEFAULT_FOLDER.exists():
        refuse(path, force)

    from protractor.output.pdf import pdf_bytes
    from protractor.sheets.pivot_gauge import pivot_gauge_page

    page = pivot_gauge_page(sheet, begin, name)
    data = pdf_bytes([page])
    if output is None:
        make_folder(DEFAULT_FOLDER)
    write_whole(path, data, force=force)
    if printable(name) != name:
        click.echo(
            "protractor: note: the sheet's typeface lacks some characters of the title", err=True
        )
    if as_json:
        print_json(
            {
                "file": str(path),
                "start_mm": begin,
                "sheet": {
                    "paper": page.paper,
                    "width_mm": page.width_mm,
                    "height_mm": page.height_mm,
                },
                "features": page.features,
            }
        )
        return
    pivots = page.features["pivots_mm"]
    assert pivots is not None
    click.echo(
        f"{path}\n"
        f"{sheet.label}: for pivots {pivots[0]:g} to {pivots[1]:g} mm from the spindle\n"
        "Print at 100 % (actual size), then measure both bars before you use the sheet."
        + ("\nIt is laid on the sheet that starts at the spindle: print that too." if begin else "")
    )
