"""`protractor gauge board`: where to drill for a new arm."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.alignments.deck import Deck
from protractor.bench.ready_sheet import OnPaper
from protractor.bench.sheet_orders import board_sheet
from protractor.cli.help import Command
from protractor.cli.options import ALIGNED, SHEET, asks_deck, json_option, option
from protractor.cli.sheets import SheetFile, file_options, profile_file_option, write_sheet
from protractor.sheets.inputs import MOUNT, SLOTS


@click.command("board", cls=Command)
@asks_deck(*ALIGNED, *SHEET, "name")
@profile_file_option
@option(SLOTS)
@option(MOUNT)
@file_options
@json_option
def command(
    deck: Deck,
    profile_file: Path | None,
    slots: float | None,
    mount: float | None,
    file: SheetFile,
    as_json: bool,
) -> None:
    """Write where to drill for a new arm: spindle, pivot circle and tolerance ring.

    Give the arm's effective length. The arm maker's own drawing counts where it differs. Look under
    the plinth before you drill, and pull the mains plug.
    """
    on_paper = OnPaper.of(deck, profile_file)
    write_sheet(board_sheet(deck, on_paper, slots, mount), file, as_json)
