"""What is known of a tonearm, each figure optional."""

from __future__ import annotations

from dataclasses import dataclass, field

from protractor.errors import InputError
from protractor.fit.bounds import GRAMS, PICOFARADS, Pair, check, numbers, words


@dataclass(frozen=True, slots=True, kw_only=True)
class Tonearm:
    """The arm, what hangs on it, and where its counterweight sits with the old cartridge.

    Lengths along the arm are horizontal distances from the pivot. Raises `InputError` as
    `Cartridge` does.
    """

    length_mm: float | None = field(
        default=None,
        metadata=numbers(
            121.0, 560.0, "mm", "Effective length, pivot to stylus.", "for inches multiply by 25.4"
        ),
    )
    pivot_to_spindle_mm: float | None = field(
        default=None,
        metadata=numbers(120.0, 550.0, "mm", "Pivot to spindle.", "for inches multiply by 25.4"),
    )
    effective_mass_g: float | None = field(
        default=None,
        metadata=numbers(
            1.0, 80.0, "g", "Effective mass of the arm without cartridge.", "give grams"
        ),
    )
    effective_mass_is: str | None = field(
        default=None,
        metadata=words(
            ("with-headshell", "without-headshell"),
            "Whether that effective mass counts the headshell.",
            "leave out if unknown, and give the headshell's mass",
        ),
    )
    headshell_g: float | None = field(
        default=None, metadata=numbers(0.5, 40.0, "g", "Mass of the headshell.", "weigh it")
    )
    screws_g: float | None = field(
        default=None,
        metadata=numbers(
            0.05, 10.0, "g", "Screws, nuts and shims of the cartridge.", "weigh them", zero=True
        ),
    )
    force_g: float | None = field(
        default=None, metadata=numbers(0.3, 8.0, "g", "Tracking force that is wanted.", GRAMS)
    )
    counterweight_g: float | None = field(
        default=None,
        metadata=numbers(
            5.0, 500.0, "g", "Mass of the counterweight.", "weigh it, or ask the arm's maker"
        ),
    )
    seat_mm: float | None = field(
        default=None,
        metadata=numbers(
            5.0,
            200.0,
            "mm",
            "Pivot to the counterweight's middle, balanced as it is now.",
            "measure it",
        ),
    )
    seat_range_mm: Pair | None = field(
        default=None,
        metadata=numbers(
            5.0, 200.0, "mm", "Nearest and farthest seat of the counterweight.", "measure both ends"
        ),
    )
    old_cartridge_g: float | None = field(
        default=None,
        metadata=numbers(
            1.0, 40.0, "g", "Cartridge that it balances now, screws apart.", "weigh it"
        ),
    )
    old_screws_g: float | None = field(
        default=None,
        metadata=numbers(0.05, 10.0, "g", "Its screws, nuts and shims.", "weigh them", zero=True),
    )
    old_force_g: float | None = field(
        default=None, metadata=numbers(0.3, 8.0, "g", "Tracking force as set now.", GRAMS)
    )
    wire_pf: float | None = field(
        default=None,
        metadata=numbers(
            1.0, 1000.0, "pF", "Capacitance of the wire inside the arm.", PICOFARADS, zero=True
        ),
    )
    cable_pf: float | None = field(
        default=None,
        metadata=numbers(
            1.0, 3000.0, "pF", "Capacitance of the cable, all its length.", PICOFARADS, zero=True
        ),
    )
    height_travel_mm: float | None = field(
        default=None,
        metadata=numbers(
            0.5, 100.0, "mm", "How far the pillar can still rise.", "measure it", zero=True
        ),
    )
    measured_resonance_hz: float | None = field(
        default=None,
        metadata=numbers(
            2.0, 40.0, "Hz", "Resonance as a test record shows it.", "4 to 25 Hz on most decks"
        ),
    )

    def __post_init__(self) -> None:
        check(self, "arm")
        length, distance = self.length_mm, self.pivot_to_spindle_mm
        if length is not None and distance is not None and abs(length - distance) > 60:
            raise InputError(
                "arm-length",
                f"{length:g} mm beside {distance:g} mm pivot to spindle",
                "lengths that differ by an overhang, under 60 mm",
                "measure both from the pivot's centre",
            )
