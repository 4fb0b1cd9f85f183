"""An alignment: one arm under one scheme for one record, with its figures."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from protractor.arms import distortion
from protractor.arms.arm import Arm, check_reach
from protractor.arms.play import Play
from protractor.arms.records import Record
from protractor.arms.schemes import Held

if TYPE_CHECKING:
    from protractor.alignments.objective import ExactTerms


def to_hundredth(value_mm: float) -> str:
    """A length [mm] to 0.01 mm; noise in its last digits does not turn the rounding.

    >>> to_hundredth(60.325), to_hundredth(60.324999999999996)
    ('60.33', '60.33')
    """
    return f"{round(value_mm * 100 + 1e-6) / 100:.2f}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alignment:
    """An arm set up under a scheme, the record it plays, and the velocity the figures are for.

    `play` takes the record's place in the figures when several records are played. `held` is what
    stayed as given while the scheme was solved; `terms` are those of an exact optimum, None for a
    published closed form.
    """

    arm: Arm
    scheme: str
    record: Record
    velocity_cm_s: float = distortion.DEFAULT_VELOCITY_CM_S
    velocity_is: str = "peak"
    equalisation: distortion.Equalisation = distortion.NOT_EQUALISED
    play: Play | None = None
    held: Held | None = None
    terms: ExactTerms | None = None

    def __post_init__(self) -> None:
        distortion.peak_velocity(self.velocity_cm_s, self.velocity_is)
        for side in self.play.records if self.play else ():
            check_reach(self.arm, {"play": side.inner_radius_mm})
            check_reach(self.arm, {"play": side.outer_radius_mm})
        inner, outer = self.record.inner_radius_mm, self.record.outer_radius_mm
        check_reach(self.arm, {"inner-radius": inner, "outer-radius": outer})

    @property
    def played(self) -> Play:
        """What the figures are for: the records played, or the one record."""
        return self.play or Play.of(self.record)

    @property
    def label(self) -> str:
        """The scheme, and whether it is the exact optimum for this arm."""
        return self.scheme if self.terms is None else f"{self.scheme}, exact"

    @property
    def peak_velocity_cm_s(self) -> float:
        """Peak velocity of the sine that the figures are for [cm/s]."""
        return distortion.peak_velocity(self.velocity_cm_s, self.velocity_is)

    def _harmonic_factor(self) -> float:
        return 100 * self.equalisation.factor()

    @property
    def peak_tracking_error_deg(self) -> float:
        """Greatest tracking error over the recorded area [deg]."""
        return math.degrees(
            self.played.peak(lambda side: distortion.peak_tracking_error(self.arm, side))
        )

    @property
    def rms_tracking_error_deg(self) -> float:
        """Rms tracking error, uniform in radius [deg]."""
        return math.degrees(
            self.played.rms(lambda side: distortion.rms_tracking_error(self.arm, side))
        )

    @property
    def peak_second_harmonic_percent(self) -> float:
        """Greatest second harmonic over the recorded area [%]."""
        velocity = self.peak_velocity_cm_s
        return self._harmonic_factor() * self.played.peak(
            lambda side: distortion.peak_second_harmonic(self.arm, side, velocity)
        )

    @property
    def rms_second_harmonic_percent(self) -> float:
        """Rms second harmonic, uniform in radius [%]."""
        velocity = self.peak_velocity_cm_s
        return self._harmonic_factor() * self.played.rms(
            lambda side: distortion.rms_second_harmonic(self.arm, side, velocity)
        )

    @property
    def inner_tracking_error_deg(self) -> float:
        """Tracking error at the record's inner radius, with its sign [deg]."""
        return math.degrees(float(self.arm.tracking_error(self.record.inner_radius_mm)))

    @property
    def inner_harmonics_percent(self) -> list[float]:
        """Harmonics 2 to 5 at the record's inner radius, by the exact series [%]."""
        error = self.arm.tracking_error(self.record.inner_radius_mm)
        ratios = distortion.harmonics(
            error, self.record.inner_radius_mm, self.record.rpm, self.peak_velocity_cm_s
        )
        return [
            100 * float(ratio) * self.equalisation.factor(order)
            for order, ratio in enumerate(ratios, start=2)
        ]

    def as_dict(self) -> dict[str, Any]:
        """Every number of the alignment under the stable keys of `--json`, at full precision."""
        return {
            "pivot_to_spindle_mm": self.arm.pivot_to_spindle_mm,
            "effective_length_mm": self.arm.effective_length_mm,
            "overhang_mm": self.arm.overhang_mm,
            "offset_angle_deg": self.arm.offset_angle_deg,
            "linear_offset_mm": self.arm.linear_offset_mm,
            "null_radii_mm": [r if r > 0 else None for r in self.arm.null_radii_mm],
            "scheme": self.scheme,
            "record": self.record.as_dict(),
            "peak_tracking_error_deg": self.peak_tracking_error_deg,
            "rms_tracking_error_deg": self.rms_tracking_error_deg,
            "peak_second_harmonic_percent": self.peak_second_harmonic_percent,
            "rms_second_harmonic_percent": self.rms_second_harmonic_percent,
            "velocity_cm_s": self.velocity_cm_s,
            "velocity_is": self.velocity_is,
            "exact": self.terms is not None,
            "held": self.held,
            **(self.terms.as_dict() if self.terms else {}),
            "play": self.play and self.play.as_list(),
            "signal_hz": self.equalisation.signal_hz,
            "replay_slope_db_octave": self.equalisation.slope_db_octave,
            "inner_groove": {
                "radius_mm": self.record.inner_radius_mm,
                "tracking_error_deg": self.inner_tracking_error_deg,
                "harmonics_percent": [
                    None if math.isnan(p) else p for p in self.inner_harmonics_percent
                ],
            },
        }
