"""The alignment schemes: what each minimises, and its published closed form.

All closed forms work on the error of sines, `sin phi - sin beta = (r - r1)(r - r2) / (2 r L)`, so
their null radii do not depend on the arm: that is what jigs and tables quote. With `u = 1/r` the
weighted error is proportional to `1 - s u + p u²`, where `s = r1 + r2` and `p = r1 r2`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from protractor.arms.arm import Floats
from protractor.errors import InputError

Held = Literal["pivot-to-spindle", "effective-length", "offset-angle"]
HELD: tuple[Held, ...] = ("pivot-to-spindle", "effective-length", "offset-angle")
"""What may be held while an exact optimum is sought."""

ClosedForm = Callable[[Floats, Floats], tuple[Floats, Floats]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Scheme:
    """One alignment scheme as an objective on the recorded area.

    `norm` is what is made small (the peak or the rms, uniform in radius), `weight` what the error
    is multiplied by before (`1/r` for distortion, `1` for the angle itself), `pinned` the condition
    that is kept meanwhile. `closed_form` takes inner and outer recorded radius [mm] and gives sum
    and product of the null radii [mm, mm²].
    """

    name: str
    summary: str
    norm: Literal["peak", "rms"]
    weight: Literal["1/r", "1"]
    pinned: Literal["nothing", "linear offset of lofgren-a", "null at the inner radius"]
    source: str
    closed_form: ClosedForm


def _lofgren_a(ri: Floats, ro: Floats) -> tuple[Floats, Floats]:
    """Chebyshev: the nulls in u are centre ± half width / sqrt(2) of [1/ro, 1/ri]."""
    centre, half = (1 / ri + 1 / ro) / 2, (1 / ri - 1 / ro) / 2
    p = 1 / (centre * centre - half * half / 2)
    return 2 * centre * p, p


def _lofgren_b(ri: Floats, ro: Floats) -> tuple[Floats, Floats]:
    """The product that makes the integral of (1 - s u + p u²)² over r least, with A's s."""
    s, _ = _lofgren_a(ri, ro)
    u1, u2 = 1 / ro, 1 / ri
    return s, (s * (u2**2 - u1**2) / 2 - (u2 - u1)) / ((u2**3 - u1**3) / 3)


def _lofgren_c(ri: Floats, ro: Floats) -> tuple[Floats, Floats]:
    """The same integral made least over s and p together: a 2 x 2 linear system."""
    u1, u2 = 1 / ro, 1 / ri
    # moments of u^n over r: the integral of r^-n dr = (u2^(n-1) - u1^(n-1)) / (n - 1)
    m1 = np.log(u2 / u1)
    m2, m3, m4 = ((u2**k - u1**k) / k for k in (1, 2, 3))
    det = m2 * m4 - m3 * m3
    return (m1 * m4 - m2 * m3) / det, (m1 * m3 - m2 * m2) / det


def _stevenson(ri: Floats, ro: Floats) -> tuple[Floats, Floats]:
    """One null at u = 1/ri; the other where the two outer peaks come out equal."""
    h = 1 / ri - 1 / ro
    other = 1 / (1 / ri - 2 * (np.sqrt(2.0) - 1) * h)
    return ri + other, ri * other


def _equal_angle(ri: Floats, ro: Floats) -> tuple[Floats, Floats]:
    """Peaks of r - s + p/r equal at ri, sqrt(ri ro) and ro."""
    return (np.sqrt(ri) + np.sqrt(ro)) ** 2 / 2, ri * ro


_SCHEMES = (
    Scheme(
        name="lofgren-a",
        summary="least peak distortion (Löfgren A, also Baerwald)",
        norm="peak",
        weight="1/r",
        pinned="nothing",
        source="E. Löfgren, Akustische Zeitschrift, Nov 1938; "
        "H. G. Baerwald, J. Soc. Motion Picture Eng., Dec 1941",
        closed_form=_lofgren_a,
    ),
    Scheme(
        name="lofgren-b",
        summary="least rms distortion with Löfgren A's linear offset",
        norm="rms",
        weight="1/r",
        pinned="linear offset of lofgren-a",
        source="E. Löfgren, Akustische Zeitschrift, Nov 1938",
        closed_form=_lofgren_b,
    ),
    Scheme(
        name="lofgren-c",
        summary="least rms distortion, both null radii free",
        norm="rms",
        weight="1/r",
        pinned="nothing",
        source="least squares after E. Löfgren 1938; compare J. Audio Eng. Soc. 70(3), 2022",
        closed_form=_lofgren_c,
    ),
    Scheme(
        name="stevenson",
        summary="no error at the inner radius, least peak distortion elsewhere",
        norm="peak",
        weight="1/r",
        pinned="null at the inner radius",
        source="J. K. Stevenson, 'Pickup Arm Design', Wireless World, May and June 1966",
        closed_form=_stevenson,
    ),
    Scheme(
        name="equal-angle",
        summary="least peak tracking angle, whatever the radius",
        norm="peak",
        weight="1",
        pinned="nothing",
        source="P. Wilson, The Gramophone, 1924",
        closed_form=_equal_angle,
    ),
)

SCHEMES = {scheme.name: scheme for scheme in _SCHEMES}

DEFAULT_SCHEME = "lofgren-a"
OWN_NULLS = "null-radii"
"""Name of the scheme that is no objective: the user's own two null radii."""

SCHEME_NAMES = (*SCHEMES, OWN_NULLS)

SCHEMES_ALSO_CALLED = {
    "baerwald": "lofgren-a",
    "a": "lofgren-a",
    "c": "lofgren-c",
    "wilson": "equal-angle",
    "null points": OWN_NULLS,
    "own nulls": OWN_NULLS,
}
"""Other names that the trade has for a scheme (common practice; Baerwald's and Wilson's papers)."""

UNCLEAR_SCHEMES = {
    "lofgren": "write lofgren-a, lofgren-b or lofgren-c",
    "b": "write lofgren-b, or lofgren-a for Baerwald",
    "iec": "that names a record: write `record` 12-iec-1958",
    "din": "that names a record: write `record` 12-din-trade or 12-din-1981",
    "riaa": "that names a record: write `record` 12-riaa-1963",
}
"""Names that may mean several schemes or none, each with what to write."""


def scheme_null_radii(
    scheme: str, inner_radius_mm: ArrayLike, outer_radius_mm: ArrayLike
) -> tuple[Floats, Floats]:
    """Null radii of a scheme's closed form on a recorded area, inner first.

    Args:
        scheme: a key of `SCHEMES`.
        inner_radius_mm: ri, any shape [mm].
        outer_radius_mm: ro > ri, broadcast [mm].

    Returns:
        (r1, r2), each of the broadcast shape [mm].

    Raises:
        InputError: for a name that is not in `SCHEMES`.

    >>> [round(float(r), 1) for r in scheme_null_radii("lofgren-a", 56.0, 146.3)]
    [61.6, 118.4]

    Source: `SCHEMES[scheme].source`; the worked line is K. Howard, 'Arc Angles', Stereophile,
    March 2010, p. 5.
    """
    if scheme not in SCHEMES:
        raise InputError("scheme", scheme, ", ".join(SCHEMES), "name one of these")
    ri, ro = np.broadcast_arrays(
        np.asarray(inner_radius_mm, float), np.asarray(outer_radius_mm, float)
    )
    s, p = SCHEMES[scheme].closed_form(ri, ro)
    with np.errstate(invalid="ignore"):
        outer = s / 2 + np.sqrt(s * s / 4 - p)
    return p / outer, outer
