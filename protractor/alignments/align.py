"""From the question to the answer: the one way from a `Deck` to its `Alignment`."""

from __future__ import annotations

import math
from dataclasses import replace

from protractor.alignments.alignment import Alignment
from protractor.alignments.deck import Deck
from protractor.arms import inputs
from protractor.arms.arm import PIVOT_TO_SPINDLE_RANGE_MM, Arm
from protractor.arms.distortion import Equalisation
from protractor.arms.records import Record
from protractor.arms.schemes import DEFAULT_SCHEME, OWN_NULLS, Held, scheme_null_radii
from protractor.arms.straight import straight_arm
from protractor.errors import InputError

EXACT_ONLY = {
    "held": "held",
    "offset-angle": "offset_angle_deg",
    "overhang-range": "overhang_range_mm",
    "offset-range": "offset_range_deg",
    "norm": "norm",
    "weight": "weight",
    "null-at": "null_at_mm",
}
"""What only the exact optimum takes: input and attribute of a deck."""


def align(deck: Deck) -> Alignment:
    """The alignment of a deck.

    By its scheme's published closed form; by the straight arm's, for one without offset; or, when
    the deck asks for `exact`, the optimum on true angles for this arm.

    Raises:
        InputError: for anything missing, excluded or out of range, and when limits leave no arm.

    >>> alignment = align(Deck(pivot_to_spindle_mm=222.0))
    >>> round(alignment.arm.overhang_mm, 2), round(alignment.arm.offset_angle_deg, 2)
    (17.3, 22.99)
    >>> round(align(Deck(pivot_to_spindle_mm=222.0, exact=True)).arm.overhang_mm, 3)
    17.311

    Source: `schemes`, `straight` and `optimum`.
    """
    side = deck.side
    terms = None
    if deck.exact:
        from protractor.alignments.exact import exact_arm  # not needed for a plain answer

        best = exact_arm(deck)
        arm, scheme, terms = best.arm, best.scheme, best.terms
    else:
        _check_closed(deck)
        arm, scheme = _straight(deck, side) if deck.straight else _closed(deck)
    by_length = deck.pivot_to_spindle_mm is None
    check_on_a_deck(arm, by_length)
    length: Held = "effective-length" if by_length else "pivot-to-spindle"
    return Alignment(
        arm=arm,
        scheme=scheme,
        record=side,
        velocity_cm_s=inputs.VELOCITY.or_default(deck.velocity_cm_s),
        velocity_is=inputs.VELOCITY_IS.or_default(deck.velocity_is),
        equalisation=Equalisation(
            signal_hz=deck.signal_hz, slope_db_octave=deck.replay_slope_db_octave
        ),
        play=deck.played,
        held="offset-angle" if terms and deck.offset_angle_deg is not None else length,
        terms=terms,
    )


def chosen_nulls(deck: Deck) -> tuple[str, Record, tuple[float, float]]:
    """Scheme, record and null radii [mm] that a deck asks for, whatever its lengths.

    Raises `InputError` for radii without scheme `null-radii` or the reverse.

    >>> scheme, side, nulls = chosen_nulls(Deck())
    >>> scheme, [round(r, 2) for r in nulls]
    ('lofgren-a', [66.0, 120.89])
    """
    side, scheme, own = deck.side, deck.scheme, deck.null_radii_mm
    if scheme is None:
        scheme = OWN_NULLS if own is not None else DEFAULT_SCHEME
    if (scheme == OWN_NULLS) != (own is not None):
        raise InputError(
            "null-radii",
            "nothing" if own is None else f"radii beside scheme {scheme}",
            "two radii with scheme null-radii, none with another",
            "add `null-radii` A B" if own is None else "leave out one of the two",
        )
    if own is not None:
        return scheme, side, own
    inner, outer = scheme_null_radii(scheme, side.inner_radius_mm, side.outer_radius_mm)
    return scheme, side, (float(inner), float(outer))


def without_length(deck: Deck) -> bool:
    """Whether a deck gives no length and asks for nothing that needs one."""
    given = [getattr(deck, attribute) for attribute in EXACT_ONLY.values()]
    lengths = deck.pivot_to_spindle_mm, deck.effective_length_mm
    return not (deck.exact or deck.straight or any(v is not None for v in (*lengths, *given)))


def _closed(deck: Deck) -> tuple[Arm, str]:
    """The arm of a scheme's closed form."""
    scheme, _, nulls = chosen_nulls(deck)
    arm = Arm.through_nulls(
        nulls,
        pivot_to_spindle_mm=deck.pivot_to_spindle_mm,
        effective_length_mm=deck.effective_length_mm,
    )
    return arm, scheme


def _straight(deck: Deck, side: Record) -> tuple[Arm, str]:
    """The arm without offset that a scheme's objective asks for."""
    if deck.null_radii_mm is not None:
        inner, outer = deck.null_radii_mm
        raise InputError(
            "null-radii",
            f"{inner:g} and {outer:g} mm for a straight arm",
            "no null radii beside `straight`",
            "choose a scheme: a straight arm has one null only",
        )
    scheme = deck.scheme or DEFAULT_SCHEME
    arm = straight_arm(
        scheme,
        side,
        pivot_to_spindle_mm=deck.pivot_to_spindle_mm,
        effective_length_mm=deck.effective_length_mm,
    )
    return arm, scheme


def _check_closed(deck: Deck) -> None:
    """Raise `InputError` for what a closed form does not take."""
    length = "effective-length" if deck.pivot_to_spindle_mm is None else "pivot-to-spindle"
    for name, attribute in EXACT_ONLY.items():
        value = getattr(deck, attribute)
        if value is not None and not (name == "held" and value == length):
            raise InputError(
                name,
                f"{name} without `exact`",
                f"{name} beside `exact`",
                "add `exact`, or leave it out",
            )


def check_on_a_deck(arm: Arm, from_length: bool) -> None:
    """Raise `InputError` when pivot to spindle is not one that a deck can have."""
    low, high = PIVOT_TO_SPINDLE_RANGE_MM
    if low - 1e-9 <= arm.pivot_to_spindle_mm <= high + 1e-9:
        return
    if not from_length:
        raise inputs.PIVOT_TO_SPINDLE.refuse(f"{arm.pivot_to_spindle_mm:g} mm")
    product = arm.effective_length_mm**2 - arm.pivot_to_spindle_mm**2
    span = math.sqrt(max(0.0, low**2 + product)), math.sqrt(high**2 + product)
    allowed = f"{span[0]:.1f} to {span[1]:.1f} mm for these null radii"
    raise replace(inputs.EFFECTIVE_LENGTH, allows=allowed).refuse(f"{arm.effective_length_mm:g} mm")
