"""What the data sheet of a phono stage says about one of its inputs, each figure optional."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from protractor.chain.cartridge import MOVING_MAGNET_LOAD_OHM, Cartridge
from protractor.chain.inputs import OHMS, PICOFARADS, figure, take_sheet
from protractor.errors import InputError
from protractor.inputs.declaration import Input, declared

PLAIN_NAME = "phono input"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One input of a phono stage at one gain; a stage with two gains is two of these.

    Raises `InputError` as `Cartridge` does.
    """

    name: str = declared(
        Input(
            name="stage-name",
            kind="text",
            longest=30,
            default=PLAIN_NAME,
            help="Name of the input, where there are several.",
        ),
        default=PLAIN_NAME,
    )
    gain_db: float | None = declared(
        figure(
            "stage-gain",
            "dB",
            10.0,
            90.0,
            "Gain at 1 kHz.",
            "40 to 45 dB for a moving magnet is usual",
        )
    )
    input_limit_mv: float | None = declared(
        figure(
            "stage-input-limit",
            "mV",
            0.5,
            2000.0,
            "Greatest input at 1 kHz, rms, before it clips.",
            "0.1 V is 100 mV",
        )
    )
    noise_nv: float | None = declared(
        figure(
            "stage-noise",
            "nV/√Hz",
            0.1,
            100.0,
            "Noise of the input, as a voltage density.",
            "give nV per root hertz",
        )
    )
    noise_pa: float | None = declared(
        figure(
            "stage-noise-current",
            "pA/√Hz",
            0.001,
            100.0,
            "Noise of the input, as a current density.",
            "give pA per root hertz",
        )
    )
    load_ohm: float | None = declared(
        figure("stage-load", "ohm", 2.0, 1e6, "Input resistance as it is set.", OHMS)
    )
    loads_ohm: tuple[float, ...] = declared(
        figure(
            "stage-load-setting",
            "ohm",
            2.0,
            1e6,
            "An input resistance that can be set; repeat it for each.",
            OHMS,
            many=True,
        )
    )
    capacitance_pf: float | None = declared(
        figure(
            "stage-capacitance",
            "pF",
            1.0,
            20_000.0,
            "Input capacitance as it is set.",
            PICOFARADS,
            or_zero=True,
        )
    )
    capacitances_pf: tuple[float, ...] = declared(
        figure(
            "stage-capacitance-setting",
            "pF",
            1.0,
            20_000.0,
            "An input capacitance that can be set; repeat it for each.",
            PICOFARADS,
            or_zero=True,
            many=True,
        )
    )
    step_up: float | None = declared(
        figure(
            "stage-step-up",
            "",
            1.0,
            60.0,
            "Ratio of a step-up transformer before the input.",
            "give 10 for a ratio of 1 : 10",
        )
    )
    line_mv: float | None = declared(
        figure(
            "stage-line",
            "mV",
            50.0,
            3000.0,
            "Line level that is wanted at 5 cm/s.",
            "316 mV is -10 dBV",
            default="316",
        )
    )

    def __post_init__(self) -> None:
        take_sheet(self)


def conflicts(cartridge: Cartridge, stages: Sequence[Stage]) -> Iterator[tuple[int, InputError]]:
    """Which of some inputs cannot be: two of one name, or a load that no such cartridge has.

    Each with its number from 0 and the error that says so.
    """
    names = [stage.name for stage in stages]
    for at, stage in enumerate(stages):
        if not stage.name or stage.name in names[:at]:
            allowed = "a name for each input"
            yield (
                at,
                InputError("stage-name", ", ".join(names) or "none", allowed, "name them apart"),
            )
        load = stage.load_ohm
        if (
            cartridge.family == "moving-magnet"
            and load is not None
            and stage.step_up is None
            and load < MOVING_MAGNET_LOAD_OHM
        ):
            yield (
                at,
                InputError(
                    "stage-load",
                    f"{load:g} ohm",
                    f"{MOVING_MAGNET_LOAD_OHM:g} ohm or more for a moving magnet",
                    f"if the sheet says {load:g} kohm, give {1000 * load:g}",
                ),
            )
