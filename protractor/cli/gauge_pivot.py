"""`protractor gauge pivot`: a paper gauge for the distance from pivot to spindle."""

from __future__ import annotations

from pathlib import Path

import click

from protractor import inputs
from protractor.cli.options import (
    correction_dict,
    force_option,
    json_option,
    option,
    output_option,
    pdf_only,
    print_json,
    sheet_of,
    sheet_options,
    value_of,
)
from protractor.cli.solve import prose
from protractor.cli.template import Words, sheet_path, write_sheet
from protractor.drawing.type import printable


@click.command("pivot")
@option(inputs.START)
@sheet_options
@option(inputs.TITLE)
@output_option
@force_option
@json_option
def command(
    start: float | None,
    paper: str | None,
    clear_margin: float | None,
    printer: str | None,
    profile_file: Path | None,
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
    sheet, correction = sheet_of(
        paper=paper, clear_margin=clear_margin, printer=printer, profile_file=profile_file
    )
    begin, name = value_of(start, inputs.START), title or ""
    words = Words(
        title=name,
        note=correction.statement if correction else "",
        printer=printer or "",
        zenith_deg=0.0,
    )
    path = sheet_path(
        output, words.file_name("pivot-gauge", f"from-{begin:g}mm", sheet.name), force
    )
    pdf_only(correction, path)

    from protractor.output.pdf import pdf_bytes
    from protractor.sheets.pivot_gauge import pivot_gauge_page

    page = pivot_gauge_page(sheet, begin, name, words.note)
    write_sheet(path, pdf_bytes([page], correction.matrix if correction else None), force)
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
                "printer": correction_dict(correction) if correction else None,
                "features": page.features,
            }
        )
        return
    pivots = page.features["pivots_mm"]
    assert pivots is not None
    click.echo(
        f"{path}\n"
        f"{sheet.label}: for pivots {pivots[0]:g} to {pivots[1]:g} mm from the spindle\n"
        + "".join(f"{line}\n" for line in prose(*([words.note] if words.note else [])))
        + "Print at 100 % (actual size), then measure both bars before you use the sheet."
        + ("\nIt is laid on the sheet that starts at the spindle: print that too." if begin else "")
    )
