"""What a cartridge's data sheet says, each figure optional."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from protractor.chain.inputs import (
    FORCE_UNITS,
    GRAMS,
    OHMS,
    PICOFARADS,
    Pair,
    figure,
    take_sheet,
    word,
)
from protractor.errors import InputError
from protractor.inputs.declaration import declared

Kind = Literal["moving-magnet", "moving-coil"]

MOVING_MAGNET_INDUCTANCE_MH = 5.0
"""Coils of moving magnets and moving irons have more, moving coils less (common practice)."""

MOVING_MAGNET_LOAD_OHM = 1000.0
"""No moving magnet is loaded with less (common practice: 47 kohm)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cartridge:
    """The cartridge's data sheet. Pairs are the maker's least and greatest.

    Raises `InputError` for a value outside its range, a pair the wrong way round, and for figures
    that contradict each other.
    """

    kind: Kind | None = declared(
        word(
            "cartridge-kind",
            ("moving-magnet", "moving-coil"),
            "Moving magnet (moving iron and induced magnet too) or moving coil.",
        )
    )
    output_mv: float | None = declared(
        figure(
            "cartridge-output",
            "mV",
            0.02,
            20.0,
            "Output of a channel, rms, at 1 kHz.",
            "0.005 V is 5 mV",
        )
    )
    velocity_cm_s: float | None = declared(
        figure(
            "cartridge-velocity",
            "cm/s",
            0.5,
            50.0,
            "Velocity that the output is stated at.",
            "give cm/s, 5 on most sheets",
        )
    )
    velocity_is: str | None = declared(
        word(
            "cartridge-velocity-is",
            ("peak", "rms"),
            "Whether that velocity is a peak or an rms value; leave out if the sheet does not say.",
        )
    )
    velocity_of: str | None = declared(
        word(
            "cartridge-velocity-of",
            ("lateral", "channel", "unknown"),
            "Whether that velocity is the groove's, lateral, or that of one channel.",
            default="lateral",
        )
    )
    resistance_ohm: float | None = declared(
        figure(
            "cartridge-resistance",
            "ohm",
            0.3,
            10_000.0,
            "DC resistance of a coil.",
            "1.2 kohm is 1200 ohm",
        )
    )
    impedance_ohm: float | None = declared(
        figure(
            "cartridge-impedance",
            "ohm",
            0.3,
            50_000.0,
            "Impedance at 1 kHz, where the sheet gives no DC resistance.",
            "give ohms",
        )
    )
    inductance_mh: float | None = declared(
        figure(
            "cartridge-inductance",
            "mH",
            0.0002,
            3000.0,
            "Inductance of a coil.",
            "0.5 H is 500 mH, and 40 µH is 0.04 mH",
        )
    )
    load_ohm: Pair | None = declared(
        figure(
            "cartridge-load",
            "ohm",
            2.0,
            1e6,
            "Recommended load resistance, least and greatest.",
            OHMS,
            count=2,
        )
    )
    load_pf: Pair | None = declared(
        figure(
            "cartridge-load-capacitance",
            "pF",
            1.0,
            20_000.0,
            "Recommended load capacitance, least and greatest.",
            PICOFARADS,
            or_zero=True,
            count=2,
        )
    )
    mass_g: float | None = declared(
        figure(
            "cartridge-mass",
            "g",
            1.0,
            40.0,
            "Mass of the cartridge, without screws.",
            "give grams, screws apart",
        )
    )
    force_g: Pair | None = declared(
        figure(
            "cartridge-force",
            "g",
            0.3,
            8.0,
            "Recommended tracking force, least and greatest.",
            GRAMS,
            units=FORCE_UNITS,
            count=2,
        )
    )
    compliance_um_mn: float | None = declared(
        figure(
            "cartridge-compliance",
            "µm/mN",
            1.0,
            80.0,
            "Compliance; 10^-6 cm/dyne is the same number in µm/mN.",
            "10^-6 cm/dyne is the same number in µm/mN: for 15e-6 cm/dyne give 15",
        )
    )
    compliance_is: str | None = declared(
        word(
            "cartridge-compliance-is",
            ("10hz", "static", "100hz"),
            "Where that compliance holds: at 10 Hz, at rest, or at 100 Hz; leave out if the sheet "
            "does not say.",
        )
    )
    vertical_angle_deg: float | None = declared(
        figure(
            "cartridge-vertical-angle",
            "deg",
            5.0,
            45.0,
            "Vertical tracking angle as the sheet states it.",
            "20 to 25 deg on most sheets",
        )
    )

    def __post_init__(self) -> None:
        take_sheet(self)
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
    def stated_channel(self) -> str | None:
        """What the velocity is of: `lateral` unless stated; None when it is called unknown."""
        return None if self.velocity_of == "unknown" else self.velocity_of or "lateral"

    @property
    def dc_resistance_ohm(self) -> float | None:
        """DC resistance [ohm]; from the impedance at 1 kHz less the inductance where it must be.

        A moving coil's impedance is nearly all resistance, so it stands for it without inductance.

        >>> round(Cartridge(impedance_ohm=3241.9, inductance_mh=500.0).dc_resistance_ohm)
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
                "impedance at 1 kHz."
            )
        return ""
