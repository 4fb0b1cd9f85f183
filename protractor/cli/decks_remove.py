"""`protractor decks remove`: forget a deck."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.cli.deck_options import deck_name_argument, file_of
from protractor.cli.options import decks_option


@click.command("remove")
@deck_name_argument()
@decks_option
def command(name: str, decks_file: Path | None) -> None:
    """Take a deck out of the remembered ones, or out of the file that --decks names.

    The log of its rounds stays where it is.
    """
    from protractor.bench.remembered import remembered, remove

    file = remembered(decks_file)
    meant, default = file.name_of(name), file.defaults.deck
    remove(file.path, meant)
    click.echo(f"{file_of(decks_file)}: removed {meant}")
    if default == meant:
        click.echo("No deck is the default any more.")
    if file.log(meant).exists():
        click.echo(f"The log of its rounds stays: {file.log(meant)}")
