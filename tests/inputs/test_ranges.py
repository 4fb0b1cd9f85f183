"""What is allowed for each length and number: both ends are taken, nothing beyond them."""

from __future__ import annotations

import pytest

from protractor.alignments.deck import Deck
from protractor.errors import InputError
from protractor.inputs.declaration import by_name
from protractor.setup.bounds import SetupBounds
from protractor.setup.inputs import Seen
from protractor.sheets.cutting import Cutting

RANGES = {
    Deck: {
        "pivot-to-spindle": (120, 500),
        "effective-length": (100, 560),
        "inner-radius": (30, 220),
        "outer-radius": (30, 220),
        "null-radii": (30, 220),
        "rpm": (10, 120),
        "velocity": (0.1, 100),
        "signal": (20, 20000),
        "replay-slope": (0, 12),
        "offset-angle": (-59.9, 59.9),
        "overhang-range": (-60, 60),
        "offset-range": (-59.9, 59.9),
        "null-at": (30, 220),
        "zenith": (-10, 10),
        "pivot-height": (0, 100),
        "clear-margin": (3, 30),
    },
    SetupBounds: {
        "pivot-to-spindle-bound": (0, 10),
        "print-scale-bound": (0, 5),
        "hole-play-bound": (0, 2),
        "aim-bound": (0, 10),
        "arc-bound": (0, 5),
        "grid-bound": (0, 5),
        "zenith-bound": (0, 10),
    },
    Seen: {
        "reading-bound": (0.01, 4),
        "overhang-mark": (-5, 5),
        "overhang": (-60, 60),
        "overhang-bound": (0.01, 5),
        "pivot-to-spindle-bound": (0, 10),
        "slot-angle": (-45, 45),
        "slot-room": (0, 40),
        "stylus-to-screws": (0, 30),
        "record-above-sheet": (0, 10),
    },
    Cutting: {
        "kerf": (0, 10),
        "hole": (6.5, 40),
        "thickness": (0.1, 12),
        "notch": (4, 80),
        "stock": (20, 3000),
    },
}
"""In mm, degrees, percent, rpm, cm/s, Hz and dB/octave, as the inputs say."""


@pytest.mark.parametrize("kind", RANGES)
def test_every_range_is_checked(kind: type) -> None:
    """A length or number that is added needs its ends here."""
    asked = {name for name, (_, a) in by_name(kind).items() if a.kind in ("length", "number")}
    assert asked == set(RANGES[kind])


@pytest.mark.parametrize(
    ("kind", "name", "low", "high"),
    [(kind, name, *ends) for kind, names in RANGES.items() for name, ends in names.items()],
)
def test_ends(kind: type, name: str, low: float, high: float) -> None:
    """What hands, decks and tools do: the ends of each range, as text and as number."""
    _, asked = by_name(kind)[name]

    def take(value: object) -> object:
        return asked.take((value, value) if asked.count == 2 else value)

    beyond = 1e-6 * (high - low)
    for end, over in ((low, low - beyond), (high, high + beyond)):
        assert take(f"{end}") == take(float(end))
        with pytest.raises(InputError, match=f"^{name}: "):
            take(over)
