"""`protractor decks export`: the decks of a file as TOML or CSV."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.bench.deck_file import decks_text, read_decks
from protractor.cli.deck_options import file_of, own_decks_argument, tell_faults
from protractor.cli.options import force_option
from protractor.cli.saying import note, write_file
from protractor.errors import InputError, shown
from protractor.files import refuse


@click.command("export")
@own_decks_argument
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="FILE",
    required=True,
    help="File to write: .toml or .csv.",
)
@click.option(
    "--semicolons", is_flag=True, help="CSV with semicolons and decimal commas, for spreadsheets."
)
@force_option
def command(decks: Path | None, output: Path, semicolons: bool, force: bool) -> None:
    """Write the decks of a file as TOML or CSV, by the ending of the new file.

    Without DECKS it writes the remembered ones. CSV has no tables for cartridge, arm and stage; a
    note says whose are left out. A file with faults is not exported, so that no
    deck is lost on the way.
    """
    refuse(output, True)
    path = file_of(decks)
    found = read_decks(path)
    if found.faults:
        tell_faults(path, found.faults)
        count = len(found.faults)
        raise InputError(
            "DECKS", f"{path} with {count} faults", "a file without", "correct it first"
        )
    text = decks_text(output, found.decks, semicolons=semicolons)
    write_file(output, text.encode("utf-8"), force=force)
    with_sheets = [deck.name for deck in found.decks if deck.data_sheets]
    if with_sheets and output.suffix.lower() == ".csv":
        names = shown(", ".join(with_sheets), 80)
        note(f"CSV has no room for data sheets (cartridge, arm, stage); left out of {names}")
    click.echo(f"{output}: {len(found.decks)} deck{'' if len(found.decks) == 1 else 's'}")
