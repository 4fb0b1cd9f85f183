"""`protractor pack`: proof of the printer, sheet and numbers as one PDF for one print run."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from protractor.cli.file_options import place_of, tell_missing_letters, write_sheet
from protractor.cli.options import (
    deck_options,
    force_option,
    json_option,
    option,
    print_json,
    straight_option,
)
from protractor.cli.sheet_options import (
    correction_dict,
    output_option,
    page_on,
    sheet_of,
    sheet_options,
)
from protractor.cli.solve import prose
from protractor.cli.template import Words, one_deck, two_null
from protractor.errors import InputError
from protractor.inputs import deck as inputs


@click.command("pack")
@deck_options
@straight_option
@option(inputs.ZENITH)
@option(inputs.KIND)
@sheet_options
@option(inputs.TITLE)
@output_option
@force_option
@json_option
def command(
    zenith: float | None,
    kind: str | None,
    paper: str | None,
    clear_margin: float | None,
    printer: str | None,
    profile_file: Path | None,
    title: str | None,
    output: Path | None,
    force: bool,
    as_json: bool,
    record: str | None,
    **values: Any,
) -> None:
    """Write one PDF with bookmarks: calibration sheet, alignment sheet and numbers.

    The options are those of `protractor template`. With --printer the first page is the
    verification sheet. Without a deck (--kind two-null alone) there is no page of numbers.
    """
    sheet, correction = sheet_of(
        paper=paper, clear_margin=clear_margin, printer=printer, profile_file=profile_file
    )
    note = correction.statement if correction else ""
    planned = two_null if kind == "two-null" else one_deck
    words = Words(title=title or "", note=note, printer=printer or "", zenith_deg=zenith or 0.0)
    plan = planned(record, values, sheet, words)
    if correction is None and output is not None and output.suffix.lower() not in ("", ".pdf"):
        raise InputError("output", output, "a name that ends in .pdf", "name it so: it is one PDF")
    path, _ = place_of(output, "pdf", force, f"pack_{plan.stem}", correction=correction)

    from protractor.output.pdf import pdf_bytes
    from protractor.sheets.calibration import calibration_page
    from protractor.sheets.numbers import numbers_page

    pages = [page_on(plan.make, sheet)]
    pages.insert(0, page_on(lambda p: calibration_page(p, printer or "", note), sheet))
    alignment = plan.alignment
    if alignment is not None:
        pages.append(page_on(lambda p: numbers_page(alignment, p, title or "", note), sheet))
    names = [page.title for page in pages]
    data = pdf_bytes(pages, correction.matrix if correction else None, names)
    write_sheet(path, data, force)
    tell_missing_letters(title or "")
    if as_json:
        print_json(
            {
                **plan.figures,
                "file": str(path),
                "sheet": {
                    "paper": sheet.name,
                    "width_mm": sheet.width_mm,
                    "height_mm": sheet.height_mm,
                },
                "printer": correction_dict(correction) if correction else None,
                "pages": [{"title": page.title, "features": page.features} for page in pages],
            }
        )
        return
    click.echo(path)
    summary = f"{len(pages)} pages {sheet.label}: {', '.join(names)}"
    for line in prose(summary, *plan.remarks, *([note] if note else [])):
        click.echo(line)
    click.echo("Print at 100 % (actual size), on one side.")
