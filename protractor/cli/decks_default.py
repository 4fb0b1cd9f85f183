"""`protractor decks default`: what is taken when nothing else is given."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from protractor.bench.ready_sheet import profile_of
from protractor.cli.deck_options import deck_name_argument
from protractor.cli.options import answer, decks_option, json_option, option
from protractor.cli.sheets import profile_file_option
from protractor.errors import InputError
from protractor.printing.inputs import CLEAR_MARGIN, PAPER, PRINTER
from protractor.printing.paper import paper as paper_named


@click.command("default")
@deck_name_argument(required=False)
@option(replace(PAPER, default=None, help="Paper to take where a command names none."))
@option(replace(CLEAR_MARGIN, help="Its clear margin."))
@option(replace(PRINTER, help="A recorded printer to correct sheets for, on this paper."))
@profile_file_option
@click.option("--none", is_flag=True, help="Take nothing by default any more.")
@decks_option
@json_option
def command(
    name: str | None,
    paper: str | None,
    clear_margin: float | None,
    printer: str | None,
    profile_file: Path | None,
    none: bool,
    decks_file: Path | None,
    as_json: bool,
) -> None:
    """Choose the deck, paper and printer that are taken when none is named.

    A command that takes one of them says so in one line. The default deck is not taken where a
    length is given: that means another deck. What is not named here stays as it is; with nothing at
    all the defaults are shown.
    """
    from protractor.bench.remembered import Defaults, remembered, set_defaults

    file = remembered(decks_file)
    before = file.defaults
    given = {"paper": paper, "clear_margin_mm": clear_margin, "printer": printer}
    changes: dict[str, Any] = {key: value for key, value in given.items() if value is not None}
    if name is not None:
        changes["deck"] = file.deck(name).name
    if none and changes:
        raise InputError("none", "`none` beside a default", "one of the two", "leave out one")
    after = Defaults() if none else replace(before, **changes)
    if printer is not None:
        profile_of(printer, paper_named(PAPER.or_default(after.paper)), profile_file)
    if after != before:
        set_defaults(file.path, after)
    answer(as_json, after.table, lambda: f"By default: {after or 'nothing'}.")
