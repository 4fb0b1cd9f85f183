"""`protractor compare`: what each scheme costs on one deck."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.alignments.comparison import Comparison, compare
from protractor.alignments.costs import Cost, costs
from protractor.alignments.deck import Deck
from protractor.bench.wording import stated
from protractor.cli.help import Command, Option
from protractor.cli.options import ALIGNED, asks_deck, force_option, json_option, option, print_json
from protractor.cli.saying import note, write_file
from protractor.cli.wording import prose, sides
from protractor.curves.inputs import NOW_OFFSET, NOW_OVERHANG, SCHEMES, SIDE_MINUTES, X_AXIS
from protractor.errors import InputError
from protractor.printing.inputs import PAPER
from protractor.printing.paper import paper as paper_named

FORMATS = (".pdf", ".svg", ".png")


def signed(value: float, digits: int = 2) -> str:
    """A number that always bears its sign, and never a minus before nothing."""
    return f"{round(value, digits) + 0.0:+.{digits}f}"


def starred(column: Cost) -> list[str]:
    """Figures to two digits, the least marked; a dash for what is not defined."""
    return [f"{text}{'*' if text == column.least else ' '}" for text in column.texts("-")]


def places(comparison: Comparison) -> list[str]:
    """Where each scheme puts the cartridge, and how far that is from now."""
    now = comparison.now is not None
    lines = [
        f"{'':<15}{'overhang':>9}{'offset':>9}{'null radii':>18}{'from now' if now else '':>22}",
        f"{'scheme':<15}{'mm':>9}{'deg':>9}{'mm':>18}{'mm        deg' if now else '':>24}",
    ]
    for row in comparison.rows:
        inner, outer = row.arm.null_radii_mm
        nulls = "".join(f"{to_hundredth(r) if r > 0 else '-':>9}" for r in (inner, outer))
        move = comparison.move(row)
        change = f"{signed(move[0]):>13}{signed(move[1]):>11}" if move else ""
        lines.append(
            f"{row.scheme:<15}{to_hundredth(row.arm.overhang_mm):>9}"
            f"{row.arm.offset_angle_deg:>9.2f}{nulls}{change}"
        )
    return [line.rstrip() for line in lines]


def table_of_costs(comparison: Comparison) -> list[str]:
    """What each scheme costs: tracking error and distortion."""
    rows = comparison.rows
    errors, harmonics = costs(comparison)[:3], costs(comparison)[3:]
    columns = map(starred, (*errors[:2], *harmonics[:2], errors[2], harmonics[2]))
    lines = [
        f"{'':<15}{'tracking error deg':>20}{'second harmonic %':>22}{errors[2].name:>21}",
        f"{'scheme':<15}{'peak':>9}{'rms':>10}{'peak':>12}{'rms':>10}{'deg':>12}{'%':>9}",
    ]
    for row, *cells in zip(rows, *columns, strict=True):
        widths = (10, 10, 12, 10, 12, 10)
        lines.append(
            f"{row.scheme:<15}"
            + "".join(f"{cell:>{w}}" for cell, w in zip(cells, widths, strict=True))
        )
    return [line.rstrip() for line in lines]


def held(alignment: Alignment) -> str:
    """What stays, in a line."""
    arm = alignment.arm
    lengths = {
        "pivot-to-spindle": f"pivot to spindle fixed at {to_hundredth(arm.pivot_to_spindle_mm)} mm",
        "effective-length": f"effective length fixed at {to_hundredth(arm.effective_length_mm)} mm",
        "offset-angle": f"offset angle fixed at {arm.offset_angle_deg:.2f} deg",
    }
    kind = "exact optimum for this arm" if alignment.terms else "published closed forms"
    return f"{kind}, {lengths[alignment.held or 'pivot-to-spindle']}"


def stops(comparison: Comparison) -> list[str]:
    """Which limits stop which scheme, and what that costs."""
    return [
        f"{row.scheme}: stopped by the {' and the '.join(row.terms.binding)}, {row.terms.cost}."
        for row in comparison.alignments
        if row.terms is not None and row.terms.binding
    ]


def table(comparison: Comparison) -> str:
    """The comparison as lines of at most 80 columns."""
    first = comparison.alignments[0]
    notes = [
        "* the least of its column.",
        stated(first),
        "What can be heard, these figures do not say.",
    ]
    return "\n".join(
        [
            *prose(held(first), *sides(first)),
            "",
            *places(comparison),
            "",
            *table_of_costs(comparison),
            "",
            *prose(*stops(comparison), *notes),
        ]
    )


@click.command("compare", cls=Command)
@asks_deck(*(name for name in ALIGNED if name != "scheme"), "paper", "name")
@option(SCHEMES)
@option(NOW_OVERHANG)
@option(NOW_OFFSET)
@option(X_AXIS)
@option(SIDE_MINUTES)
@click.option(
    "-o",
    "--output",
    cls=Option,
    group="Curves",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Draw the curves to a file: .pdf, .svg or .png.",
)
@force_option
@click.option("--csv", "as_csv", is_flag=True, help="Print the curves as CSV instead of a table.")
@json_option
def command(
    deck: Deck,
    scheme: tuple[str, ...],
    now_overhang: float | None,
    now_offset: float | None,
    x_axis: str | None,
    side_minutes: float | None,
    output: Path | None,
    force: bool,
    as_csv: bool,
    as_json: bool,
) -> None:
    """Show what each alignment scheme costs on one deck: a table, or a page of curves.

    Give --now-overhang and --now-offset to see beside them how the deck is set up now. All curves
    run along one axis at the foot of the page, the radius in mm; minutes of the side are below it.

    \b
    Example: protractor compare --pivot-to-spindle 222 -o curves.pdf
    """
    _check(as_json, as_csv, output)
    comparison = compare(
        deck, scheme, now_overhang_mm=now_overhang, now_offset_angle_deg=now_offset
    )
    if output is not None:
        from protractor.curves.page import curve_page

        curves = curve_page(
            comparison,
            paper=paper_named(PAPER.or_default(deck.paper)),
            title=deck.name,
            by_time=x_axis == "time",
            minutes=side_minutes,
        )
        data = curves.file_bytes(output.suffix.lower().lstrip("."))
        write_file(output, data, force=force)
    for name, reason in comparison.left_out:
        note(f"{name} is left out: {reason.line('--')}")
    if as_json:
        print_json(comparison.as_list())
    elif as_csv:
        click.echo(comparison.as_csv(), nl=False)
    else:
        click.echo(table(comparison))
        if output is not None:
            click.echo(f"\n{output}")


def _check(as_json: bool, as_csv: bool, output: Path | None) -> None:
    """Raise `InputError` for what can be refused before any work is done."""
    if as_json and as_csv:
        raise InputError("csv", "`csv` and `json`", "one of the two", "leave out one")
    if output is not None:
        check_output(output)


def check_output(output: Path, name: str = "output", endings: tuple[str, ...] = FORMATS) -> None:
    """Raise `InputError` for a file that cannot be written, before any work is done."""
    if output.suffix.lower() not in endings:
        raise InputError(
            name, output, f"a file name that ends in {', '.join(endings)}", "correct the ending"
        )
    from protractor.files import refuse

    refuse(output, True, name)
