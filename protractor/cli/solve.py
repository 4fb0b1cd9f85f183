"""`protractor solve`: the numbers of one deck."""

from __future__ import annotations

import click

from protractor.alignments.align import align
from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.alignments.deck import Deck
from protractor.bench.wording import stated, summary, terms
from protractor.cli.help import Command
from protractor.cli.options import ALIGNED, answer, asks_deck, json_option
from protractor.cli.wording import nulls, prose, sides


def table(alignment: Alignment) -> str:
    """The numbers of an alignment as lines of at most 80 columns."""
    arm = alignment.arm
    rows = [
        ("pivot to spindle", f"{to_hundredth(arm.pivot_to_spindle_mm):>8} mm"),
        ("effective length", f"{to_hundredth(arm.effective_length_mm):>8} mm"),
        ("overhang", f"{to_hundredth(arm.overhang_mm):>8} mm"),
        ("offset angle", f"{arm.offset_angle_deg:8.2f} deg"),
        ("linear offset", f"{to_hundredth(arm.linear_offset_mm):>8} mm"),
        ("null radii", nulls(arm)),
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
        *prose(summary(alignment), *sides(alignment)),
        "",
        *("" if row is None else f"  {row[0]:<18}{row[1]}" for row in rows),
        "",
        *prose(*terms(alignment), stated(alignment)),
    ]
    return "\n".join(lines)


@click.command("solve", cls=Command)
@asks_deck(*ALIGNED, "straight")
@json_option
def command(deck: Deck, as_json: bool) -> None:
    """Print the alignment of one deck: overhang, offset angle, null radii, errors.

    Give the distance from the arm's pivot to the spindle, or the effective length, in mm; for
    inches write 8.74in or "8 3/4 in".

    \b
    Example: protractor solve --pivot-to-spindle 222
    """
    alignment = align(deck)
    answer(as_json, alignment.as_dict, lambda: table(alignment))
