"""What an alignment makes small, what it keeps meanwhile, and over which radii."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from numpy.typing import ArrayLike

from protractor.errors import InputError
from protractor.schemes import SCHEMES


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A stretch of radius that is played.

    `inner_mm` and `outer_mm` may be arrays that broadcast with the arms; `share` is its part of
    the playing time, which counts for the rms; `factor` multiplies a weighted error (a record that
    turns faster distorts less).
    """

    inner_mm: ArrayLike
    outer_mm: ArrayLike
    share: float = 1.0
    factor: float = 1.0
