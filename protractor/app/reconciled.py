"""Statements about an arm that were reconciled, as a page shows them: rows of short texts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from protractor.setup.explained import MOST_WAYS, figures_of, size_of
from protractor.setup.reconcile import Reconciliation
from protractor.setup.reconciled_arm import NO_ALIGNMENT_PERCENT, Settled


def quantity(label: str) -> str:
    """A statement's label as a page writes it.

    >>> quantity("null-radii inner")
    'null radii inner'
    """
    return label.replace("-", " ")


def wrong_by(label: str, off: float | None, u: float | None) -> str:
    """By how much a statement is wrong, to the digits that its uncertainty bears.

    >>> wrong_by("overhang", -2.26, 0.4)
    '2.3 mm too low'
    """
    if off is None or u is None:
        return ""
    return f"{size_of(label, off, u)} too {'high' if off > 0 else 'low'}"


def suspicion(found: Reconciliation) -> dict[str, str] | None:
    """The statement that is wrong at 95 % or more: which, by how much, and the mistake by name."""
    if found.suspect is None:
        return None
    first = found.explanations[0]
    by = wrong_by(found.suspect, first.off[0], first.off_u[0])
    return {"what": quantity(found.suspect), "by": by, "reading": first.reading}


def ways(found: Reconciliation) -> list[dict[str, Any]]:
    """What may be wrong, the likeliest first: what is left out, and the arm of the rest."""
    return [
        {
            "left_out": [
                {"what": quantity(label), "by": wrong_by(label, off, u)}
                for label, off, u in zip(way.leave_out, way.off, way.off_u, strict=True)
            ],
            "reading": way.reading,
            "scheme": way.scheme,
            "figures": [
                "open" if key in way.left_open else text.replace(" ", " and ")
                for key, text in figures_of(way.alignment).items()
            ],
        }
        for way in found.explanations[:MOST_WAYS]
    ]


def arm_rows(found: Settled) -> list[tuple[str, str, str]]:
    """The arm: each quantity, its value, and between what it is with 95 %."""
    alignment = found.alignment
    arm = alignment.arm
    rows = [
        ("Pivot to spindle", arm.pivot_to_spindle_mm, "pivot_to_spindle_mm", "mm"),
        ("Effective length", arm.effective_length_mm, "effective_length_mm", "mm"),
        ("Overhang", arm.overhang_mm, "overhang_mm", "mm"),
        ("Offset angle", arm.offset_angle_deg, "offset_angle_deg", "deg"),
        ("Linear offset", arm.linear_offset_mm, "linear_offset_mm", "mm"),
    ]
    lines = [
        (label, f"{value:z.2f} {unit}", _between(found.intervals[key], unit))
        for label, value, key, unit in rows
    ]
    if arm.null_radii_mm[0] > 0:
        nulls = zip(arm.null_radii_mm, found.intervals["null_radii_mm"], strict=True)
        for label, (radius, between) in zip(("Inner null", "Outer null"), nulls, strict=True):
            lines.append((label, f"{radius:.1f} mm", _between(between, "mm")))
    peak = alignment.peak_second_harmonic_percent
    if peak > NO_ALIGNMENT_PERCENT:
        return [*lines, ("Second harmonic, peak", f"over {NO_ALIGNMENT_PERCENT:g} %", "")]
    between = found.intervals["peak_second_harmonic_percent"]
    return [*lines, ("Second harmonic, peak", f"{peak:.2f} %", _between(between, "%"))]


def _between(interval: Sequence[float | None], unit: str) -> str:
    low, high = interval
    if low is None or high is None:
        return "not settled"
    return f"{low:z.2f} to {high:z.2f} {unit}"
