"""`protractor decks add`: one deck more, remembered or in a file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from protractor.alignments.deck import NAME, Deck
from protractor.alignments.sheet_code import quoted
from protractor.bench.decks import fields_of, read_deck
from protractor.cli.deck_options import file_of, own_decks_argument, tell_remark
from protractor.cli.options import Function
from protractor.cli.saying import note
from protractor.errors import named


def field_options(function: Function, kind: type[Deck] = Deck, but: str = "") -> Function:
    """Adds an option for every field of a deck `but` one; it is read as a file's fields are."""
    for name, asked in reversed(list(fields_of(kind).items())):
        if name == but:
            continue
        function = click.option(
            f"--{name}",
            nargs=asked.count,
            multiple=asked.many,
            metavar=" ".join(["VALUE"] * asked.count),
            required=name == NAME.name,
            help=named(asked.help),
        )(function)
    return function


def fields_given(values: dict[str, Any]) -> dict[str, object]:
    """The fields that options gave, by their names."""
    return {
        name.replace("_", "-"): list(value) if isinstance(value, tuple) else value
        for name, value in values.items()
        if value is not None and value != ()
    }


@click.command("add")
@own_decks_argument
@field_options
def command(decks: Path | None, **values: Any) -> None:
    """Remember a deck, or add it to a file of decks, TOML or CSV by its ending.

    Without DECKS the deck goes into the file in your configuration folder, where --deck finds it by
    its name. The file is made when there is none; comments and order of a TOML file stay. The deck
    is checked first.
    """
    from protractor.bench.remembered import add

    deck, faults = read_deck(fields_given(values))
    if deck is None:
        raise faults[0]
    path = file_of(decks)
    if not add(path, deck):
        note(f"{path} has {deck.name} already, the same; left as it is")
        return
    click.echo(f"{path}: added {deck.name}")
    if decks is None:
        name = quoted(deck.name)
        alone = f"-- {name}" if deck.name.startswith("-") else name
        lines = ("Use it by its name:", f"  protractor template --deck {name}")
        more = ("or take it whenever none is named:", f"  protractor decks default {alone}")
        click.echo("\n".join([*lines, *more]))
    tell_remark(path, deck)
