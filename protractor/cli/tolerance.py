"""`protractor tolerance`: how sure the set-up is, and what to improve first."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from protractor.cli.options import (
    alignment_of,
    deck_options,
    json_option,
    option,
    print_json,
    straight_option,
    value_of,
)
from protractor.cli.sheet_options import fit_of, profile_file_option
from protractor.cli.solve import prose, sides
from protractor.errors import InputError
from protractor.inputs import deck as inputs
from protractor.inputs import setup as used_deck_inputs
from protractor.setup.model import Doubts
from protractor.setup.tolerance import Tolerance, tolerance


def table(sure: Tolerance) -> str:
    """The spread, the causes and the comparison of both ways, at 80 columns."""
    lines = [
        f"Set-up by a sheet for {sure.alignment.label}; {sure.draws} draws, seed {sure.seed}",
        *prose(*sides(sure.alignment)),
        "",
        f"  {'peak over the side':<22}{'as drawn':>10}{'median':>10}{'95 % under':>12}",
    ]
    for name, unit, s in (
        ("tracking error", "deg", sure.peak_error_deg),
        ("second harmonic", "%", sure.peak_harmonic_percent),
    ):
        lines.append(f"  {name:<22}{s.nominal:>10.2f}{s.median:>10.2f}{s.most:>12.2f} {unit}")
    lines += ["", f"  {'cause':<29}{'bound':>10}{'share':>9}   95 % under without it"]
    for c in sure.causes:
        lines.append(
            f"  {CAUSES[c.name]:<29}{f'± {c.bound:.3g} {c.unit}':>10}{c.share_percent:>7.1f} %"
            f"{c.without_percent:>9.2f} %"
        )
    first = sure.causes[0]
    lines += [
        "",
        *(
            ["Nothing to improve: every bound is 0."]
            if sure.certain
            else [
                f"Improve first: {first.name}.",
                f"  {first.remedy[0].upper()}{first.remedy[1:]}.",
            ]
        ),
        "",
        f"  {'standard uncertainty':<22}{'value':>10}{'linear':>10}{'Monte Carlo':>13}",
    ]
    for p in sure.certainties:
        lines.append(
            f"  {p.name:<22}{p.value:>z10.2f}{p.linear:>10.3f}{p.monte_carlo:>13.3f} {p.unit}"
        )
    return "\n".join(lines)


CAUSES = {
    "pivot-to-spindle": "pivot-to-spindle as measured",
    "print-scale": "print-scale of the sheet",
    "hole-play": "hole-play on the spindle",
    "aim": "aim of the sight line",
    "arc": "arc: tip seen beside it",
    "grid": "grid: cartridge seen askew",
    "zenith": "zenith: stylus set in askew",
}
"""Each cause in words that begin with the name of its bound."""


@click.command("tolerance")
@deck_options
@straight_option
@option(used_deck_inputs.PIVOT_TO_SPINDLE_BOUND)
@option(used_deck_inputs.PRINT_SCALE_BOUND)
@option(replace(inputs.PRINTER, help="Take the print scale's bound from a printer you recorded."))
@option(replace(inputs.PAPER, help="Paper that the printer was recorded with."))
@profile_file_option
@option(used_deck_inputs.HOLE_PLAY_BOUND)
@option(used_deck_inputs.AIM_BOUND)
@option(used_deck_inputs.ARC_BOUND)
@option(used_deck_inputs.GRID_BOUND)
@option(used_deck_inputs.ZENITH_BOUND)
@option(used_deck_inputs.DRAWS)
@option(used_deck_inputs.SEED_INPUT)
@json_option
def command(
    pivot_to_spindle_bound: float | None,
    print_scale_bound: float | None,
    printer: str | None,
    paper: str | None,
    profile_file: Path | None,
    hole_play_bound: float | None,
    aim_bound: float | None,
    arc_bound: float | None,
    grid_bound: float | None,
    zenith_bound: float | None,
    draws: float | None,
    seed: float | None,
    as_json: bool,
    record: str | None,
    **values: Any,
) -> None:
    """Say how far off a set-up by the sheet may end, and which step to improve first.

    Each bound is how far off that step may be at most. Uncertainties are propagated linearly (JCGM
    100) and by Monte Carlo (JCGM 101).
    """
    alignment = alignment_of(record_name=record, **values)
    if printer is not None:
        if print_scale_bound is not None:
            raise InputError(
                "print-scale-bound",
                f"{print_scale_bound:g} % beside printer {printer}",
                "a bound, or a printer whose profile gives it",
                "leave out one of the two",
            )
        print_scale_bound = fit_of(printer, paper, profile_file).scale_bound_percent
    doubts = Doubts(
        pivot_to_spindle_mm=value_of(
            pivot_to_spindle_bound, used_deck_inputs.PIVOT_TO_SPINDLE_BOUND
        ),
        print_scale_percent=value_of(print_scale_bound, used_deck_inputs.PRINT_SCALE_BOUND),
        hole_play_mm=value_of(hole_play_bound, used_deck_inputs.HOLE_PLAY_BOUND),
        aim_mm=value_of(aim_bound, used_deck_inputs.AIM_BOUND),
        arc_mm=value_of(arc_bound, used_deck_inputs.ARC_BOUND),
        grid_deg=value_of(grid_bound, used_deck_inputs.GRID_BOUND),
        zenith_deg=value_of(zenith_bound, used_deck_inputs.ZENITH_BOUND),
    )
    count, start = (
        int(value_of(draws, used_deck_inputs.DRAWS)),
        int(value_of(seed, used_deck_inputs.SEED_INPUT)),
    )
    if count < 1_000_000 or not sys.stderr.isatty():
        sure = tolerance(alignment, doubts, draws=count, seed=start)
    else:
        with click.progressbar(length=count, label="draws", file=sys.stderr) as shown:
            sure = tolerance(alignment, doubts, draws=count, seed=start, progress=shown.update)
    if as_json:
        print_json(sure.as_dict())
    else:
        click.echo(table(sure))
