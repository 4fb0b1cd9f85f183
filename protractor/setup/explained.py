"""What a reconciliation comes to, in short texts that every face shows."""

from __future__ import annotations

from collections.abc import Sequence

from protractor.alignments.alignment import Alignment
from protractor.setup.reconcile import WayOut

MOST_WAYS = 8
"""More explanations than these are counted, not listed."""

LEAST_APART_MM = 1.0
"""What a ruler tells apart."""

LENGTHS = {
    "overhang": "overhang_mm",
    "pivot to spindle": "pivot_to_spindle_mm",
    "effective length": "effective_length_mm",
}
"""What one can measure again, the easiest first."""


def to_its_digits(value: float, u: float) -> str:
    """A number to the digits that its standard uncertainty bears, two decimals at most.

    >>> to_its_digits(2.258, 0.4), to_its_digits(2.258, 0.02)
    ('2.3', '2.26')
    """
    digits = 0 if u >= 1 else 1 if u >= 0.1 else 2
    return f"{value:z.{digits}f}"


def size_of(label: str, off: float, u: float) -> str:
    """How large an error of a statement is, with its unit and without its sign.

    >>> size_of("offset-angle", -0.52, 0.2)
    '0.5 deg'
    """
    return f"{to_its_digits(abs(off), u)} {'deg' if label.startswith('offset-angle') else 'mm'}"


def figures_of(alignment: Alignment) -> dict[str, str]:
    """The figures of an arm, by the keys of `Alignment.as_dict`: lengths, angle, null radii."""
    arm = alignment.arm
    return {
        "pivot_to_spindle_mm": f"{arm.pivot_to_spindle_mm:.1f}",
        "effective_length_mm": f"{arm.effective_length_mm:.1f}",
        "overhang_mm": f"{arm.overhang_mm:z.1f}",
        "offset_angle_deg": f"{arm.offset_angle_deg:z.1f}",
        "null_radii_mm": " ".join(f"{radius:.1f}" for radius in _nulls_mm(alignment)) or "none",
    }


def _nulls_mm(alignment: Alignment) -> tuple[float, ...]:
    """The null radii that a record has; the one of a straight arm where it is on the side [mm]."""
    inner, outer = alignment.arm.null_radii_mm
    side = alignment.record
    if inner > 0:
        return inner, outer
    return (outer,) if side.inner_radius_mm < outer < side.outer_radius_mm else ()


def differ_most(ways: Sequence[WayOut]) -> tuple[str, float, float] | None:
    """The length in which explanations differ most, with its least and its greatest value [mm].

    Of those that differ alike the one that is easiest to measure. None for a single explanation,
    and where a ruler does not tell them apart.
    """
    if len(ways) < 2:
        return None
    lengths = {
        name: [getattr(way.alignment.arm, key) for way in ways] for name, key in LENGTHS.items()
    }
    apart = max(lengths, key=lambda name: round(max(lengths[name]) - min(lengths[name]), 1))
    low, high = min(lengths[apart]), max(lengths[apart])
    return (apart, low, high) if high - low >= LEAST_APART_MM else None
