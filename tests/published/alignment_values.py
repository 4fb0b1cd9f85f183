"""Values printed outside this project, as printed, with where they stand.

The tolerance is half the last printed digit unless the row says why it is another. A row whose
`source` says 'from the principle' was computed from seen numbers, not read.
"""

from __future__ import annotations

from dataclasses import dataclass

HOWARD = "K. Howard, 'Arc Angles', Stereophile, March 2010"


@dataclass(frozen=True)
class NullRadii:
    """Null radii of a scheme on a recorded area, in mm, as printed digits."""

    scheme: str
    inner_radius_mm: float
    outer_radius_mm: float
    inner_null: str
    outer_null: str
    source: str
    slack: float = 0.0


NULL_RADII = (
    NullRadii("lofgren-a", 56.0, 146.3, "61.6", "118.4", f"{HOWARD}, p. 5 of the web edition"),
    NullRadii(
        "lofgren-a",
        60.0,
        145.0,
        "65.6",
        "120",
        "dictionary of audio terms, entry 'tracking error' (lp2cd.com, presrec.com)",
    ),
    NullRadii("lofgren-a", 60.325, 146.05, "66.0", "120.9", "common practice"),
    NullRadii("lofgren-b", 60.325, 146.05, "70.3", "116.6", "common practice"),
    NullRadii("lofgren-a", 60.325, 146.05, "65.998", "120.891", "from the principle", 0.0005),
    NullRadii("lofgren-b", 60.325, 146.05, "70.285", "116.604", "from the principle", 0.0005),
    NullRadii(
        "stevenson",
        60.325,
        146.05,
        "60.325",
        "117.42",
        "from the principle (null at ri, equal outer peaks); common practice",
    ),
)

WILSON_OVERHANG_MM, WILSON_OFFSET_DEG = "18.56", "24.63"
"""Equal-angle alignment, 230 mm arm, 56 to 146.3 mm: Howard 2010, p. 2, after P. Wilson 1924."""

HOWARD_PEAK_SECOND_HARMONIC_PERCENT = "1.07"
"""Löfgren A, the same arm, 33 1/3 rpm, 10 cm/s rms: Howard 2010, p. 3. The velocity's kind is not
printed; rms fits, peak gives 0.755 (from the principle)."""


def half_digit(printed: str) -> float:
    """Half a unit of the last printed digit."""
    decimals = len(printed.partition(".")[2])
    return 0.5 * 10.0**-decimals
