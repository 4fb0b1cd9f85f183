"""What the data sheet of a phono stage says about one of its inputs, each figure optional."""

from __future__ import annotations

from dataclasses import dataclass, field

from protractor.fit.bounds import PICOFARADS, check, numbers


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One input of a phono stage at one gain; a stage with two gains is two of these.

    Raises `InputError` as `Cartridge` does.
    """

    name: str = "phono input"
    gain_db: float | None = field(
        default=None,
        metadata=numbers(
            10.0, 90.0, "dB", "Gain at 1 kHz.", "40 to 45 dB for a moving magnet is usual"
        ),
    )
    input_limit_mv: float | None = field(
        default=None,
        metadata=numbers(
            0.5, 2000.0, "mV", "Greatest input at 1 kHz, rms, before it clips.", "0.1 V is 100 mV"
        ),
    )
    noise_nv: float | None = field(
        default=None,
        metadata=numbers(
            0.1,
            100.0,
            "nV/√Hz",
            "Noise of the input, as a voltage density.",
            "give nV per root hertz",
        ),
    )
    noise_pa: float | None = field(
        default=None,
        metadata=numbers(
            0.001,
            100.0,
            "pA/√Hz",
            "Noise of the input, as a current density.",
            "give pA per root hertz",
        ),
    )
    load_ohm: float | None = field(
        default=None,
        metadata=numbers(2.0, 1e6, "ohm", "Input resistance as it is set.", "47 kohm is 47000 ohm"),
    )
    loads_ohm: tuple[float, ...] = field(
        default=(),
        metadata=numbers(
            2.0, 1e6, "ohm", "Every input resistance that can be set.", "47 kohm is 47000 ohm"
        ),
    )
    capacitance_pf: float | None = field(
        default=None,
        metadata=numbers(
            1.0, 20_000.0, "pF", "Input capacitance as it is set.", PICOFARADS, zero=True
        ),
    )
    capacitances_pf: tuple[float, ...] = field(
        default=(),
        metadata=numbers(
            1.0, 20_000.0, "pF", "Every input capacitance that can be set.", PICOFARADS, zero=True
        ),
    )
    step_up: float | None = field(
        default=None,
        metadata=numbers(
            1.0,
            60.0,
            "",
            "Ratio of a step-up transformer before the input.",
            "10 for one of 1 : 10",
        ),
    )
    line_mv: float | None = field(
        default=None,
        metadata=numbers(
            50.0, 3000.0, "mV", "Line level that is wanted at 5 cm/s.", "316 mV is -10 dBV"
        ),
    )

    def __post_init__(self) -> None:
        check(self, "stage")
