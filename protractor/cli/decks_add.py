"""`protractor decks add`: one deck more in a file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from protractor.alignments.deck import NAME, Deck
from protractor.bench.deck_file import with_deck
from protractor.bench.decks import fields_of, read_deck
from protractor.cli.deck_options import decks_argument, tell_remark
from protractor.cli.options import Function
from protractor.errors import named
from protractor.files import alone, write_whole


def field_options(function: Function, kind: type[Deck] = Deck) -> Function:
    """Adds an option for every field of a deck; what is given is read as a file's fields are."""
    for name, asked in reversed(list(fields_of(kind).items())):
        function = click.option(
            f"--{name}",
            nargs=asked.count,
            multiple=asked.many,
            metavar=" ".join(["VALUE"] * asked.count),
            required=name == NAME.name,
            help=named(asked.help),
        )(function)
    return function


@click.command("add")
@decks_argument
@field_options
def command(decks: Path, **values: Any) -> None:
    """Add a deck to a file, TOML or CSV by its ending; the file is made when there is none.

    Comments and order of a TOML file stay. The deck is checked first.
    """
    given = {
        name: list(value) if isinstance(value, tuple) else value
        for name, value in values.items()
        if value is not None and value != ()
    }
    deck, faults = read_deck(given)
    if deck is None:
        raise faults[0]
    with alone(decks, "DECKS"):
        write_whole(decks, with_deck(decks, deck).encode("utf-8"), force=True, name="DECKS")
    click.echo(f"{decks}: added {deck.name}")
    tell_remark(decks, deck)
