"""`protractor pack`: proof of the printer, sheet and numbers as one PDF for one print run."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.alignments.deck import Deck
from protractor.bench.ready_sheet import OnPaper
from protractor.bench.sheet_orders import pack_sheet
from protractor.cli.help import Command
from protractor.cli.options import ALIGNED, SHEET, asks_deck, force_option, json_option, option
from protractor.cli.remembered import remembered_words
from protractor.cli.sheets import SheetFile, output_option, profile_file_option, write_sheet
from protractor.sheets.inputs import KIND


@click.command("pack", cls=Command)
@asks_deck(*ALIGNED, "straight", "zenith_deg", *SHEET, "name")
@profile_file_option
@option(KIND)
@output_option
@force_option
@json_option
def command(
    deck: Deck,
    kind: str | None,
    profile_file: Path | None,
    output: Path | None,
    force: bool,
    as_json: bool,
) -> None:
    """Write one PDF with bookmarks: calibration sheet, alignment sheet and numbers.

    The options are those of `protractor template`. With --printer the first page is the
    verification sheet. Without a deck (--kind two-null alone) there is no page of numbers.
    """
    on_paper = OnPaper.of(deck, profile_file)
    sheet = pack_sheet(deck, on_paper, kind, remembered_words())
    write_sheet(sheet, SheetFile(output=output, format="pdf", force=force), as_json)
