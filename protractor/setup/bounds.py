"""How far off measuring, printing and seeing may be, and what instruments reach: constants."""

from __future__ import annotations

FAN_RANGE_DEG = 4.0
"""The fan of a template reads this far to either side."""

READING_BOUND_DEG = 0.25
OVERHANG_BOUND_MM = 0.25
"""Half of the finest division of fan and overhang scale: what an eye can tell."""

STYLUS_TO_SCREWS_MM = 9.5
"""Stylus tip ahead of the mounting holes' centres, ± 1 mm (IEC 98:1987)."""

LONGEST_SLIDE_MM = 15.0
"""No headshell's slots are longer (common practice)."""

SETUP_BOUNDS = {
    "pivot_to_spindle_mm": (0.5, 10.0),
    "print_scale_percent": (0.2, 5.0),
    "hole_play_mm": (0.2, 2.0),
    "aim_mm": (1.0, 10.0),
    "arc_mm": (0.25, 5.0),
    "grid_deg": (0.5, 5.0),
    "zenith_deg": (1.0, 10.0),
}
"""Each cause of doubt in a set-up: the bound that care with simple means keeps (common practice),
and the greatest that makes sense."""

PIVOT_TO_SPINDLE_BOUND_MM = SETUP_BOUNDS["pivot_to_spindle_mm"][0]

DEFAULT_DRAWS = 100_000
DRAWS_RANGE = (1_000, 10_000_000)
SEED = 1938
