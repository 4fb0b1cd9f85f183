"""`protractor correct`: from readings on the sheet to what to move."""

from __future__ import annotations

import math
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
from protractor.setup.correction import Correction
from protractor.setup.inputs import Seen
from protractor.setup.questions import correct
from protractor.setup.report import report
from protractor.setup.rounds import deck_of

Interval = tuple[float, float]


def towards(slide_mm: float) -> str:
    """Where a slide goes, in words."""
    return "toward the front" if slide_mm >= 0 else "back toward the pivot"


def clockwise(turn_deg: float) -> str:
    """Which way a turn goes, in words."""
    return "clockwise" if turn_deg >= 0 else "counter-clockwise"


def between(interval: Interval, digits: int, unit: str) -> str:
    """An interval in words."""
    low, high = interval
    return f"{low:z.{digits}f} to {high:z.{digits}f} {unit}"


def surely(interval: Interval, unit: str, minus: str) -> str:
    """What a move may be at 95 %, and what a minus means where there is one."""
    words = between(interval, 1, unit)
    return f"({words} at 95 %" + (f"; minus is {minus})" if "-" in words else ")")


def moves(found: Correction, turn_about: str, with_overhang: bool, own: float) -> list[str]:
    """What to do, in the order of doing, and why; `own` is the target's peak harmonic [%]."""
    now = spread(found.outlook.now_interval, own)
    after = spread(found.outlook.after_interval, own)
    overhang = (
        []
        if with_overhang
        else ["Read the overhang marks on the arc too, and give --overhang-mark."]
    )
    match found.verdict:
        case "matches":
            return [
                "Stop here: every reading matches the target within your reading accuracy.",
                f"The peak second harmonic is {now} at 95 %; the target's own is {own:.2f} %.",
            ]
        case "costs-little":
            most = (found.outlook.now_interval[1] - 1) * own
            return [
                f"Stop here: what is left costs less than {most:.2f} % of distortion. The peak",
                f"second harmonic is {now} at 95 %; the target's own is {own:.2f} %.",
                f"After a move by hand it would be {after}.",
            ]
        case "no-gain":
            return [
                "Stop here: a move by hand is not sure to gain anything. The peak second",
                f"harmonic is {now} now and would be {after} after it,",
                f"both at 95 %; the target's own is {own:.2f} %.",
                *overhang,
            ]
        case "read-again":
            return [
                "Not settled: these readings do not show whether a move would help. Move",
                "nothing yet. Lift the tip, put it and the pointer on both targets anew, read",
                "both fans again, and give the new readings beside the old ones.",
                *overhang,
            ]
        case "move":
            return [
                "What to move, in this order, with the stylus lifted and guarded:",
                "",
                *steps(found, turn_about),
                "",
                f"The peak second harmonic is {now} now and {after} after the",
                "move, both at 95 %.",
            ]


def spread(ratios: Interval, own: float) -> str:
    """A peak's interval in percent, from its ratios to the target's own."""
    low, high = ratios
    if not math.isfinite(low + high):
        return "not known"
    return f"{low * own:.2f} to {high * own:.2f} %"


def steps(found: Correction, turn_about: str) -> list[str]:
    """The moves, a step each, as they are made."""
    slide, turn = found.slide_mm, found.turn_deg
    pivoting = (
        "about the stylus: its tip stays where it is"
        if turn_about == "stylus"
        else "about its screws: they stay where they are"
    )
    return [
        f"  1. Slide the cartridge {abs(slide):.1f} mm {towards(slide)} along the slots"
        if abs(slide) >= 0.05
        else "  1. Do not slide it along the slots",
        f"     {surely(found.slide_interval_mm, 'mm', 'toward the pivot')}.",
        *(
            [
                f"  2. Turn it {abs(turn):.1f} deg {clockwise(turn)}, seen from above,",
                f"     {pivoting}",
            ]
            if abs(turn) >= 0.05
            else ["  2. Do not turn it"]
        ),
        f"     {surely(found.turn_interval_deg, 'deg', 'counter-clockwise')}.",
        "  3. Tighten the screws a little in turn, set the stylus on the targets,",
        "     and read both fans again.",
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
    lines += [
        "  An error above 0 asks for a cartridge turned clockwise, seen from above; the",
        "  fan shows the same angle with the opposite sign.",
    ]
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
        *moves(
            found,
            seen.turn_about,
            (seen.overhang_mark_mm, seen.overhang_mm) != (None, None),
            target.peak_second_harmonic_percent,
        ),
    ]
    click.echo("\n".join(lines))
