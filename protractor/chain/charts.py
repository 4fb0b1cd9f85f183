"""What the answers look like: response under the load, levels from groove to line, resonance."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from protractor.chain.cartridge import Cartridge
from protractor.chain.circuit import AUDIBLE_HZ, corner, response_db
from protractor.chain.interval import Interval, spread
from protractor.chain.level import (
    GAIN_WINDOW_DB,
    HOT_CM_S,
    LINE_MV,
    REFERENCE_CM_S,
    decibel,
    input_mv,
    noise_nv,
    output_mv,
)
from protractor.chain.load import COIL_DOUBT, clamped, seen_capacitance_pf, seen_load_ohm
from protractor.chain.resonance import (
    WINDOW_HZ,
    compliance_at_ten_hertz,
    resonance_hz,
    total_mass_g,
)
from protractor.chain.stage import Stage
from protractor.chain.tonearm import Tonearm
from protractor.drawing.chart import Axis, Chart, Curve, Mark, Region
from protractor.drawing.shapes import FINE, HEAVY, PLAIN
from protractor.errors import InputError

MOST_STAGES = 2
"""Inputs side by side; more would not leave room for their words."""

RESPONSE_HZ = (500.0, AUDIBLE_HZ[1])
"""Below, every load of a moving magnet leaves the response flat."""

SHOWN_HZ = (3.0, 30.0)
"""Below and above, no arm and cartridge are in use."""

DECADES_MV = (-5, 4)
"""From the noise of the quietest input to the output of the loudest, as powers of 10 [mV]."""

POINTS = 160
RESPONSE = "Response of the coil under its load"
LONG_DASHES, SHORT_DASHES, DOTS = (8.0, 3.0), (3.5, 2.0), (1.2, 1.8)
PLACES = ("groove", "coil", "input", "line")

Charts = tuple[tuple[Chart, ...], ...]
"""Charts by rows; those of one row share their upright axis."""


def charts(cartridge: Cartridge, arm: Tonearm, stages: Sequence[Stage]) -> Charts:
    """The charts that the figures allow, row by row; a chart whose figures are missing is left out.

    Of several inputs the first two are drawn.

    Raises `InputError` when no chart is left.
    """
    first = stages[:MOST_STAGES]
    response = _response(cartridge, arm, first)
    levels = [one for stage in first if (one := _levels(cartridge, arm, stage, len(first) > 1))]
    resonance = _resonance(cartridge, arm)
    rows = ((response,) if response else (), tuple(levels), (resonance,) if resonance else ())
    if not any(rows):
        raise InputError(
            "output",
            "figures for no curve",
            "those of a response, a level or a resonance",
            "give `cartridge-output` with `cartridge-velocity` and `stage-gain`, for one",
        )
    return tuple(row for row in rows if row)


def reading(rows: Charts, inputs: int = 1) -> str:
    """How to read the charts, in a few sentences; `inputs` is how many the stage has."""
    goal = (
        " The goal of the response is not a flat line but the one with the load that the maker "
        "recommends."
    )
    responds = any(chart.title.startswith(RESPONSE) for row in rows for chart in row)
    return (
        "How to read it. The thick red line is what you have, and its ends or the dots beside it "
        "are how far the data sheets leave that open. Grey is where it should lie."
        f"{goal if responds else ''} How much of it can be heard, these curves do not say."
        + (f" Only the first {MOST_STAGES} inputs are drawn." if inputs > MOST_STAGES else "")
    )


def _response(cartridge: Cartridge, arm: Tonearm, stages: Sequence[Stage]) -> Chart | None:
    """A moving magnet's response with these cables, and within the maker's recommended load."""
    resistance, inductance = cartridge.dc_resistance_ohm, cartridge.inductance_mh
    if cartridge.family != "moving-magnet" or resistance is None or inductance is None:
        return None
    frequency = np.geomspace(*RESPONSE_HZ, POINTS)
    x = tuple(frequency.tolist())

    def response(load: float, picofarads: float) -> tuple[float, ...]:
        return tuple(response_db(frequency, resistance, inductance, load, picofarads).tolist())

    curves: list[Curve] = []
    regions: list[Region] = []
    captions: list[str] = []
    seen = [(one, seen_load_ohm(one), seen_capacitance_pf(arm, one)) for one in stages]
    ohms, picofarads = cartridge.load_ohm, cartridge.load_pf
    for number, (stage, load, total) in enumerate(seen):
        if load is None or total is None or not total.nominal:
            continue
        name = f"{total.nominal:.0f} pF" + (f", {stage.name}" if len(stages) > 1 else ", now")
        bend = corner(resistance, inductance, load, total.nominal)
        peak = f"a peak of {bend.peak_db:.1f} dB" if bend.peak_hz else "no peak"
        captions.append(f"{total.nominal:.0f} pF and {_ohms(load)} make {peak}")
        dashes = SHORT_DASHES if number else ()
        for circuit in _corners(resistance, inductance, total):
            edge = tuple(response_db(frequency, *circuit[:2], load, circuit[2]).tolist())
            curves.append(Curve(x=x, y=edge, width_mm=FINE, dashes=DOTS, accent=True))
        curves.append(
            Curve(
                x=x,
                y=response(load, total.nominal),
                name=name,
                dashes=dashes,
                width_mm=HEAVY,
                accent=True,
            )
        )
    if ohms is not None and picofarads is not None:
        edges = [response(load, c) for load in sorted(set(ohms)) for c in sorted(set(picofarads))]
        low, high = np.min(edges, axis=0), np.max(edges, axis=0)
        regions = [Region(x=x, low=tuple(low.tolist()), high=tuple(high.tolist()))]
        load = clamped(seen[0][1], ohms) if seen and seen[0][1] else sum(ohms) / 2
        for number, c in enumerate(sorted(set(picofarads))):
            dashes = LONG_DASHES if number else ()
            curves.append(Curve(x=x, y=response(load, c), name=f"{c:g} pF, maker", dashes=dashes))
        captions.append(
            f"the maker recommends {_span(picofarads, 'pF')} and {_span(ohms, 'ohm')} (grey)"
        )
    if not curves:
        return None
    heights = [value for curve in curves for value in curve.y]
    low_db, high_db = math.floor(min(heights)) - 0.5, math.ceil(max(heights)) + 0.5
    text = "; ".join(captions)
    return Chart(
        title=f"{RESPONSE}, dB against 1 kHz",
        caption=f"{text[0].upper()}{text[1:]}. Dots: coil and capacitance within 10 %.",
        x=Axis(
            label="frequency, Hz",
            low=RESPONSE_HZ[0],
            high=RESPONSE_HZ[1],
            log=True,
            ticks=tuple(
                (f, f"{f:g}" if f < 1000 else f"{f / 1000:g} k")
                for f in (500.0, 1000.0, 2000.0, 5000.0, 10_000.0, 20_000.0)
            ),
        ),
        y=_decibels(low_db, high_db),
        regions=tuple(regions),
        curves=tuple(curves),
    )


def _corners(
    resistance: float, inductance: float, capacitance: Interval
) -> list[tuple[float, float, float]]:
    """The least and the most resonant of the circuits that the doubts allow: R, L and C."""
    coil = [Interval.about(value, COIL_DOUBT) for value in (resistance, inductance)]
    return [
        (coil[0].high, coil[1].low, capacitance.low),
        (coil[0].low, coil[1].high, capacitance.high),
    ]


def _decibels(low: float, high: float) -> Axis:
    """An upright axis in dB with ticks at every 1, 2, 5 or 10."""
    step = next((step for step in (1, 2, 5) if (high - low) / step <= 9), 10)
    first = math.ceil(low / step)
    places = [step * number for number in range(first, math.floor(high / step) + 1)]
    return Axis(
        low=low, high=high, ticks=tuple((float(db), f"{db:+d}" if db else "0") for db in places)
    )


def _levels(cartridge: Cartridge, arm: Tonearm, stage: Stage, several: bool) -> Chart | None:
    """From groove to line at one input: signal, hot passages, clipping, wanted level, noise."""
    output, arriving, gain_db = output_mv(cartridge), input_mv(cartridge, stage), stage.gain_db
    if output is None or arriving is None or gain_db is None:
        return None
    gain = 10 ** (gain_db / 20)
    line = spread(lambda mv: mv * gain, arriving)
    places = tuple(float(at) for at in range(len(PLACES)))

    def chain(pick: Callable[[Interval], float], times: float = 1.0) -> tuple[float, ...]:
        return tuple(times * pick(each) for each in (output, output, arriving, line))

    nominal = chain(lambda each: each.nominal)
    hot = chain(lambda each: each.nominal, HOT_CM_S / REFERENCE_CM_S)
    curves = [
        Curve(x=places, y=hot, name=f"{HOT_CM_S:g} cm/s: {_volts(hot[-1])}", dashes=LONG_DASHES),
        *(
            Curve(x=places, y=edge, width_mm=FINE, dashes=DOTS, accent=True)
            for edge in (chain(lambda each: each.low), chain(lambda each: each.high))
        ),
        Curve(
            x=places,
            y=nominal,
            name=f"{REFERENCE_CM_S:g} cm/s: {_volts(nominal[-1])}",
            width_mm=HEAVY,
            accent=True,
        ),
    ]
    marks = [
        Mark(x=0.0, y=hot[0], text=f"{HOT_CM_S:g} cm/s"),
        Mark(x=0.0, y=nominal[0], text=f"{REFERENCE_CM_S:g} cm/s"),
        *(Mark(x=at, y=nominal[int(at)], ring=True, accent=True) for at in places[1:]),
    ]
    captions = [f"{gain_db:g} dB; {_volts(arriving.nominal)} arrive at 5 cm/s peak"]
    limit = stage.input_limit_mv
    if limit is not None:
        clips = (limit, limit * gain)
        name = f"clips: {_volts(clips[1])}"
        curves.append(Curve(x=places[2:], y=clips, name=name, width_mm=HEAVY))
        captions.append(f"{decibel(limit / hot[2]):.0f} dB are left at {HOT_CM_S:g} cm/s")
    noise = noise_nv(cartridge, arm, stage, weighted=True)
    if noise is not None:
        floor = (noise * 1e-6, noise * 1e-6 * gain)
        whose = "noise" if stage.noise_nv is not None else "coil's noise"
        curves.append(
            Curve(x=places[2:], y=floor, name=f"{whose}: {_volts(floor[1], 2)}", dashes=DOTS)
        )
        captions.append(f"noise {decibel(arriving.nominal / floor[0]):.0f} dB below (A)")
    wanted = stage.line_mv or LINE_MV
    edges = tuple(wanted * 10 ** (db / 20) for db in GAIN_WINDOW_DB)
    at_line = (places[-1] - 0.35, places[-1])
    curves.append(
        Curve(x=at_line, y=(wanted, wanted), name=f"wanted: {_volts(wanted)}", width_mm=PLAIN)
    )
    regions = (Region(x=at_line, low=(edges[0],) * 2, high=(edges[1],) * 2),)
    return Chart(
        title="Level, volts rms at 1 kHz" + (f": {stage.name}" if several else ""),
        caption=f"{'; '.join(captions)}.",
        x=Axis(low=-0.05, high=places[-1] + 0.05, ticks=tuple(zip(places, PLACES, strict=True))),
        y=Axis(
            low=10.0 ** DECADES_MV[0],
            high=2 * 10.0 ** DECADES_MV[1],
            log=True,
            ticks=tuple(
                (10.0**power, _volts(10.0**power))
                for power in range(DECADES_MV[0], DECADES_MV[1] + 1)
            ),
        ),
        regions=regions,
        curves=tuple(curves),
        marks=tuple(marks),
    )


def _resonance(cartridge: Cartridge, arm: Tonearm) -> Chart | None:
    """Resonance over the total effective mass, against the window; a measured one counts."""
    mass, measured = total_mass_g(cartridge, arm), arm.measured_resonance_hz
    stated = cartridge.compliance_um_mn
    if mass is None or (stated is None and measured is None):
        return None
    low_g, high_g = 0.5 * mass.low, 1.7 * mass.high
    x = tuple(np.geomspace(low_g, high_g, POINTS).tolist())

    def curve(compliance: float, **look: Any) -> Curve:
        points = [(grams, resonance_hz(grams, compliance)) for grams in x]
        inside = [each for each in points if SHOWN_HZ[0] <= each[1] <= SHOWN_HZ[1]]
        return Curve(x=tuple(g for g, _ in inside), y=tuple(f for _, f in inside), **look)

    curves: list[Curve] = []
    regions = [Region(x=(low_g, high_g), low=(WINDOW_HZ[0],) * 2, high=(WINDOW_HZ[1],) * 2)]
    marks: list[Mark] = []
    captions = []
    if stated is not None:
        compliance = compliance_at_ten_hertz(stated, cartridge.compliance_is)
        found = spread(resonance_hz, mass, compliance)
        softest, stiffest = compliance.high, compliance.low
        for value, dashes in (
            (stiffest, LONG_DASHES),
            (compliance.nominal, ()),
            (softest, SHORT_DASHES),
        ):
            width = HEAVY if value == compliance.nominal else PLAIN
            curves.append(curve(value, name=f"{value:.3g} µm/mN", dashes=dashes, width_mm=width))
        if measured is None:
            bar, ends = (mass.nominal,) * 2, (found.low, found.high)
            curves.append(Curve(x=bar, y=_within(ends), width_mm=HEAVY, accent=True))
            marks.append(
                Mark(x=mass.nominal, y=_within((found.nominal,))[0], ring=True, accent=True)
            )
        captions.append(f"By the sheets {found.text()} Hz at {mass.nominal:.1f} g")
    if measured is not None:
        own = (1000 / (2 * math.pi * measured)) ** 2 / mass.nominal
        name = f"{own:.2g} µm/mN, measured"
        curves.append(curve(own, name=name, width_mm=HEAVY, accent=True))
        marks.append(Mark(x=mass.nominal, y=measured, ring=True, accent=True))
        captions.append(f"measured at {measured:g} Hz, which counts")
    text = "; ".join(captions)
    step = next(step for step in (1, 2, 5, 10, 20) if (high_g - low_g) / step <= 9)
    masses = range(math.ceil(low_g / step) * step, math.floor(high_g) + 1, step)
    return Chart(
        title="Resonance over effective mass, Hz",
        caption=(
            f"{text[0].upper()}{text[1:]}. Lines: compliance at 10 Hz. Grey: {WINDOW_HZ[0]:g} to "
            f"{WINDOW_HZ[1]:g} Hz, where it should lie."
        ),
        x=Axis(
            label="effective mass with cartridge, screws and headshell, g",
            low=low_g,
            high=high_g,
            ticks=tuple((float(grams), f"{grams}") for grams in masses),
        ),
        y=Axis(
            low=SHOWN_HZ[0],
            high=SHOWN_HZ[1],
            log=True,
            ticks=tuple((float(f), f"{f}") for f in (3, 4, 5, 6, 8, 10, 12, 15, 20, 30)),
        ),
        regions=tuple(regions),
        curves=tuple(curves),
        marks=tuple(marks),
    )


def _within(frequencies: tuple[float, ...]) -> tuple[float, ...]:
    """Frequencies, those beyond the chart at its edge [Hz]."""
    return tuple(min(max(f, SHOWN_HZ[0]), SHOWN_HZ[1]) for f in frequencies)


def _ohms(value: float) -> str:
    """A resistance as one writes it.

    >>> _ohms(47_000.0), _ohms(470.0)
    ('47 kohm', '470 ohm')
    """
    return f"{value / 1000:.3g} kohm" if value >= 1000 else f"{value:.3g} ohm"


def _volts(millivolts: float, digits: int = 3) -> str:
    """A voltage as one writes it.

    >>> _volts(316.0), _volts(0.0123), _volts(10_000.0)
    ('316 mV', '12.3 µV', '10 V')
    """
    scale = (
        (1e-3, "V") if millivolts >= 999.5 else (1.0, "mV") if millivolts >= 0.9995 else (1e3, "µV")
    )
    return f"{millivolts * scale[0]:.{digits}g} {scale[1]}"


def _span(pair: tuple[float, float], unit: str) -> str:
    """A maker's range as one writes it."""
    low, high = (_ohms(value) if unit == "ohm" else f"{value:g} {unit}" for value in pair)
    return low if low == high else f"{low} to {high}"
