"""`protractor decks change`: other figures of a deck."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from protractor.alignments.deck import NAME
from protractor.bench.decks import fields_of
from protractor.cli.deck_options import deck_name_argument, tell_remark
from protractor.cli.decks_add import field_options, fields_given
from protractor.cli.options import Function, decks_option
from protractor.errors import InputError
from protractor.inputs.quantities import near


def options(function: Function) -> Function:
    """Adds an option for every field that can change."""
    return field_options(function, but=NAME.name)


@click.command("change")
@deck_name_argument()
@options
@click.option("--without", multiple=True, metavar="FIELD", help="Leave this field out from now on.")
@decks_option
def command(name: str, without: tuple[str, ...], decks_file: Path | None, **values: Any) -> None:
    """Change figures of a remembered deck, or of one in the file that --decks names.

    The deck is checked first; comments and order of a TOML file stay. The next round of `correct`
    begins a new count when the target is another one then.
    """
    from protractor.bench.remembered import change, remembered

    file, given = remembered(decks_file), fields_given(values)
    meant = file.name_of(name)
    for field in without:
        if field not in fields_of() or field == NAME.name:
            known = [each for each in fields_of() if each != NAME.name]
            raise InputError(
                "without", field, "a field of `protractor decks fields`", near(field, known)
            )
    if not given and not without:
        raise InputError(
            "deck", f"nothing to change of {meant}", "a figure", "give one, or `without`"
        )
    deck = change(file.path, meant, given, without)
    click.echo(f"{file.path}: changed {deck.name}")
    tell_remark(file.path, deck)
