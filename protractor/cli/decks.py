"""`protractor decks`: the group of commands on decks that are remembered, and files of decks."""

from __future__ import annotations

import click

from protractor.cli import Commands

TASKS = {
    "add": "Remember a deck, or add it to a file.",
    "list": "The remembered decks, or those of a file, with their numbers.",
    "show": "The worksheet of a deck: measured, aimed at, rounds, what is due.",
    "sheet": "The same as a page for the customer's file.",
    "default": "The deck, paper and printer that are taken when none is named.",
    "change": "Other figures of a deck.",
    "remove": "Forget a deck.",
    "check": "Read a file of decks and report every fault with its line and field.",
    "export": "Write the decks of a file as TOML or CSV.",
    "fields": "What a deck file may say of a deck, field by field.",
}
"""Each task with its line in the help; `protractor.cli.decks_NAME` holds it as `command`."""


@click.group("decks", cls=Commands, lines=TASKS, prefix="decks_", invoke_without_command=True)
@click.pass_context
def command(ctx: click.Context) -> None:
    """Decks that are remembered, and files of decks.

    `protractor decks add` remembers a deck in your configuration folder; --deck NAME then stands
    for all its figures on every command that takes a deck. The same tasks work on a file of your
    own: TOML or CSV, one entry a deck.

    Fields: name, pivot-to-spindle or effective-length, and what else a deck needs; `protractor
    decks fields` lists them. Numbers are mm; units and fractions are taken as on the command line.
    What else is stated of the arm (effective-length, overhang, offset-angle, linear-offset, as in
    237±0.5) is checked for contradictions.
    """
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())
