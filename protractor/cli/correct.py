"""`protractor correct`: from readings on the sheet to what to move."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from protractor.alignments.align import align
from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.alignments.deck import Deck
from protractor.alignments.sheet_code import CODE
from protractor.alignments.sheet_search import check_code
from protractor.cli.help import Command
from protractor.cli.options import ALIGNED, asks_deck, filled, json_option, option, print_json
from protractor.cli.remembered import Rounds, other_decks
from protractor.setup.correction import Correction, report
from protractor.setup.inputs import Seen
from protractor.setup.questions import correct
from protractor.setup.rounds import deck_of

Interval = tuple[float, float]


def towards(slide_mm: float) -> str:
    """Where a slide goes, in words."""
    return "toward the front" if slide_mm >= 0 else "back toward the pivot"


def clockwise(turn_deg: float) -> str:
    """Which way a turn goes, in words."""
    return "clockwise" if turn_deg >= 0 else "counter-clockwise"


def between(interval: Interval, digits: int, unit: str) -> str:
    """An interval in words; a change of sign is left to the words around it."""
    low, high = interval
    return f"{low:z.{digits}f} to {high:z.{digits}f} {unit}"


def moves(found: Correction, turn_about: str, with_overhang: bool) -> list[str]:
    """What to do, in the order of doing."""
    if found.leave_it:
        return [
            "Leave it: every reading is within its bound of what the target itself would",
            "show. A fault smaller than you can read is not worth a move.",
        ]
    slide, turn = found.slide_mm, found.turn_deg
    first = (
        f"slide the cartridge {abs(slide):.1f} mm {towards(slide)} along the slots"
        if abs(slide) >= 0.05
        else "leave the cartridge where it is in the slots"
    )
    then = (
        f"then turn it {abs(turn):.1f} deg {clockwise(turn)} seen from above"
        if abs(turn) >= 0.05
        else "and do not turn it"
    )
    about = (
        "about the stylus, whose tip stays where it is"
        if turn_about == "stylus"
        else "about its screws, which stay where they are"
    )
    low, high = found.slide_interval_mm
    unsure = (
        [
            "",
            "The slide may be nothing, by these readings. Read the overhang scale too and",
            "give --overhang: that makes it surer.",
        ]
        if low < 0 < high and not with_overhang
        else []
    )
    return [
        "What to move, in this order:",
        "",
        f"  1. {first[0].upper()}{first[1:]}",
        f"     ({between(found.slide_interval_mm, 1, 'mm')} at 95 %, minus is toward the pivot),",
        f"  2. {then},",
        f"     {about}",
        f"     ({between(found.turn_interval_deg, 1, 'deg')} at 95 %, minus is counter-clockwise).",
        "  3. Tighten the screws a little in turn, set the stylus on the targets,",
        "     and read again.",
        *unsure,
    ]


def table(found: Correction, target: Alignment, now: Alignment, curve: dict[str, Any]) -> str:
    """Where the cartridge is now and where it belongs, and the curve, at 80 columns."""
    angle = f"{found.now.offset_angle_deg:.2f}", f"{target.arm.offset_angle_deg:.2f}"
    rows = [
        (
            "effective length",
            to_hundredth(found.now.effective_length_mm),
            between(found.effective_length_interval_mm, 2, "mm"),
            f"{to_hundredth(target.arm.effective_length_mm)} mm",
        ),
        (
            "overhang",
            to_hundredth(found.now.overhang_mm),
            between(found.overhang_interval_mm, 2, "mm"),
            f"{to_hundredth(target.arm.overhang_mm)} mm",
        ),
        (
            "offset angle",
            angle[0],
            between(found.offset_angle_interval_deg, 2, "deg"),
            f"{angle[1]} deg",
        ),
        (
            "peak 2nd harmonic",
            f"{now.peak_second_harmonic_percent:.2f}",
            "",
            f"{target.peak_second_harmonic_percent:.2f} %",
        ),
    ]
    lines = [f"  {'':<19}{'now':>8}   {'95 % between':<24}target"]
    lines += [f"  {name:<19}{value:>8}   {span:<24}{goal}" for name, value, span, goal in rows]
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
    return "\n".join(lines)


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
    --reading 66.0:-0.5 --reading 120.9:0.5. The left side of the fan, with the pivot at the top, is
    plus. Repeat until it says to leave it.
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
        *moves(found, seen.turn_about, seen.overhang_mm is not None),
    ]
    click.echo("\n".join(lines))
