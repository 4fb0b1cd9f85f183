"""`protractor decks check`: every fault of a file with its line and field."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.bench.deck_file import read_decks
from protractor.bench.decks import remark
from protractor.bench.inputs import SHEET
from protractor.cli.deck_options import (
    file_of,
    none_yet,
    own_decks_argument,
    tell_faults,
    tell_remark,
)
from protractor.cli.options import json_option, option, print_json
from protractor.cli.saying import tell
from protractor.cli.sheets import profile_file_option
from protractor.printing.inputs import PAPER


@click.command("check")
@own_decks_argument
@option(SHEET)
@option(PAPER)
@profile_file_option
@json_option
def command(
    decks: Path | None,
    sheet: tuple[str, ...],
    paper: str | None,
    profile_file: Path | None,
    as_json: bool,
) -> int:
    """Read a file of decks and report every fault with its line and field.

    Without DECKS it reads the remembered decks. Finds what `batch` would refuse under the same
    --sheet, --paper and --profile-file too: a paper that is too small, a printer that was not
    recorded. Exit status 0 when there is no fault, 2 when there is. Statements about an arm that
    contradict one another are reported in a note: the length that is held counts.
    """
    from protractor.bench.batch import refused
    from protractor.bench.deck_sheets import SheetChoice
    from protractor.bench.remembered import defaults_fault

    choice = SheetChoice(
        sheets=tuple(dict.fromkeys(sheet)) or SheetChoice().sheets,
        paper=paper or str(PAPER.default),
        profile_file=profile_file,
    )
    if none_yet(decks):
        return 0
    path = file_of(decks)
    read = read_decks(path)
    found = read.without(refused(read, choice))
    tell_faults(path, found.faults)
    default = defaults_fault(path)
    if default is not None:
        tell(f"protractor: {path.name}, defaults: {default.line('--')}")
    for deck, line in zip(found.decks, found.lines, strict=True):
        tell_remark(path, deck, line)
    if as_json:
        faults = [fault.as_dict() for fault in found.faults]
        remarks = [
            {"line": line, "deck": deck.name, "remark": remark(deck)}
            for deck, line in zip(found.decks, found.lines, strict=True)
            if remark(deck)
        ]
        counts = {"decks": len(found.decks), "faulty_decks": len(found.faulty_decks)}
        print_json({**counts, "faults": faults, "remarks": remarks})
    else:
        sound, faulty, count = len(found.decks), len(found.faulty_decks), len(found.faults)
        of = f" in {faulty} deck{'' if faulty == 1 else 's'}" if count > 1 else ""
        click.echo(
            f"{path}: {sound} sound deck{'' if sound == 1 else 's'}, "
            f"{count} fault{'' if count == 1 else 's'}{of}"
        )
    return 2 if found.faults or default is not None else 0
