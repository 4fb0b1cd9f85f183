"""`protractor decks sheet`: the worksheet of a deck as a page for the customer's file."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.alignments.deck import Deck
from protractor.bench.ready_sheet import OnPaper
from protractor.bench.sheet_orders import worksheet_sheet
from protractor.cli.deck_options import deck_name_argument
from protractor.cli.options import decks_option, filled, json_option
from protractor.cli.sheets import SheetFile, file_options, write_sheet


@click.command("sheet")
@deck_name_argument(required=False)
@filled(Deck, ("paper", "clear_margin_mm"))
@decks_option
@file_options
@json_option
def command(
    name: str | None, deck: Deck, decks_file: Path | None, file: SheetFile, as_json: bool
) -> None:
    """Write the worksheet of a deck as a page for the customer's file.

    It says what `protractor decks show` says, with lines for who set the deck up, tracking force,
    anti-skating and remarks. Where the paper is too small for every round the latest are on it.
    """
    from protractor.bench.remembered import question, remembered

    kept = remembered(decks_file)
    known = kept.deck_or_default(name)
    given = {key: value for key, value in deck.as_dict().items() if key != "name"}
    asked = question(kept, known.name, given, ("paper", "clear_margin_mm")).deck
    write_sheet(worksheet_sheet(kept, known, OnPaper.of(asked)), file, as_json)
