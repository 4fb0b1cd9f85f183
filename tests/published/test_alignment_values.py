"""The main job against values that others printed."""

from __future__ import annotations

import math

import numpy as np
import pytest

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.arms.arm import tracking_angle
from protractor.arms.records import RECORD_PRESETS, record
from protractor.arms.schemes import scheme_null_radii
from tests.published import alignment_values as printed
from tests.published.alignment_values import half_digit

HOWARD_SIDE = record(inner_radius_mm=56.0, outer_radius_mm=146.3)


@pytest.mark.parametrize(
    "row", printed.NULL_RADII, ids=lambda r: f"{r.scheme}-{r.inner_radius_mm}-{r.inner_null}"
)
def test_null_radii_as_printed(row: printed.NullRadii) -> None:
    """Each scheme gives the null radii that its source prints."""
    inner, outer = scheme_null_radii(row.scheme, row.inner_radius_mm, row.outer_radius_mm)
    assert abs(float(inner) - float(row.inner_null)) <= half_digit(row.inner_null) + row.slack
    assert abs(float(outer) - float(row.outer_null)) <= half_digit(row.outer_null) + row.slack


def test_equal_angle_as_printed() -> None:
    """P. Wilson's alignment of a 230 mm arm: offset as printed, overhang to the printed digit.

    The closed form works on sines; the printed figures rest on true angles, so it may be a little
    further off than the digit: the exact optimum is checked beside `optimum`.
    """
    arm = align(Deck(effective_length_mm=230.0, scheme="equal-angle", record=HOWARD_SIDE)).arm
    assert abs(arm.overhang_mm - float(printed.WILSON_OVERHANG_MM)) < 0.005
    assert abs(arm.offset_angle_deg - float(printed.WILSON_OFFSET_DEG)) < 0.01


def test_peak_second_harmonic_as_printed() -> None:
    """Howard's greatest second harmonic for 10 cm/s rms."""
    figure = align(
        Deck(effective_length_mm=230.0, record=HOWARD_SIDE, velocity_cm_s=10.0, velocity_is="rms")
    ).peak_second_harmonic_percent
    wanted = printed.HOWARD_PEAK_SECOND_HARMONIC_PERCENT
    assert abs(figure - float(wanted)) <= half_digit(wanted)


def test_peak_second_harmonic_of_a_peak_velocity() -> None:
    """The same with 10 cm/s peak: 0.755 %, from the principle."""
    figure = align(Deck(effective_length_mm=230.0, record=HOWARD_SIDE)).peak_second_harmonic_percent
    assert abs(figure - 0.755) <= 0.0006


def test_straight_arm_of_bauer() -> None:
    """B. B. Bauer, Electronics, March 1945: L = 7.5 in, no overhang, 7.6° at 2 in off his graph.

    At 5 3/4 in his graph reads 22°, from the small-angle form r / (2 L); the exact angle is 22.54°,
    a known disagreement.
    """
    length = 7.5 * 25.4
    angle = np.degrees(tracking_angle(np.array([2.0, 5.75]) * 25.4, length, length))
    assert abs(angle[0] - 7.6) < 0.1
    assert abs(angle[1] - 22.54) < 0.005
    assert abs(math.degrees(5.75 / (2 * 7.5)) - 22.0) < 0.1


@pytest.mark.parametrize(("inner", "outer"), [(60.325, 146.05), (57.5, 146.05), (53.0, 84.0)])
def test_bauer_small_angle_linear_offset_is_lofgren_a(inner: float, outer: float) -> None:
    """Bauer's small-angle formulas (from memory, checked by algebra) give Löfgren A's s and p.

    sin(beta) = ri (1 + ri/ro) / (L q) with q = (1 + ri/ro)²/4 + ri/ro, D = ri² / (L q).
    """
    q = (1 + inner / outer) ** 2 / 4 + inner / outer
    r1, r2 = (float(r) for r in scheme_null_radii("lofgren-a", inner, outer))
    assert (r1 + r2) / 2 == pytest.approx(inner * (1 + inner / outer) / q, rel=1e-12)
    assert r1 * r2 / 2 == pytest.approx(inner**2 / q, rel=1e-12)


@pytest.mark.parametrize(
    ("name", "inner", "outer"),
    [
        ("12-iec-1958", 4.75 * 25.4 / 2, 11.5 * 25.4 / 2),  # IEC 98:1958
        ("12-riaa-1963", 4.75 * 25.4 / 2, 11.5 * 25.4 / 2),  # RIAA 1963
        ("12-din-1981", 115 / 2, 292.6 / 2),  # DIN 45547:1981
        ("12-iec-1987", None, 292.6 / 2),  # IEC 98:1964 and 1987, BS 1928:1965
        ("10-iec-1987", None, 241.8 / 2),  # IEC 98:1987
        ("7-iec-1987", None, 168.3 / 2),  # IEC 98:1987
        ("12-jis-1973", 115.2 / 2, 293 / 2),  # JIS S 8502:1973
        ("10-jis-1973", 115.2 / 2, 242 / 2),  # JIS S 8502:1973
        ("7-jis-1973", 106 / 2, 168 / 2),  # JIS S 8502:1973
    ],
)
def test_recorded_radii_are_half_the_printed_diameters(
    name: str, inner: float | None, outer: float
) -> None:
    """The presets hold half the printed diameters, and no inner radius where none is printed."""
    preset = RECORD_PRESETS[name]
    assert preset.outer_radius_mm == pytest.approx(outer, abs=1e-9)
    if inner is None:
        assert preset.inner_radius_mm is None
    else:
        assert preset.inner_radius_mm == pytest.approx(inner, abs=1e-9)
