"""`protractor decks fields`: what a deck file may say of a deck."""

from __future__ import annotations

from textwrap import wrap

import click

from protractor.alignments.deck import Deck
from protractor.bench.decks import fields_of
from protractor.cli.options import answer, json_option
from protractor.errors import named
from protractor.inputs.declaration import Input, description

NAME_WIDTH = 18

DATA_SHEETS = (
    "In TOML a deck may have tables for its cartridge, arm and phono stage besides, which "
    "`protractor fit --deck NAME` reads: [deck.cartridge], [deck.arm] and [deck.stage], or one "
    "[[deck.stage]] for each input. Their fields are the options of `protractor fit` without the "
    "table's name: --cartridge-output is output in [deck.cartridge]."
)


def entry(name: str, asked: Input) -> list[str]:
    """A field as lines of at most 80 columns: its name, what it is, and what it takes."""
    takes = f"Takes {asked.allowed}." if asked.kind != "form" else ""
    default = f"Default {asked.default}." if asked.default else ""
    text = " ".join(part for part in (named(asked.help), takes, default) if part)
    lines = wrap(text, 80 - NAME_WIDTH)
    return [f"{name if at == 0 else '':<{NAME_WIDTH}}{line}" for at, line in enumerate(lines)]


@click.command("fields")
@json_option
def command(as_json: bool) -> None:
    """Print the fields of a deck file: what each says, and what it takes.

    The same names are options of the commands that take a deck.
    """
    answer(
        as_json,
        lambda: description(fields_of(Deck)),
        lambda: "\n".join(
            [
                *(line for name, asked in fields_of(Deck).items() for line in entry(name, asked)),
                "",
                *wrap(DATA_SHEETS, 80, break_on_hyphens=False),
            ]
        ),
    )
