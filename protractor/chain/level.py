"""From the groove to line level: output, gain, room for hot passages, and signal over noise.

Everything refers to a lateral velocity of 5 cm/s peak at 1 kHz. A sheet that names 5 cm/s without
saying peak or rms leaves 3 dB open, and both readings stay inside the interval.
"""

from __future__ import annotations

import math

from protractor.chain.answer import COMMON_PRACTICE, OUR_CHOICE, Answer, Verdict, judged, missing
from protractor.chain.cartridge import Cartridge
from protractor.chain.circuit import division_db
from protractor.chain.inputs import lacking
from protractor.chain.interval import Interval, spread
from protractor.chain.load import COIL_DOUBT, clamped, seen_capacitance_pf, seen_load_ohm
from protractor.chain.noise import input_noise_nv, signal_to_noise_db
from protractor.chain.stage import Stage
from protractor.chain.tonearm import Tonearm

REFERENCE_CM_S = 5.0
"""Peak, lateral: as on test records (common practice)."""

HOT_CM_S, CEILING_CM_S = 25.0, 50.0
"""Peak velocities that a stage should pass, after T. Holman's articles of the 1970s (a summary),
and near the ceiling of what is cut."""

OUTPUT_DOUBT_DB = 2.0
"""Output of a cartridge against its sheet."""

LINE_MV = 316.0
"""-10 dBV, the usual line level (from memory)."""

GAIN_WINDOW_DB = (-6.0, 12.0)
"""Against the wanted line level, what a volume control makes up for: gains of 40 to 46 dB on 3 to
6 mV and of 60 on 0.2 to 0.6 mV (common practice) come out inside."""

WANTED_RATIO_DB = 70.0
"""A-weighted: a record's own noise lies some 60 to 65 dB down, so this adds under 1.5 dB to it
(from memory)."""

PEAK_OF = {"peak": 1.0, "rms": math.sqrt(2.0)}
LATERAL_OF = {"lateral": 1.0, "channel": math.sqrt(2.0)}

READ_AS = "channel v / sqrt(2) of a lateral velocity v (45/45 record); rms = peak / sqrt(2)"


def decibel(ratio: float) -> float:
    """A ratio of voltages or velocities as a level [dB].

    >>> round(decibel(25.0 / 5.0), 1)
    14.0
    """
    return 20 * math.log10(ratio)


def peak_lateral_cm_s(velocity_cm_s: float, is_: str | None, of: str | None) -> Interval:
    """A stated velocity as peak lateral velocity [cm/s]; what is not stated leaves both readings.

    The nominal reading of what is not stated is peak, and lateral.

    >>> peak_lateral_cm_s(5.0, None, "lateral").text(2)
    '5.00 to 7.07'
    """
    kinds = [PEAK_OF[is_]] if is_ else list(PEAK_OF.values())
    ways = [LATERAL_OF[of]] if of else list(LATERAL_OF.values())
    readings = [Interval.exactly(velocity_cm_s * kind * way) for kind in kinds for way in ways]
    return Interval.covering(*readings)


def output_mv(cartridge: Cartridge) -> Interval | None:
    """Output of a channel, rms, at 5 cm/s peak lateral into the recommended load [mV].

    None while the output or its velocity is missing. ± 2 dB and every reading of the velocity.
    """
    if cartridge.output_mv is None or cartridge.velocity_cm_s is None:
        return None
    stated = cartridge.output_mv
    velocity = peak_lateral_cm_s(
        cartridge.velocity_cm_s, cartridge.velocity_is, cartridge.stated_channel
    )
    doubt = Interval(nominal=0.0, low=-OUTPUT_DOUBT_DB, high=OUTPUT_DOUBT_DB)
    return spread(lambda v, d: stated * REFERENCE_CM_S / v * 10 ** (d / 20), velocity, doubt)


def input_mv(cartridge: Cartridge, stage: Stage) -> Interval | None:
    """What arrives at the input of a stage at 5 cm/s peak lateral, rms, step-up included [mV].

    A sheet's output is taken as that into the nearest recommended load, and as the open circuit's
    where it recommends none (from memory); the division is counted from there.
    """
    output = output_mv(cartridge)
    if output is None:
        return None
    gain = decibel(stage.step_up or 1.0)
    seen, source = seen_load_ohm(stage), cartridge.dc_resistance_ohm
    if seen is not None and source is not None:
        gain += division_db(source, seen)
        if cartridge.load_ohm is not None:
            gain -= division_db(source, clamped(seen, cartridge.load_ohm))
    return spread(lambda mv: mv * 10 ** (gain / 20), output)


def level_answers(cartridge: Cartridge, arm: Tonearm, stage: Stage) -> list[Answer]:
    """Gain, room for hot passages and signal over noise at one input."""
    arriving = input_mv(cartridge, stage)
    if arriving is None:
        wanted = lacking((cartridge, ("output_mv", "velocity_cm_s")))
        names = "gain", "overload", "signal-to-noise"
        return [missing("level", name, *wanted, at=stage.name) for name in names]
    return [
        _gain(cartridge, stage, arriving),
        _overload(stage, arriving),
        _noise(cartridge, arm, stage, arriving),
    ]


def _stated(cartridge: Cartridge) -> str:
    """Half a sentence on how the velocity was read."""
    open_to = [
        word
        for word, given in (
            ("peak or rms", cartridge.velocity_is),
            ("lateral or of one channel", cartridge.stated_channel),
        )
        if given is None
    ]
    if not open_to:
        return ""
    return f" The sheet does not say whether its velocity is {' and '.join(open_to)}: 3 dB each."


def _gain(cartridge: Cartridge, stage: Stage, arriving: Interval) -> Answer:
    line = stage.line_mv or LINE_MV
    needed = spread(lambda mv: decibel(line / mv), arriving)
    if stage.gain_db is None:
        return Answer(
            subject="level",
            name="gain",
            value=needed,
            unit="dB",
            verdict="cannot tell",
            change="Give `stage-gain`.",
            reason=f"This gain brings 5 cm/s to {line:g} mV.{_stated(cartridge)}",
            source=READ_AS,
            at=stage.name,
            wanted=lacking((stage, ("gain_db",))),
        )
    gain = stage.gain_db
    surplus = spread(lambda mv: gain - decibel(line / mv), arriving)
    low, high = GAIN_WINDOW_DB
    verdict = judged(surplus, low, high)
    change = ""
    if verdict != "fits":
        change = f"It takes {needed.text(0)} dB."
        if surplus.high < low:
            ratio = 10 ** (-surplus.nominal / 20)
            change += f" Use an input of more gain, or a step-up of about 1:{ratio:.0f}."
        elif surplus.low > high:
            change += " Use an input of less gain."
        elif cartridge.velocity_is is None:
            change += " Ask the maker whether the velocity is peak or rms."
    out = spread(lambda mv: mv * 10 ** (gain / 20), arriving)
    return Answer(
        subject="level",
        name="gain",
        value=surplus,
        unit="dB",
        verdict=verdict,
        change=change,
        reason=(
            f"With {gain:g} dB, 5 cm/s gives {out.text(0)} mV at the line output; the value is its "
            f"level against the {line:g} mV wanted."
            f"{_stated(cartridge)}"
        ),
        source=f"{READ_AS}; {low:+g} to {high:+g} dB is {OUR_CHOICE}",
        at=stage.name,
    )


def _overload(stage: Stage, arriving: Interval) -> Answer:
    if stage.input_limit_mv is None:
        wanted = lacking((stage, ("input_limit_mv",)))
        return missing("level", "overload", *wanted, at=stage.name)
    limit = stage.input_limit_mv

    def margin(velocity: float) -> Interval:
        return spread(lambda mv: decibel(limit * REFERENCE_CM_S / (mv * velocity)), arriving)

    hot, ceiling = margin(HOT_CM_S), margin(CEILING_CM_S)
    verdict = judged(hot, 0.0, math.inf)
    change = ""
    if verdict != "fits":
        lower = max(0.0, -hot.low)
        change = f"Use an input that accepts {lower:.0f} dB more, as a rule one of less gain."
    return Answer(
        subject="level",
        name="overload",
        value=hot,
        unit="dB",
        verdict=verdict,
        change=change,
        reason=(
            f"This is the headroom at {HOT_CM_S:g} cm/s peak; at {CEILING_CM_S:g} cm/s, near the "
            f"ceiling of what is cut, it is {ceiling.text()} dB."
        ),
        source="25 cm/s: T. Holman's articles of the 1970s, in a summary",
        at=stage.name,
    )


def _noise_wants(cartridge: Cartridge, arm: Tonearm, stage: Stage) -> tuple[str, ...]:
    """The inputs that the noise rests on and that are not given."""
    known = cartridge.dc_resistance_ohm is not None
    wanted = () if known else lacking((cartridge, ("resistance_ohm",)))
    if cartridge.family != "moving-coil":
        wanted += lacking(
            (cartridge, ("inductance_mh",)),
            (arm, ("wire_pf", "cable_pf")),
            (stage, ("capacitance_pf", "load_ohm")),
        )
    return wanted


def noise_nv(
    cartridge: Cartridge,
    arm: Tonearm,
    stage: Stage,
    *,
    weighted: bool,
    coil: tuple[float, float] | None = None,
    own: bool = True,
) -> float | None:
    """Noise at an input after replay equalisation, step-up included [nV]; None while it is open.

    `coil` is another resistance [ohm] and inductance [mH] than the sheet's; without `own` the
    stage adds nothing.
    """
    sheet = cartridge.dc_resistance_ohm
    if sheet is None or _noise_wants(cartridge, arm, stage):
        return None
    resistance, inductance = coil or (sheet, cartridge.inductance_mh or 0.0)
    seen, square = seen_capacitance_pf(arm, stage), (stage.step_up or 1.0) ** 2
    # the source as the secondary shows it, so that the stage's own noise is as stated
    return input_noise_nv(
        resistance * square,
        inductance * square,
        stage.load_ohm or math.inf,
        (seen.nominal if seen else 0.0) / square,
        (stage.noise_nv or 0.0) if own else 0.0,
        (stage.noise_pa or 0.0) if own else 0.0,
        weighted,
    )


def _noise(cartridge: Cartridge, arm: Tonearm, stage: Stage, arriving: Interval) -> Answer:
    wanted = _noise_wants(cartridge, arm, stage)
    if wanted:
        return missing("level", "signal-to-noise", *wanted, at=stage.name)

    def noise(weighted: bool, coil: tuple[float, float] | None = None, own: bool = True) -> float:
        found = noise_nv(cartridge, arm, stage, weighted=weighted, coil=coil, own=own)
        return found if found is not None else math.nan

    coil = (
        Interval.about(cartridge.dc_resistance_ohm or 0.0, COIL_DOUBT),
        Interval.about(cartridge.inductance_mh or 0.0, COIL_DOUBT),
    )
    plain, weighted = (
        spread(lambda mv, r, m, a=a: signal_to_noise_db(mv, noise(a, (r, m))), arriving, *coil)
        for a in (False, True)
    )
    costs = decibel(noise(True) / noise(True, own=False))
    verdict: Verdict = judged(weighted, WANTED_RATIO_DB, math.inf)
    change = ""
    if verdict != "fits":
        change = "No other input helps: choose a cartridge of more output."
        if costs > 1.0:
            change = f"An input with less noise of its own improves this by up to {costs:.1f} dB."
    own = f"the stage adds {costs:.1f} dB"
    if stage.noise_nv is None:
        verdict = "does not fit" if verdict == "does not fit" else "cannot tell"
        own = "that of the stage comes on top"
        change = "Give `stage-noise`."
    return Answer(
        subject="level",
        name="signal-to-noise",
        value=weighted,
        unit="dB (A)",
        verdict=verdict,
        change=change,
        reason=(
            f"Ratio to 5 cm/s, A-weighted; {plain.text()} dB unweighted. The thermal noise of the "
            f"coil is counted; {own}."
        ),
        source=f"thermal noise, equalised as in IEC 60098; {WANTED_RATIO_DB:g} dB: from memory",
        at=stage.name,
    )


def better_input(answers: list[Answer]) -> Answer:
    """Which of several inputs suits best, from the answers about each.

    The fewest misfits come first, then the fewest open questions, then the least change, then the
    greatest signal over noise.
    """
    names = list(dict.fromkeys(one.at for one in answers if one.at))

    def rank(name: str) -> tuple[int, int, int, float]:
        own = [one for one in answers if one.at == name]
        count = [
            sum(one.verdict == word for one in own)
            for word in ("does not fit", "cannot tell", "fits with a change")
        ]
        ratios = [one.value.nominal for one in own if one.name == "signal-to-noise" and one.value]
        return count[0], count[1], count[2], -ratios[0] if ratios else 0.0

    ranked = sorted(names, key=rank)
    best, second = rank(ranked[0]), rank(ranked[1])
    tied = best[:3] == second[:3] and abs(best[3] - second[3]) < 1.0
    words = (
        f"{best[0]} against {second[0]} points that do not fit, "
        f"{best[1]} against {second[1]} that are open"
    )
    if best[3] and second[3]:
        words += f", {-best[3]:.0f} against {-second[3]:.0f} dB of signal over noise"
    verdict: Verdict = "does not fit" if best[0] else "fits"
    if verdict == "fits" and not tied and ranked[0] != names[0]:
        verdict = "fits with a change"
    return Answer(
        subject="level",
        name="better-input",
        verdict=verdict,
        change="Either will do." if tied else f'Use the input "{ranked[0]}".',
        reason=f'"{ranked[0]}" compared with "{ranked[1]}": {words}.',
        source=f"{OUR_CHOICE}, on {COMMON_PRACTICE}",
    )
