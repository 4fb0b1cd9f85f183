"""`protractor decks sheet`: the worksheet of a deck as a page for the customer's file."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.alignments.deck import Deck
from protractor.cli.deck_options import deck_name_argument
from protractor.cli.options import decks_option, filled, json_option
from protractor.cli.sheets import OnPaper, Sheet, SheetFile, file_options, stem_of


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
    from protractor.bench.worksheet import as_dict, worksheet
    from protractor.sheets.worksheet import worksheet_page

    kept = remembered(decks_file)
    known = kept.deck_or_default(name)
    given = {key: value for key, value in deck.as_dict().items() if key != "name"}
    asked = question(kept, known.name, given, ("paper", "clear_margin_mm")).deck
    on_paper = OnPaper.of(asked, None)
    Sheet(
        stem=stem_of(Deck(name=known.name), "worksheet", on_paper.paper.name),
        make=lambda: on_paper.page(lambda paper: worksheet_page(worksheet(kept, known), paper)),
        report=lambda page, form: f"{on_paper.paper.label}: worksheet of {known.name}",
        figures=lambda: as_dict(kept, known),
    ).write(file, as_json)
