"""Steps seen from above, close by: overhang, targets, pointer, and what hands do at the headshell.

Through headshell and body, where the tip is below them. The front is to the left.
"""

from __future__ import annotations

import math

from protractor.app.pictures.deck_views import (
    SCREWS,
    TIP,
    DeckView,
    arm_above,
    cantilever,
    cartridge_above,
    cartridge_side,
    rest_above,
)
from protractor.app.pictures.picture import (
    FINE,
    HEAVY,
    MOVES,
    PLAIN,
    Look,
    Picture,
    View,
    Word,
    arrow,
    eye,
    turning,
)
from protractor.drawing.shapes import Line, Point, Shape, bearing, polar
from protractor.sheets.pointer import BASE_MM, OUTLINE, STEM_MM
from protractor.sheets.target import FOOT_MM, LONG_REAR_MM, Target

READ_DEG = 2.0
"""What the pointer shows: a cartridge that stands clockwise."""

LEFT = math.pi

FRONT_MM = 5.0
"""From the tip to the body's flat front."""


def overhang(deck: DeckView) -> Picture:
    """The tip among the marks beside the arc."""
    picture = Picture(
        "From above, close by: the tip, lowered with the lift, is among marks half a millimetre "
        "apart on both sides of the arc; here it is two marks beyond the arc, on the side of +. "
        "From the side: the tip goes down, an eye looks, the tip goes up."
    )
    ladder = next(deck.tool.ladders(), [])
    radii = deck.tool.null_radii
    radius = (radii[0] + radii[-1]) / 2
    on_arc, length = deck.tip(radius), deck.alignment.arm.effective_length_mm
    along, ahead = bearing(deck.pivot, on_arc), deck.forward(radius)
    view = View(scale=8.5, place=(62.0, 74.0), of=on_arc, turn_rad=LEFT - along)
    arc = [polar(deck.pivot, length, along + step / length) for step in range(-7, 8)]
    picture.add(view.path(arc, HEAVY))
    picture.add(view.shapes((each for each in ladder if not isinstance(each, Line)), FINE))
    tip = polar(deck.pivot, length + 1.0, along)
    picture.add(view.path((polar(tip, -4.2, ahead), tip), HEAVY), view.disc(tip, 0.3, TIP))
    for text, off in (("+", 4.2), ("–", -5.2)):
        picture.add(Word(text, _lower(view(polar(on_arc, off, along)))))
    picture.add(Word("arc", (78.0, 20.0)))
    side = View(scale=0.7, place=(146.0, 128.0))
    picture.add(side.path(((-34.0, 0.0), (72.0, 0.0)), PLAIN))
    picture.add(cartridge_side(side, height=9.0, tube_mm=34.0))
    picture.add(arrow((184.0, 80.0), (184.0, 100.0)), arrow((191.0, 100.0), (191.0, 80.0)))
    picture.add(Word("lift", (187.0, 72.0)), eye((112.0, 116.0), side((-3.0, 7.0))))
    return picture


def _lower(point: Point) -> Point:
    """A baseline for a letter whose middle lies in a point."""
    return point[0], point[1] + 2.8


def look(deck: DeckView) -> Picture:
    """The tip in the gap, the sides along the rails."""
    picture = Picture(
        "From above, close by, through headshell and body: the tip is in the gap of the target, "
        "and the body's sides run along the rails. An eye looks from straight ahead."
    )
    target = deck.tool.piece.targets[0]
    view = View(scale=2.9, place=(92.0, 75.0), of=target.null)
    picture.add(view.shapes((each for each in target.shapes() if _near(each, target)), FINE))
    picture.add(cartridge_above(view, target.null, target.front_rad, shell=False))
    picture.add(cantilever(view, target.null, target.front_rad, HEAVY))
    picture.add(eye(view(target.at(28.0, 0.0)), view(target.at(1.5, 0.0))))
    return picture


def _near(shape: Shape, target: Target) -> bool:
    """Whether a straight stroke belongs to a target's rails and lines, not to its fan."""
    return isinstance(shape, Line) and all(
        math.dist(target.null, point) <= LONG_REAR_MM + 4.0 for point in (shape.start, shape.end)
    )


def pointer(deck: DeckView) -> Picture:
    """The pointer's bar against the front, its edge over the dot."""
    picture = Picture(
        "From above, close by: the pointer is slid in from the front. Its bar is against the "
        "cartridge's flat front, its straight edge on the dot. The edge shows +2 on the fan: the "
        "cartridge stands clockwise."
    )
    target = deck.tool.piece.targets[0]
    view = View(scale=1.8, place=(150.0, 75.0), of=target.null)
    ahead = target.front_rad - math.radians(READ_DEG)
    across = ahead - math.pi / 2
    fold = polar(target.null, FRONT_MM, ahead)
    off = (target.foot[0] - fold[0]) * math.cos(across)
    off += (target.foot[1] - fold[1]) * math.sin(across)
    origin = polar(fold, off, across)

    def at(point: Point) -> Point:
        return polar(polar(origin, point[0], ahead), point[1], across)

    picture.add(view.shapes(target.shapes(), FINE))
    picture.add(cartridge_above(view, target.null, ahead, shell=False))
    outline = [(0.0, 10.0), (0.0, -10.0), *(each for each in OUTLINE if each[0] > 0.0)]
    picture.add(view.path(map(at, outline), PLAIN, closed=True))
    picture.add(view.path((at((0.0, 10.0)), at((0.0, -10.0))), HEAVY))
    picture.add(view.path((at((BASE_MM, 0.0)), at((STEM_MM, 0.0))), MOVES))
    picture.add(cantilever(view, target.null, ahead, PLAIN))
    picture.add(view.disc(target.foot, 0.9, Look(solid=True)))
    aside = target.fan * math.tan(math.radians(4.0)) + 6.0
    for text, lateral in (("+", -aside), ("–", aside)):
        picture.add(Word(text, _lower(view(target.at(FOOT_MM + target.fan - 4.0, lateral)))))
    picture.add(Word("0", _lower(view(target.at(FOOT_MM + target.fan + 8.0, 0.0)))))
    picture.add(arrow(view(target.at(66.0, -22.0)), view(target.at(40.0, -22.0))))
    dot = view(target.at(FOOT_MM, -9.0))
    picture.add(Word("dot", (dot[0] - 4.0, dot[1])))
    return picture


def _headshell(picture: Picture) -> tuple[View, Point]:
    """The headshell of a parked arm, its guard on; the view, and the middle between the screws."""
    view, tip = View(scale=2.3, place=(62.0, 76.0)), (0.0, 0.0)
    picture.add(arm_above(view, tip, LEFT), rest_above(view))
    picture.add(cartridge_above(view, tip, LEFT, guard=True))
    picture.add(Word("rest", (176.0, 112.0)), Word("guard", (14.0, 60.0)))
    return view, view(polar(tip, SCREWS[0][0], LEFT))


def slide(deck: DeckView) -> Picture:
    """The cartridge slides along its slots, by the overhang's marks."""
    return _sliding("too long", "too short")


def slide_by_fan(deck: DeckView) -> Picture:
    """The cartridge slides along its slots, by the outer fan."""
    return _sliding("read +", "read –")


def _sliding(back: str, front: str) -> Picture:
    picture = Picture(
        "From above: the arm in its rest, the guard on the stylus. The screws are loosened and the "
        f"cartridge slides along the slots: {back}, to the right, toward the pivot; {front}, "
        "to the left, forward."
    )
    _headshell(picture)
    picture.add(arrow((70.0, 36.0), (112.0, 36.0)), Word(back, (90.0, 28.0)))
    picture.add(arrow((84.0, 116.0), (42.0, 116.0)), Word(front, (64.0, 132.0)))
    picture.add(Word("to the pivot", (196.0, 34.0), "end"))
    picture.add(arrow((156.0, 42.0), (190.0, 42.0), FINE, 4.0))
    return picture


def turn(deck: DeckView) -> Picture:
    """The cartridge turns back by what was read."""
    picture = Picture(
        "From above: the arm in its rest, the guard on the stylus. After a reading of + the "
        "cartridge is turned counter-clockwise, after – clockwise, by as much as was read."
    )
    _, centre = _headshell(picture)
    picture.add(turning(centre, 60.0, 228.0, 204.0), Word("read +", (38.0, 20.0)))
    picture.add(turning(centre, 60.0, 132.0, 156.0), Word("read –", (38.0, 142.0)))
    return picture


def tighten(deck: DeckView) -> Picture:
    """The screws are tightened in turn."""
    picture = Picture(
        "From above: the arm in its rest, the guard on the stylus. The two screws are tightened "
        "clockwise, in turn, a little at a time."
    )
    _, (x, middle) = _headshell(picture)
    for number, side in (("1", -1.0), ("2", 1.0)):
        y = middle + side * SCREWS[0][1] * 2.3
        start = 200.0 if side < 0 else 20.0
        picture.add(turning((x, y), 12.0, start, start + 140.0))
        picture.add(Word(number, (x, y + side * 26.0 + 2.8)))
    picture.add(Word("1, 2, 1, 2 …", (136.0, 134.0)))
    return picture
