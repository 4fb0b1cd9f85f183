"""The words of the alignment sheet: steps in the order of doing, and cautions."""

from __future__ import annotations

from protractor.sheets.marks import Paragraph

CARD_TEXT = (
    "Scale check without a ruler: lay a bank card here. It must cover this outline exactly, in "
    "both directions."
)


def steps(
    x_bar_mm: float, y_bar_mm: float, card: bool, nulls: int = 2, askew: bool = False
) -> list[Paragraph]:
    """The steps for bars of the given lengths [mm]; `card` when the outline is on the sheet.

    A straight arm has a single null point: `nulls` is 1. `askew` when the grids are turned for a
    stylus that stands askew.
    """
    proof = f"X bar {x_bar_mm:.1f} mm, Y bar {y_bar_mm:.1f} mm"
    texts = [
        f"Print at 100 % (actual size), borderless off. Measure between the centres of the end "
        f"marks: {proof}. If one is off by more than 0.2 mm, mend the print settings and print "
        "again." + (" The card outline is a first check." if card else ""),
        "Switch the deck off and pull its plug. Put the stylus guard on.",
        "Pierce the cross with a needle. Cut the eight slits from it to the circle, on a cutting "
        "mat. Press the sheet over the spindle: the flaps stand up and hold it without play. The "
        "rings must lie evenly round it.",
        "Lay the sheet flat on the mat, print up. Turn platter and sheet together until the sight "
        "line points at the centre of the arm's pivot. Trim what hangs over and touches the arm.",
        "Loosen the cartridge's screws until it just slides. Take the guard off.",
        "With the arm's lift, set the tip down at the outer end of the arc. Turn the platter until "
        "the tip is on the line, and hold it still. Lift, swing in as far as the arm goes freely, "
        "set down again. Tip beyond the arc, away from the pivot: slide the cartridge back. Short "
        "of it: slide it forward. Repeat until the tip meets the arc at both ends.",
        f"Set the tip on the {'inner null point' if nulls == 2 else 'null point'}. Turn the "
        "cartridge in the headshell until its sides run along the grid and its front lies square "
        "to it."
        + (" The grid is turned for your askew stylus, not along the groove." if askew else ""),
        "Read what is left on the fan: a thin pencil lead stuck along the cartridge shows its "
        "axis. Figures are degrees; on the + side the cartridge stands clockwise, seen from above.",
        "Look at the outer null point: it must read the same, zero. If it does not, repeat 6 to "
        "8; length and angle change together."
        if nulls == 2
        else "Look along the arc again: turning the cartridge may have moved the tip. If it has, "
        "repeat 6 to 8; length and angle change together.",
        f"Tighten the screws a little in turn and check {'both points' if nulls == 2 else 'both'} "
        "again. Then set tracking force and anti-skating as the cartridge's maker says.",
    ]
    first, *rest = (
        Paragraph(text=text, mark=f"{number}") for number, text in enumerate(texts, start=1)
    )
    return [
        Paragraph(text=first.text, mark=first.mark, heading="In this order"),
        *rest,
        Paragraph(
            heading="Take care",
            text="A bare stylus breaks at a touch: keep the guard on until the tip is needed. "
            "Never force the arm; support it whenever you turn a screw.",
        ),
        Paragraph(
            text="Cut with a sharp knife, away from your fingers, with the sheet off the deck."
        ),
        Paragraph(
            heading="Makers first",
            text="What the makers of deck, arm and cartridge say comes before this sheet. It "
            "comes without warranty.",
        ),
    ]
