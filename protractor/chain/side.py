"""Along the side: the skating force, and the height of the arm against the vertical angle."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from protractor.chain.answer import Answer, Verdict, judged, missing
from protractor.chain.cartridge import Cartridge
from protractor.chain.inputs import lacking
from protractor.chain.interval import Interval, spread
from protractor.chain.tonearm import Tonearm

Floats = NDArray[np.float64]

FRICTION = Interval(nominal=0.275, low=0.275 * 0.7, high=0.275 * 1.3)
"""Stylus on vinyl: 0.25 to 0.3 (Pardee, JAES, December 1981, second hand), and ± 30 % as the
groove, the tip and the modulation have it."""

RECORDED_RADII_MM = (60.325, 146.05)
"""Where nothing else is given: IEC 98:1958."""

VERTICAL_ANGLE_DEG = (20.0, 25.0)
"""IEC 60098:2020, 6.1: 20°, +5°/0°."""

ANGLE_DOUBT_DEG = 3.0
"""A cartridge's vertical tracking angle against its sheet: a choice of this project. Those that
were measured had 22 to 35° (AES preprint 1940, seen in summary)."""

SKATING_SOURCE = "friction times force times lever over length; friction: Pardee, JAES, Dec 1981"


def skating_lever_mm(radius_mm: ArrayLike, length_mm: float, pivot_to_spindle_mm: float) -> Floats:
    """Lever of the groove's drag about the pivot, whatever the headshell's offset.

    Args:
        radius_mm: r, any shape [mm].
        length_mm: effective length L [mm].
        pivot_to_spindle_mm: d [mm].

    Returns:
        the lever, the same shape [mm].

    (r² + L² - d²) / (2 r): L times the sine of the tracking angle.

    >>> round(float(skating_lever_mm(60.3, 239.3, 222.0)), 1)
    96.3
    """
    r = np.asarray(radius_mm, float)
    overhang = length_mm - pivot_to_spindle_mm
    lever: Floats = (r * r + overhang * (length_mm + pivot_to_spindle_mm)) / (2 * r)
    return lever


def skating_force_g(friction: float, force_g: float, lever_mm: float, length_mm: float) -> float:
    """Force at the stylus toward the spindle, friction times force times lever over length [g].

    >>> round(skating_force_g(0.275, 2.0, 96.3, 239.3), 3)
    0.221
    """
    return friction * force_g * lever_mm / length_mm


def lift_mm(angle_deg: float, length_mm: float) -> float:
    """How far the arm's pillar rises to turn the cartridge by an angle [mm].

    L sin(angle).

    >>> round(lift_mm(1.0, 239.3), 2)
    4.18
    """
    return length_mm * math.sin(math.radians(angle_deg))


def turned_deg(height_mm: float, length_mm: float) -> float:
    """Angle by which a cartridge turns when pillar, mat or record differ in height [deg].

    >>> round(turned_deg(4.176, 239.3), 2)
    1.0
    """
    return math.degrees(math.asin(height_mm / length_mm))


def groove_speed_cm_s(radius_mm: float, rpm: float) -> float:
    """Speed of the groove under the stylus [cm/s].

    >>> round(groove_speed_cm_s(60.325, 100 / 3), 2)
    21.06
    """
    return 2 * math.pi * rpm / 60 * radius_mm / 10


def frequency_modulation_percent(
    velocity_cm_s: float, groove_speed_cm_s: float, cut_deg: float, replay_deg: float
) -> float:
    """Frequency modulation by a difference of the vertical angles of cutting and replay [%].

    (v / V) |tan(a) - tan(b)|, v the recorded velocity, V the speed of the groove.

    >>> round(frequency_modulation_percent(5.0, 21.99, 15.0, 25.0), 1)
    4.5
    """
    tangents = math.tan(math.radians(cut_deg)) - math.tan(math.radians(replay_deg))
    return 100 * velocity_cm_s / groove_speed_cm_s * abs(tangents)


def skating_answers(arm: Tonearm, radii_mm: tuple[float, float]) -> list[Answer]:
    """Skating force over the recorded radii, inner and outer [mm]."""
    length, distance, force = arm.length_mm, arm.pivot_to_spindle_mm, arm.force_g
    if length is None or distance is None or force is None:
        wanted = lacking((arm, ("length_mm", "pivot_to_spindle_mm", "force_g")))
        return [missing("side", "skating-force", *wanted)]
    turning = math.sqrt(max((length - distance) * (length + distance), 0.0))
    radii = [*radii_mm, min(max(turning, radii_mm[0]), radii_mm[1])]
    levers = skating_lever_mm(radii, length, distance)
    least, most = float(levers.min()), float(levers.max())
    middle = (least + most) / 2
    lever = Interval(nominal=middle, low=least, high=most)
    value = spread(lambda mu, arm_mm: skating_force_g(mu, force, arm_mm, length), FRICTION, lever)
    by_side = (most - least) / 2 / middle
    by_friction = (FRICTION.high - FRICTION.low) / 2 / FRICTION.nominal
    share = 100 * by_friction / (by_friction + abs(by_side))
    return [
        Answer(
            subject="side",
            name="skating-force",
            value=value,
            unit="g",
            reason=(
                f"The lever runs from {least:.1f} to {most:.1f} mm, so the force varies by "
                f"±{abs(100 * by_side):.0f} % over the side; {share:.0f} % of the interval comes "
                "from friction, which only listening or a test record settles."
            ),
            source=SKATING_SOURCE,
        )
    ]


def height_answers(cartridge: Cartridge, arm: Tonearm, groove_speed_cm_s: float) -> list[Answer]:
    """What raising does to the vertical angle, and what mat, record and cartridge ask for.

    The groove's speed is in cm/s.
    """
    length, higher_mm = arm.length_mm, arm.higher_mm
    if length is None:
        return [missing("side", "arm-height", *lacking((arm, ("length_mm",))))]
    answers = [
        Answer(
            subject="side",
            name="rise-per-degree",
            value=Interval.exactly(lift_mm(1.0, length)),
            unit="mm",
            reason="The pillar rises by this much to turn the cartridge by a degree.",
            source="L sin(1°)",
        )
    ]
    if higher_mm:
        turned = turned_deg(higher_mm, length)
        verdict: Verdict = "fits with a change"
        change = f"{'Raise' if higher_mm > 0 else 'Lower'} the pillar by {abs(higher_mm):.1f} mm."
        if arm.height_travel_mm is None:
            verdict, change = "cannot tell", f"{change} Give `arm-height-travel`."
        elif higher_mm > arm.height_travel_mm:
            verdict = "does not fit"
            change += f" It can rise by only {arm.height_travel_mm:g} mm."
        answers.append(
            Answer(
                subject="side",
                name="arm-height",
                value=Interval.exactly(higher_mm),
                unit="mm",
                verdict=verdict,
                change=change,
                reason=f"Left as it is, the cartridge turns by {abs(turned):.1f}°.",
                source="asin(height / L)",
            )
        )
    if cartridge.vertical_angle_deg is None:
        return answers
    stated = cartridge.vertical_angle_deg
    angle = Interval(nominal=stated, low=stated - ANGLE_DOUBT_DEG, high=stated + ANGLE_DOUBT_DEG)
    low, high = VERTICAL_ANGLE_DEG
    nearest = min(max(stated, low), high)
    rise = lift_mm(nearest - stated, length)
    verdict = judged(angle, low, high)
    change = ""
    if nearest != stated:
        change = f"{'Raise' if rise > 0 else 'Lower'} the pillar by {abs(rise):.1f} mm."
        travel = arm.height_travel_mm
        reaches = travel is not None and abs(rise) <= travel
        if verdict == "does not fit" and reaches:
            verdict = "fits with a change"
        elif not reaches:
            change = f"{change[:-1]}, if it goes so far."
    elif verdict == "cannot tell":
        change = "The sheet cannot settle it: set the height by ear or with a test record."
    cost = frequency_modulation_percent(5.0, groove_speed_cm_s, low, stated)
    return [
        *answers,
        Answer(
            subject="side",
            name="vertical-angle",
            value=angle,
            unit="deg",
            verdict=verdict,
            change=change,
            reason=(
                f"The standard asks for {low:g} to {high:g}°; {stated:g}° against {low:g}° "
                f"modulates the frequency by {cost:.1f} % at 5 cm/s where the groove runs at "
                f"{groove_speed_cm_s:.0f} cm/s."
            ),
            source="IEC 60098:2020, 6.1",
        ),
    ]
