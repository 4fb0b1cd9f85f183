"""`protractor compare`: what each scheme costs on one deck."""

from __future__ import annotations

import math
from functools import partial
from pathlib import Path
from typing import Any

import click

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.alignments.comparison import Comparison, compare, present
from protractor.alignments.exact import OWN_OBJECTIVE
from protractor.arms.schemes import OWN_NULLS, SCHEMES
from protractor.cli.options import (
    EXACT_INPUTS,
    alignment_of,
    deck_options,
    force_option,
    json_option,
    option,
    print_json,
)
from protractor.cli.solve import prose, sides, stated
from protractor.errors import InputError
from protractor.inputs import deck as inputs
from protractor.printing.paper import paper as paper_of

OWN_NAMES = ("norm", "weight", "null_at")
EXACT_NAMES = [declared.name.replace("-", "_") for declared in EXACT_INPUTS]
FORMATS = (".pdf", ".svg", ".png")


def signed(value: float, digits: int = 2) -> str:
    """A number that always bears its sign, and never a minus before nothing."""
    return f"{round(value, digits) + 0.0:+.{digits}f}"


def starred(values: list[float]) -> list[str]:
    """Figures to two digits, the least marked; a dash for what is not defined."""
    texts = ["-" if math.isnan(value) else f"{value:.2f}" for value in values]
    least = min((text for text in texts if text != "-"), key=float, default=None)
    return [f"{text}{'*' if text == least else ' '}" for text in texts]


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


def costs(comparison: Comparison) -> list[str]:
    """What each scheme costs: tracking error and distortion."""
    rows = comparison.rows
    columns = [
        starred([row.peak_tracking_error_deg for row in rows]),
        starred([row.rms_tracking_error_deg for row in rows]),
        starred([row.peak_second_harmonic_percent for row in rows]),
        starred([row.rms_second_harmonic_percent for row in rows]),
        starred([abs(row.inner_tracking_error_deg) for row in rows]),
        starred([row.inner_harmonics_percent[0] for row in rows]),
    ]
    inner = f"at {rows[0].record.inner_radius_mm:.1f} mm"
    lines = [
        f"{'':<15}{'tracking error deg':>20}{'second harmonic %':>22}{inner:>21}",
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
        "pivot-to-spindle": f"pivot to spindle {to_hundredth(arm.pivot_to_spindle_mm)} mm held",
        "effective-length": f"effective length {to_hundredth(arm.effective_length_mm)} mm held",
        "offset-angle": f"offset angle {arm.offset_angle_deg:.2f} deg held",
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
            *costs(comparison),
            "",
            *prose(*stops(comparison), *notes),
        ]
    )


@click.command("compare")
@partial(deck_options, many_schemes=True)
@option(inputs.NOW_OVERHANG)
@option(inputs.NOW_OFFSET)
@option(inputs.X_AXIS)
@option(inputs.SIDE_MINUTES)
@option(inputs.PAPER)
@option(inputs.TITLE)
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Draw the curves to a file: .pdf, .svg or .png.",
)
@force_option
@click.option("--csv", "as_csv", is_flag=True, help="Print the curves as CSV instead of a table.")
@json_option
def command(
    as_json: bool,
    as_csv: bool,
    output: Path | None,
    force: bool,
    scheme: tuple[str, ...],
    record: str | None,
    now_overhang: float | None,
    now_offset: float | None,
    x_axis: str | None,
    side_minutes: float | None,
    paper: str | None,
    title: str | None,
    **values: Any,
) -> None:
    """Compare the alignment schemes on one deck: table, JSON, CSV or curves.

    All schemes, or those named (repeat --scheme); with --exact each as the true optimum for this
    arm. Give --now-overhang and --now-offset to see the present setting beside them.
    """
    _check(as_json, as_csv, output, force)
    comparison = _compare(scheme, record, values)
    if now_overhang is not None or now_offset is not None:
        comparison = _beside_now(comparison, now_overhang, now_offset, values)
    if output is not None:
        from protractor.curves.page import curve_page
        from protractor.files import write_whole

        data = curve_page(
            comparison,
            format_name=output.suffix.lower().lstrip("."),
            paper=paper_of(paper or str(inputs.PAPER.default)),
            title=title or "",
            by_time=x_axis == "time",
            minutes=side_minutes,
        )
        write_whole(output, data, force=force)
    for name, reason in comparison.left_out:
        click.echo(f"protractor: note: {name} is left out: --{reason}", err=True)
    if as_json:
        print_json(comparison.as_list())
    elif as_csv:
        click.echo(comparison.as_csv(), nl=False)
    else:
        click.echo(table(comparison))
        if output is not None:
            click.echo(f"\n{output}")


def _check(as_json: bool, as_csv: bool, output: Path | None, force: bool) -> None:
    """Raise `InputError` for what can be refused before any work is done."""
    if as_json and as_csv:
        raise InputError("csv", "--csv and --json", "one of the two", "leave out one")
    if output is None:
        return
    if output.suffix.lower() not in FORMATS:
        raise InputError(
            "output", output, f"a file name that ends in {', '.join(FORMATS)}", "mend the ending"
        )
    from protractor.files import refuse

    refuse(output, force)


def _compare(schemes: tuple[str, ...], record: str | None, values: dict[str, Any]) -> Comparison:
    """The schemes asked for, else all that make sense here; and own radii or an own objective."""
    asked = list(dict.fromkeys(schemes))
    radii = values.pop("null_radii")
    own = {name: values.pop(name) for name in OWN_NAMES}
    names = asked or [
        name for name in SCHEMES if not (name == "lofgren-b" and values["offset_angle"] is not None)
    ]
    if radii is not None and OWN_NULLS not in asked:
        asked.append(OWN_NULLS)
    if any(value is not None for value in own.values()):
        asked.append(OWN_OBJECTIVE)

    def solved(name: str) -> Alignment:
        given = values | {"null_radii": None, "scheme": name} | dict.fromkeys(OWN_NAMES)
        if name == OWN_OBJECTIVE:
            given |= {"scheme": None, **own}
        if name == OWN_NULLS:
            # radii of one's own are nulls on true angles as they are: nothing to make exact
            given |= {"null_radii": radii, "exact": False} | dict.fromkeys(EXACT_NAMES)
        return alignment_of(record_name=record, **given)

    return compare(list(dict.fromkeys([*names, *asked])), solved, asked_for=asked)


def _beside_now(
    comparison: Comparison, overhang: float | None, offset: float | None, values: dict[str, Any]
) -> Comparison:
    """The same with the present setting, of which both figures must be known."""
    if overhang is None or offset is None:
        missing, given = (
            ("now-overhang", "now-offset") if overhang is None else ("now-offset", "now-overhang")
        )
        raise InputError(
            missing, f"{given} alone", "both or neither", f"add --{missing}, or leave --{given} out"
        )
    now = present(
        comparison.alignments[0],
        overhang_mm=overhang,
        offset_angle_rad=math.radians(offset),
        length_held=values["effective_length"] is not None,
    )
    return Comparison(alignments=comparison.alignments, now=now, left_out=comparison.left_out)
