"""Where arm and cartridge resonate: effective mass on the compliance of the stylus.

Compliance is stated at 10 Hz, at rest or at 100 Hz, and a stylus is stiffer the faster it moves.
The factors between the three are rough, so the answer is an interval, and only a measurement
settles it.
"""

from __future__ import annotations

import math

from protractor.chain.answer import COMMON_PRACTICE, Answer, Verdict, judged, missing
from protractor.chain.balance import effective_mass_gain
from protractor.chain.cartridge import Cartridge
from protractor.chain.inputs import lacking
from protractor.chain.interval import Interval, spread
from protractor.chain.tonearm import Tonearm

WINDOW_HZ = (8.0, 12.0)
"""Above warps, below the lowest notes (common practice)."""

TO_TEN_HERTZ = {"10hz": 1.0, "static": 0.5, "100hz": 2.0}
"""Compliance at rest, at 10 Hz and at 100 Hz go as 4 : 2 : 1: seen in one review."""

STATED_DOUBT = 1.5
"""Factor by which compliance at 10 Hz may differ from the sheet's, so that the frequency is
doubtful by a quarter (from memory)."""

CONVERTED_DOUBT = 2.0
"""Factor by which compliance converted to 10 Hz may be wrong, the frequency by the root of 2."""

EFFECTIVE_MASS_DOUBT = 0.05
"""Effective mass of an arm against its sheet (from memory)."""

MEASURED_DOUBT = 0.05
"""A resonance found with a test record (from memory)."""

SOURCE = f"f = 1000 / (2 pi sqrt(M C)); window 8 to 12 Hz: {COMMON_PRACTICE}"
MEASURE = "Measure it with a test record that sweeps from 5 to 20 Hz; only that settles it."


def resonance_hz(mass_g: float, compliance_um_mn: float) -> float:
    """Resonance of an effective mass, cartridge included, on a compliance at 10 Hz [Hz].

    1000 / (2 pi sqrt(M C)), M in g, C in µm/mN, which is 10^-6 cm/dyne.

    >>> round(resonance_hz(18.0, 10.0), 2)
    11.86
    """
    return 1000 / (2 * math.pi * math.sqrt(mass_g * compliance_um_mn))


def mass_for_g(frequency_hz: float, compliance_um_mn: float) -> float:
    """The effective mass, cartridge included, that resonates at a frequency [g].

    >>> round(mass_for_g(11.8627, 10.0), 2)
    18.0
    """
    return (1000 / (2 * math.pi * frequency_hz)) ** 2 / compliance_um_mn


def compliance_at_ten_hertz(compliance_um_mn: float, stated: str | None) -> Interval:
    """Compliance at 10 Hz [µm/mN] of one that is stated at `10hz`, `static`, `100hz` or nowhere.

    Where the sheet does not say, every reading is possible; the nominal one is 10 Hz.
    """
    readings = [stated] if stated else list(TO_TEN_HERTZ)
    return Interval.covering(
        *(
            Interval.within_factor(
                compliance_um_mn * TO_TEN_HERTZ[one],
                STATED_DOUBT if one == "10hz" else CONVERTED_DOUBT,
            )
            for one in readings
        )
    )


def total_mass_g(cartridge: Cartridge, arm: Tonearm) -> Interval | None:
    """Effective mass with cartridge, screws and headshell [g]; None while one is missing.

    An effective mass that may or may not count the headshell leaves both open. What the move of the
    counterweight adds is counted where it is known; screws that are not given count for nothing.
    """
    own, is_ = arm.effective_mass_g, arm.effective_mass_is
    if own is None or cartridge.mass_g is None:
        return None
    if is_ != "with-headshell" and arm.headshell_g is None:
        return None
    hung = cartridge.mass_g + (arm.screws_g or 0.0)
    headshell = arm.headshell_g or 0.0
    with_it = {"with-headshell": [0.0], "without-headshell": [headshell]}
    gain = effective_mass_gain(cartridge, arm) or 0.0
    masses = (own + gain + extra for extra in with_it.get(is_ or "", [0.0, headshell]))
    readings = [Interval.about(mass, EFFECTIVE_MASS_DOUBT) for mass in masses]
    covering = Interval.covering(*readings)
    return Interval(
        nominal=covering.nominal + hung, low=covering.low + hung, high=covering.high + hung
    )


def resonance_answers(cartridge: Cartridge, arm: Tonearm) -> list[Answer]:
    """Effective mass and resonance, and what mass brings it into the window."""
    mass = total_mass_g(cartridge, arm)
    compliance = None
    if cartridge.compliance_um_mn is not None:
        compliance = compliance_at_ten_hertz(cartridge.compliance_um_mn, cartridge.compliance_is)
    if arm.measured_resonance_hz is not None:
        return [_measured(mass, arm.measured_resonance_hz)]
    if mass is None or compliance is None:
        wanted = lacking((cartridge, ("compliance_um_mn", "mass_g")), (arm, ("effective_mass_g",)))
        if arm.effective_mass_is != "with-headshell":
            wanted += lacking((arm, ("effective_mass_is", "headshell_g")))
        return [missing("resonance", "resonance", *wanted)]
    value = spread(resonance_hz, mass, compliance)
    verdict, change = _advice(value, mass, compliance)
    stated = {
        "10hz": "stated at 10 Hz",
        "static": "stated as static, so halved for 10 Hz",
        "100hz": "stated at 100 Hz, so doubled for 10 Hz",
    }.get(cartridge.compliance_is or "", "whose frequency the sheet does not state")
    return [
        Answer(
            subject="resonance",
            name="effective-mass",
            value=mass,
            unit="g",
            reason="Arm, headshell, cartridge and screws as the stylus feels them.",
            source="sum of the masses at the effective length",
        ),
        Answer(
            subject="resonance",
            name="resonance",
            value=value,
            unit="Hz",
            verdict=verdict,
            change=change,
            reason=(
                f"{mass.nominal:.1f} g on {cartridge.compliance_um_mn:g} µm/mN (the same number as "
                f"10^-6 cm/dyne), {stated}: about {value.nominal:.1f} Hz."
            ),
            source=SOURCE,
        ),
    ]


def _advice(value: Interval, mass: Interval, compliance: Interval) -> tuple[Verdict, str]:
    """Verdict, and the mass that brings the resonance into the window."""
    verdict = judged(value, *WINDOW_HZ)
    low, high = WINDOW_HZ
    if verdict == "fits":
        return verdict, ""
    if low <= value.nominal <= high:
        return verdict, f"The middle of the interval is inside 8 to 12 Hz. {MEASURE}"
    if value.nominal > high:
        more = mass_for_g(high, compliance.nominal) - mass.nominal
        change = f"Add {more:.1f} g or more at the headshell, if the counterweight balances it."
        return ("fits with a change" if verdict == "does not fit" else verdict), (
            f"{change} {MEASURE}"
        )
    less = mass.nominal - mass_for_g(low, compliance.nominal)
    return verdict, f"Remove {less:.1f} g at the headshell, or use a lighter arm. {MEASURE}"


def _measured(mass: Interval | None, measured_hz: float) -> Answer:
    """The answer from a resonance that was measured: nothing computed counts beside it."""
    value = Interval.about(measured_hz, MEASURED_DOUBT)
    low, high = WINDOW_HZ
    verdict = judged(value, low, high)
    change = ""
    if not low <= measured_hz <= high:
        edge = high if measured_hz > high else low
        step = f"{mass.nominal * abs((measured_hz / edge) ** 2 - 1):.1f} g" if mass else "mass"
        if measured_hz > high:
            verdict = "fits with a change" if verdict == "does not fit" else verdict
            change = f"Add {step}{' or more' if mass else ''} at the headshell."
        else:
            change = f"Remove {step} at the headshell, or use a lighter arm."
    elif verdict == "cannot tell":
        change = "It is at the edge of the window: measure again, or leave it."
    return Answer(
        subject="resonance",
        name="resonance",
        value=value,
        unit="Hz",
        verdict=verdict,
        change=change,
        reason=f"Measured at {measured_hz:g} Hz, which counts for more than any sheet.",
        source=f"window 8 to 12 Hz: {COMMON_PRACTICE}",
    )
