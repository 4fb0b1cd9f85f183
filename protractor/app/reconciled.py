"""Statements about an arm that were reconciled, as a page shows them: rows of short texts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from protractor.alignments.alignment import Alignment
from protractor.setup.reconcile import Reconciliation, WayOut
from protractor.setup.reconciled_arm import NO_ALIGNMENT_PERCENT, Settled

MOST_WAYS = 8
"""More explanations than these are counted, not shown."""

APART_MM = 1.0
"""What a ruler tells apart."""

LENGTHS = ("overhang", "pivot to spindle", "effective length")
"""What one can measure again, the easiest first."""


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
    digits = 0 if u >= 1 else 1 if u >= 0.1 else 2
    unit = "deg" if label.startswith("offset-angle") else "mm"
    return f"{abs(off):.{digits}f} {unit} too {'high' if off > 0 else 'low'}"


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
                "open" if key in way.left_open else text
                for key, text in _figures(way.alignment).items()
            ],
        }
        for way in found.explanations[:MOST_WAYS]
    ]


def _figures(alignment: Alignment) -> dict[str, str]:
    """The figures of an arm, by the keys of its dictionary."""
    arm, side = alignment.arm, alignment.record
    inner, outer = arm.null_radii_mm
    nulls = "none"
    if inner > 0:
        nulls = f"{inner:.1f} and {outer:.1f}"
    elif side.inner_radius_mm < outer < side.outer_radius_mm:
        nulls = f"{outer:.1f}"
    return {
        "pivot_to_spindle_mm": f"{arm.pivot_to_spindle_mm:.1f}",
        "effective_length_mm": f"{arm.effective_length_mm:.1f}",
        "overhang_mm": f"{arm.overhang_mm:z.1f}",
        "offset_angle_deg": f"{arm.offset_angle_deg:z.1f}",
        "null_radii_mm": nulls,
    }


def to_measure(explanations: Sequence[WayOut]) -> tuple[str, float, float] | None:
    """The length in which the explanations differ most, from and to [mm].

    None where a ruler does not tell them apart, and for one explanation alone.
    """
    if len(explanations) < 2:
        return None
    spans = {}
    for name in LENGTHS:
        key = f"{name.replace(' ', '_')}_mm"
        values = [getattr(way.alignment.arm, key) for way in explanations]
        spans[name] = (min(values), max(values))
    apart = max(spans, key=lambda name: round(spans[name][1] - spans[name][0], 1))
    low, high = spans[apart]
    return (apart, low, high) if high - low >= APART_MM else None


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
