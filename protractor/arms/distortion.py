"""What a tracking error costs: second-harmonic distortion of a velocity-sensing cartridge."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from protractor.arms.arm import Arm, Floats
from protractor.arms.extrema import peak_tracking_errors
from protractor.arms.records import Record
from protractor.errors import InputError, check_range

VELOCITY_RANGE_CM_S = (0.1, 100.0)
SIGNAL_RANGE_HZ = (20.0, 20_000.0)
SLOPE_RANGE_DB_OCTAVE = (0.0, 12.0)
DEFAULT_VELOCITY_CM_S = 10.0
"""A loud passage (common practice)."""


def peak_velocity(velocity_cm_s: float, velocity_is: str) -> float:
    """Peak velocity of a sine [cm/s] whose velocity is stated as `peak` or as `rms`.

    Raises `InputError` when the velocity is outside `VELOCITY_RANGE_CM_S` or the word is another.
    """
    remedy = "give the recorded velocity of the groove in cm/s"
    check_range("velocity", velocity_cm_s, "cm/s", VELOCITY_RANGE_CM_S, remedy)
    if velocity_is not in ("peak", "rms"):
        raise InputError("velocity-is", velocity_is, "peak, rms", "name one of these")
    return velocity_cm_s * (math.sqrt(2.0) if velocity_is == "rms" else 1.0)


def second_harmonic(
    error_rad: ArrayLike, radius_mm: ArrayLike, rpm: ArrayLike, peak_velocity_cm_s: ArrayLike
) -> Floats:
    """Second harmonic over fundamental, to first order in the tracking error.

    Args:
        error_rad: tracking error, any shape [rad].
        radius_mm: r, broadcast [mm].
        rpm: speed of the record, broadcast [rpm].
        peak_velocity_cm_s: v, peak of the recorded sine, broadcast [cm/s].

    Returns:
        ratio of velocities, not equalised, the broadcast shape [1].

    v tan|error| / (Omega r); first order in v tan(error) / (Omega r), which stays under 0.1 for
    any arm that is set up.

    >>> round(100 * float(second_harmonic(math.radians(1.0), 60.0, 100 / 3, 10.0)), 2)
    0.83

    Source: H. G. Baerwald, J. Soc. Motion Picture Eng., Dec 1941 (first term of the series).
    """
    omega = np.asarray(rpm, float) * (2 * math.pi / 60)
    speed_mm_s = omega * np.asarray(radius_mm, float)
    velocity_mm_s = 10 * np.asarray(peak_velocity_cm_s, float)
    ratio: Floats = velocity_mm_s * np.abs(np.tan(error_rad)) / speed_mm_s
    return ratio


def harmonics(
    error_rad: ArrayLike,
    radius_mm: ArrayLike,
    rpm: ArrayLike,
    peak_velocity_cm_s: ArrayLike,
    count: int = 5,
) -> Floats:
    """Harmonics 2 to `count` over the fundamental of a sine in a skewed groove, exactly.

    A stylus that is guided askew reads the sine early and late by turns, as a planet is early and
    late on Kepler's orbit; the tangent of the error takes the place of the eccentricity.

    Args:
        error_rad: tracking error, any shape [rad].
        radius_mm: r, broadcast [mm].
        rpm: speed of the record, broadcast [rpm].
        peak_velocity_cm_s: v, peak of the recorded sine, broadcast [cm/s].
        count: the highest harmonic.

    Returns:
        ratios of velocities, not equalised, harmonics in a new last axis [1]; nan where the skewed
        sine would fold over (e >= 1).

    J_n(n e) / J_1(e) with e = v tan|error| / (Omega r), the Bessel functions by their power series.

    >>> [round(100 * float(ratio), 3) for ratio in harmonics(math.radians(2), 60, 100 / 3, 10, 4)]
    [1.667, 0.031, 0.001]

    Source: H. G. Baerwald, J. Soc. Motion Picture Eng., Dec 1941, who names the two-body problem;
    the series is F. W. Bessel's solution of Kepler's equation.
    """
    e = second_harmonic(error_rad, radius_mm, rpm, peak_velocity_cm_s)[..., None]
    e = np.where(e < 1, e, np.nan)
    order = np.arange(1, count + 1)
    # J_n(n e) / e, so that the ratio keeps its digits down to no error at all
    half = order * e / 2
    term: Floats = half ** (order - 1) * order / 2 / np.array([math.factorial(n) for n in order])
    total = term
    for k in range(1, 60):
        term = -term * half * half / (k * (k + order))
        total = total + term
    ratios: Floats = total[..., 1:] / total[..., :1]
    return ratios


REPLAY_TIME_CONSTANTS_S = (3180e-6, 318e-6, 75e-6)
"""Of the replay equalisation (IEC 60098): fall from the first, shelf to the second, fall again."""


def replay_gain(frequency_hz: ArrayLike) -> Floats:
    """Gain of the replay equalisation, ten at the lowest frequencies.

    Args:
        frequency_hz: any shape, above zero [Hz].

    Returns:
        ratio, the same shape [1].

    10 |1 + i w t2| / (|1 + i w t1| |1 + i w t3|) with the time constants of IEC 60098.

    >>> [round(20 * math.log10(replay_gain(f)), 1) for f in (20.0, 20_000.0)]
    [19.4, -19.5]

    Source: IEC 60098; the worked line is K. Howard, 'Arc Angles', Stereophile, March 2010, p. 3.
    """
    w = 2 * math.pi * np.asarray(frequency_hz, float)
    t1, t2, t3 = REPLAY_TIME_CONSTANTS_S
    gain: Floats = 10 * np.hypot(1, w * t2) / (np.hypot(1, w * t1) * np.hypot(1, w * t3))
    return gain


@dataclass(frozen=True, slots=True, kw_only=True)
class Equalisation:
    """How replay weakens a harmonic against the fundamental: by frequency, by slope, or not at all.

    `signal_hz` is the fundamental under the equalisation of IEC 60098 [Hz]; `slope_db_octave` a
    fall that is the same everywhere [dB/octave]. At most one of the two is given. Raises
    `InputError` when both are, or one is out of its range.
    """

    signal_hz: float | None = None
    slope_db_octave: float | None = None

    def __post_init__(self) -> None:
        if self.signal_hz is not None and self.slope_db_octave is not None:
            raise InputError(
                "signal",
                f"{self.signal_hz:g} Hz beside a slope of {self.slope_db_octave:g} dB/octave",
                "one of signal and replay-slope",
                "leave out one of the two",
            )
        for name, value, unit, bounds in (
            ("signal", self.signal_hz, "Hz", SIGNAL_RANGE_HZ),
            ("replay-slope", self.slope_db_octave, "dB/octave", SLOPE_RANGE_DB_OCTAVE),
        ):
            if value is not None:
                check_range(name, value, unit, bounds, "choose another")

    def factor(self, harmonic: int = 2) -> float:
        """What a harmonic over the fundamental is multiplied by on replay [1].

        >>> round(1.07 * Equalisation(slope_db_octave=3.9).factor(), 2)
        0.68
        """
        if self.signal_hz is not None:
            return float(replay_gain(harmonic * self.signal_hz) / replay_gain(self.signal_hz))
        return float(10 ** (-(self.slope_db_octave or 0.0) * math.log2(harmonic) / 20))

    def __str__(self) -> str:
        if self.signal_hz is not None:
            return f"after IEC 60098 replay equalisation, {self.signal_hz:g} Hz"
        if self.slope_db_octave is not None:
            return f"after a replay slope of {self.slope_db_octave:g} dB/octave"
        return "not equalised"


NOT_EQUALISED = Equalisation()


def weighted_turning_radius(arm: Arm) -> float:
    """Radius [mm] at which tan(error) / r turns between the nulls; nan when it does not.

    Newton on r error'(r) = sin(error) cos(error), from the harmonic mean of the null radii, which
    is exact for the error of sines.
    """
    d, length = arm.pivot_to_spindle_mm, arm.effective_length_mm
    p = (length - d) * (length + d)
    half = arm.linear_offset_mm
    r = p / half if half > 0 and p > 0 else math.nan
    for _ in range(20):
        sine = (r * r + p) / (2 * r * length)
        if not abs(sine) < 1:
            return math.nan
        cosine = math.sqrt(1 - sine * sine)
        slope = (1 - p / (r * r)) / (2 * length)  # d sin(phi) / dr
        rate = slope / cosine  # d phi / dr
        bend = p / (r**3 * length) / cosine + sine * slope * slope / cosine**3  # d² phi / dr²
        error = math.asin(sine) - arm.offset_angle_rad
        value = r * rate - math.sin(error) * math.cos(error)
        step = value / (rate + r * bend - math.cos(2 * error) * rate)
        r -= step
        if abs(step) <= 1e-13 * abs(r):
            return r
    return r


def peak_tracking_error(arm: Arm, record: Record) -> float:
    """Greatest tracking error over the recorded area, without sign [rad]."""
    lengths = arm.pivot_to_spindle_mm, arm.effective_length_mm
    return float(peak_tracking_errors(*lengths, arm.offset_angle_rad, record))


def peak_second_harmonic(arm: Arm, record: Record, peak_velocity_cm_s: float) -> float:
    """Greatest `second_harmonic` over the recorded area [1].

    It can be greatest at the edges and at `weighted_turning_radius` only.
    """
    inner, outer = record.inner_radius_mm, record.outer_radius_mm
    turn = weighted_turning_radius(arm)
    radii = np.array([inner, outer, *([turn] if inner < turn < outer else [])])
    return float(
        np.max(second_harmonic(arm.tracking_error(radii), radii, record.rpm, peak_velocity_cm_s))
    )


@cache
def gauss_legendre(count: int) -> tuple[Floats, Floats]:
    """Nodes and weights of Gauss-Legendre quadrature on -1 to 1; the weights sum to 2."""
    nodes, weights = np.polynomial.legendre.leggauss(count)
    nodes.flags.writeable = weights.flags.writeable = False
    return nodes, weights


def side_nodes(record: Record, count: int = 48) -> tuple[Floats, Floats]:
    """Gauss-Legendre nodes [mm] and weights over the recorded area; the weights sum to 1.

    The mean they give is uniform in radius, which at constant pitch is uniform in time.
    """
    nodes, weights = gauss_legendre(count)
    inner, outer = record.inner_radius_mm, record.outer_radius_mm
    return (inner + outer) / 2 + (outer - inner) / 2 * nodes, weights / 2


def rms_tracking_error(arm: Arm, record: Record) -> float:
    """Root of the mean square of the tracking error, uniform in radius [rad]."""
    radii, weights = side_nodes(record)
    return math.sqrt(float(weights @ arm.tracking_error(radii) ** 2))


def rms_second_harmonic(arm: Arm, record: Record, peak_velocity_cm_s: float) -> float:
    """Root of the mean square of `second_harmonic`, uniform in radius [1]."""
    radii, weights = side_nodes(record)
    ratio = second_harmonic(arm.tracking_error(radii), radii, record.rpm, peak_velocity_cm_s)
    return math.sqrt(float(weights @ ratio**2))
