"""`protractor decks show`: the worksheet of a deck on the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from textwrap import wrap

import click

from protractor.cli.deck_options import deck_name_argument
from protractor.cli.options import answer, decks_option, json_option
from protractor.sheets.worksheet import Worksheet

COLUMNS = 80
NAME_WIDTH, NUMBER_WIDTH = 20, 4


def lines(sheet: Worksheet) -> Iterator[str]:
    """The worksheet as lines of at most 80 columns; a command stays on one line."""
    yield sheet.title
    for group in (sheet.measured, sheet.target):
        yield from ("", group.heading, *_rows(group.rows))
    yield from ("", "Rounds")
    if not sheet.rounds:
        yield "  none yet"
    for each in sheet.rounds:
        yield from _indented(each.series)
        yield from _rows([(str(each.number), each.read), ("", each.move)], NUMBER_WIDTH)
    yield from ("", "How it ended", *_indented(sheet.ended))
    for group in sheet.verdicts:
        yield from ("", group.heading, *_rows(group.rows))
    if sheet.notes:
        yield from ("", "Notes", *_indented(sheet.notes))
    yield from ("", "Next", *_indented(sheet.due))
    if sheet.command:
        yield f"  {sheet.command}"


def _indented(text: str) -> list[str]:
    return wrap(text, COLUMNS, initial_indent="  ", subsequent_indent="  ")


def _rows(rows: Sequence[tuple[str, str]], width: int = NAME_WIDTH) -> Iterator[str]:
    """Names and values, the values on one edge."""
    for name, value in rows:
        head, *rest = wrap(value, COLUMNS - width - 2) or [""]
        yield f"  {name:<{width}}{head}".rstrip()
        yield from (f"  {'':<{width}}{line}" for line in rest)


@click.command("show")
@deck_name_argument(required=False)
@decks_option
@json_option
def command(name: str | None, decks_file: Path | None, as_json: bool) -> None:
    """Print the worksheet of a deck: measured, aimed at, every round, what is due.

    The deck is a remembered one, or one of the file that --decks names; without NAME the default.
    """
    from protractor.bench.remembered import remembered
    from protractor.bench.worksheet import as_dict, worksheet

    file = remembered(decks_file)
    deck = file.deck_or_default(name)
    answer(as_json, lambda: as_dict(file, deck), lambda: "\n".join(lines(worksheet(file, deck))))
