"""Statements about one arm: whether they can be one arm, and which one is off.

A statement's truth lies within its bound, anywhere in it with equal chance (JCGM 100:2008, 4.3.7).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from protractor.alignments.closest import scheme_nulls
from protractor.arms.arm import Arm, null_radii
from protractor.arms.inputs import EFFECTIVE_LENGTH, OVERHANG
from protractor.arms.records import Record
from protractor.errors import InputError
from protractor.setup.estimate import Estimate, Observation, estimate

ODDS = 2 * math.log(3.0)
"""Chi squared by which one suspect must beat the next: three to one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """One stated number: what it is, its value and its bound in mm or degrees.

    Raises `InputError` for a bound that is not above 0.
    """

    name: str
    value: float
    bound: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.bound) and self.bound > 0):
            raise InputError(
                self.name,
                f"a bound of {self.bound:g}",
                "a bound above 0",
                "say how far off the number may be, as in 237±0.5",
            )

    @property
    def unit(self) -> str:
        """`mm` or `deg`."""
        return "deg" if self.name == "offset-angle" else "mm"

    def __str__(self) -> str:
        return f"{self.value:g} ± {self.bound:.2g} {self.unit}"


def enough(statements: Sequence[Statement]) -> None:
    """Raise `InputError` for fewer than two statements; a pair of null radii counts as one."""
    count = (
        len([s for s in statements if s.name != "null-radii"])
        + len([s for s in statements if s.name == "null-radii"]) // 2
    )
    if count >= 2 and not {s.name for s in statements} <= {"null-radii", "linear-offset"}:
        return
    given = " and ".join(dict.fromkeys(s.name for s in statements)) + " alone"
    other = (
        "pivot-to-spindle or effective-length"
        if not statements or statements[0].name not in ("pivot-to-spindle", "effective-length")
        else "overhang, offset-angle, linear-offset or null-radii"
    )
    if not statements:
        raise InputError("pivot-to-spindle", "nothing", "two statements or more", f"add {other}")
    raise InputError(
        statements[0].name, given, "two statements or more that settle an arm", f"add {other}"
    )


def possible(statements: Sequence[Statement]) -> None:
    """Raise `InputError` for two statements that no arm at all can fulfil."""

    def least(name: str) -> float:
        return min((s.value - s.bound for s in statements if s.name == name), default=math.nan)

    def most(name: str) -> float:
        return max((s.value + s.bound for s in statements if s.name == name), default=math.nan)

    stated = {s.name: s for s in statements}
    nulls = [s for s in statements if s.name == "null-radii"]
    for first, second in zip(nulls[::2], nulls[1::2], strict=True):
        if not first.value + first.bound < second.value - second.bound:
            raise InputError(
                "null-radii",
                f"{first.value:g} and {second.value:g} mm",
                "an inner null radius that is smaller than the outer one by more than its bound",
                "give the inner radius first, and both as exactly as they are known",
            )
    if least("linear-offset") > most("effective-length"):
        raise _pair(stated, "linear-offset", "effective-length", "the length is always greater")
    if nulls and most("overhang") < 0:
        raise _pair(stated, "null-radii", "overhang", "an underhung arm has no two nulls")
    if nulls and most("effective-length") < least("pivot-to-spindle"):
        raise _pair(
            stated,
            "effective-length",
            "pivot-to-spindle",
            "an arm with two nulls is longer than its pivot to spindle",
        )


def _pair(stated: dict[str, Statement], first: str, second: str, why: str) -> InputError:
    """The complaint about two statements that exclude each other."""
    return InputError(
        first,
        f"{stated[first].value:g} {stated[first].unit} beside {second} {stated[second].value:g} "
        f"{stated[second].unit}",
        f"two that one arm can have: {why}",
        "mend one of the two, or leave it out",
    )


def impossible_pair(statements: Sequence[Statement]) -> InputError | None:
    """The complaint about two statements that are far from any one arm, if there are such two."""
    stated = {s.name: s for s in statements}
    length, d = stated.get("effective-length"), stated.get("pivot-to-spindle")
    if length and d and abs(length.value - d.value) > OVERHANG.high:
        why = f"no arm reaches or fails the spindle by more than {OVERHANG.high:g} mm"
        return _pair(stated, "effective-length", "pivot-to-spindle", why)
    linear, angle = stated.get("linear-offset"), stated.get("offset-angle")
    if linear and angle and angle.value:
        made = linear.value / math.sin(math.radians(angle.value))
        if not EFFECTIVE_LENGTH.low <= made <= EFFECTIVE_LENGTH.high:
            why = f"these two make an effective length of {made:.0f} mm"
            return _pair(stated, "linear-offset", "offset-angle", why)
    return None


def no_arm(statements: Sequence[Statement], names: Sequence[str]) -> InputError:
    """The complaint about statements that lead out of what an arm can be."""
    others = ", ".join(dict.fromkeys(name for name in names if name != names[0]))
    return impossible_pair(statements) or InputError(
        names[0],
        f"{statements[0].value:g} {statements[0].unit}",
        f"what one arm can have beside {others}, at least roughly",
        "read each again: is one of them another quantity, or in another unit?",
    )


def label(statements: Sequence[Statement]) -> list[str]:
    """A name for each statement: its own, numbered from the second of a kind on."""
    seen: dict[str, int] = {}
    labels = []
    for s in statements:
        seen[s.name] = seen.get(s.name, 0) + 1
        each = 2 if s.name == "null-radii" else 1
        number = (seen[s.name] + each - 1) // each
        labels.append(s.name if number == 1 else f"{s.name} ({number})")
    return labels


def _start(statements: Sequence[Statement]) -> Arm:
    """An arm near the statements, to begin the search from."""
    by = {s.name: s.value for s in reversed(statements)}
    nulls = [s.value for s in statements if s.name == "null-radii"][:2]
    overhang = by.get("overhang", 16.0)
    d = by.get("pivot-to-spindle", by.get("effective-length", 222.0 + overhang) - overhang)
    length = by.get("effective-length", d + overhang)
    if "effective-length" not in by and "overhang" not in by and nulls:
        length = math.sqrt(d * d + nulls[0] * nulls[1])
    linear = by.get("linear-offset", sum(nulls) / 2 if nulls else 0.38 * length)
    beta = math.radians(by["offset-angle"]) if "offset-angle" in by else None
    if beta is None:
        beta = math.asin(min(0.8, max(-0.8, linear / length)))
    return Arm(pivot_to_spindle_mm=d, effective_length_mm=length, offset_angle_rad=beta)


def fit_of(statements: Sequence[Statement], names: Sequence[str]) -> Estimate:
    """The estimate of the statements; a null radius is a tracking error of zero seen there.

    The bound of a null radius becomes one of the error by the slope of the error at the null,
    which depends on the arm a little: hence two rounds.
    """
    arm = _start(statements)
    found = estimate(_observations(statements, names, arm), arm)
    if np.all(np.isfinite(found.theta)) and any(s.name == "null-radii" for s in statements):
        d, length, beta = (float(v) for v in found.theta)
        if d > 0 and length > 0 and abs(beta) < 1:
            arm = Arm(pivot_to_spindle_mm=d, effective_length_mm=length, offset_angle_rad=beta)
            found = estimate(_observations(statements, names, arm), arm)
    return found


def _observations(
    statements: Sequence[Statement], names: Sequence[str], near: Arm
) -> list[Observation]:
    """The statements as observations, with slopes taken from an arm near by."""
    nulls = [s.value for s in statements if s.name == "null-radii"]
    partner = {i: nulls[i ^ 1] for i in range(len(nulls))}
    seen: list[Observation] = []
    count = 0
    for s, name in zip(statements, names, strict=True):
        if s.name == "null-radii":
            other, length = partner[count], near.effective_length_mm
            count += 1
            sine = min(0.9, (s.value + other) / (2 * length))
            slope = abs(s.value - other) / (2 * s.value * length * math.sqrt(1 - sine * sine))
            seen.append(
                Observation(
                    name=name,
                    kind="tracking-error",
                    value=0.0,
                    bound=slope * s.bound,
                    radius_mm=s.value,
                )
            )
        else:
            scale = math.radians(1.0) if s.unit == "deg" else 1.0
            seen.append(
                Observation(
                    name=name,
                    kind=s.name,  # type: ignore[arg-type]  # the other names are the kinds
                    value=s.value * scale,
                    bound=s.bound * scale,
                )
            )
    return seen


def find_suspect(
    statements: Sequence[Statement], names: Sequence[str], record: Record
) -> tuple[tuple[str, ...], str | None]:
    """The statements of which one, left out, makes the rest agree; and the likeliest of them.

    The likeliest is the one whose absence leaves the most checks that pass; then the one whose
    absence leaves the rest three times as likely as any other's; then the only one without which
    the rest is an arm made for a known scheme.
    """
    rest: dict[str, Estimate] = {}
    for name in dict.fromkeys(names):
        kept = [i for i, other in enumerate(names) if other != name]
        if len(kept) < 2:
            continue
        fit = fit_of([statements[i] for i in kept], [names[i] for i in kept])
        if np.all(np.isfinite(fit.theta)) and fit.conflict()[0] <= 1 + 1e-9:
            rest[name] = fit
    candidates = tuple(rest)
    if len(candidates) <= 1:
        return candidates, candidates[0] if candidates else None
    checks = max(fit.redundancy for fit in rest.values())
    likely = {name: fit for name, fit in rest.items() if fit.redundancy == checks}
    if len(likely) > 1 and checks > 0:
        misfit = {n: 3 * float(np.sum((f.residuals / f.bounds) ** 2)) for n, f in likely.items()}
        least = min(misfit.values())
        likely = {n: f for n, f in likely.items() if misfit[n] <= least + ODDS}
    if len(likely) > 1:
        known = {n: f for n, f in likely.items() if _made_for_a_scheme(f, record)}
        likely = known if len(known) == 1 else likely
    return candidates, next(iter(likely)) if len(likely) == 1 else None


def _made_for_a_scheme(fit: Estimate, record: Record) -> bool:
    """Whether an arm of a known scheme on this record fulfils all observations of a fit."""
    for inner, outer in scheme_nulls(record).values():
        d, length, beta = (float(v) for v in fit.theta)
        with_nulls = [
            *fit.observations,
            *(
                Observation(
                    name=f"null {r}", kind="tracking-error", value=0.0, bound=1e-5, radius_mm=r
                )
                for r in (inner, outer)
            ),
        ]
        start = Arm(pivot_to_spindle_mm=d, effective_length_mm=length, offset_angle_rad=beta)
        other = estimate(with_nulls, start)
        if np.all(np.isfinite(other.theta)) and other.conflict()[0] <= 1:
            return True
    return False


def off_by(
    statements: Sequence[Statement], names: Sequence[str], suspect: str, fit: Estimate
) -> float | None:
    """How far the suspect is from what the others say [mm or deg]; None when they say nothing."""
    d, length, beta = (float(v) for v in fit.theta)
    predicted = {
        "pivot-to-spindle": d,
        "effective-length": length,
        "overhang": length - d,
        "offset-angle": math.degrees(beta),
        "linear-offset": length * math.sin(beta),
    }
    own = [s for s, name in zip(statements, names, strict=True) if name == suspect]
    if own[0].name == "null-radii":
        inner, outer = null_radii(d, length, beta)
        off = [own[0].value - float(inner), own[1].value - float(outer)]
        worst = max(off, key=abs)
        return worst if math.isfinite(worst) else None
    return own[0].value - predicted[own[0].name]
