"""`protractor gauge pivot`: a paper gauge for the distance from pivot to spindle."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.cli.file_options import (
    file_options,
    place_of,
    proof,
    report_page,
    style_of,
    write_page,
)
from protractor.cli.options import json_option, option, value_of
from protractor.cli.sheet_options import sheet_of, sheet_options
from protractor.cli.solve import prose
from protractor.cli.template import Words
from protractor.inputs import deck as inputs
from protractor.inputs import setup as used_deck_inputs


@click.command("pivot")
@option(used_deck_inputs.START)
@sheet_options
@option(inputs.TITLE)
@file_options
@json_option
def command(
    start: float | None,
    paper: str | None,
    clear_margin: float | None,
    printer: str | None,
    profile_file: Path | None,
    title: str | None,
    output: Path | None,
    format: str | None,
    text: str | None,
    colours: str | None,
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
    begin, name = value_of(start, used_deck_inputs.START), title or ""
    words = Words(
        title=name,
        note=correction.statement if correction else "",
        printer=printer or "",
        zenith_deg=0.0,
    )
    style = style_of(text, colours)
    stem = words.stem("pivot-gauge", f"from-{begin:g}mm", sheet.name)
    path, file_format = place_of(output, format, force, stem, correction=correction)

    from protractor.sheets.pivot_gauge import pivot_gauge_page

    page = pivot_gauge_page(sheet, begin, name, words.note)
    write_page(page, path, file_format, style, force, correction)
    pivots = page.features["pivots_mm"]
    assert pivots is not None
    report_page(
        page,
        path,
        f"{sheet.label}: for pivots {pivots[0]:g} to {pivots[1]:g} mm from the spindle\n"
        + "".join(f"{line}\n" for line in prose(*([words.note] if words.note else [])))
        + proof(file_format)
        + (
            "\nIt is laid on the sheet that starts at the spindle: print that too." if begin else ""
        ),
        {"start_mm": begin} if as_json else None,
        correction,
    )
