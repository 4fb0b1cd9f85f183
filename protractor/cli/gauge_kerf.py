"""`protractor gauge kerf`: a test piece that reads how wide the cutter cuts."""

from __future__ import annotations

import click

from protractor.bench.sheet_orders import kerf_sheet
from protractor.cli.help import Command
from protractor.cli.options import json_option, option
from protractor.cli.sheets import SheetFile, file_options, write_sheet
from protractor.sheets.cutting import KERF


@click.command("kerf", cls=Command)
@option(KERF)
@file_options
@json_option
def command(kerf: float | None, file: SheetFile, as_json: bool) -> None:
    """Write a test piece that reads how wide the cutter cuts.

    Cut it first without --kerf and read the scale; then with the kerf read, and try its holes.
    """
    write_sheet(kerf_sheet(kerf), file, as_json)
