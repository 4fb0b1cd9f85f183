"""`protractor gauge kerf`: a test piece that reads how wide the cutter cuts."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.cli.file_options import file_options, place_of, report_page, style_of, write_page
from protractor.cli.options import json_option, option, value_of
from protractor.inputs import bench as bench_inputs


@click.command("kerf")
@option(bench_inputs.KERF)
@file_options
@json_option
def command(
    kerf: float | None,
    output: Path | None,
    format: str | None,
    text: str | None,
    colours: str | None,
    force: bool,
    as_json: bool,
) -> None:
    """Write a test piece that reads how wide the cutter cuts.

    Cut it first without --kerf and read the scale; then with the kerf read, and try its holes.
    """
    style = style_of(text, colours)
    path, file_format = place_of(output, format, force, "kerf-test", "svg")

    from protractor.sheets.kerf_piece import kerf_page

    page = kerf_page(value_of(kerf, bench_inputs.KERF))
    write_page(page, path, file_format, style, force)
    report_page(
        page,
        path,
        f"{page.width_mm:.1f} x {page.height_mm:.1f} mm of stock\n"
        "Push the twenty blocks to the left; the last one's edge points at the kerf.",
        {} if as_json else None,
    )
