"""`protractor gauge kerf`: a test piece that reads how wide the cutter cuts."""

from __future__ import annotations

import click

from protractor.cli.help import Command
from protractor.cli.options import json_option, option
from protractor.cli.sheets import Sheet, SheetFile, file_options
from protractor.sheets.cutting import KERF


@click.command("kerf", cls=Command)
@option(KERF)
@file_options
@json_option
def command(kerf: float | None, file: SheetFile, as_json: bool) -> None:
    """Write a test piece that reads how wide the cutter cuts.

    Cut it first without --kerf and read the scale; then with the kerf read, and try its holes.
    """
    from protractor.sheets.kerf_piece import kerf_page

    Sheet(
        stem="kerf-test",
        make=lambda: kerf_page(KERF.or_default(kerf)),
        report=lambda page, form: (
            f"{page.width_mm:.1f} x {page.height_mm:.1f} mm of stock\n"
            "Push the twenty blocks to the left; the last one's edge points at the kerf."
        ),
        usual="svg",
    ).write(file, as_json)
