"""What is asked of a deck's set-up: what to move, and what statements about the arm come to."""

from __future__ import annotations

import math
from collections.abc import Mapping

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.alignments.sheet_search import check_on_target
from protractor.arms.inputs import VELOCITY, VELOCITY_IS
from protractor.errors import InputError
from protractor.inputs.quantities import near
from protractor.setup.bounds import bound_as_read
from protractor.setup.consistency import Statement
from protractor.setup.correction import Correction, Reading, correct_arm
from protractor.setup.inputs import Seen
from protractor.setup.reconcile import Reconciliation, reconcile_statements
from protractor.setup.statements import STATED, read_statement


def correct(deck: Deck, seen: Seen) -> Correction:
    """What to move on a deck, from what its sheet shows.

    Args:
        deck: the deck as the sheet was made for it, with its zenith and pivot height.
        seen: the readings, how sure they are, and what the headshell allows.

    Raises:
        InputError: as `align` does, for readings at radii that are no target of the deck's sheet,
            for too few readings or readings that no arm gives, and for a slide that the slots do
            not allow.

    >>> found = correct(Deck(pivot_to_spindle_mm=222.0), Seen(reading=("66.0:2.5", "120.9:1.5")))
    >>> round(found.slide_mm, 1), round(found.turn_deg, 1), found.verdict
    (2.5, -0.3, 'move')

    Source: `correct_arm`.
    """
    target = align(deck)
    bound = bound_as_read([degrees for _, degrees in seen.reading], seen.reading_bound_deg)
    readings = [
        Reading(radius_mm=radius, angle_deg=degrees, bound_deg=bound)
        for radius, degrees in seen.reading
    ]
    overhang = seen.overhang_mm
    if seen.overhang_mark_mm is not None:
        overhang = target.arm.overhang_mm + seen.overhang_mark_mm
    if not seen.anywhere:
        check_on_target([each.radius_mm for each in readings], deck, target)
    return correct_arm(
        readings,
        target.arm,
        overhang_mm=overhang,
        overhang_bound_mm=seen.overhang_bound_mm,
        pivot_to_spindle_bound_mm=seen.pivot_to_spindle_bound_mm,
        zenith_rad=deck.zenith_rad,
        slot_angle_rad=None if seen.slot_angle_deg is None else math.radians(seen.slot_angle_deg),
        turn_about=seen.turn_about,
        stylus_to_screws_mm=seen.stylus_to_screws_mm,
        slot_room_mm=seen.slot_room_mm,
        pivot_height_mm=deck.pivot_height_mm or 0.0,
        record=target.record,
        played=target.played.records,
        lift_mm=seen.record_above_sheet_mm if deck.pivot_height_mm else 0.0,
    )


def reconcile(statements: Mapping[str, object], deck: Deck | None = None) -> Reconciliation:
    """Whether statements about one arm agree, which is wrong, and the arm that fits the rest.

    Args:
        statements: what was stated by the names of `STATED` (hyphens or underscores): a number or a
            text as it was written, whose rounding counts (239 is 239 ± 0.5), a statement that was
            read, or a list of them when it was stated more than once; a pair for `null-radii`.
        deck: record, velocity and pivot height that the arm is judged by; the usual ones when None.

    Raises:
        InputError: for one statement alone, for what cannot be read, and for statements that no arm
            can fulfil even roughly.

    >>> found = reconcile({"pivot-to-spindle": "222.3±0.3", "effective-length": 239,
    ...                    "overhang": "15.0", "offset-angle": 23})
    >>> found.agrees, found.suspect, found.candidates
    (False, None, ('pivot-to-spindle', 'effective-length', 'overhang'))

    Source: `reconcile_statements`.
    """
    deck = deck or Deck()
    return reconcile_statements(
        [each for name, value in statements.items() for each in _read(name, value)],
        deck.side,
        pivot_height_mm=deck.pivot_height_mm or 0.0,
        velocity_cm_s=VELOCITY.or_default(deck.velocity_cm_s),
        velocity_is=VELOCITY_IS.or_default(deck.velocity_is),
    )


def _read(key: str, value: object) -> list[Statement]:
    """The statements of one name."""
    name = key.strip().lower().replace("_", "-").removesuffix("-mm").removesuffix("-deg")
    if name not in STATED:
        raise InputError(key, "a statement unknown here", ", ".join(STATED), near(name, STATED))
    if isinstance(value, Statement):
        return [value]
    if isinstance(value, (list, tuple)):
        return [each for one in value for each in _read(name, one)]
    text = value if isinstance(value, str) else STATED[name].plain(value)
    return [read_statement(name, text)]
