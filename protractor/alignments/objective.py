"""What an alignment makes small, what it keeps meanwhile, and over which radii."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Literal

from protractor.arms.play import Play
from protractor.arms.schemes import SCHEMES
from protractor.errors import InputError

OWN_OBJECTIVE = "own-objective"
"""Name of the scheme when users say themselves what is made small."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Objective:
    """What is made small on the recorded area, and what is kept meanwhile.

    `norm` is the peak, or the rms uniform in radius; `weighted` divides the error by the radius, as
    distortion does. `null_at_mm` keeps a null at that radius (`inner`: at the innermost recorded
    one); `as_lofgren_a` keeps the linear offset that `lofgren-a` has on the same arm and record.
    """

    norm: Literal["peak", "rms"] = "peak"
    weighted: bool = True
    null_at_mm: float | Literal["inner"] | None = None
    as_lofgren_a: bool = False

    @classmethod
    def of(cls, scheme: str) -> Objective:
        """The objective of a scheme; `InputError` for a name that is not in `SCHEMES`."""
        if scheme not in SCHEMES:
            raise InputError("scheme", scheme, ", ".join(SCHEMES), "name one of these")
        known = SCHEMES[scheme]
        return cls(
            norm=known.norm,
            weighted=known.weight == "1/r",
            null_at_mm="inner" if known.pinned == "null at the inner radius" else None,
            as_lofgren_a=known.pinned == "linear offset of lofgren-a",
        )

    @property
    def keeps(self) -> bool:
        """Whether something is kept: a null, or a linear offset."""
        return self.as_lofgren_a or self.null_at_mm is not None

    def __str__(self) -> str:
        text = f"least {self.norm} {'error / radius' if self.weighted else 'tracking error'}"
        if self.as_lofgren_a:
            return f"{text}, linear offset of lofgren-a kept"
        if self.null_at_mm is not None:
            at = "the inner radius" if self.null_at_mm == "inner" else f"{self.null_at_mm:g} mm"
            return f"{text}, null kept at {at}"
        return text

    def as_dict(self) -> dict[str, Any]:
        """The objective under the stable keys of `--json`."""
        return {
            "norm": self.norm,
            "weight": "1/r" if self.weighted else "1",
            "null_at_mm": self.null_at_mm,
            "linear_offset_of": "lofgren-a" if self.as_lofgren_a else None,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A stretch of radius that is played.

    `share` is its part of the playing time, which counts for the rms; `factor` multiplies a
    weighted error (a record that turns faster distorts less).
    """

    inner_mm: float
    outer_mm: float
    share: float = 1.0
    factor: float = 1.0


def spans_of(play: Play) -> list[Span]:
    """The recorded areas with their shares; the factor is how much less a fast record distorts.

    >>> from protractor.arms.records import record
    >>> spans_of(Play.of(record("7")))[0].factor
    1.0
    """
    slowest = min(record.rpm for record in play.records)
    return [
        Span(
            inner_mm=record.inner_radius_mm,
            outer_mm=record.outer_radius_mm,
            share=share,
            factor=slowest / record.rpm,
        )
        for record, share in zip(play.records, play.shares, strict=True)
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class ExactTerms:
    """The terms of an exact optimum: what was made small, within which limits, and what they cost.

    `overhang_limit` and `offset_limit` are -1 or 1 where the lower or the upper limit stops the
    arm, else 0; `limit_cost` is by how much the objective is worse than without limits [1], nan
    when without them there is no arm at all.
    """

    objective: Objective
    overhang_range_mm: tuple[float, float] | None = None
    offset_range_rad: tuple[float, float] | None = None
    overhang_limit: int = 0
    offset_limit: int = 0
    limit_cost: float = 0.0

    @property
    def cost(self) -> str:
        """What the limits cost, in words."""
        if math.isnan(self.limit_cost):
            return "without it there is no arm"
        percent = 100 * self.limit_cost
        return (
            f"{percent:.3g} % worse for it" if percent < 999.5 else f"{percent:.0f} % worse for it"
        )

    @property
    def binding(self) -> list[str]:
        """The limits that stop the arm, in words."""
        ends = {-1: "lower", 1: "upper"}
        return [
            f"{ends[sign]} end of {name}"
            for name, sign in (
                ("overhang-range", self.overhang_limit),
                ("offset-range", self.offset_limit),
            )
            if sign
        ]

    def as_dict(self) -> dict[str, Any]:
        """The terms under the stable keys of `--json`."""
        offsets = self.offset_range_rad
        return {
            "objective": self.objective.as_dict(),
            "limits": {
                "overhang_range_mm": self.overhang_range_mm and list(self.overhang_range_mm),
                "offset_range_deg": offsets and [math.degrees(v) for v in offsets],
                "binding": self.binding,
                "cost_percent": None if math.isnan(self.limit_cost) else 100 * self.limit_cost,
            },
        }
