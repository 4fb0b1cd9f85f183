"""Names and figures as the trade writes them: schemes, records, speeds, lengths."""

from __future__ import annotations

import math

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.arms.records import SPEEDS_RPM, Record

SCHEME_NAMES = {
    "lofgren-a": "Löfgren A",
    "lofgren-b": "Löfgren B",
    "lofgren-c": "Löfgren C",
    "stevenson": "Stevenson",
    "equal-angle": "Equal angle",
    "null-radii": "Own null radii",
}

RECORD_NAMES = {
    "12-iec-1958": "12-inch, IEC 98:1958",
    "12-riaa-1963": "12-inch, RIAA 1963",
    "12-din-1981": "12-inch, DIN 45547:1981",
    "12-din-trade": "12-inch, 'DIN' as the trade has it",
    "12-iec-1987": "12-inch, IEC 98:1987",
    "12-jis-1973": "30 cm, JIS S 8502:1973",
    "10-iec-1987": "10-inch, IEC 98:1987",
    "10-jis-1973": "25 cm, JIS S 8502:1973",
    "7-iec-1987": "7-inch, IEC 98:1987",
    "7-jis-1973": "17 cm, JIS S 8502:1973",
    "custom": "own radii",
}


def scheme_name(scheme: str, *, exact: bool = False) -> str:
    """A scheme as the trade writes it, and whether it is the exact optimum for the arm.

    >>> scheme_name("lofgren-a", exact=True)
    'Löfgren A, exact'
    """
    return SCHEME_NAMES.get(scheme, scheme) + (", exact" if exact else "")


def record_name(record: Record) -> str:
    """A record by size and standard."""
    return RECORD_NAMES.get(record.name, record.name)


def speed(record: Record) -> str:
    """A record's speed.

    >>> from protractor.arms.records import record
    >>> speed(record())
    '33⅓ rpm'
    """
    third = math.isclose(record.rpm, SPEEDS_RPM["33 1/3"], abs_tol=0.005)
    return f"{'33⅓' if third else f'{record.rpm:.4g}'} rpm"


def signed(value_mm: float) -> str:
    """A length without its unit; a minus sign as wide as a plus.

    >>> signed(-16.2), signed(17.3)
    ('–16.20', '17.30')
    """
    return to_hundredth(value_mm).replace("-", "–")


def length(value_mm: float) -> str:
    """A length as every sheet writes it.

    >>> length(-16.2)
    '–16.20 mm'
    """
    return f"{signed(value_mm)} mm"


def made_from(alignment: Alignment) -> str:
    """Scheme, record and speed in one line."""
    exact = alignment.terms is not None
    side = record_name(alignment.record)
    if alignment.play is not None:
        side = f"{len(alignment.played.records)} records by shares"
    return f"{scheme_name(alignment.scheme, exact=exact)} · {side} · {speed(alignment.record)}"
