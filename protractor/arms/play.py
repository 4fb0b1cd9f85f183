"""What is played: records, each with its share of the playing time."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from protractor.arms.records import Record
from protractor.errors import InputError

ROUNDED_SHARES_PERCENT = 0.15
"""How far shares may miss 100 % and still be taken for rounded ones, such as three of 33.3."""

PITCH_MM = {"microgroove": 0.12, "coarse": 0.25}
"""Groove to groove: about 20 minutes on a 12-inch side at 33 1/3 rpm, about 3 on a 10-inch one at
78 rpm (common practice, from memory; real sides differ by half)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Play:
    """Records with their shares of the playing time; the shares add up to 1.

    Raises `InputError` when there is no record, when a share is not above zero, or when the shares
    do not add up.
    """

    records: tuple[Record, ...]
    shares: tuple[float, ...]

    def __post_init__(self) -> None:
        percent = [100 * share for share in self.shares]
        given = " + ".join(f"{p:g}" for p in percent) or "nothing"
        if not percent or not all(math.isfinite(p) and p > 0 for p in percent):
            raise InputError("play", given, "shares above 0 %", "leave out what is never played")
        total = math.fsum(percent)
        if abs(total - 100) > ROUNDED_SHARES_PERCENT:
            raise InputError(
                "play",
                f"{given} = {total:g} %",
                "shares that add up to 100 %",
                f"{'add what is missing, ' if total < 100 else 'take off '}{abs(100 - total):g} %",
            )
        object.__setattr__(self, "shares", tuple(share * 100 / total for share in self.shares))

    @classmethod
    def of(cls, record: Record) -> Play:
        """One record, played all the time."""
        return cls(records=(record,), shares=(1.0,))

    @property
    def inner_radius_mm(self) -> float:
        """Innermost recorded radius of all [mm]."""
        return min(record.inner_radius_mm for record in self.records)

    @property
    def outer_radius_mm(self) -> float:
        """Outermost recorded radius of all [mm]."""
        return max(record.outer_radius_mm for record in self.records)

    def peak(self, figure: Callable[[Record], float]) -> float:
        """The greatest of a figure over the records."""
        return max(figure(record) for record in self.records)

    def rms(self, figure: Callable[[Record], float]) -> float:
        """Root of the mean square of a figure over the records, by their shares of time."""
        return math.sqrt(
            math.fsum(
                share * figure(record) ** 2
                for record, share in zip(self.records, self.shares, strict=True)
            )
        )

    def as_list(self) -> list[dict[str, Any]]:
        """The records and shares under the keys of `--json`."""
        return [
            {**record.as_dict(), "share_percent": 100 * share}
            for record, share in zip(self.records, self.shares, strict=True)
        ]


def side_minutes(record: Record) -> float:
    """Estimated playing time of a full side at the usual pitch [min].

    >>> from protractor.arms.records import record
    >>> round(side_minutes(record("12")))
    21
    """
    pitch = PITCH_MM["coarse" if record.rpm > 60 else "microgroove"]
    return (record.outer_radius_mm - record.inner_radius_mm) / (pitch * record.rpm)
