"""Steps that show the whole deck from above: sight line, arc, the way from target to target."""

from __future__ import annotations

from protractor.app.pictures.deck_views import PARKED_MM, PLATTER_MM, TIP, DeckView
from protractor.app.pictures.picture import HIDDEN, Mark, Picture, View, Word, arrow, eye, turning

OUTER_END_MM, FAR_IN_MM = 143.0, 35.0
"""Where the tip meets the arc, at its outer end and as far in as most arms go."""


def sight(deck: DeckView) -> Picture:
    """The sight line is turned to the pivot."""
    picture = Picture(
        "From above: the tool lies on the platter, the arm is parked. An eye at the left looks "
        "along the sight line to the pivot; platter and tool are turned until both are one."
    )
    view = deck.whole()
    picture.add(deck.platter(view), deck.sheet_tool(view), deck.arm(view, PARKED_MM))
    picture.add(_along_the_line(deck, view))
    centre, radius = view((0.0, 0.0)), (PLATTER_MM - 14.0) * view.scale
    picture.add(turning(centre, radius, 274.0, 304.0), turning(centre, radius, 266.0, 236.0))
    pivot = view(deck.pivot)
    picture.add(Word("pivot", (pivot[0] + 18.0, pivot[1] + 17.0)))
    return picture


def _along_the_line(deck: DeckView, view: View) -> list[Mark]:
    left = view((-PLATTER_MM, 0.0))
    return eye((left[0] + 12.0, left[1]), view(deck.pivot))


def arc(deck: DeckView) -> Picture:
    """The tip meets the arc at both ends."""
    picture = Picture(
        "From above: an eye checks the sight line once more. Then the tip is lowered twice, at "
        "the outer end of the arc and far in; it meets the arc at both."
    )
    view = deck.whole()
    inner = max(FAR_IN_MM, abs(deck.alignment.arm.overhang_mm) + 12.0)
    picture.add(deck.platter(view), deck.sheet_tool(view))
    picture.add(deck.arm(view, inner, HIDDEN), deck.arm(view, OUTER_END_MM))
    picture.add(_along_the_line(deck, view))
    for number, radius, beside in (("1", OUTER_END_MM, (8.0, 16.0)), ("2", inner, (-13.0, 3.0))):
        tip = view(deck.tip(radius))
        picture.add(view.disc(deck.tip(radius), 3.0, TIP))
        picture.add(Word(number, (tip[0] + beside[0], tip[1] + beside[1])))
    return picture


def outer(deck: DeckView) -> Picture:
    """From the inner target to the outer one."""
    picture = Picture(
        "From above: the arm goes from the inner target, dashed, to the outer one, tip up; there "
        "the tip is lowered and the fan is read the same way."
    )
    view = deck.whole()
    inner, out = deck.tool.null_radii
    picture.add(deck.platter(view), deck.sheet_tool(view), deck.arm(view, inner, HIDDEN))
    picture.add(deck.arm(view, out), view.disc(deck.tip(inner), 2.2, TIP))
    picture.add(arrow(view(deck.tip(inner + 6.0)), view(deck.tip(out - 12.0))))
    return picture


def inner(deck: DeckView) -> Picture:
    """The platter turns until the inner target of two is under the tip."""
    return _platter_turned(deck, 0, "inner")


def other(deck: DeckView) -> Picture:
    """The platter turns until the outer target of two is under the tip."""
    return _platter_turned(deck, 1, "outer")


def _platter_turned(deck: DeckView, number: int, name: str) -> Picture:
    picture = Picture(
        f"From above: the tip is up. The platter is turned until the {name} target lies under the "
        "tip, and is wedged again."
    )
    view = deck.whole()
    picture.add(deck.platter(view), deck.sheet_tool(view, number))
    picture.add(deck.arm(view, deck.tool.null_radii[number]))
    centre, radius = view((0.0, 0.0)), (PLATTER_MM - 14.0) * view.scale
    picture.add(turning(centre, radius, 274.0, 304.0), turning(centre, radius, 266.0, 236.0))
    return picture
