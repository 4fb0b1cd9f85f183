"""An alignment: one arm under one scheme for one record, with its figures."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from protractor import distortion
from protractor.arm import PIVOT_TO_SPINDLE_RANGE_MM, Arm, unreachable
from protractor.errors import InputError
from protractor.records import Record
from protractor.records import record as preset_record
from protractor.schemes import OWN_NULLS, SCHEME_NAMES, scheme_null_radii

DEFAULT_SCHEME = "lofgren-a"


def to_hundredth(value_mm: float) -> str:
    """A length [mm] to 0.01 mm; noise in its last digits does not turn the rounding.

    >>> to_hundredth(60.325), to_hundredth(60.324999999999996)
    ('60.33', '60.33')
    """
    return f"{round(value_mm * 100 + 1e-6) / 100:.2f}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alignment:
    """An arm set up under a scheme, the record it plays, and the velocity the figures are for."""

    arm: Arm
    scheme: str
    record: Record
    velocity_cm_s: float = distortion.DEFAULT_VELOCITY_CM_S
    velocity_is: str = "peak"

    def __post_init__(self) -> None:
        distortion.peak_velocity(self.velocity_cm_s, self.velocity_is)
        unreachable(
            self.arm,
            {
                "inner-radius": self.record.inner_radius_mm,
                "outer-radius": self.record.outer_radius_mm,
            },
        )

    @property
    def peak_velocity_cm_s(self) -> float:
        """Peak velocity of the sine that the figures are for [cm/s]."""
        return distortion.peak_velocity(self.velocity_cm_s, self.velocity_is)

    @property
    def peak_tracking_error_deg(self) -> float:
        """Greatest tracking error over the recorded area [deg]."""
        return math.degrees(distortion.peak_tracking_error(self.arm, self.record))

    @property
    def rms_tracking_error_deg(self) -> float:
        """Rms tracking error, uniform in radius [deg]."""
        return math.degrees(distortion.rms_tracking_error(self.arm, self.record))

    @property
    def peak_second_harmonic_percent(self) -> float:
        """Greatest second harmonic over the recorded area [%]."""
        return 100 * distortion.peak_second_harmonic(self.arm, self.record, self.peak_velocity_cm_s)

    @property
    def rms_second_harmonic_percent(self) -> float:
        """Rms second harmonic, uniform in radius [%]."""
        return 100 * distortion.rms_second_harmonic(self.arm, self.record, self.peak_velocity_cm_s)

    def as_dict(self) -> dict[str, Any]:
        """Every number of the alignment under the stable keys of `--json`, at full precision."""
        return {
            "pivot_to_spindle_mm": self.arm.pivot_to_spindle_mm,
            "effective_length_mm": self.arm.effective_length_mm,
            "overhang_mm": self.arm.overhang_mm,
            "offset_angle_deg": self.arm.offset_angle_deg,
            "linear_offset_mm": self.arm.linear_offset_mm,
            "null_radii_mm": list(self.arm.null_radii_mm),
            "scheme": self.scheme,
            "record": {
                "name": self.record.name,
                "inner_radius_mm": self.record.inner_radius_mm,
                "outer_radius_mm": self.record.outer_radius_mm,
                "rpm": self.record.rpm,
            },
            "peak_tracking_error_deg": self.peak_tracking_error_deg,
            "rms_tracking_error_deg": self.rms_tracking_error_deg,
            "peak_second_harmonic_percent": self.peak_second_harmonic_percent,
            "rms_second_harmonic_percent": self.rms_second_harmonic_percent,
            "velocity_cm_s": self.velocity_cm_s,
            "velocity_is": self.velocity_is,
        }


def solve(
    *,
    pivot_to_spindle_mm: float | None = None,
    effective_length_mm: float | None = None,
    scheme: str | None = None,
    record: Record | None = None,
    null_radii_mm: tuple[float, float] | None = None,
    velocity_cm_s: float = distortion.DEFAULT_VELOCITY_CM_S,
    velocity_is: str = "peak",
) -> Alignment:
    """The alignment of a deck from one length, by a scheme's published closed form.

    Args:
        pivot_to_spindle_mm: d, what stays on a finished deck [mm].
        effective_length_mm: L, what stays when the arm is yet to be mounted [mm]; one of the two.
        scheme: a name of `protractor.schemes.SCHEME_NAMES`; default `lofgren-a`, or `null-radii`
            when radii are given.
        record: the recorded area and speed; default the 12-inch IEC pair at 33 1/3 rpm.
        null_radii_mm: the user's own null radii, for `null-radii` alone [mm].
        velocity_cm_s: recorded velocity that the distortion is stated for [cm/s].
        velocity_is: whether that is `peak` or `rms`.

    Raises:
        InputError: for anything missing, excluded or out of range.

    >>> round(solve(pivot_to_spindle_mm=222.0).arm.overhang_mm, 2)
    17.3

    Source: `protractor.schemes`, `Arm.through_nulls`.
    """
    side = preset_record() if record is None else record
    if scheme is None:
        scheme = OWN_NULLS if null_radii_mm is not None else DEFAULT_SCHEME
    if scheme not in SCHEME_NAMES:
        raise InputError("scheme", scheme, ", ".join(SCHEME_NAMES), "name one of these")
    if (scheme == OWN_NULLS) != (null_radii_mm is not None):
        raise InputError(
            "null-radii",
            "nothing" if null_radii_mm is None else f"radii beside scheme {scheme}",
            "two radii with scheme null-radii, none with another",
            "add --null-radii A B" if null_radii_mm is None else "leave out one of the two",
        )
    if null_radii_mm is None:
        inner, outer = scheme_null_radii(scheme, side.inner_radius_mm, side.outer_radius_mm)
        nulls = float(inner), float(outer)
    else:
        nulls = null_radii_mm
    arm = Arm.through_nulls(
        nulls,
        pivot_to_spindle_mm=pivot_to_spindle_mm,
        effective_length_mm=effective_length_mm,
    )
    _on_a_deck(arm, effective_length_mm is not None)
    return Alignment(
        arm=arm,
        scheme=scheme,
        record=side,
        velocity_cm_s=velocity_cm_s,
        velocity_is=velocity_is,
    )


def _on_a_deck(arm: Arm, from_length: bool) -> None:
    """Raise `InputError` when pivot to spindle is not one that a deck can have."""
    low, high = PIVOT_TO_SPINDLE_RANGE_MM
    if low - 1e-9 <= arm.pivot_to_spindle_mm <= high + 1e-9:
        return
    if not from_length:
        raise InputError(
            "pivot-to-spindle",
            f"{arm.pivot_to_spindle_mm:g} mm",
            f"{low:g} to {high:g} mm",
            "measure from the spindle's centre to the pivot's centre; for inches write 8.74in",
        )
    product = arm.effective_length_mm**2 - arm.pivot_to_spindle_mm**2
    raise InputError(
        "effective-length",
        f"{arm.effective_length_mm:g} mm",
        f"{math.sqrt(low**2 + product):.1f} to {math.sqrt(high**2 + product):.1f} mm "
        "for these null radii",
        "measure from the pivot's centre to the stylus; for inches write 9.4in",
    )
