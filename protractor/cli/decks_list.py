"""`protractor decks list`: the decks of a file with their numbers."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.alignments.align import align
from protractor.alignments.alignment import to_hundredth
from protractor.alignments.deck import Deck
from protractor.bench.deck_file import read_decks
from protractor.cli.deck_options import file_of, none_yet, own_decks_argument, tell_faults
from protractor.cli.options import json_option, print_json
from protractor.errors import InputError

NAME_WIDTH = 26


def row(deck: Deck) -> str:
    """A deck as a line of at most 80 columns."""
    alignment = align(deck)
    arm = alignment.arm
    name = deck.name if len(deck.name) <= NAME_WIDTH else deck.name[: NAME_WIDTH - 1] + "…"
    return (
        f"{name:<{NAME_WIDTH}} {to_hundredth(arm.pivot_to_spindle_mm):>7} "
        f"{to_hundredth(arm.overhang_mm):>8} {arm.offset_angle_deg:>6.2f}  "
        f"{alignment.scheme:<11} {alignment.record.name[:12]:<12}".rstrip()
    )


def remembered_defaults() -> str:
    """What is taken by default, in words; what is wrong with it is left to `decks check`."""
    from protractor.bench.remembered import remembered

    try:
        return str(remembered().defaults) or "nothing"
    except InputError:
        return "what `protractor decks check` finds wrong"


@click.command("list")
@own_decks_argument
@json_option
def command(decks: Path | None, as_json: bool) -> int:
    """Print the decks: pivot to spindle, overhang, offset angle, scheme, record.

    Those of a file, or the remembered ones, with what is taken by default. A faulty deck is
    reported on stderr and left out; the exit status is then 2.
    """
    if none_yet(decks):
        if as_json:
            print_json([])
        return 0
    path = file_of(decks)
    found = read_decks(path)
    tell_faults(path, found.faults)
    if as_json:
        print_json(
            [
                {**deck.as_dict(), "line": line, "alignment": align(deck).as_dict()}
                for deck, line in zip(found.decks, found.lines, strict=True)
            ]
        )
    else:
        head = (
            f"{'name':<{NAME_WIDTH}} {'d, mm':>7} {'overhang':>8} {'offset':>6}  scheme      record"
        )
        click.echo("\n".join([head, *map(row, found.decks)]))
        if decks is None:
            click.echo(f"\nBy default: {remembered_defaults()}.")
    return 2 if found.faults else 0
