"""The words of the pivot gauge: steps in the order of doing, and what spoils a reading."""

from __future__ import annotations

from protractor.sheets.marks import Paragraph

HEIGHT_TEXT = (
    "The pivot stands above the sheet. Looked at from above with the eye 5° off plumb, a pivot "
    "30 mm up reads 2.6 mm wrong. The flaps carry the line up to the pivot's own height: look "
    "across, level with the pivot, never down."
)


def steps(x_bar_mm: float, y_bar_mm: float, start_mm: float) -> list[Paragraph]:
    """The steps for bars of the given lengths [mm] and a scale that starts at `start_mm`."""
    texts = [
        f"Print at 100 % (actual size), borderless off; let the sheet settle for an hour. Measure "
        f"between the centres of the end marks: X bar {x_bar_mm:.1f} mm, Y bar {y_bar_mm:.1f} mm. "
        "If one is off by more than 0.2 mm, mend the print settings and print again.",
        "Tape the sheet to thin card or spray it on; wet glue stretches paper. Cut out the window, "
        "the outline and the slider. Fold the slider's flaps up along the line 0.",
        "Switch the deck off and pull its plug. Stylus guard on, arm locked in its rest.",
        *(
            [
                "Pierce the cross, cut the eight slits and press the sheet over the spindle "
                "without play. Let the pivot, in a housing up to 50 mm wide, stand in the window "
                "midway between the scales: 2 mm beside costs 0.02 mm. Support the free end level "
                "with the platter.",
            ]
            if start_mm == 0
            else [
                f"Put the first sheet, which starts at the spindle, in place. Lay this sheet's "
                f"tongue on it, edges along its two scale lines, with the line {start_mm:g} near "
                f"its {start_mm:g}, and tape it down. The joint need not be exact: read where the "
                "tongue's verniers stand, left and right, and take the mean as J. Left and right "
                "may differ by 0.5 mm, which costs 0.01 mm. Cut the first sheet off where the "
                "pivot needs room.",
            ]
        ),
        "Lay the slider over the window, its outer edges along the scale lines. Look from the "
        "side, level with the pivot: move the slider until the near flap hides the far flap and "
        "both cut the pivot's centre.",
        "Read left and right: whole millimetres are the last mark below the line 0; tenths are the "
        "number of the vernier line that meets a mark. The two must agree within 0.3 mm; take the "
        "mean." + ("" if start_mm == 0 else f" Add J and take off {start_mm:g}."),
        "Do it three times from the start; the mean is pivot to spindle.",
    ]
    first, *rest = (
        Paragraph(text=text, mark=f"{number}") for number, text in enumerate(texts, start=1)
    )
    return [
        Paragraph(text=first.text, mark=first.mark, heading="In this order"),
        *rest,
        Paragraph(
            heading="No mark on the pivot?",
            text="Read the near edge and the far edge of its round housing with the flaps; the "
            "centre is half-way. Or put a paper dot on the cap and swing the arm: the point of the "
            "dot that stays is the centre.",
        ),
        Paragraph(heading="Why flaps?", text=HEIGHT_TEXT),
        Paragraph(
            heading="Take care",
            text="Cut with a sharp knife away from your fingers, off the deck. Never force or lift "
            "the arm by its tube; where the maker prints a distance, that counts.",
        ),
    ]
