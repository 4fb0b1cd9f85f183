"""`protractor gauge pivot`: a paper gauge for the distance from pivot to spindle."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.alignments.deck import Deck
from protractor.bench.ready_sheet import OnPaper
from protractor.bench.sheet_orders import pivot_gauge_sheet
from protractor.cli.help import Command
from protractor.cli.options import SHEET, asks_deck, json_option, option
from protractor.cli.sheets import SheetFile, file_options, profile_file_option, write_sheet
from protractor.sheets.inputs import START


@click.command("pivot", cls=Command)
@option(START)
@asks_deck(*SHEET, "name", another=None)
@profile_file_option
@file_options
@json_option
def command(
    start: float | None, deck: Deck, profile_file: Path | None, file: SheetFile, as_json: bool
) -> None:
    """Write a gauge that measures pivot to spindle to a tenth of a millimetre.

    A fork with two scales lies from the spindle to past the pivot, open toward it so that it slides
    past the arm's pillar; a slider with verniers and two flaps carries the reading up to the
    pivot's height. For an arm that is longer than the sheet add a second sheet, as from --start
    190, which is laid on the first and read where it lies.
    """
    on_paper = OnPaper.of(deck, profile_file)
    write_sheet(pivot_gauge_sheet(deck, on_paper, start), file, as_json)
