"""A comparison in figures, as the page of schemes shows it: what is fixed, places, costs."""

from __future__ import annotations

from collections.abc import Mapping

from protractor.alignments.comparison import Comparison
from protractor.arms.schemes import SCHEMES
from protractor.bench.wording import stated
from protractor.drawing.chart import tick_text
from protractor.sheets.names import length, record_name, signed, speed


def facts(comparison: Comparison) -> list[tuple[str, str]]:
    """What the figures are for: what stays fixed, what is played, which signal."""
    first = comparison.rows[0]
    arm = first.arm
    fixed = {
        "effective-length": f"effective length, {length(arm.effective_length_mm)}",
        "offset-angle": f"offset angle, {arm.offset_angle_deg:.2f} deg, and one length",
    }.get(first.held or "", f"pivot to spindle, {length(arm.pivot_to_spindle_mm)}")
    found = [
        ("Fixed", fixed),
        ("Solved", "as the exact optimum for this arm" if first.terms else "by closed forms"),
    ]
    shares = first.play.shares if first.play else (1.0,)
    for side, share in zip(first.played.records, shares, strict=True):
        part = f"{100 * share:.3g} % " if first.play else ""
        found.append(
            (
                "Played",
                f"{part}{record_name(side)}, {side.inner_radius_mm:g} to "
                f"{side.outer_radius_mm:g} mm, {speed(side)}",
            )
        )
    if first.play and not first.terms and first.scheme in SCHEMES:
        alone = record_name(first.record)
        found.append(("Aligned for", f"{alone} alone; the exact optimum is for all that is played"))
    return [*found, ("Stated for", stated(first).removeprefix("Distortion of ").rstrip("."))]


def stops(comparison: Comparison, names: Mapping[str, str]) -> list[str]:
    """Which limits stop which scheme, by its name, and what that costs."""
    return [
        f"{names[row.scheme]} is stopped by the {' and the '.join(row.terms.binding)}, "
        f"{row.terms.cost}."
        for row in comparison.alignments
        if row.terms is not None and row.terms.binding
    ]


def places(comparison: Comparison) -> list[dict[str, str]]:
    """Where each scheme puts the cartridge, and how far that is from now."""
    found = []
    for row in comparison.rows:
        nulls = [signed(radius) for radius in row.arm.null_radii_mm if radius > 0]
        move = comparison.move(row)
        found.append(
            {
                "overhang": signed(row.arm.overhang_mm),
                "offset": signed(row.arm.offset_angle_deg),
                "nulls": " and ".join(nulls) or "none",
                "overhang_move": tick_text(move[0], 2, "+") if move else "",
                "offset_move": tick_text(move[1], 2, "+") if move else "",
            }
        )
    return found
