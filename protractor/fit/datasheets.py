"""What the data sheets of a cartridge, a tonearm and a phono stage say, each figure optional.

Every field declares its unit, its range and what to do about a value outside it, once, as the
field's metadata; `bounds_of` gives them to whoever asks the user. A range catches the slips that
sheets invite: henries for millihenries, 47 for 47 kohm, nanofarads for picofarads, millinewtons for
grams.
"""

from __future__ import annotations

import math
from dataclasses import Field, dataclass, field, fields
from typing import Any, Literal

from protractor.errors import InputError

Kind = Literal["moving-magnet", "moving-coil"]
Pair = tuple[float, float]

MOVING_MAGNET_INDUCTANCE_MH = 5.0
"""Coils of moving magnets and moving irons have more, moving coils less (common practice)."""

MOVING_MAGNET_LOAD_OHM = 1000.0
"""No moving magnet is loaded with less (common practice: 47 kohm)."""

MILLINEWTON_A_GRAM = 9.80665
"""Weight of a gram: standard gravity, ISO 80000-3."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """Unit, range and words of one field; `choices` are the words of a choice."""

    help: str
    unit: str = ""
    low: float = -math.inf
    high: float = math.inf
    zero: bool = False
    choices: tuple[str, ...] = ()
    remedy: str = "correct the value"

    @property
    def allowed(self) -> str:
        """What the field takes, in words."""
        if self.choices:
            return ", ".join(self.choices)
        return f"{'0, or ' if self.zero else ''}{self.low:g} to {self.high:g} {self.unit}".strip()

    def takes(self, value: object) -> bool:
        """Whether one value is a word of the choice or a number in the range."""
        if self.choices:
            return value in self.choices
        if isinstance(value, bool) or not isinstance(value, int | float):
            return False
        return (self.zero and value == 0) or self.low <= value <= self.high


def _of(low: float, high: float, unit: str, help: str, remedy: str, zero: bool = False) -> Any:
    bounds = Bounds(help=help, unit=unit, low=low, high=high, zero=zero, remedy=remedy)
    return field(default=None, metadata={"bounds": bounds})


def _several(low: float, high: float, unit: str, help: str, remedy: str, zero: bool = False) -> Any:
    bounds = Bounds(help=help, unit=unit, low=low, high=high, zero=zero, remedy=remedy)
    return field(default=(), metadata={"bounds": bounds})


def _one_of(choices: tuple[str, ...], help: str, remedy: str, default: str | None = None) -> Any:
    bounds = Bounds(help=help, choices=choices, remedy=remedy)
    return field(default=default, metadata={"bounds": bounds})


_PF = "0.2 nF is 200 pF"
_FORCE = "give grams: 15 mN is 1.53 g"
_COMPLIANCE = "10^-6 cm/dyne is the same number in µm/mN"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cartridge:
    """The cartridge's data sheet. Pairs are the maker's least and greatest.

    Raises `InputError` for a value outside its range, a pair the wrong way round, and for figures
    that contradict each other.
    """

    kind: Kind | None = _one_of(
        ("moving-magnet", "moving-coil"),
        "Moving magnet (moving iron and induced magnet too) or moving coil.",
        "take moving-magnet for every cartridge with coils at rest",
    )
    output_mv: float | None = _of(
        0.02, 20.0, "mV", "Output of a channel, rms, at 1 kHz.", "0.005 V is 5 mV"
    )
    velocity_cm_s: float | None = _of(
        0.5, 50.0, "cm/s", "Velocity that the output is stated at.", "give cm/s, 5 on most sheets"
    )
    velocity_is: str | None = _one_of(
        ("peak", "rms"), "Whether that velocity is a peak or an rms value.", "leave out if unknown"
    )
    velocity_of: str | None = _one_of(
        ("lateral", "channel"),
        "Whether that velocity is the groove's, lateral, or that of one channel.",
        "leave out for lateral, as most sheets mean it",
        default="lateral",
    )
    resistance_ohm: float | None = _of(
        0.3, 10_000.0, "ohm", "DC resistance of a coil.", "1.2 kohm is 1200 ohm"
    )
    impedance_ohm: float | None = _of(
        0.3,
        50_000.0,
        "ohm",
        "Impedance at 1 kHz, where the sheet gives no DC resistance.",
        "in ohm",
    )
    inductance_mh: float | None = _of(
        0.0002, 3000.0, "mH", "Inductance of a coil.", "0.5 H is 500 mH, and 40 µH is 0.04 mH"
    )
    load_ohm: Pair | None = _of(
        2.0, 1e6, "ohm", "Recommended load resistance, least and greatest.", "47 kohm is 47000 ohm"
    )
    load_pf: Pair | None = _of(
        1.0, 20_000.0, "pF", "Recommended load capacitance, least and greatest.", _PF, zero=True
    )
    mass_g: float | None = _of(
        1.0, 40.0, "g", "Mass of the cartridge, without screws.", "give grams, screws apart"
    )
    force_g: Pair | None = _of(
        0.3, 8.0, "g", "Recommended tracking force, least and greatest.", _FORCE
    )
    compliance_um_mn: float | None = _of(
        1.0, 80.0, "µm/mN", "Compliance, sideways or up and down as the sheet has it.", _COMPLIANCE
    )
    compliance_is: str | None = _one_of(
        ("10hz", "static", "100hz"),
        "Where that compliance holds: at 10 Hz, at rest, or at 100 Hz.",
        "leave out if unknown",
    )
    vertical_angle_deg: float | None = _of(
        5.0, 45.0, "deg", "Vertical tracking angle as the sheet states it.", "20 to 25 on most"
    )

    def __post_init__(self) -> None:
        _check(self, "cartridge")
        inductance, load = self.inductance_mh, self.load_ohm
        if self.family == "moving-magnet":
            if inductance is not None and inductance < MOVING_MAGNET_INDUCTANCE_MH:
                raise InputError(
                    "cartridge-inductance",
                    f"{inductance:g} mH",
                    f"{MOVING_MAGNET_INDUCTANCE_MH:g} mH or more for a moving magnet",
                    f"if the sheet says {inductance:g} H, give {1000 * inductance:g}",
                )
            if load is not None and load[0] < MOVING_MAGNET_LOAD_OHM:
                raise InputError(
                    "cartridge-load",
                    f"{load[0]:g} ohm",
                    f"{MOVING_MAGNET_LOAD_OHM:g} ohm or more for a moving magnet",
                    f"if the sheet says {load[0]:g} kohm, give {1000 * load[0]:g}",
                )
        reactance = 2 * math.pi * 1000 * (inductance or 0.0) * 1e-3
        if self.impedance_ohm is not None and self.impedance_ohm < reactance:
            raise InputError(
                "cartridge-impedance",
                f"{self.impedance_ohm:g} ohm",
                f"over {reactance:.0f} ohm, what {inductance:g} mH alone has at 1 kHz",
                "check both figures; a DC resistance belongs in resistance",
            )

    @property
    def family(self) -> Kind | None:
        """The kind as stated, else as the coil's figures tell; None when they do not."""
        if self.kind is not None:
            return self.kind
        if self.inductance_mh is None:
            return None
        resistance = self.resistance_ohm or self.impedance_ohm or 0.0
        much = self.inductance_mh >= MOVING_MAGNET_INDUCTANCE_MH or resistance >= 300
        return "moving-magnet" if much else "moving-coil"

    @property
    def dc_resistance_ohm(self) -> float | None:
        """DC resistance [ohm]; from the impedance at 1 kHz less the inductance where it must be.

        A moving coil's impedance is nearly all resistance, so it stands for it without inductance.

        >>> round(Cartridge(impedance_ohm=3242.0, inductance_mh=500.0).dc_resistance_ohm)
        800
        """
        if self.resistance_ohm is not None:
            return self.resistance_ohm
        if self.impedance_ohm is None:
            return None
        if self.inductance_mh is None:
            return self.impedance_ohm if self.family == "moving-coil" else None
        reactance = 2 * math.pi * self.inductance_mh
        return math.sqrt(self.impedance_ohm**2 - reactance**2)

    @property
    def doubt(self) -> str:
        """A sentence about a figure that looks like another one, empty when none does."""
        if self.resistance_ohm is None or self.family != "moving-magnet":
            return ""
        reactance = 2 * math.pi * (self.inductance_mh or math.inf)
        if self.resistance_ohm > 0.9 * reactance:
            return (
                f"{self.resistance_ohm:g} ohm beside {self.inductance_mh:g} mH looks like the "
                "impedance at 1 kHz: if it is, give it as impedance, else measure the coil."
            )
        return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tonearm:
    """The arm, what hangs on it, and where its counterweight sits with the old cartridge.

    Lengths along the arm are horizontal distances from the pivot. Raises `InputError` as
    `Cartridge` does.
    """

    length_mm: float | None = _of(
        121.0, 560.0, "mm", "Effective length, pivot to stylus.", "for inches multiply by 25.4"
    )
    pivot_to_spindle_mm: float | None = _of(
        120.0, 550.0, "mm", "Pivot to spindle.", "for inches multiply by 25.4"
    )
    effective_mass_g: float | None = _of(
        1.0, 80.0, "g", "Effective mass of the arm without cartridge.", "give grams"
    )
    effective_mass_is: str | None = _one_of(
        ("with-headshell", "without-headshell"),
        "Whether that effective mass counts the headshell.",
        "leave out if unknown, and give the headshell's mass",
    )
    headshell_g: float | None = _of(0.5, 40.0, "g", "Mass of the headshell.", "weigh it")
    screws_g: float | None = _of(
        0.05, 10.0, "g", "Screws, nuts and shims of the cartridge.", "weigh them", zero=True
    )
    force_g: float | None = _of(0.3, 8.0, "g", "Tracking force that is wanted.", _FORCE)
    counterweight_g: float | None = _of(
        5.0, 500.0, "g", "Mass of the counterweight.", "weigh it, or ask the arm's maker"
    )
    seat_mm: float | None = _of(
        5.0,
        200.0,
        "mm",
        "Pivot to the counterweight's middle, balanced as it is now.",
        "measure it",
    )
    seat_range_mm: Pair | None = _of(
        5.0, 200.0, "mm", "Nearest and farthest seat of the counterweight.", "measure both ends"
    )
    old_cartridge_g: float | None = _of(
        1.0, 40.0, "g", "Cartridge that it balances now, screws apart.", "weigh it"
    )
    old_screws_g: float | None = _of(
        0.05, 10.0, "g", "Its screws, nuts and shims.", "weigh them", zero=True
    )
    old_force_g: float | None = _of(0.3, 8.0, "g", "Tracking force as set now.", _FORCE)
    wire_pf: float | None = _of(
        1.0, 1000.0, "pF", "Capacitance of the wire inside the arm.", _PF, zero=True
    )
    cable_pf: float | None = _of(
        1.0, 3000.0, "pF", "Capacitance of the cable, all its length.", _PF, zero=True
    )
    height_travel_mm: float | None = _of(
        0.5, 100.0, "mm", "How far the pillar can still rise.", "measure it", zero=True
    )
    measured_resonance_hz: float | None = _of(
        2.0, 40.0, "Hz", "Resonance as a test record shows it.", "4 to 25 Hz on most decks"
    )

    def __post_init__(self) -> None:
        _check(self, "arm")
        length, distance = self.length_mm, self.pivot_to_spindle_mm
        if length is not None and distance is not None and abs(length - distance) > 60:
            raise InputError(
                "arm-length",
                f"{length:g} mm beside {distance:g} mm pivot to spindle",
                "lengths that differ by an overhang, under 60 mm",
                "measure both from the pivot's centre",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One input of a phono stage at one gain; a stage with two gains is two of these.

    Raises `InputError` as `Cartridge` does.
    """

    name: str = "phono input"
    gain_db: float | None = _of(
        10.0, 90.0, "dB", "Gain at 1 kHz.", "40 to 45 dB for a moving magnet is usual"
    )
    input_limit_mv: float | None = _of(
        0.5, 2000.0, "mV", "Greatest input at 1 kHz, rms, before it clips.", "0.1 V is 100 mV"
    )
    noise_nv: float | None = _of(
        0.1, 100.0, "nV/√Hz", "Noise of the input, as a voltage density.", "give nV per root hertz"
    )
    noise_pa: float | None = _of(
        0.001,
        100.0,
        "pA/√Hz",
        "Noise of the input, as a current density.",
        "give pA per root hertz",
    )
    load_ohm: float | None = _of(
        2.0, 1e6, "ohm", "Input resistance as it is set.", "47 kohm is 47000 ohm"
    )
    loads_ohm: tuple[float, ...] = _several(
        2.0, 1e6, "ohm", "Every input resistance that can be set.", "47 kohm is 47000 ohm"
    )
    capacitance_pf: float | None = _of(
        1.0, 20_000.0, "pF", "Input capacitance as it is set.", _PF, zero=True
    )
    capacitances_pf: tuple[float, ...] = _several(
        1.0, 20_000.0, "pF", "Every input capacitance that can be set.", _PF, zero=True
    )
    step_up: float | None = _of(
        1.0, 60.0, "", "Ratio of a step-up transformer before the input.", "10 for one of 1 : 10"
    )
    line_mv: float | None = _of(
        50.0, 3000.0, "mV", "Line level that is wanted at 5 cm/s.", "316 mV is -10 dBV"
    )

    def __post_init__(self) -> None:
        _check(self, "stage")


def bounds_of(sheet: type[Cartridge | Tonearm | Stage]) -> dict[str, Bounds]:
    """Every field of a data sheet by its name, with its unit, range and words.

    >>> bounds_of(Stage)["gain_db"].allowed
    '10 to 90 dB'
    """
    return {one.name: one.metadata["bounds"] for one in fields(sheet) if "bounds" in one.metadata}


_UNITS = ("_mv", "_cm_s", "_ohm", "_mh", "_pf", "_um_mn", "_deg", "_mm", "_db", "_nv", "_pa", "_hz")


def _label(owner: str, one: Field[Any]) -> str:
    """The name of a field as a user writes it: without its unit, with its owner."""
    unit = next((u for u in (*_UNITS, "_g") if one.name.endswith(u)), "")
    return f"{owner}-{one.name.removesuffix(unit).replace('_', '-')}"


def _check(sheet: Cartridge | Tonearm | Stage, owner: str) -> None:
    """Raise `InputError` for the first field that is out of its range or the wrong way round."""
    for one in fields(sheet):
        bounds: Bounds | None = one.metadata.get("bounds")
        value = getattr(sheet, one.name)
        if bounds is None or value is None:
            continue
        label = _label(owner, one)
        paired = one.type == "Pair | None"
        values = value if isinstance(value, tuple) else (value,)
        if paired and len(values) != 2:
            raise InputError(label, value, "two numbers", "give the least and the greatest")
        for number in values:
            if not bounds.takes(number):
                got = f"{number:g}" if isinstance(number, float | int) else number
                raise InputError(
                    label, f"{got} {bounds.unit}".strip(), bounds.allowed, bounds.remedy
                )
        if paired and values[0] > values[1]:
            got = f"{values[0]:g} and {values[1]:g} {bounds.unit}"
            raise InputError(label, got, "the least first, then the greatest", "swap the two")
