"""What is known of a tonearm, each figure optional."""

from __future__ import annotations

from dataclasses import dataclass, replace

from protractor.arms.inputs import EFFECTIVE_LENGTH, PIVOT_TO_SPINDLE
from protractor.chain.inputs import FORCE_UNITS, GRAMS, PICOFARADS, Pair, figure, take_sheet, word
from protractor.errors import InputError
from protractor.inputs.declaration import declared

GREATEST_OVERHANG_MM = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Tonearm:
    """The arm, what hangs on it, and where its counterweight sits with the old cartridge.

    Lengths along the arm are horizontal distances from the pivot. Raises `InputError` as
    `Cartridge` does.
    """

    length_mm: float | None = declared(EFFECTIVE_LENGTH)
    pivot_to_spindle_mm: float | None = declared(
        replace(
            PIVOT_TO_SPINDLE,
            group="Arm",
            help="Centre of the arm's pivot to centre of the spindle.",
        )
    )
    effective_mass_g: float | None = declared(
        figure(
            "arm-effective-mass",
            "g",
            1.0,
            80.0,
            "Effective mass of the arm without cartridge.",
            "give grams",
        )
    )
    effective_mass_is: str | None = declared(
        word(
            "arm-effective-mass-is",
            ("with-headshell", "without-headshell"),
            "Whether that effective mass counts the headshell; leave out if the sheet does not "
            "say, and give `arm-headshell`.",
        )
    )
    headshell_g: float | None = declared(
        figure("arm-headshell", "g", 0.5, 40.0, "Mass of the headshell.", "weigh it")
    )
    screws_g: float | None = declared(
        figure(
            "arm-screws",
            "g",
            0.05,
            10.0,
            "Mass of the cartridge's screws, nuts and shims.",
            "weigh them",
            or_zero=True,
        )
    )
    force_g: float | None = declared(
        figure(
            "arm-force", "g", 0.3, 8.0, "Tracking force that is wanted.", GRAMS, units=FORCE_UNITS
        )
    )
    counterweight_g: float | None = declared(
        figure(
            "arm-counterweight",
            "g",
            5.0,
            500.0,
            "Mass of the counterweight.",
            "weigh it, or ask the arm's maker",
        )
    )
    seat_mm: float | None = declared(
        figure(
            "arm-counterweight-at",
            "mm",
            5.0,
            200.0,
            "Pivot to the middle of the counterweight, as the arm is set now.",
            "measure it",
        )
    )
    seat_range_mm: Pair | None = declared(
        figure(
            "arm-counterweight-range",
            "mm",
            5.0,
            200.0,
            "The same at both ends of its travel, nearest and farthest.",
            "measure both ends",
            count=2,
        )
    )
    old_cartridge_g: float | None = declared(
        figure(
            "arm-old-cartridge",
            "g",
            1.0,
            40.0,
            "Mass of the cartridge that is mounted now, without screws.",
            "weigh it",
        )
    )
    old_screws_g: float | None = declared(
        figure(
            "arm-old-screws",
            "g",
            0.05,
            10.0,
            "Mass of its screws, nuts and shims.",
            "weigh them",
            or_zero=True,
        )
    )
    old_force_g: float | None = declared(
        figure(
            "arm-old-force", "g", 0.3, 8.0, "Tracking force as set now.", GRAMS, units=FORCE_UNITS
        )
    )
    wire_pf: float | None = declared(
        figure(
            "arm-wire",
            "pF",
            1.0,
            1000.0,
            "Capacitance of the wire inside the arm.",
            PICOFARADS,
            or_zero=True,
        )
    )
    cable_pf: float | None = declared(
        figure(
            "arm-cable",
            "pF",
            1.0,
            3000.0,
            "Capacitance of the cable, over its whole length.",
            PICOFARADS,
            or_zero=True,
        )
    )
    height_travel_mm: float | None = declared(
        figure(
            "arm-height-travel",
            "mm",
            0.5,
            100.0,
            "How far the pillar can still rise.",
            "measure it",
            or_zero=True,
        )
    )
    higher_mm: float | None = declared(
        figure(
            "arm-stylus-higher",
            "mm",
            -50.0,
            50.0,
            "How much higher the stylus comes to sit than before, by a thicker mat or record or a "
            "taller cartridge; negative for lower.",
            "give the difference in height, not the whole",
        )
    )
    measured_resonance_hz: float | None = declared(
        figure(
            "arm-measured-resonance",
            "Hz",
            2.0,
            40.0,
            "Resonance as a test record shows it.",
            "4 to 25 Hz on most decks",
        )
    )

    def __post_init__(self) -> None:
        take_sheet(self)
        length, distance = self.length_mm, self.pivot_to_spindle_mm
        if length is None:
            return
        if distance is not None and abs(length - distance) > GREATEST_OVERHANG_MM:
            raise InputError(
                EFFECTIVE_LENGTH.name,
                f"{length:g} mm beside {distance:g} mm pivot to spindle",
                f"lengths that differ by an overhang, up to {GREATEST_OVERHANG_MM:g} mm",
                "measure both from the pivot's centre",
            )
        own, weight, seat = self.effective_mass_g, self.counterweight_g, self.seat_mm
        if own is None or weight is None or seat is None:
            return
        share = weight * (seat / length) ** 2
        if own <= share:
            raise InputError(
                "arm-effective-mass",
                f"{own:g} g",
                f"over {share:.1f} g, what the counterweight alone makes at {seat:g} mm",
                "check the counterweight's mass and place, and the effective mass",
            )
