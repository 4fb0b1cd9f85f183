"""`protractor correct`: from readings on the sheet to what to move."""

from __future__ import annotations

from pathlib import Path
from textwrap import wrap
from typing import Any

import click

from protractor.alignments.align import align
from protractor.alignments.alignment import Alignment
from protractor.alignments.deck import Deck
from protractor.alignments.sheet_code import CODE
from protractor.alignments.sheet_search import check_code
from protractor.cli.help import Command
from protractor.cli.options import ALIGNED, asks_deck, filled, json_option, option, print_json
from protractor.cli.remembered import Rounds, other_decks
from protractor.cli.wording import prose
from protractor.errors import named
from protractor.setup.advice import SIGN, advice, figures, moves
from protractor.setup.correction import Correction
from protractor.setup.inputs import Seen
from protractor.setup.questions import correct
from protractor.setup.report import report
from protractor.setup.rounds import deck_of


def told(found: Correction, seen: Seen, own: float) -> list[str]:
    """What to do, in the order of doing, and why; `own` is the target's peak harmonic [%]."""
    said = prose(*(named(each, "--") for each in advice(found, seen, own)))
    if found.verdict != "move":
        return said
    lines = ["What to move, in this order, with the stylus lifted and guarded:", ""]
    for number, move in enumerate(moves(found, seen.turn_about), start=1):
        lines += wrap(move.sentence, 77, initial_indent=f"  {number}. ", subsequent_indent="     ")
        lines += [f"     {move.between}."] if move.between else []
    return [*lines, "", *said]


def table(found: Correction, target: Alignment, now: Alignment, curve: dict[str, Any]) -> str:
    """Where the cartridge is now and where it belongs, and the curve, at 80 columns."""
    lines = [f"  {'':<19}{'now':>8}   {'95 % between':<24}target"]
    for row in figures(found, target, now):
        lines.append(f"  {row.name:<19}{row.now:>8}   {row.between:<24}{row.target} {row.unit}")
    lines += ["", "The side as it is now:", ""]
    for name, key, digits in (
        ("radius, mm", "radius_mm", 0),
        ("error, deg", "tracking_error_deg", 2),
        ("2nd harmonic, %", "second_harmonic_percent", 2),
    ):
        # adding zero takes the sign off a rounded -0.00
        lines.append(
            f"  {name:<17}" + "".join(f"{round(v, digits) + 0.0:6.{digits}f}" for v in curve[key])
        )
    return "\n".join([*lines, *wrap(SIGN, 80, initial_indent="  ", subsequent_indent="  ")])


@click.command("correct", cls=Command)
@asks_deck(*ALIGNED, "straight", "zenith_deg", "pivot_height_mm")
@option(CODE)
@filled(Seen)
@click.option(
    "--log",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Keep a log of this deck: one line of JSON is added for every round. A remembered deck "
    "has its own.",
)
@json_option
def command(deck: Deck, code: str | None, seen: Seen, log: Path | None, as_json: bool) -> None:
    """Say what to move, from what the two fans of the sheet show.

    Put the stylus on the inner null point and read the fan, then on the outer one, and give both:
    --reading 66.0:-0.5 --reading 120.9:0.5. Plus is a cartridge that stands clockwise, seen from
    above. With --overhang-mark it is much surer. Repeat until it says to stop.
    """
    target = align(deck)
    check_code(code, deck, target, other_decks())
    rounds = Rounds.of(log, target)
    found = correct(deck, seen)
    values = report(found, target)
    number = rounds.add({**values, "seen": seen.as_dict()})
    if number is not None:
        values = {"round": number, "deck": deck_of(target), **values}
    if as_json:
        print_json(values)
        return
    start = "" if number is None else f"Round {number}. "
    lines = [
        *rounds.before,
        f"{start}Target {target.label}, record {target.record.name}",
        "",
        table(found, target, found.as_alignment(target), values["curve_now"]),
        "",
        *told(found, seen, target.peak_second_harmonic_percent),
    ]
    click.echo("\n".join(lines))
