"""Statements about one arm: whether they can be one arm, and the arm that fits them.

A statement's truth lies within its bound, anywhere in it with equal chance (JCGM 100:2008, 4.3.7).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from protractor.arms.arm import Arm
from protractor.arms.inputs import EFFECTIVE_LENGTH, OVERHANG
from protractor.errors import InputError
from protractor.setup.estimate import Estimate, Observation, estimate, null_at

NULLS = "null-radii"

LEAST_BETWEEN_NULLS_MM = 10.0
"""Between nulls closer than this the slope of the error all but vanishes."""

AGREED = 1 + 1e-9
"""Factor of the bounds up to which statements agree; the rest is rounding."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """One stated number: what it is, its value and its bound in mm or degrees.

    `label` tells it from others of its kind and `partner_mm` is the other null radius of a pair;
    both are empty until the statements are put together. Raises `InputError` for a bound that is
    not above 0.
    """

    name: str
    value: float
    bound: float
    label: str = ""
    partner_mm: float = math.nan

    def __post_init__(self) -> None:
        if not (math.isfinite(self.bound) and self.bound > 0):
            raise InputError(
                self.name,
                f"a bound of {self.bound:g}",
                "a bound above 0",
                "give how wrong the number may be, as in 237±0.5",
            )

    @property
    def unit(self) -> str:
        """`mm` or `deg`."""
        return "deg" if self.name == "offset-angle" else "mm"

    def __str__(self) -> str:
        return f"{self.value:g} ± {self.bound:.2g} {self.unit}"


def check_enough(statements: Sequence[Statement]) -> None:
    """Raise `InputError` for fewer than two statements; a pair of null radii counts as one."""
    names = [s.name for s in statements]
    radii = names.count("null-radii")
    if len(names) - radii + radii // 2 >= 2 and not set(names) <= {"null-radii", "linear-offset"}:
        return
    lengths = ("pivot-to-spindle", "effective-length")
    if not names:
        remedy = "add pivot-to-spindle or effective-length"
        raise InputError(lengths[0], "nothing", "two statements or more", remedy)
    given = " and ".join(dict.fromkeys(names)) + " alone"
    other = (
        "overhang, offset-angle, linear-offset or null-radii"
        if names[0] in lengths
        else " or ".join(lengths)
    )
    raise InputError(names[0], given, "two statements or more that settle an arm", f"add {other}")


def check_possible(statements: Sequence[Statement]) -> None:
    """Raise `InputError` for two statements that no arm at all can fulfil."""

    def least(name: str) -> float:
        return min((s.value - s.bound for s in statements if s.name == name), default=math.nan)

    def most(name: str) -> float:
        return max((s.value + s.bound for s in statements if s.name == name), default=math.nan)

    nulls = [s for s in statements if s.name == "null-radii"]
    for first, second in zip(nulls[::2], nulls[1::2], strict=True):
        if not first.value + first.bound < second.value - second.bound:
            raise InputError(
                "null-radii",
                f"{first.value:g} and {second.value:g} mm",
                "an inner null radius that is smaller than the outer one by more than its bound",
                "give the inner radius first, and both as exactly as they are known",
            )
    pair, why = ("linear-offset", "effective-length"), ""
    if least(pair[0]) > most(pair[1]):
        why = "the length is always greater"
    elif nulls and most("overhang") < 0:
        pair, why = ("null-radii", "overhang"), "an underhung arm has no two nulls"
    elif nulls and most("effective-length") < least("pivot-to-spindle"):
        pair = ("effective-length", "pivot-to-spindle")
        why = "an arm with two nulls is longer than its pivot to spindle"
    if why:
        raise _pair(statements, *pair, why)


def _pair(statements: Sequence[Statement], first: str, second: str, why: str) -> InputError:
    """The complaint about two statements that exclude each other."""
    one, other = (next(s for s in reversed(statements) if s.name == n) for n in (first, second))
    return InputError(
        first,
        f"{one.value:g} {one.unit} beside {second} {other.value:g} {other.unit}",
        f"two that one arm can have: {why}",
        "correct one of the two, or leave it out",
    )


def impossible_pair(statements: Sequence[Statement]) -> InputError | None:
    """The complaint about two statements that are far from any one arm, if there are such two."""
    stated = {s.name: s.value for s in statements}
    length, d = stated.get("effective-length"), stated.get("pivot-to-spindle")
    if length is not None and d is not None and abs(length - d) > OVERHANG.high:
        why = f"no arm reaches or fails the spindle by more than {OVERHANG.high:g} mm"
        return _pair(statements, "effective-length", "pivot-to-spindle", why)
    linear, angle = stated.get("linear-offset"), stated.get("offset-angle")
    if linear is not None and angle:
        made = linear / math.sin(math.radians(angle))
        if not EFFECTIVE_LENGTH.low <= made <= EFFECTIVE_LENGTH.high:
            why = f"these two make an effective length of {made:.0f} mm"
            return _pair(statements, "linear-offset", "offset-angle", why)
    return None


def no_arm(statements: Sequence[Statement]) -> InputError:
    """The complaint about labelled statements that lead out of what an arm can be."""
    first = statements[0]
    others = ", ".join(dict.fromkeys(s.label for s in statements if s.label != first.label))
    return impossible_pair(statements) or InputError(
        first.label,
        f"{first.value:g} {first.unit}",
        f"what one arm can have beside {others}, at least roughly",
        "read each again: is one of them another quantity, or in another unit?",
    )


def label_statements(statements: Sequence[Statement]) -> list[Statement]:
    """The statements, each labelled by its name; numbered from the second of a kind on.

    Null radii come in pairs; each of the two is a statement of its own.
    """
    seen: Counter[str] = Counter()
    nulls = [s.value for s in statements if s.name == NULLS]
    labelled = []
    for s in statements:
        at = seen[s.name]
        seen[s.name] += 1
        number, which, partner = at + 1, "", math.nan
        if s.name == NULLS:
            number, which = at // 2 + 1, (" inner", " outer")[at % 2]
            partner = nulls[at ^ 1]
        label = (s.name if number == 1 else f"{s.name} ({number})") + which
        labelled.append(replace(s, label=label, partner_mm=partner))
    return labelled


def _start(statements: Sequence[Statement]) -> Arm:
    """An arm near the statements, to begin the search from."""
    by = {s.name: s.value for s in reversed(statements)}
    nulls = next(([s.value, s.partner_mm] for s in statements if s.name == NULLS), [])
    overhang = by.get("overhang", 16.0)
    d = by.get("pivot-to-spindle", by.get("effective-length", 222.0 + overhang) - overhang)
    length = by.get("effective-length", d + overhang)
    if "effective-length" not in by and "overhang" not in by and nulls:
        length = math.sqrt(d * d + nulls[0] * nulls[1])
    linear = by.get("linear-offset", sum(nulls) / 2 if nulls else 0.38 * length)
    beta = math.asin(min(0.8, max(-0.8, linear / length)))
    if "offset-angle" in by:
        beta = math.radians(by["offset-angle"])
    return Arm(pivot_to_spindle_mm=d, effective_length_mm=length, offset_angle_rad=beta)


def fit_statements(statements: Sequence[Statement]) -> Estimate:
    """The estimate of labelled statements; a null radius is a tracking error of zero seen there.

    The bound of a null radius becomes one of the error by the slope of the error at the null,
    which depends on the arm: hence a second round.
    """
    arm = _start(statements)
    found = estimate(_observe(statements, arm), arm)
    if any(s.name == NULLS for s in statements):
        d, length, beta = found.theta
        # false for nan as well
        if d > 0 and length > 0 and abs(beta) < 1:
            found = estimate(_observe(statements, found.arm, found.rank == 3), found.arm)
    return found


def _observe(statements: Sequence[Statement], near: Arm, fitted: bool = False) -> list[Observation]:
    """The statements as observations, with slopes taken from an arm near by.

    The slope of the error at a null depends on the other null: the one that was stated beside it,
    or, where that is left out, the one of a `fitted` arm.
    """
    nulls = [s.value for s in statements if s.name == NULLS]
    seen: list[Observation] = []
    for s in statements:
        if s.name == NULLS:
            r, other, length = s.value, s.partner_mm, near.effective_length_mm
            made = (length - near.pivot_to_spindle_mm) * (length + near.pivot_to_spindle_mm) / r
            if fitted and other not in nulls and abs(made - r) > LEAST_BETWEEN_NULLS_MM:
                other = made
            sine = min(0.9, max(-0.9, (r + other) / (2 * length)))
            slope = abs(r - other) / (2 * r * length * math.sqrt(1 - sine * sine))
            seen.append(null_at(r, slope * s.bound, s.label))
        else:
            scale = math.radians(1.0) if s.unit == "deg" else 1.0
            seen.append(
                Observation(
                    name=s.label,
                    kind=s.name,  # type: ignore[arg-type]  # the other names are the kinds
                    value=s.value * scale,
                    bound=s.bound * scale,
                )
            )
    return seen
