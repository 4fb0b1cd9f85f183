"""`protractor template`: the alignment sheet of one deck."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.alignments.deck import Deck
from protractor.bench.ready_sheet import OnPaper
from protractor.bench.sheet_orders import alignment_sheet
from protractor.cli.help import Command
from protractor.cli.options import ALIGNED, SHEET, asks_deck, json_option, option
from protractor.cli.remembered import remembered_words
from protractor.cli.sheets import SheetFile, file_options, profile_file_option, write_sheet
from protractor.sheets.inputs import KIND


@click.command("template", cls=Command)
@asks_deck(*ALIGNED, "straight", "zenith_deg", *SHEET, "name")
@profile_file_option
@option(KIND)
@file_options
@json_option
def command(
    deck: Deck, kind: str | None, profile_file: Path | None, file: SheetFile, as_json: bool
) -> None:
    """Draw a true-scale alignment sheet for one deck, as a PDF to print.

    Measure from the centre of the arm's pivot to the centre of the spindle, in mm; for inches write
    8.74in. Print the sheet at 100 % and measure its bars before you use it.

    \b
    Example: protractor template --pivot-to-spindle 222 --paper letter
    """
    on_paper = OnPaper.of(deck, profile_file)
    write_sheet(alignment_sheet(deck, on_paper, kind, remembered_words()), file, as_json)
