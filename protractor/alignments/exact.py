"""The exact alignment of a deck: the optimum for this arm, what is held, limits, what is played."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, NoReturn

from protractor.alignments.deck import Deck
from protractor.alignments.objective import (
    OWN_OBJECTIVE,
    ExactTerms,
    Objective,
    Span,
    spans_of,
)
from protractor.alignments.optimum import STAYS, Optimum, best_arm, reach_mm
from protractor.arms.arm import Arm, check_one_length
from protractor.arms.play import Play
from protractor.arms.schemes import DEFAULT_SCHEME, OWN_NULLS
from protractor.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Exact:
    """The best arm on true angles, the name of what it is best for, and its terms."""

    arm: Arm
    scheme: str
    terms: ExactTerms


def exact_arm(deck: Deck) -> Exact:
    """The arm of a deck that is best on true angles.

    Raises:
        InputError: for anything missing or excluded, and when the limits leave no arm: it names
            the limit to loosen and by how much.

    >>> best = exact_arm(Deck(pivot_to_spindle_mm=222.0)).arm
    >>> round(best.overhang_mm, 3), round(best.offset_angle_deg, 3)
    (17.311, 23.0)

    Source: `optimum`.
    """
    _check_asked(deck)
    _check_held(deck)
    own = any(value is not None for value in (deck.norm, deck.weight, deck.null_at_mm))
    scheme = deck.scheme or DEFAULT_SCHEME
    aim = Objective.of(scheme)
    if own:
        aim = Objective(
            norm=deck.norm or "peak", weighted=deck.weight != "none", null_at_mm=deck.null_at_mm
        )
    angle, offsets = deck.offset_angle_deg, deck.offset_range_deg
    given: dict[str, Any] = {
        "pivot_to_spindle_mm": deck.pivot_to_spindle_mm,
        "effective_length_mm": deck.effective_length_mm,
        "offset_angle_rad": None if angle is None else math.radians(angle),
    }
    overhang_range_mm = deck.overhang_range_mm
    offset_range_rad = offsets and (math.radians(offsets[0]), math.radians(offsets[1]))
    spans = spans_of(deck.played or Play.of(deck.side))
    best = best_arm(
        aim, spans, **given, overhang_range_mm=overhang_range_mm, offset_range_rad=offset_range_rad
    )
    if best is None:
        _explain(aim, spans, given, overhang_range_mm, offset_range_rad)
    return Exact(
        arm=best.arm,
        scheme=OWN_OBJECTIVE if own else scheme,
        terms=ExactTerms(
            objective=aim,
            overhang_range_mm=overhang_range_mm,
            offset_range_rad=offset_range_rad,
            overhang_limit=best.overhang_limit,
            offset_limit=best.offset_limit,
            limit_cost=_cost(best),
        ),
    )


def _check_asked(deck: Deck) -> None:
    """Raise `InputError` for what an exact optimum does not take, or not together."""
    if deck.straight:
        raise InputError(
            "straight",
            "straight beside `exact`",
            "one of the two",
            "for the exact optimum say `exact` `held` offset-angle `offset-angle` 0",
        )
    if deck.null_radii_mm is not None:
        raise InputError(
            "null-radii",
            "radii beside `exact`",
            "radii for scheme null-radii, whose nulls are as given on true angles too",
            "leave out one of the two",
        )
    own = {"norm": deck.norm, "weight": deck.weight, "null-at": deck.null_at_mm}
    given = [name for name, value in own.items() if value is not None]
    if given and deck.scheme is not None:
        raise InputError(
            given[0],
            f"{given[0]} beside scheme {deck.scheme}",
            "a scheme, or an objective of your own",
            "leave out one of the two",
        )
    if deck.scheme == OWN_NULLS:
        allowed = "a scheme that makes something small"
        raise InputError("scheme", deck.scheme, allowed, "leave out `exact`")


def _check_held(deck: Deck) -> None:
    """Raise `InputError` when what is given is not what is held."""
    held, angle = deck.held, deck.offset_angle_deg
    check_one_length(deck.pivot_to_spindle_mm, deck.effective_length_mm, STAYS)
    length = "effective-length" if deck.pivot_to_spindle_mm is None else "pivot-to-spindle"
    if held == "offset-angle" and angle is None:
        raise InputError(
            "offset-angle",
            "nothing",
            "the offset angle that is held",
            "add `offset-angle` DEGREES, 0 for a straight arm",
        )
    if held != "offset-angle" and angle is not None:
        raise InputError(
            "offset-angle",
            f"{angle:g} deg that nothing holds",
            "an offset angle beside held offset-angle",
            "add `held` offset-angle, or leave the angle out",
        )
    if held not in (None, "offset-angle", length):
        raise InputError(
            "held",
            f"{held} beside {length}",
            f"{length} or offset-angle, when {length} is given",
            f"give `{held}` instead, or leave `held` out",
        )


def _cost(best: Optimum) -> float:
    """By how much the limits make the objective worse [1]; nan if only limits leave an arm."""
    return best.level / best.unlimited_level - 1 if best.limited else 0.0


def _explain(
    aim: Objective,
    spans: list[Span],
    given: dict[str, Any],
    overhangs: tuple[float, float] | None,
    offsets: tuple[float, float] | None,
) -> NoReturn:
    """Raise the `InputError` that says why there is no arm, and which limit to loosen."""
    free = best_arm(aim, spans, **given)
    if free is None:
        name = "pivot-to-spindle" if given["effective_length_mm"] is None else "effective-length"
        raise InputError(
            name,
            f"{given[name.replace('-', '_') + '_mm']:g} mm",
            "an arm that can reach the recorded area as it is asked to",
            "check the length, the radii and the offset angle",
        )
    held = given["offset_angle_rad"]
    if held is not None and offsets is not None and not offsets[0] <= held <= offsets[1]:
        raise _loosen("offset-range", "deg", [math.degrees(v) for v in (*offsets, held, held)])
    alone = best_arm(aim, spans, **given, overhang_range_mm=overhangs)
    if overhangs is not None and alone is None:
        if held is not None and aim.null_at_mm is not None:
            raise _loosen("overhang-range", "mm", [*overhangs, free.overhang_mm, free.overhang_mm])
        raise _loosen("overhang-range", "mm", [*overhangs, *reach_mm(aim, spans, **given)])
    ends = overhangs or reach_mm(aim, spans, **given)
    meets = [best_arm(aim, spans, **given, overhang_range_mm=(x, x)) for x in ends]
    angles = [math.degrees(arm.offset_angle_rad) for arm in (alone, *meets) if arm is not None]
    assert offsets is not None
    raise _loosen(
        "offset-range", "deg", [*(math.degrees(v) for v in offsets), min(angles), max(angles)]
    )


def _loosen(name: str, unit: str, values: list[float]) -> InputError:
    """The error of a range (first two values) that misses what can be (last two)."""
    low, high, least, most = values
    upper = high < least
    # rounded so that the limit as printed does
    wanted = math.ceil(least * 1000) / 1000 if upper else math.floor(most * 1000) / 1000
    end, missing = ("upper", wanted - high) if upper else ("lower", low - wanted)
    can_be = f"{least:.3f}" if least == most else f"{least:.3f} to {most:.3f}"
    return InputError(
        name,
        f"{low:g} to {high:g} {unit}",
        f"a range that meets {can_be} {unit}, where an arm is left",
        f"loosen its {end} limit to {wanted:.3f} {unit}, by {missing:.3f}",
    )
