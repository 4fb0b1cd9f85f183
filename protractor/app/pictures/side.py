"""Steps that are seen from the side, or on the table: guard, bars, force, scissors, lamp, scale."""

from __future__ import annotations

import math
from collections.abc import Iterator

from protractor.app.pictures.deck_views import (
    PLATTER_MM,
    SPINDLE_MM,
    DeckView,
    cartridge_side,
    rest_side,
)
from protractor.app.pictures.picture import (
    BODY,
    FINE,
    HEAVY,
    HIDDEN,
    PLAIN,
    SEEN,
    Disc,
    Mark,
    Path,
    Picture,
    View,
    Word,
    arrow,
    box,
    turning,
)
from protractor.drawing.shapes import Point, polar
from protractor.sheets import signs
from protractor.sheets.piece import FLAP_MM, spindle_marks
from protractor.sheets.pointer import OUTLINE, WINDOW


def guard(deck: DeckView) -> Picture:
    """The guard goes on, the plug comes out."""
    picture = Picture(
        "From the side: the arm lies in its rest. A guard slides onto the cartridge from the front "
        "and covers the tip. Below, the mains plug is drawn out of its socket."
    )
    view = View(scale=1.45, place=(60.0, 54.0))
    picture.add(cartridge_side(view, guard=22.0), rest_side(view))
    picture.add(arrow((17.0, 68.0), (41.0, 68.0)), Word("guard", (29.0, 82.0)))
    plug = View(scale=6.0, place=(120.0, 114.0))
    picture.add(plug.shapes(signs.plug((0.0, 0.0)), PLAIN))
    picture.add(Path(((20.0, 134.0), (60.0, 130.0), (84.0, 114.0), (102.0, 114.0)), PLAIN))
    picture.add(arrow((128.0, 137.0), (96.0, 137.0)), Word("plug out", (166.0, 117.0)))
    return picture


def printed(deck: DeckView) -> Picture:
    """The sheet's bars are measured."""
    picture = Picture(
        "The printed sheet with its tool and two bars along its edges. Below, one bar close by: a "
        "ruler measures from the centre of one end mark to the centre of the other."
    )
    picture.add(Path(tuple(box((30.0, 5.0), 140.0, 92.0)), BODY, closed=True))
    picture.add(deck.sheet_tool(View(scale=min(0.27, 84.0 / deck.pivot[0]), place=(80.0, 36.0))))
    picture.add(_bar((48.0, 89.0), (162.0, 89.0), 3.0), _bar((38.0, 82.0), (38.0, 12.0), 3.0))
    picture.add(_bar((24.0, 124.0), (176.0, 124.0), 6.0))
    picture.add(Path(tuple(box((16.0, 131.0), 168.0, 14.0)), FINE, closed=True))
    for tick in range(39):
        x = 24.0 + 4.0 * tick
        picture.add(Path(((x, 131.0), (x, 131.0 + (5.0 if tick % 5 == 0 else 2.5))), FINE))
    picture.add(arrow((56.0, 110.0), (25.0, 110.0)), arrow((144.0, 110.0), (175.0, 110.0)))
    picture.add(Word("centre to centre", (100.0, 113.0)))
    return picture


def _bar(start: Point, end: Point, half: float) -> Iterator[Mark]:
    """A bar to measure, with its end marks."""
    across = math.atan2(end[1] - start[1], end[0] - start[0]) + math.pi / 2
    yield Path((start, end), PLAIN)
    for point in (start, end):
        yield Path((polar(point, half, across), polar(point, -half, across)), HEAVY)


def force(deck: DeckView) -> Picture:
    """The arm floats level; force roughly, anti-skating zero, screws snug."""
    picture = Picture(
        "From the side: the arm is level over the platter, the guard on. The counterweight behind "
        "the pivot is turned to set the force; the anti-skating is at zero; the cartridge's screws "
        "are turned until just snug."
    )
    length = deck.alignment.arm.effective_length_mm
    view = View(scale=min(0.62, 168.0 / (length + 74.0)), place=(22.0, 82.0))

    def at(x: float, y: float) -> Point:
        return view((x, y))

    platter = [(-30.0, -14.0), (120.0, -14.0), (120.0, -30.0), (-30.0, -30.0)]
    picture.add(view.path(platter, BODY, closed=True))
    picture.add(view.path(((-34.0, -56.0), (length + 75.0, -56.0)), HEAVY))
    pillar = [(length - 12.0, -56.0), (length - 12.0, 30.0), (length + 12.0, 30.0)]
    picture.add(view.path([*pillar, (length + 12.0, -56.0)], BODY))
    tube = [(42.0, 16.5), (length + 40.0, 16.5), (length + 40.0, 23.5), (42.0, 23.5)]
    picture.add(cartridge_side(view, guard=0.0, tube_mm=0.0), view.path(tube, BODY, closed=True))
    weight = [(length + 34.0, 3.0), (length + 66.0, 3.0)]
    weight += [(length + 66.0, 37.0), (length + 34.0, 37.0)]
    picture.add(view.path(weight, BODY, closed=True), view.disc((length, 20.0), 5.0, HEAVY))
    level = at(0.0, 36.0)[1]
    picture.add(Path(((at(48.0, 0.0)[0], level), (at(length - 20.0, 0.0)[0], level)), HIDDEN))
    picture.add(Word("level", (at(length / 2 + 20.0, 0.0)[0], level - 4.0)))
    turn = at(length + 50.0, 20.0)
    picture.add(turning(turn, 15.0, 200.0, 335.0), Word("force", (turn[0], turn[1] - 24.0)))
    knob = at(length, -22.0)
    picture.add(Disc(knob, 5.0, BODY), Path((knob, (knob[0], knob[1] - 5.0)), HEAVY))
    picture.add(Word("anti-skating 0", (knob[0] + 16.0, view((0.0, -56.0))[1] + 13.0), "end"))
    screw = at(9.5, 24.0)
    picture.add(turning((screw[0], screw[1] - 4.0), 9.0, 170.0, 370.0))
    picture.add(Word("snug", (screw[0], screw[1] - 20.0)))
    return picture


def cut(deck: DeckView) -> Picture:
    """Tool and pointer are cut out, the slits too; the tool goes over the spindle."""
    picture = Picture(
        "The tool is cut out along its line, and the pointer with its window. Close by, eight "
        "slits in the hole for the spindle. From the side, the tool is pressed down over the "
        "spindle."
    )
    view = View(scale=min(0.36, 70.0 / (deck.pivot[0] - 25.0)), place=(50.0, 18.0))
    picture.add(deck.sheet_tool(view))
    edge = view((-80.0, -56.0))
    mark = View(scale=3.0, place=(max(11.0, edge[0] - 5.0), edge[1]))
    picture.add(mark.shapes(signs.scissors((0.0, 0.0)), PLAIN))
    picture.add(_pointer_flat(View(scale=0.75, place=(178.0, 22.0))))
    hub = View(scale=2.9, place=(154.0, 92.0))
    picture.add(hub.disc((0.0, 0.0), 13.0, BODY), hub.shapes(spindle_marks((0.0, 0.0)), FINE))
    for eighth in range(8):
        angle = math.radians(22.5 + 45 * eighth)
        ends = polar((0.0, 0.0), FLAP_MM, angle), polar((0.0, 0.0), SPINDLE_MM, angle)
        picture.add(hub.path(ends, HEAVY))
    picture.add(Word("eight slits", (154.0, 143.0)))
    picture.add(Path(((24.0, 142.0), (104.0, 142.0)), HEAVY))
    picture.add(Path(((61.0, 142.0), (61.0, 116.0), (67.0, 116.0), (67.0, 142.0)), BODY))
    for side in (-1.0, 1.0):
        picture.add(Path(((64.0 + side * 38.0, 126.0), (64.0 + side * 3.0, 126.0)), PLAIN))
        picture.add(arrow((64.0 + side * 24.0, 118.0), (64.0 + side * 24.0, 138.0)))
    return picture


def _pointer_flat(view: View) -> list[Mark]:
    """The pointer as it is cut, its stem to the left."""

    def at(corners: tuple[Point, ...]) -> list[Point]:
        return [(-x, y) for x, y in corners]

    return [
        view.path(at(OUTLINE), PLAIN, closed=True),
        view.path(at(WINDOW), PLAIN, closed=True),
        *(view.path(((0.0, side * 10.0), (0.0, side * 4.6)), HIDDEN) for side in (1.0, -1.0)),
    ]


def wedge(deck: DeckView) -> Picture:
    """The platter is wedged, a lamp stands low in front."""
    picture = Picture(
        "From the side: folded paper is pushed under the platter's rim so that it cannot turn. "
        "A lamp stands low in front of the deck and shines under the arm, clear of paper and lid."
    )
    view = View(scale=0.4, place=(104.0, 74.0))
    platter = [(-PLATTER_MM, 0.0), (PLATTER_MM, 0.0), (PLATTER_MM, -20.0), (-PLATTER_MM, -20.0)]
    picture.add(view.path(platter, BODY, closed=True))
    picture.add(view.path(((-170.0, -56.0), (185.0, -56.0)), HEAVY))
    hub = [(-24.0, -20.0), (-24.0, -56.0), (24.0, -56.0), (24.0, -20.0)]
    picture.add(view.path(hub, FINE), view.path(((0.0, 0.0), (0.0, 12.0)), HEAVY))
    right, inside = PLATTER_MM + 8.0, PLATTER_MM - 40.0
    folds = [(right, -22.0), (inside, -22.0), (right, -33.0), (inside, -38.0), (right, -44.0)]
    picture.add(view.path([*folds, (inside, -54.0)], PLAIN))
    end = view((right + 4.0, -36.0))
    picture.add(arrow((end[0] + 24.0, end[1]), end))
    picture.add(Word("folded paper", (196.0, 116.0), "end"))
    lamp = view((-PLATTER_MM - 62.0, 4.0))
    foot = view((0.0, -56.0))[1]
    picture.add(Path((lamp, (lamp[0], foot)), PLAIN))
    picture.add(Path(((lamp[0] - 8.0, foot), (lamp[0] + 8.0, foot)), HEAVY), Disc(lamp, 6.0, BODY))
    tip = view((-58.0, 8.0))
    for rise in (-5.0, 0.0, 5.0):
        picture.add(Path(((lamp[0] + 9.0, lamp[1] + rise / 2), (tip[0], tip[1] + rise / 2)), SEEN))
    picture.add(Word("lamp", (lamp[0] - 7.0, lamp[1] - 12.0), "start"))
    arm = View(scale=0.4, place=view((-50.0, 16.0)))
    picture.add(cartridge_side(arm, guard=0.0, tube_mm=150.0))
    return picture


def finish(deck: DeckView) -> Picture:
    """The tool comes off; a scale confirms the force."""
    picture = Picture(
        "The tool is taken off the platter. Below, from the side: the tip stands on a scale for "
        "tracking force, at the height of a record."
    )
    view = View(scale=0.24, place=(40.0, 38.0))
    picture.add(deck.platter(view), deck.sheet_tool(View(scale=0.24, place=(62.0, 34.0))))
    picture.add(arrow((124.0, 46.0), (160.0, 24.0)), Word("tool off", (164.0, 48.0)))
    side = View(scale=1.0, place=(74.0, 128.0))
    picture.add(Path(((24.0, 141.0), (196.0, 141.0)), HEAVY))
    scale = [(-18.0, -12.0), (44.0, -12.0), (44.0, -5.0), (12.0, -5.0), (12.0, 0.0), (-12.0, 0.0)]
    picture.add(side.path([*scale, (-12.0, -5.0), (-18.0, -5.0)], BODY, closed=True))
    picture.add(cartridge_side(side, tube_mm=78.0), Word("scale", (50.0, 136.0), "end"))
    return picture
