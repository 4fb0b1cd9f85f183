"""`protractor decks check`: every fault of a file with its line and field."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.bench.deck_file import read_decks
from protractor.bench.decks import remark
from protractor.cli.deck_options import decks_argument, tell_faults, tell_remark
from protractor.cli.options import json_option, print_json


@click.command("check")
@decks_argument
@json_option
def command(decks: Path, as_json: bool) -> int:
    """Read a file of decks and tell every fault with its line and field.

    Exit status 0 when there is none, 2 when there is. Statements about an arm that contradict one
    another are told as a note: the length that is held counts.
    """
    found = read_decks(decks)
    tell_faults(decks, found.faults)
    for deck, line in zip(found.decks, found.lines, strict=True):
        tell_remark(decks, deck, line)
    if as_json:
        faults = [
            {
                "line": fault.line,
                "deck": fault.deck,
                "field": fault.error.name,
                "got": fault.error.got,
                "allowed": fault.error.allowed,
                "remedy": fault.error.remedy,
            }
            for fault in found.faults
        ]
        remarks = [
            {"line": line, "deck": deck.name, "remark": remark(deck)}
            for deck, line in zip(found.decks, found.lines, strict=True)
            if remark(deck)
        ]
        print_json({"decks": len(found.decks), "faults": faults, "remarks": remarks})
    else:
        sound, faulty = len(found.decks), len(found.faults)
        click.echo(
            f"{decks}: {sound} sound deck{'' if sound == 1 else 's'}, "
            f"{faulty} fault{'' if faulty == 1 else 's'}"
        )
    return 2 if found.faults else 0
