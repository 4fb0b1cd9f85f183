"""`protractor correct`: from readings on the sheet to what to move."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import click

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.cli.options import (
    alignment_of,
    deck_options,
    json_option,
    option,
    print_json,
    straight_option,
    value_of,
)
from protractor.inputs import deck as inputs
from protractor.inputs import setup as used_deck_inputs
from protractor.setup.correction import Correction, Reading, correct, report
from protractor.setup.rounds import append, check, deck_of

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


@click.command("correct")
@deck_options
@straight_option
@option(used_deck_inputs.READING, multiple=True)
@option(used_deck_inputs.READING_BOUND)
@option(used_deck_inputs.OVERHANG)
@option(used_deck_inputs.OVERHANG_BOUND)
@option(used_deck_inputs.PIVOT_TO_SPINDLE_BOUND)
@option(inputs.ZENITH)
@option(used_deck_inputs.SLOT_ANGLE)
@option(used_deck_inputs.SLOT_ROOM)
@option(used_deck_inputs.TURN_ABOUT)
@option(used_deck_inputs.STYLUS_TO_SCREWS)
@option(used_deck_inputs.PIVOT_HEIGHT)
@option(used_deck_inputs.RECORD_ABOVE_SHEET)
@click.option(
    "--log",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Keep a log of this deck: one line of JSON is added for every round.",
)
@json_option
def command(
    reading: tuple[tuple[float, float], ...],
    reading_bound: float | None,
    overhang: float | None,
    overhang_bound: float | None,
    pivot_to_spindle_bound: float | None,
    zenith: float | None,
    slot_angle: float | None,
    slot_room: tuple[float, float] | None,
    turn_about: str | None,
    stylus_to_screws: float | None,
    pivot_height: float | None,
    record_above_sheet: float | None,
    log: Path | None,
    as_json: bool,
    record: str | None,
    **values: Any,
) -> None:
    """Say what to move, from what the two fans of the sheet show.

    Put the stylus on the inner null point and read the fan, then on the outer one, and give both:
    --reading 66.0:-0.5 --reading 120.9:0.5. The left side of the fan, with the pivot at the top, is
    plus. Repeat until it says to leave it.
    """
    target = alignment_of(record_name=record, **values)
    if log is not None:
        check(log, deck_of(target))
    about = turn_about or str(used_deck_inputs.TURN_ABOUT.default)
    found = correct(
        [
            Reading(
                radius_mm=radius,
                angle_deg=degrees,
                bound_deg=value_of(reading_bound, used_deck_inputs.READING_BOUND),
            )
            for radius, degrees in reading
        ],
        target.arm,
        overhang_mm=overhang,
        overhang_bound_mm=value_of(overhang_bound, used_deck_inputs.OVERHANG_BOUND),
        pivot_to_spindle_bound_mm=value_of(
            pivot_to_spindle_bound, used_deck_inputs.PIVOT_TO_SPINDLE_BOUND
        ),
        zenith_rad=math.radians(zenith or 0.0),
        slot_angle_rad=None if slot_angle is None else math.radians(slot_angle),
        turn_about="screws" if about == "screws" else "stylus",
        stylus_to_screws_mm=value_of(stylus_to_screws, used_deck_inputs.STYLUS_TO_SCREWS),
        slot_room_mm=slot_room,
        pivot_height_mm=pivot_height or 0.0,
        record=target.record,
        lift_mm=value_of(record_above_sheet, used_deck_inputs.RECORD_ABOVE_SHEET)
        if pivot_height
        else 0.0,
    )
    values_now, number = report(found, target), None
    if log is not None:
        number = append(log, deck_of(target), values_now)
        values_now = {"round": number, "deck": deck_of(target), **values_now}
    if as_json:
        print_json(values_now)
        return
    side = target.record
    start = "" if number is None else f"Round {number}. "
    lines = [
        f"{start}Target {target.label}, record {side.name}",
        "",
        table(found, target, found.as_alignment(target), values_now["curve_now"]),
        "",
        *moves(found, about, overhang is not None),
    ]
    click.echo("\n".join(lines))
