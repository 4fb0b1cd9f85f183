"""`protractor decks`: the group of commands on files of decks."""

from __future__ import annotations

import click

from protractor.cli import Commands

TASKS = {
    "check": "Read a file of decks and tell every fault with its line and field.",
    "list": "The decks of a file with their numbers.",
    "add": "Add a deck to a file; the file is made when there is none.",
    "export": "Write the decks of a file as TOML or CSV.",
    "fields": "What a deck file may say of a deck, field by field.",
}
"""Each task with its line in the help; `protractor.cli.decks_NAME` holds it as `command`."""


@click.group("decks", cls=Commands, lines=TASKS, prefix="decks_", invoke_without_command=True)
@click.pass_context
def command(ctx: click.Context) -> None:
    """Files of decks, TOML or CSV, one entry a deck.

    Fields: name, pivot-to-spindle or effective-length, and what else a deck needs; `protractor
    decks fields` lists them. Numbers are mm; units and fractions are taken as on the command line.
    What else is stated of the arm (effective-length, overhang, offset-angle, linear-offset, as in
    237±0.5) is checked for contradictions.
    """
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())
