"""`protractor demo`: the sheets of an invented repair bench."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.cli.options import force_option, option
from protractor.cli.sheets import DEFAULT_FOLDER
from protractor.files import make_folder, refuse, same, write_whole
from protractor.output.inputs import FORMAT


@click.command("demo")
@click.option(
    "--folder",
    type=click.Path(path_type=Path),
    default=DEFAULT_FOLDER,
    metavar="FOLDER",
    help="Folder to write to. Default templates_out/.",
)
@option(FORMAT)
@force_option
def command(folder: Path, format: str | None, force: bool) -> None:
    """Write the sheets of an invented repair bench with three decks.

    A nine-, a ten- and a twelve-inch arm, each on A4 and Letter, a plate for the cutter, a board
    for a new arm, and the file of the three decks. A file that is there already and the same is
    left alone.
    """
    from protractor.bench.demo import demo_sheets

    if folder == DEFAULT_FOLDER:
        make_folder(folder)
    sheets = {folder / name: data for name, data in demo_sheets(format).items()}
    for path, data in sheets.items():
        refuse(path, force or same(path, data), "folder")
    for path, data in sheets.items():
        written = write_whole(path, data, force=force, name="folder")
        click.echo(f"{path}{'' if written else ' (unchanged)'}")
