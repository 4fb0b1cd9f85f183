"""`protractor reconcile`: statements about one arm, and what they amount to."""

from __future__ import annotations

import math
from collections.abc import Callable
from textwrap import wrap
from typing import Any

import click

from protractor.alignments.alignment import to_hundredth
from protractor.alignments.deck import Deck
from protractor.cli.help import Command
from protractor.cli.options import SIDE, Function, answer, asks_deck, json_option
from protractor.cli.wording import nulls as null_words
from protractor.setup.questions import reconcile
from protractor.setup.reconcile import Reconciliation
from protractor.setup.statements import STATED, read_statement


class Stated(click.ParamType):  # type: ignore[type-arg]  # generic in newer click only
    """A click type that reads a statement: a number with its rounding or its bound."""

    def __init__(self, name: str) -> None:
        self.name = name

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        return read_statement(self.name, value) if isinstance(value, str) else value


def stated_options(function: Function) -> Function:
    """Adds an option for each thing that can be stated; each may be given more than once."""
    for declared in reversed(STATED.values()):
        add: Callable[[Function], Function] = click.option(
            f"--{declared.name}",
            type=Stated(declared.name),
            nargs=declared.count,
            multiple=True,
            metavar=" ".join(["NUMBER[±BOUND]"] * declared.count),
            help=f"{declared.help} {declared.allowed}.",
        )
        function = add(function)
    return function


def verdict(found: Reconciliation, count: int) -> list[str]:
    """Whether so many statements agree, and which is off, in words; a pair of radii counts once."""
    if found.agrees:
        how = "The statement agrees" if count == 1 else f"The {count} statements agree"
        return [f"{how}: one arm fulfils them all."]
    lines = [
        "The statements contradict one another:",
        *wrap(", ".join(found.conflict), 76, initial_indent="  ", subsequent_indent="  "),
        f"  cannot be one arm unless their bounds are {found.factor:.1f} times as wide."
        if math.isfinite(found.factor)
        else "  cannot be one arm, however wide their bounds.",
    ]
    if found.suspect is not None:
        unit = "deg" if found.suspect.startswith("offset-angle") else "mm"
        off = found.suspect_off
        told = (
            ""
            if off is None
            else f", by {abs(off):.2f} {unit} too {'much' if off > 0 else 'little'}"
        )
        lines += wrap(f"Most likely {found.suspect} is off{told}; it is left out below.", 80)
    elif found.candidates:
        lines += wrap(
            f"Any one of {', '.join(found.candidates)} may be off. All are used below, with "
            "their bounds widened until they agree.",
            80,
        )
    else:
        lines += wrap(
            "More than one must be off. All are used below, with their bounds widened until they "
            "agree.",
            80,
        )
    return lines


def spread(found: Reconciliation, key: str, unit: str, digits: int = 2) -> str:
    """Uncertainty and interval of one number in words; a number with two parts gives the first."""
    u, between = found.uncertainty[key], found.intervals[key]
    if u is None or between[0] is None:
        return "not settled by the statements"
    return f"± {u:<6.{digits}f} {between[0]:z.{digits}f} to {between[1]:z.{digits}f} {unit}"


def table(found: Reconciliation) -> str:
    """The arm with its uncertainties, what it costs, and what would be better."""
    alignment = found.alignment
    arm, side = alignment.arm, alignment.record
    rows = [
        ("pivot to spindle", arm.pivot_to_spindle_mm, "pivot_to_spindle_mm", "mm"),
        ("effective length", arm.effective_length_mm, "effective_length_mm", "mm"),
        ("overhang", arm.overhang_mm, "overhang_mm", "mm"),
        ("offset angle", arm.offset_angle_deg, "offset_angle_deg", "deg"),
        ("linear offset", arm.linear_offset_mm, "linear_offset_mm", "mm"),
    ]
    lines = [f"  {'':<19}{'':>8}  {'u':<8}95 % between"]
    for name, value, key, unit in rows:
        shown = f"{value:z.2f}" if unit == "deg" else to_hundredth(value)
        lines.append(f"  {name:<19}{shown:>8}  {spread(found, key, unit)}")
    nulls = zip(
        ("inner null radius", "outer null radius"),
        arm.null_radii_mm,
        found.uncertainty["null_radii_mm"],
        found.intervals["null_radii_mm"],
        strict=True,
    )
    if arm.null_radii_mm[0] > 0:
        for name, null, u, between in nulls:
            told = (
                "not settled by the statements"
                if u is None or between[0] is None
                else f"± {u:<6.2f} {between[0]:z.2f} to {between[1]:z.2f} mm"
            )
            lines.append(f"  {name:<19}{to_hundredth(null):>8}  {told}")
    else:
        lines.append(f"  {'null radii':<19}{null_words(arm)}")
    lines.append(
        f"  {'peak 2nd harmonic':<19}{alignment.peak_second_harmonic_percent:>8.2f}  "
        f"{spread(found, 'peak_second_harmonic_percent', '%')}"
    )
    if found.assumed is not None:
        lines += ["", f"What the statements leave open is taken from {found.assumed}."]
    lines += [
        "",
        f"Closest scheme: {alignment.scheme}; tracking differs by up to "
        f"{found.closest_difference_deg:.2f} deg over the side.",
        f"Best on record {side.name}: {found.best.scheme}, "
        f"{found.best.peak_second_harmonic_percent:.2f} % at its peak,",
        f"with overhang {to_hundredth(found.best.arm.overhang_mm)} mm "
        f"and offset {found.best.arm.offset_angle_deg:.2f} deg on this deck.",
    ]
    return "\n".join(lines)


@click.command("reconcile", cls=Command)
@stated_options
@asks_deck("pivot_height_mm", *SIDE, another=tuple(name.replace("-", "_") for name in STATED))
@json_option
def command(deck: Deck, as_json: bool, **stated: Any) -> None:
    """Judge statements about one arm: two or more, from a manual, a seller, your own ruler.

    Write each as it was given: 237 was rounded to whole millimetres and means 237±0.5, 237.0 means
    ±0.05. Write 237±1 (or 237+-1) when you know how far off it may be. Inches: 9.4in. Degrees:
    22.5deg. One quantity may be stated twice.

    With --deck the statements are those of a remembered deck; what is stated besides takes the
    place of its own.

    With --pivot-height the effective length is the slope from the pivot's centre to the stylus.
    """
    by_name = {name: stated[name.replace("-", "_")] for name in STATED}
    for name, text in deck.stated:  # those of a remembered deck that were not given anew
        by_name[name] = by_name[name] or (read_statement(name, text),)
    count = sum(map(len, by_name.values()))
    found = reconcile(by_name, deck)
    answer(
        as_json,
        found.as_dict,
        lambda: "\n".join([*verdict(found, count), "", table(found)]),
    )
