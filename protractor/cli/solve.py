"""`protractor solve`: the numbers of one deck."""

from __future__ import annotations

from typing import Any

import click

from protractor.alignment import Alignment, to_hundredth
from protractor.cli.options import alignment_of, deck_options, json_option, print_json
from protractor.schemes import SCHEMES


def speed(rpm: float) -> str:
    """A speed as the trade writes it: 33 1/3, 45, 78."""
    return "33 1/3" if abs(rpm - 100 / 3) < 1e-6 else f"{rpm:g}"


def table(alignment: Alignment) -> str:
    """The numbers of an alignment as lines of at most 80 columns."""
    arm, side = alignment.arm, alignment.record
    inner, outer = arm.null_radii_mm
    scheme = SCHEMES.get(alignment.scheme)
    rows = [
        ("pivot to spindle", f"{to_hundredth(arm.pivot_to_spindle_mm):>8} mm"),
        ("effective length", f"{to_hundredth(arm.effective_length_mm):>8} mm"),
        ("overhang", f"{to_hundredth(arm.overhang_mm):>8} mm"),
        ("offset angle", f"{arm.offset_angle_deg:8.2f} deg"),
        ("linear offset", f"{to_hundredth(arm.linear_offset_mm):>8} mm"),
        ("null radii", f"{to_hundredth(inner):>8} and {to_hundredth(outer)} mm"),
        None,
        (
            "tracking error",
            f"{alignment.peak_tracking_error_deg:8.2f} deg peak, "
            f"{alignment.rms_tracking_error_deg:.2f} deg rms",
        ),
        (
            "second harmonic",
            f"{alignment.peak_second_harmonic_percent:8.2f} %   peak, "
            f"{alignment.rms_second_harmonic_percent:.2f} %   rms",
        ),
    ]
    lines = [
        f"{alignment.scheme}: {scheme.summary if scheme else 'your own two null radii'}",
        f"record {side.name}: {side.inner_radius_mm:g} to {side.outer_radius_mm:g} mm "
        f"at {speed(side.rpm)} rpm",
        "",
        *("" if row is None else f"  {row[0]:<18}{row[1]}" for row in rows),
        "",
        f"Distortion of a sine at {alignment.velocity_cm_s:g} cm/s {alignment.velocity_is}, "
        "not equalised.",
    ]
    return "\n".join(lines)


@click.command("solve")
@deck_options
@json_option
def command(as_json: bool, record: str | None, **values: Any) -> None:
    """Print the alignment of one deck.

    Give the pivot-to-spindle distance (or the effective length). Lengths are in mm; write 8.74in
    or "8 3/4 in" for inches.
    """
    alignment = alignment_of(record_name=record, **values)
    if as_json:
        print_json(alignment.as_dict())
    else:
        click.echo(table(alignment))
