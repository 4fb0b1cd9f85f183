"""`protractor batch`: all sheets of all decks of a file."""

from __future__ import annotations

import os
import sys
from dataclasses import replace
from pathlib import Path

import click

from protractor.bench.deck_file import read_decks
from protractor.bench.decks import deck_stem
from protractor.bench.inputs import PROCESSES, SHEET
from protractor.cli.deck_options import FAULTS_SHOWN, decks_argument, terminal
from protractor.cli.help import Command
from protractor.cli.options import filled, force_option, json_option, option, print_json
from protractor.cli.saying import tell
from protractor.cli.sheets import DEFAULT_FOLDER, profile_file_option
from protractor.files import make_folder
from protractor.output.inputs import COLOURS, FORMAT, TEXT_AS
from protractor.output.style import style_of
from protractor.printing.inputs import PAPER
from protractor.sheets.cutting import Cutting

SEVERAL_FORMATS = replace(
    FORMAT, many=True, help="A format to write; may be given again. Default all."
)
FAILED = 1
"""Exit status when some decks failed and the rest is written."""


@click.command("batch", cls=Command)
@decks_argument
@option(SHEET)
@option(SEVERAL_FORMATS)
@option(PAPER)
@profile_file_option
@filled(Cutting, ("kerf_mm", "hole_mm", "thickness_mm", "stock_mm", "mirror"))
@option(TEXT_AS)
@option(COLOURS)
@option(PROCESSES)
@click.option(
    "--folder",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help=f"Folder to write to. Default {DEFAULT_FOLDER}/ and the file's name.",
)
@click.option(
    "--resume", is_flag=True, help="Go on: write only what is missing or whose inputs changed."
)
@force_option
@json_option
def command(
    decks: Path,
    sheet: tuple[str, ...],
    format: tuple[str, ...],
    paper: str | None,
    profile_file: Path | None,
    cutting: Cutting,
    text: str | None,
    colours: str | None,
    processes: float | None,
    folder: Path | None,
    resume: bool,
    force: bool,
    as_json: bool,
) -> int:
    """Draw all sheets of all decks of a file, in all formats unless --format says which.

    A deck that fails is reported and the rest go on. Writes beside the sheets index.pdf, a page to
    look at, and summary.json, the same for programs. Exit status 0 when every deck is drawn, 1 when
    some failed, 2 when nothing could be done.
    """
    found = read_decks(decks)
    style = style_of(text, colours)

    from protractor.bench.batch import run_batch
    from protractor.bench.deck_sheets import SheetChoice
    from protractor.bench.ledger import Outcome

    default = SheetChoice()
    choice = SheetChoice(
        sheets=tuple(dict.fromkeys(sheet)) or default.sheets,
        formats=tuple(dict.fromkeys(format)) or default.formats,
        cutting=cutting,
        style=style,
        paper=paper or str(PAPER.default),
        profile_file=profile_file,
    )
    if folder is None:
        folder = DEFAULT_FOLDER / deck_stem(decks.stem)
    make_folder(folder, "folder")
    count = len(found.decks) + len(found.faulty_decks)

    with click.progressbar(
        length=count, label="decks", file=sys.__stderr__, hidden=not terminal()
    ) as bar:

        def step(_: Outcome) -> None:
            bar.update(1)

        batch = run_batch(
            found,
            folder,
            choice,
            processes=int(processes or os.cpu_count() or 1),
            resume=resume,
            force=force,
            progress=step,
        )
    failed = [outcome for outcome in batch.outcomes if outcome["status"] == "failed"]
    for outcome in failed[:FAULTS_SHOWN]:
        who = f"{decks.name}, line {outcome['line']}, deck '{outcome['name']}'"
        tell(f"protractor: {who}: {outcome['error']}")
    if len(failed) > FAULTS_SHOWN:
        tell(f"protractor: and {len(failed) - FAULTS_SHOWN} more, in the summary")
    if as_json:
        print_json(batch.as_dict())
    else:
        click.echo(
            f"{folder}: {batch.count('written')} decks written, {batch.count('kept')} kept, "
            f"{len(failed)} failed\nSee index.pdf; summary.json holds the same for programs."
        )
    return FAILED if failed else 0
