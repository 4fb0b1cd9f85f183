"""Several alignments of one deck beside each other, and beside the way it is set up now."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from protractor.alignments.align import EXACT_ONLY, align
from protractor.alignments.alignment import Alignment
from protractor.alignments.deck import Deck
from protractor.alignments.objective import OWN_OBJECTIVE
from protractor.arms.arm import Arm, Floats
from protractor.arms.distortion import second_harmonic
from protractor.arms.records import Record
from protractor.arms.schemes import OWN_NULLS, SCHEMES
from protractor.errors import InputError

NOW = "now"
"""Name of the present setting in the place of a scheme."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Alignments of one deck, the present setting if it is known, and the schemes left out.

    `left_out` holds the name of each scheme that has no answer here, with the reason.
    """

    alignments: tuple[Alignment, ...]
    now: Alignment | None = None
    left_out: tuple[tuple[str, InputError], ...] = ()

    @property
    def rows(self) -> tuple[Alignment, ...]:
        """The alignments, and the present setting last."""
        return self.alignments if self.now is None else (*self.alignments, self.now)

    def move(self, alignment: Alignment) -> tuple[float, float] | None:
        """How far overhang [mm] and offset angle [deg] are from the present setting."""
        if self.now is None:
            return None
        return (
            alignment.arm.overhang_mm - self.now.arm.overhang_mm,
            alignment.arm.offset_angle_deg - self.now.arm.offset_angle_deg,
        )

    def stops(self) -> dict[str, list[str]]:
        """The limits that stop alignments, each with the schemes that it stops."""
        found: dict[str, list[str]] = {}
        for row in self.alignments:
            for end in row.terms.binding if row.terms else ():
                found.setdefault(end, []).append(row.scheme)
        return found

    def as_list(self) -> list[dict[str, Any]]:
        """Every alignment under the keys of `solve`, and how far it is from the present one."""
        found = []
        for alignment in self.rows:
            move = self.move(alignment)
            from_now = move and {"overhang_mm": move[0], "offset_angle_deg": move[1]}
            found.append({**alignment.as_dict(), "from_now": from_now})
        return found

    def as_csv(self) -> str:
        """Tracking error and second harmonic of every row at every millimetre of every record.

        The record's name has a column when there are several.
        """
        text = io.StringIO()
        writer = csv.writer(text, lineterminator="\n")
        several = len(self.rows[0].played.records) > 1
        names = [row.scheme for row in self.rows]
        writer.writerow(
            [
                "radius_mm",
                *(["record"] if several else []),
                *(f"{name}_tracking_error_deg" for name in names),
                *(f"{name}_second_harmonic_percent" for name in names),
            ]
        )
        for side in self.rows[0].played.records:
            radius = every_millimetre(side)
            errors = [np.degrees(row.arm.tracking_error(radius)) for row in self.rows]
            harmonics = [harmonic_curve(row, side, radius) for row in self.rows]
            for place in zip(radius, *errors, *harmonics, strict=True):
                first, *rest = (repr(float(value)) for value in place)
                writer.writerow([first, *([side.name] if several else []), *rest])
        return text.getvalue()


def compare(
    deck: Deck,
    schemes: Sequence[str] = (),
    *,
    now_overhang_mm: float | None = None,
    now_offset_angle_deg: float | None = None,
) -> Comparison:
    """The alignments that schemes give on one deck, in order, and the present setting beside them.

    Args:
        deck: the deck; its own scheme is not looked at, its own null radii or objective are added.
        schemes: names of schemes; all that make sense on the deck when empty.
        now_overhang_mm: overhang as the deck is set up now [mm].
        now_offset_angle_deg: offset angle as it is set up now [deg]; both or neither.

    Returns:
        the comparison. A scheme without an answer, because of limits for instance, is left out with
        its reason, unless it was asked for or none is left.

    Raises:
        InputError: as `align` does, for a scheme that was asked for, or when no scheme is left.

    >>> found = compare(Deck(pivot_to_spindle_mm=222.0), ["lofgren-a", "stevenson"])
    >>> [round(row.arm.overhang_mm, 2) for row in found.rows]
    [17.3, 15.42]
    """
    asked = list(dict.fromkeys(schemes))
    names = asked or [
        name for name in SCHEMES if not (name == "lofgren-b" and deck.offset_angle_deg is not None)
    ]
    if deck.null_radii_mm is not None:
        asked.append(OWN_NULLS)
    if any(v is not None for v in (deck.norm, deck.weight, deck.null_at_mm)):
        asked.append(OWN_OBJECTIVE)
    found: list[Alignment] = []
    left_out: list[tuple[str, InputError]] = []
    for scheme in dict.fromkeys([*names, *asked]):
        try:
            found.append(align(_under(deck, scheme)))
        except InputError as error:
            if scheme in asked:
                raise
            left_out.append((scheme, error))
    if not found:
        raise left_out[0][1]
    comparison = Comparison(alignments=tuple(found), left_out=tuple(left_out))
    if now_overhang_mm is None and now_offset_angle_deg is None:
        return comparison
    return replace(comparison, now=_now(deck, found[0], now_overhang_mm, now_offset_angle_deg))


def _under(deck: Deck, scheme: str) -> Deck:
    """The same deck under one scheme, its own null radii or its own objective."""
    if scheme == OWN_OBJECTIVE:
        return replace(deck, scheme=None, null_radii_mm=None)
    if scheme != OWN_NULLS:
        nothing: dict[str, Any] = dict.fromkeys(("norm", "weight", "null_at_mm", "null_radii_mm"))
        return replace(deck, scheme=scheme, **nothing)
    # radii of one's own are nulls on true angles as they are: nothing to make exact
    plain: dict[str, Any] = dict.fromkeys(EXACT_ONLY.values())
    return replace(deck, scheme=scheme, exact=False, **plain)


def _now(
    deck: Deck, like: Alignment, overhang_mm: float | None, offset_deg: float | None
) -> Alignment:
    """The deck of an alignment as it is set up now, of which both figures must be known.

    Raises `InputError` when one is missing, or when the stylus cannot reach the record like this.
    """
    if overhang_mm is None or offset_deg is None:
        missing, given = "now-overhang", "now-offset"
        if overhang_mm is not None:
            missing, given = given, missing
        remedy = f"add `{missing}`, or leave `{given}` out"
        raise InputError(missing, f"{given} alone", "both or neither", remedy)
    d = like.arm.pivot_to_spindle_mm
    if deck.pivot_to_spindle_mm is None:
        d = like.arm.effective_length_mm - overhang_mm
    now = Arm(
        pivot_to_spindle_mm=d,
        effective_length_mm=d + overhang_mm,
        offset_angle_rad=math.radians(offset_deg),
    )
    inner = like.played.inner_radius_mm
    if now.reach_mm[0] >= inner:
        raise InputError(
            "now-overhang",
            f"{overhang_mm:g} mm",
            f"less than {inner:g} mm either way, or the stylus does not reach the last groove",
            "give how far the stylus passes the spindle's centre, negative when it falls short",
        )
    return replace(like, arm=now, scheme=NOW, held=None, terms=None)


def every_millimetre(side: Record) -> Floats:
    """Both edges of a recorded area and the whole millimetres between [mm]."""
    inner, outer = side.inner_radius_mm, side.outer_radius_mm
    whole = np.arange(math.floor(inner) + 1, math.ceil(outer))
    return np.concatenate([[inner], whole, [outer]])


def harmonic_curve(alignment: Alignment, side: Record, radius_mm: Floats) -> Floats:
    """Second harmonic of an alignment on a record at radii [mm], as replay leaves it [%]."""
    error = alignment.arm.tracking_error(radius_mm)
    ratio = second_harmonic(error, radius_mm, side.rpm, alignment.peak_velocity_cm_s)
    curve: Floats = 100 * alignment.equalisation.factor() * ratio
    return curve
