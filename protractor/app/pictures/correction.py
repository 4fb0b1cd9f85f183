"""What to move after a reading, from above: the headshell as it is, and an arrow for each move.

The pivot lies to the right, level with the tip, as on the sheets. The slots lie at their angle to
the line from tip to pivot; the cartridge lies in them as it was read. What moves ends at the dashed
outline, true to scale; the arrows are longer than the moves, and say how far.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from protractor.alignments.alignment import Alignment
from protractor.app.pictures.deck_views import CARTRIDGE, HEADSHELL, SCREWS, TIP
from protractor.app.pictures.picture import (
    BODY,
    FINE,
    PLAIN,
    SEEN,
    Disc,
    Look,
    Mark,
    Picture,
    View,
    Word,
    arrow,
    turning,
)
from protractor.drawing.shapes import Anchor, Point, bearing, polar
from protractor.setup.advice import LEAST_SLIDE_MM, LEAST_TURN_DEG, moves
from protractor.setup.correction import Correction
from protractor.setup.inputs import Seen

SCALE = 1.9

TIP_X, MIDDLE_Y = 68.0, 78.0

REAR_MM = 42.0
"""From the tip to the headshell's rear end."""

ARROW_MM = 24.0
"""Length of the arrow that shows a slide."""

BESIDE_MM = 15.5
"""From the middle of the headshell to that arrow."""

SPREAD_DEG = 24.0
"""Half of what the arrow of a turn spans."""

ROUND_MM = 15.0
"""From the headshell's front to the arrow of a turn, about the middle of the turn."""


def correction(found: Correction, target: Alignment, seen: Seen) -> Picture:
    """The headshell from above with what to move, for a correction that asks for a move."""
    slot = target.arm.offset_angle_rad
    if seen.slot_angle_deg is not None:
        slot = math.radians(seen.slot_angle_deg)
    by_screws = seen.turn_about == "screws"
    return drawn(
        length_mm=found.now.effective_length_mm,
        offset_rad=found.now.offset_angle_rad,
        slot_rad=slot,
        slide_mm=found.slide_mm,
        turn_rad=math.radians(found.turn_deg),
        turning_point_mm=seen.stylus_to_screws_mm if by_screws else 0.0,
        words=[move.sentence for move in moves(found, seen.turn_about)[:2]],
    )


def drawn(
    *,
    length_mm: float,
    offset_rad: float,
    slot_rad: float,
    slide_mm: float,
    turn_rad: float,
    turning_point_mm: float,
    words: Sequence[str],
) -> Picture:
    """The picture of a slide and a turn.

    Args:
        length_mm: from pivot to tip as it is [mm].
        offset_rad: the cartridge's offset angle as it is [rad].
        slot_rad: of the slots to the line from tip to pivot [rad].
        slide_mm: away from the pivot [mm].
        turn_rad: clockwise [rad].
        turning_point_mm: what stays in the turn, behind the tip along the cartridge [mm].
        words: the moves in sentences, without their ends.
    """
    level = math.sin(slot_rad) * REAR_MM * SCALE / 2
    view = View(scale=SCALE, place=(TIP_X, MIDDLE_Y - level))
    tip, pivot = (0.0, 0.0), (length_mm, 0.0)
    along, ahead = math.pi - slot_rad, math.pi - offset_rad
    picture = Picture(
        "From above, the pivot to the right: the headshell with the cartridge as it is; dashed, as "
        f"it is to be. {'. '.join(words)}."
    )
    picture.add(_tube(view, polar(tip, -REAR_MM, along), pivot))
    picture.add(view.path(_outline(tip, along, HEADSHELL), BODY, closed=True))
    for _, side in SCREWS:
        slot = [(-3.0, side - 1.5), (-3.0, side + 1.5), (-16.0, side + 1.5), (-16.0, side - 1.5)]
        picture.add(view.path(_outline(tip, along, slot), FINE, closed=True))
    picture.add(view.path(_outline(tip, ahead, CARTRIDGE), PLAIN, closed=True))
    picture.add(view.disc(point, 2.4, BODY) for point in _outline(tip, ahead, SCREWS))
    slid = polar(polar(tip, -turning_point_mm, ahead), slide_mm, along)
    turned = ahead - turn_rad
    picture.add(
        view.path(
            _outline(polar(slid, turning_point_mm, turned), turned, CARTRIDGE), SEEN, closed=True
        )
    )
    picture.add(view.path(_outline(tip, ahead, ((-9.0, 0.0), (0.0, 0.0))), FINE))
    picture.add(view.disc(tip, 1.0, Look(solid=True)))
    number = 0
    if abs(slide_mm) >= LEAST_SLIDE_MM:
        number += 1
        picture.add(_slide(view, along, slide_mm, f"{number}: {abs(slide_mm):.1f} mm"))
    if abs(turn_rad) >= math.radians(LEAST_TURN_DEG):
        number += 1
        words_of_turn = f"{number}: {abs(math.degrees(turn_rad)):.1f}°"
        picture.add(
            _turn(view, polar(tip, -turning_point_mm, ahead), ahead, turn_rad, words_of_turn)
        )
    x, y = (6.0, view(tip)[1] + 40.0) if slot_rad >= 0 else (148.0, view(tip)[1] + 20.0)
    picture.add(Word("to the pivot", (x, y), "start"))
    picture.add(arrow((x, y + 6.0), (x + 46.0, y + 6.0), FINE, 4.0))
    return picture


def _outline(tip: Point, ahead_rad: float, points: Sequence[Point]) -> list[Point]:
    """Points given ahead of a tip and to the left of the way ahead, in place [mm]."""
    left = ahead_rad + math.pi / 2
    return [polar(polar(tip, ahead, ahead_rad), aside, left) for ahead, aside in points]


def _tube(view: View, rear: Point, pivot: Point) -> Mark:
    """The beginning of the arm's tube behind the headshell, toward the pivot."""
    along = bearing(rear, pivot)
    end = polar(rear, 24.0, along)
    across = along + math.pi / 2
    near = [polar(rear, side * 4.5, across) for side in (1, -1)]
    far = [polar(end, side * 4.5, across) for side in (-1, 1)]
    return view.path([*near, *far], BODY, closed=True)


def _slide(view: View, along: float, slide_mm: float, words: str) -> list[Mark]:
    """The arrow of a slide, along the slots, on the right side of the headshell."""
    ends = [polar((0.0, 0.0), at, along) for at in (-16.0 - ARROW_MM / 2, -16.0 + ARROW_MM / 2)]
    aside = along - math.pi / 2
    start, end = (view(polar(point, BESIDE_MM, aside)) for point in ends)
    middle = view(polar(polar((0.0, 0.0), -16.0, along), BESIDE_MM + 4.0, aside))
    way_x = math.cos(aside)
    anchor: Anchor = "start" if way_x > 0.1 else "end" if way_x < -0.1 else "middle"
    word = Word(words, middle, anchor, True)
    return [*(arrow(start, end) if slide_mm > 0 else arrow(end, start)), word]


def _turn(view: View, centre: Point, ahead: float, turn_rad: float, words: str) -> list[Mark]:
    """The arrow of a turn round its middle, ahead of the headshell, and a dot on what stays."""
    middle = view(centre)
    radius = (math.dist(centre, (0.0, 0.0)) + ROUND_MM) * view.scale
    # the picture counts angles clockwise from the right
    front = -math.degrees(ahead)
    way = math.copysign(SPREAD_DEG, turn_rad)
    out = polar(middle, radius + 6.0, math.radians(front))
    word = Word(words, (out[0], out[1] + 2.8), "end", True)
    return [*turning(middle, radius, front - way, front + way), Disc(middle, 3.2, TIP), word]
