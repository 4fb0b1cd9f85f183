"""`protractor tolerance`: how sure the set-up is, and what to improve first."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from textwrap import wrap

import click

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.bench.ready_sheet import profile_of
from protractor.cli.help import Command
from protractor.cli.options import ALIGNED, answer, asks_deck, filled, json_option, option
from protractor.cli.sheets import profile_file_option
from protractor.cli.wording import prose, sides
from protractor.errors import InputError, named
from protractor.printing.inputs import PAPER, PRINTER
from protractor.printing.paper import paper as paper_named
from protractor.setup.bounds import SetupBounds
from protractor.setup.inputs import DRAWS, SEED_INPUT
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
        lines.append(f"  {name:<22}{s.nominal:>10.2f}{s.median:>10.2f}{s.p95:>12.2f} {unit}")
    lines += ["", f"  {'cause':<29}{'bound':>10}{'share':>9}   95 % under without it"]
    for c in sure.causes:
        lines.append(
            f"  {CAUSES[c.name]:<29}{f'± {c.bound:.3g} {c.unit}':>10}{c.share_percent:>7.1f} %"
            f"{c.peak_second_harmonic_percent_p95_without:>9.2f} %"
        )
    first = sure.causes[0]
    remedy = named(first.remedy, "--")
    lines += [
        "",
        *(
            ["Nothing to improve: every bound is 0."]
            if sure.certain
            else [
                f"Improve first: {first.name}.",
                *wrap(
                    f"{remedy[0].upper()}{remedy[1:]}.",
                    78,
                    initial_indent="  ",
                    subsequent_indent="  ",
                ),
            ]
        ),
        "",
        f"  {'standard uncertainty':<22}{'value':>10}{'linear':>10}{'Monte Carlo':>13}",
    ]
    for p in sure.certainties:
        lines.append(
            f"  {p.name:<22}{p.value:>z10.2f}{p.u_linear:>10.3f}{p.u_monte_carlo:>13.3f} {p.unit}"
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


PRINTER_OF_BOUND = replace(
    PRINTER, help="Take the print scale's bound from a printer you recorded."
)
PAPER_OF_PRINTER = replace(PAPER, help="Paper that the printer was recorded with.")

MANY_DRAWS = 1_000_000
"""From here on a bar shows how far the draws are."""


@click.command("tolerance", cls=Command)
@asks_deck(
    *ALIGNED,
    "straight",
    "printer",
    "paper",
    instead={
        "printer": replace(
            PRINTER, help="Take the print scale's bound from a printer you recorded."
        ),
        "paper": PAPER_OF_PRINTER,
    },
)
@profile_file_option
@filled(SetupBounds, under="bounds")
@option(DRAWS)
@option(SEED_INPUT)
@json_option
def command(
    deck: Deck,
    profile_file: Path | None,
    bounds: SetupBounds,
    draws: float | None,
    seed: float | None,
    as_json: bool,
) -> None:
    """Say how far off a set-up by the sheet may end, and which step to improve first.

    Each bound is how far off that step may be at most. Uncertainties are propagated linearly (JCGM
    100) and by Monte Carlo (JCGM 101).
    """
    alignment = align(deck)
    if deck.printer is not None:
        bounds = bounds_of_printer(bounds, deck, profile_file)
    count, start = int(DRAWS.or_default(draws)), int(SEED_INPUT.or_default(seed))
    hidden = count < MANY_DRAWS or not sys.stderr.isatty()
    with click.progressbar(length=count, label="draws", file=sys.__stderr__, hidden=hidden) as bar:
        sure = tolerance(alignment, bounds, draws=count, seed=start, progress=bar.update)
    answer(as_json, sure.as_dict, lambda: table(sure))


def bounds_of_printer(bounds: SetupBounds, deck: Deck, profile_file: Path | None) -> SetupBounds:
    """The bounds with the print scale's taken from the deck's printer.

    Raises `InputError` when that bound is given as well, or the printer was not recorded.
    """
    given = click.get_current_context().params.get("print_scale_bound")
    if given is not None:
        raise InputError(
            "print-scale-bound",
            f"{given:g} % beside printer {deck.printer}",
            "a bound, or a printer whose profile gives it",
            "leave out one of the two",
        )
    profile = profile_of(str(deck.printer), paper_named(PAPER.or_default(deck.paper)), profile_file)
    return replace(bounds, print_scale_percent=profile.fit.scale_bound_percent)
