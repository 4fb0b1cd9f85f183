"""What the commands on files of decks share: the file, its faults, a bar for long work."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import click

from protractor.alignments.deck import Deck
from protractor.bench.deck_file import Fault, entries_of
from protractor.bench.decks import remark as remark_on
from protractor.bench.inputs import DECK
from protractor.cli.options import Function, Reads
from protractor.cli.saying import note, tell

FAULTS_SHOWN = 50

decks_argument = click.argument("decks", type=click.Path(path_type=Path), metavar="DECKS")
own_decks_argument = click.argument(
    "decks", type=click.Path(path_type=Path), metavar="[DECKS]", required=False
)
"""A file of decks; the remembered decks when it is left out."""


def deck_name_argument(required: bool = True) -> Callable[[Function], Function]:
    """The name of a remembered deck, which arrives as `name`."""
    return click.argument(
        "name", type=Reads(DECK), metavar="NAME" if required else "[NAME]", required=required
    )


def file_of(decks: Path | None) -> Path:
    """The file of decks that was named, else that of the remembered decks."""
    from protractor.bench.remembered import default_file

    return decks or default_file()


def none_yet(decks: Path | None) -> bool:
    """Whether no deck is remembered yet; says so on stderr, with how to begin."""
    if decks is not None or entries_of(file_of(None), or_none=True)[0]:
        return False
    note("no deck is remembered yet; begin with protractor decks add --name NAME")
    return True


def tell_faults(path: Path, faults: Sequence[Fault]) -> None:
    """Prints a line a fault to stderr, the first `FAULTS_SHOWN` of them."""
    for fault in faults[:FAULTS_SHOWN]:
        tell(f"protractor: {path.name}, {fault}")
    if len(faults) > FAULTS_SHOWN:
        tell(f"protractor: and {len(faults) - FAULTS_SHOWN} more faults")


def tell_remark(path: Path, deck: Deck, line: int = 0) -> None:
    """Prints to stderr what is odd about a deck that can be drawn all the same."""
    remark = remark_on(deck)
    if remark:
        where = f", line {line}" if line else ""
        note(f"{path.name}{where}, deck '{deck.name}': {remark}")


def terminal() -> bool:
    """Whether stderr is a terminal, where a bar belongs."""
    return sys.stderr.isatty()
