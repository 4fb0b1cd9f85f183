"""`protractor reconcile`: statements about one arm, and what they amount to."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from textwrap import wrap
from typing import Any

import click

from protractor.alignments.alignment import to_hundredth
from protractor.alignments.deck import Deck
from protractor.cli.help import Command
from protractor.cli.options import SIDE, Function, answer, asks_deck, json_option
from protractor.cli.wording import nulls as null_words
from protractor.setup.explained import (
    MOST_WAYS,
    differ_most,
    figures_of,
    size_of,
    to_its_digits,
)
from protractor.setup.questions import reconcile
from protractor.setup.reconcile import Reconciliation, WayOut
from protractor.setup.reconciled_arm import (
    LOOSE_NULL_MM,
    NO_ALIGNMENT_PERCENT,
    STRAYS_RAD,
    Settled,
)
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
    """Whether so many statements agree, and what may be wrong, as lines."""
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
        first = found.explanations[0]
        off, u = first.off[0], first.off_u[0]
        by = ""
        if off is not None and u is not None:
            by = f", {size_of(found.suspect, off, u)} too {'high' if off > 0 else 'low'}"
        then = "It is left out below."
        if first.reading:
            by, then = f"{by}, {first.reading}", "It is read so below."
        return [*lines, *wrap(f"Most likely {found.suspect} is wrong{by}. {then}", 80)]
    if not found.explanations:
        return [*lines, "Leaving out one or two does not explain it: read all of them again."]
    return [*lines, *ways_out(found.explanations)]


def ways_out(ways: Sequence[WayOut]) -> list[str]:
    """Explanations as a table: what each leaves out, by how much that is wrong, and its arm."""
    intro = "Not settled which is wrong. Each line leaves out what may be wrong and shows the arm "
    lines = [
        *wrap(
            "This alone would explain it:"
            if len(ways) == 1
            else intro + "of the rest, the likeliest first:",
            80,
        ),
        "",
        f"  {'':<20}{'wrong':>10}{'pivot to':>10}{'':>8}{'over-':>7}{'':>8}{'null radii':>14}",
        f"  {'left out':<20}{'by':>10}{'spindle':>10}{'length':>8}{'hang':>7}{'offset':>8}"
        f"{'mm':>14}",
    ]
    for way in ways[:MOST_WAYS]:
        figures = "".join(
            f"{'open' if key in way.left_open else _in_column(key, text):>{WIDTHS[key]}}"
            for key, text in figures_of(way.alignment).items()
        )
        begin = "  "
        for label, off, u in zip(way.leave_out, way.off, way.off_u, strict=True):
            by = ""
            if off is not None and u is not None:
                by = f"{'+' if off > 0 else '-'}{size_of(label, off, u)}"
            lines.append(f"{begin + label:<22}{by:>10}{figures}".rstrip())
            begin, figures = "  + ", ""
        if way.reading:
            lines.append(f"    {way.reading}")
    if len(ways) > MOST_WAYS:
        lines.append(f"  and {len(ways) - MOST_WAYS} more (see --json)")
    return [*lines, "", *after(ways)]


WIDTHS = {
    "pivot_to_spindle_mm": 10,
    "effective_length_mm": 8,
    "overhang_mm": 7,
    "offset_angle_deg": 8,
    "null_radii_mm": 14,
}
"""Widths of the columns."""


def _in_column(key: str, text: str) -> str:
    """The text of a figure in its column: the outer of two null radii stands under the others."""
    inner, _, outer = text.partition(" ")
    return f"{inner} {outer:>6}" if key == "null_radii_mm" and outer else text


def after(ways: Sequence[WayOut]) -> list[str]:
    """What would settle it, and what is a hint only."""
    lines: list[str] = []
    hints = [way for way in ways if way.scheme is not None]
    if len(hints) == 1 and len(ways) > 1:
        lines += wrap(
            f"A hint, no proof: the arm in the line of {' and '.join(hints[0].leave_out)} is "
            f"that of {hints[0].scheme}.",
            80,
        )
    if len(ways) > 1:
        apart = differ_most(ways)
        if apart is not None:
            name, low, high = apart
            lines += wrap(
                f"They differ most in {name}, {low:.1f} to {high:.1f} mm: measure that again "
                "yourself, then leave out what proves wrong.",
                80,
            )
        else:
            lines += wrap("Measure again what you can, then leave out what proves wrong.", 80)
    return lines


def null_row(name: str, null: float, u: float | None, between: list[float | None]) -> str:
    """A null radius with its uncertainty and interval."""
    low, high = between
    if u is None or low is None or high is None:
        told = "not settled by the statements"
    elif high - low > LOOSE_NULL_MM:
        return f"  {name:<19}{'':>8}  {'':<8}{low:z.0f} to {high:z.0f} mm, hardly settled"
    else:
        told = f"± {u:<6.2f} {low:z.2f} to {high:z.2f} mm"
    return f"  {name:<19}{to_hundredth(null):>8}  {told}"


def spread(found: Settled, key: str, unit: str) -> str:
    """Uncertainty and interval of one number in words."""
    u, between = found.uncertainty[key], found.intervals[key]
    if u is None or between[0] is None:
        return "not settled by the statements"
    return f"± {u:<6.2f} {between[0]:z.2f} to {between[1]:z.2f} {unit}"


def table(found: Settled) -> list[str]:
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
    lines = ["", f"  {'':<19}{'':>8}  {'u':<8}95 % between"]
    for name, value, key, unit in rows:
        shown = f"{value:z.2f}" if unit == "deg" else to_hundredth(value)
        lines.append(f"  {name:<19}{shown:>8}  {spread(found, key, unit)}")
    if arm.null_radii_mm[0] > 0:
        for name, null, u, between in zip(
            ("inner null radius", "outer null radius"),
            arm.null_radii_mm,
            found.uncertainty["null_radii_mm"],
            found.intervals["null_radii_mm"],
            strict=True,
        ):
            lines.append(null_row(name, null, u, between))
    else:
        lines.append(f"  {'null radii':<19}{null_words(arm)}")
    if alignment.peak_second_harmonic_percent > NO_ALIGNMENT_PERCENT:
        lines.append(f"  {'peak 2nd harmonic':<19}over {NO_ALIGNMENT_PERCENT:g} %")
    else:
        lines.append(
            f"  {'peak 2nd harmonic':<19}{alignment.peak_second_harmonic_percent:>8.2f}  "
            f"{spread(found, 'peak_second_harmonic_percent', '%')}"
        )
    if found.assumed is not None:
        lines += ["", f"What the statements leave open is taken from {found.assumed}."]
    differs = to_its_digits(
        found.closest_difference_deg, found.uncertainty["offset_angle_deg"] or 0.1
    )
    near = found.closest_difference_deg < math.degrees(STRAYS_RAD)
    close = (
        f"Closest scheme: {alignment.scheme};"
        if near
        else f"No scheme comes near: from the closest, {alignment.scheme},"
    )
    close += f" tracking differs by up to {differs} deg over the side."
    return [
        *lines,
        "",
        *(line for remark in found.remarks for line in wrap(remark, 80)),
        *wrap(close, 80),
        f"Best on record {side.name}: {found.best.scheme}, "
        f"{found.best.peak_second_harmonic_percent:.2f} % at its peak,",
        f"with overhang {to_hundredth(found.best.arm.overhang_mm)} mm "
        f"and offset {found.best.arm.offset_angle_deg:.2f} deg on this deck.",
    ]


@click.command("reconcile", cls=Command)
@stated_options
@asks_deck("pivot_height_mm", *SIDE, another=tuple(name.replace("-", "_") for name in STATED))
@json_option
def command(deck: Deck, as_json: bool, **stated: Any) -> None:
    """Judge statements about one arm: two or more, from a manual, a seller, your own ruler.

    Write each as it was given: 237 was rounded to whole millimetres and means 237±0.5, 237.0 means
    ±0.05. Write 237±1 (or 237+-1) when you know how far it may be from the truth, and 22.5±0.25 for
    what was rounded to halves. Inches: 9.4in. Degrees: 22.5deg. One quantity may be stated twice.

    Where the statements contradict one another, one is named as wrong only at 95 % or more. Else
    every explanation gets a line of its own with the arm that would follow.

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
        lambda: "\n".join(
            [*verdict(found, count), *(table(found.settled) if found.settled else [])]
        ),
    )
