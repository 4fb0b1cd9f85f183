"""What the load does to a cartridge's output: resistance, capacitance, a step-up transformer.

The goal is the load that the cartridge's maker recommends, never a flat electrical response: the
electrical peak often makes up for a mechanical fall. What a moving coil's load does to its sound
beyond the loss in level is disputed, and nothing is claimed about it.
"""

from __future__ import annotations

import math

from protractor.chain.answer import COMMON_PRACTICE, OUR_CHOICE, Answer, Verdict, judged, missing
from protractor.chain.cartridge import Cartridge
from protractor.chain.circuit import corner, division_db, greatest_change_db, reflected
from protractor.chain.inputs import Pair, lacking
from protractor.chain.interval import Interval, spread
from protractor.chain.stage import Stage
from protractor.chain.tonearm import Tonearm

COIL_DOUBT = 0.1
"""Resistance and inductance of a coil against its sheet (from memory)."""

CAPACITANCE_DOUBT = 0.1
"""A cable's or an input's capacitance against its sheet (from memory)."""

CHANGE_DB = 1.0
"""No sheet fixes a moving magnet's electrical peak nearer than this: a choice of this project."""

MOVING_COIL_LOAD_OHM = (100.0, 1000.0)
"""Where makers' recommendations lie (common practice)."""

DIVISION_SOURCE = "voltage division; the recommended load is the maker's"


def clamped(value: float, span: Pair) -> float:
    """The value of a span that is nearest to `value`."""
    return min(max(value, span[0]), span[1])


def next_setting(settings: tuple[float, ...], wanted: Pair, now: float | None) -> float | None:
    """The setting inside the wanted span that is nearest to the present one; None if there is none.

    Without a present one, it is the nearest to the middle of the span.

    >>> next_setting((47_000.0, 1000.0, 470.0, 100.0), (100.0, 500.0), 47_000.0)
    470.0
    """
    inside = [one for one in settings if wanted[0] <= one <= wanted[1]]
    near = now if now is not None else sum(wanted) / 2
    return min(inside, key=lambda one: abs(one - near), default=None)


def seen_load_ohm(stage: Stage) -> float | None:
    """Load resistance that the cartridge sees, through the step-up if there is one [ohm]."""
    return None if stage.load_ohm is None else stage.load_ohm / (stage.step_up or 1.0) ** 2


def seen_capacitance_pf(arm: Tonearm, stage: Stage) -> Interval | None:
    """Wire, cable and input together as the cartridge sees them [pF]; None if one is not given."""
    parts = arm.wire_pf, arm.cable_pf, stage.capacitance_pf
    if any(part is None for part in parts):
        return None
    wire, cable, own = (part or 0.0 for part in parts)
    total = wire + cable + own * (stage.step_up or 1.0) ** 2
    return Interval.about(total, CAPACITANCE_DOUBT)


def load_answers(cartridge: Cartridge, arm: Tonearm, stage: Stage) -> list[Answer]:
    """What there is to say about the load of one input."""
    answers = [_step_up(stage)] if stage.step_up is not None else []
    if cartridge.family is None:
        wanted = lacking((cartridge, ("kind",)), (stage, ("load_ohm",)))
        return [*answers, missing("load", "load", *wanted, at=stage.name)]
    if cartridge.family == "moving-coil":
        return [*answers, _moving_coil(cartridge, stage)]
    return [
        *answers,
        *_coil(cartridge),
        _capacitance(cartridge, arm, stage),
        *_response(cartridge, arm, stage),
    ]


def _coil(cartridge: Cartridge) -> list[Answer]:
    """What there is to ask about the coil's resistance, if anything."""
    if cartridge.doubt:
        return [
            Answer(
                subject="load",
                name="coil-resistance",
                verdict="cannot tell",
                change="Measure the coil with an ohmmeter, or give it as `cartridge-impedance`.",
                reason=cartridge.doubt,
                source="impedance of resistance and inductance in series",
            )
        ]
    found = cartridge.dc_resistance_ohm
    if cartridge.resistance_ohm is None and cartridge.impedance_ohm is not None and found:
        return [
            Answer(
                subject="load",
                name="coil-resistance",
                value=Interval.exactly(found),
                unit="ohm",
                reason=(
                    f"From {cartridge.impedance_ohm:g} ohm at 1 kHz less the inductance; a small "
                    "difference of two large figures, so trust an ohmmeter more."
                ),
                source="impedance of resistance and inductance in series",
            )
        ]
    return []


def _digits(value: float) -> str:
    """Four digits, and no power of ten."""
    return f"{value:.0f}" if value >= 1000 else f"{value:.4g}"


def _step_up(stage: Stage) -> Answer:
    ratio = stage.step_up or 1.0
    ohm, picofarads = reflected(stage.load_ohm or math.nan, stage.capacitance_pf or 0.0, ratio)
    shown = f" shows the cartridge {_digits(ohm)} ohm" if stage.load_ohm else " divides the load"
    capacitance = f" and {_digits(picofarads)} pF" if stage.capacitance_pf else ""
    return Answer(
        subject="load",
        name="step-up",
        value=Interval.exactly(20 * math.log10(ratio)),
        unit="dB",
        reason=f"A step-up of 1:{ratio:g}{shown}{capacitance}.",
        source="ideal transformer: RL / n², C n², 20 log10 n",
        at=stage.name,
    )


def _moving_coil(cartridge: Cartridge, stage: Stage) -> Answer:
    seen, source_ohm = seen_load_ohm(stage), cartridge.dc_resistance_ohm
    if seen is None:
        return missing("load", "load", *lacking((stage, ("load_ohm",))), at=stage.name)
    low, high = cartridge.load_ohm or MOVING_COIL_LOAD_OHM
    whose = "the maker's" if cartridge.load_ohm else "the usual"
    fits = low <= seen <= high
    square = (stage.step_up or 1.0) ** 2
    change = ""
    if not fits:
        setting = next_setting(stage.loads_ohm, (low * square, high * square), stage.load_ohm)
        change = f"Set the load to {_digits(setting)} ohm." if setting is not None else ""
    verdict: Verdict = "fits" if fits else "fits with a change" if change else "does not fit"
    if verdict == "does not fit":
        change = f"Use an input of {_digits(low)} to {_digits(high)} ohm."
        if seen > high:
            parallel = 1 / (1 / (high * square) - 1 / (seen * square))
            ohms = _digits(float(f"{parallel:.3g}"))
            verdict = "fits with a change"
            change = (
                f"Put a resistor of {ohms} ohm or somewhat less across the input, or "
                f"{change[0].lower()}{change[1:]}"
            )
    loss = None
    level = ""
    if source_ohm is not None:
        loss = spread(division_db, Interval.about(source_ohm, COIL_DOUBT), Interval.exactly(seen))
        best = division_db(source_ohm, low), division_db(source_ohm, high)
        level = (
            f"; the load costs {-loss.nominal:.2f} dB of level, "
            f"at the ends of that range {-best[0]:.2f} and {-best[1]:.2f} dB"
        )
    return Answer(
        subject="load",
        name="load",
        value=loss,
        unit="dB",
        verdict=verdict,
        change=change,
        reason=(
            f"The coil sees {_digits(seen)} ohm; {whose} range is {_digits(low)} to "
            f"{_digits(high)} ohm{level}."
        ),
        source=DIVISION_SOURCE if cartridge.load_ohm else COMMON_PRACTICE,
        at=stage.name,
    )


def _capacitances(arm: Tonearm, stage: Stage, cartridge: Cartridge, own: str) -> tuple[str, ...]:
    """Which capacitances are not given, and whether one field of the cartridge's is not."""
    return lacking(
        (cartridge, (own,)), (arm, ("wire_pf", "cable_pf")), (stage, ("capacitance_pf",))
    )


def _capacitance(cartridge: Cartridge, arm: Tonearm, stage: Stage) -> Answer:
    """Total capacitance against the maker's range, and what to add or to lose."""
    total = seen_capacitance_pf(arm, stage)
    wanted = cartridge.load_pf
    if total is None or wanted is None:
        return missing(
            "load", "capacitance", *_capacitances(arm, stage, cartridge, "load_pf"), at=stage.name
        )
    low, high = wanted
    # a maker's figure is no nearer than a cable's
    verdict = judged(total, low * (1 - CAPACITANCE_DOUBT), high * (1 + CAPACITANCE_DOUBT))
    change = ""
    square = (stage.step_up or 1.0) ** 2
    outside = total.nominal - (stage.capacitance_pf or 0.0) * square
    if verdict == "cannot tell":
        change = "Measure arm wire, cable and input together: the sum is at the edge of the range."
    elif verdict == "does not fit":
        room = (low - outside) / square, (high - outside) / square
        setting = next_setting(stage.capacitances_pf, room, stage.capacitance_pf)
        verdict = "fits with a change"
        if setting is not None:
            change = f"Set the input capacitance to {setting:g} pF."
        elif total.nominal < low:
            change = f"Add {low - total.nominal:.0f} to {high - total.nominal:.0f} pF."
        else:
            surplus = total.nominal - high
            change = (
                f"Lose {surplus:.0f} pF or more: fit a shorter cable, or one of less capacitance."
            )
            if surplus > (arm.cable_pf or 0.0):
                verdict = "does not fit"
                change = (
                    f"Lose {surplus:.0f} pF or more; the cable has only {arm.cable_pf:g} pF, "
                    "so use an input of less capacitance."
                )
    return Answer(
        subject="load",
        name="capacitance",
        value=total,
        unit="pF",
        verdict=verdict,
        change=change,
        reason=(
            f"Arm wire, cable and input make {total.nominal:.0f} pF; "
            f"the maker asks for {low:g} to {high:g} pF."
        ),
        source="the maker's recommendation",
        at=stage.name,
    )


def _response(cartridge: Cartridge, arm: Tonearm, stage: Stage) -> list[Answer]:
    """Peak, -3 dB point and change against the recommended load."""
    total, load = seen_capacitance_pf(arm, stage), seen_load_ohm(stage)
    resistance, inductance = cartridge.dc_resistance_ohm, cartridge.inductance_mh
    if resistance is None or inductance is None or load is None or total is None:
        wanted = () if resistance is not None else lacking((cartridge, ("resistance_ohm",)))
        wanted += lacking((stage, ("load_ohm",)))
        wanted += _capacitances(arm, stage, cartridge, "inductance_mh")
        return [missing("load", "load-response", *wanted, at=stage.name)]
    coil = Interval.about(resistance, COIL_DOUBT), Interval.about(inductance, COIL_DOUBT)
    answers = []
    if total.nominal > 0:
        found = corner(resistance, inductance, load, total.nominal)
        peak = spread(lambda r, m, c: corner(r, m, load, c).peak_db, *coil, total)
        top = spread(lambda r, m, c: corner(r, m, load, c).minus_3_db_hz, *coil, total)
        where = f"peak at {found.peak_hz / 1000:.1f} kHz" if found.peak_hz else "have no peak"
        answers = [
            Answer(
                subject="load",
                name="electrical-peak",
                value=peak,
                unit="dB",
                reason=(
                    f"The coil and its load {where} (Q {found.quality:.2f}); a peak "
                    "may make up for a mechanical fall, so flat is not the goal."
                ),
                source="second-order circuit in closed form",
                at=stage.name,
            ),
            Answer(
                subject="load",
                name="minus-3-db",
                value=top,
                unit="Hz",
                reason="Above it the coil and its load have lost 3 dB against 1 kHz.",
                source="second-order circuit in closed form",
                at=stage.name,
            ),
        ]
    return [*answers, _change(cartridge, stage, coil, (load, total))]


def _change(
    cartridge: Cartridge,
    stage: Stage,
    coil: tuple[Interval, Interval],
    seen: tuple[float, Interval],
) -> Answer:
    """The greatest difference against the nearest load that the maker recommends."""
    load, total = seen
    ohms, picofarads = cartridge.load_ohm, cartridge.load_pf
    if ohms is None or picofarads is None:
        wanted = lacking((cartridge, ("load_ohm", "load_pf")))
        return missing("load", "load-response", *wanted, at=stage.name)

    def change(resistance: float, inductance: float, capacitance: float) -> float:
        nearest = clamped(load, ohms), clamped(capacitance, picofarads)
        return greatest_change_db(resistance, inductance, (load, capacitance), nearest)

    value = spread(change, *coil, total, points=3)
    verdict = judged(value, -CHANGE_DB, CHANGE_DB)
    advice = {
        "fits": "",
        "cannot tell": "Measure the capacitance of cable and input together.",
        "does not fit": "Change the capacitance as above." if load == clamped(load, ohms) else "",
    }[verdict]
    if verdict == "does not fit":
        setting = next_setting(stage.loads_ohm, ohms, stage.load_ohm)
        if load != clamped(load, ohms):
            advice = f"Bring the load to {_digits(ohms[0])} to {_digits(ohms[1])} ohm."
            advice = f"Set the load to {_digits(setting)} ohm." if setting else advice
        verdict = "fits with a change"
    where = f"{_digits(load)} ohm and {total.nominal:.0f} pF"
    return Answer(
        subject="load",
        name="load-response",
        value=value,
        unit="dB",
        verdict=verdict,
        change=advice,
        reason=(
            f"Up to 20 kHz the response with {where} differs by at most {value.nominal:+.1f} dB "
            "from that with the nearest load that the maker recommends."
        ),
        source=f"the maker's recommendation; {CHANGE_DB:g} dB is {OUR_CHOICE}",
        at=stage.name,
    )
