"""The alignment sheet: stylus arc, two null targets, overhang scale, proof of scale, steps."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.arms.arm import Arm
from protractor.drawing.extent import heights, outline
from protractor.drawing.shapes import Label, Page, Point, Shape
from protractor.drawing.type import width_mm, wrap
from protractor.errors import InputError
from protractor.printing.paper import Paper, larger
from protractor.sheets import frame, marks
from protractor.sheets.frame import Bars, Card, Paragraph, Region
from protractor.sheets.stylus_arc import StylusArc

SPINDLE_FROM_LEFT_MM = 28.0
"""Spindle from the clear area's left edge: room for the Y bar and for the arc's inner end."""

SCALE_ROOM_MM = 18.0
"""What the overhang scale and its name take beyond the overhang."""

TEXT_HEIGHT_MM = 60.0
"""What results and steps need above the drawing at the least."""

CLOSEST_NULLS_MM = 12.0
"""Null radii that lie closer leave no room for two targets."""

GUTTER_MM = 4.0
"""Between the two columns of text."""

LARGEST_RESULTS_PT = 9.0
NARROWEST_POCKET_MM = 26.0
"""A box of text between the fans is not narrower."""


def alignment_page(
    alignment: Alignment, paper: Paper, title: str = "", zenith_rad: float = 0.0, note: str = ""
) -> Page:
    """The one page that aligns a cartridge on this deck.

    Seen from above with the pivot at the top; the null points lie to the right of the spindle. A
    straight arm has one. The grids are turned for a stylus that stands `zenith_rad` clockwise of
    its cartridge. `note` stands under the title: what is said about a printer's correction.
    Raises `InputError` when the null radii leave no room for two targets, or when the arc does not
    fit on the paper.
    """
    check_targets(alignment.arm)
    name = title or "Alignment sheet"
    bars = Bars.along_edges(paper)
    arc = _lay_out(alignment, paper, bars, zenith_rad)
    working = arc.shapes()
    outlines = [outline(shape) for shape in working]
    _check_room(outlines, arc, paper)
    sight, pivot_shown = arc.sight_line(paper.top)
    words = _SheetText(arc=arc, paper=paper, bars=bars, outlines=outlines)
    text, card = words.shapes(name, note)
    return frame.page_on(
        paper,
        title=name,
        subject="Alignment sheet, pivot to spindle "
        f"{to_hundredth(alignment.arm.pivot_to_spindle_mm)} mm, {alignment.scheme}, {paper.label}",
        shapes=(*working, *sight, *bars.shapes(), *text),
        features={
            "spindle": list(arc.spindle),
            "null_inner": list(arc.nulls[0]) if len(arc.nulls) == 2 else None,
            "null_outer": list(arc.nulls[-1]),
            "pivot": list(arc.pivot) if pivot_shown else None,
            **bars.features,
            "card": card.feature if card else None,
        },
    )


def check_targets(arm: Arm) -> None:
    """Raise `InputError` for an arm whose null radii leave no room for their targets."""
    inner, outer = arm.null_radii_mm
    if outer > 0 and not inner > 0:
        return
    if not outer - inner >= CLOSEST_NULLS_MM:
        raise InputError(
            "null-radii",
            f"nulls at {to_hundredth(inner)} and {to_hundredth(outer)} mm"
            if outer > 0
            else "an arm without a null",
            f"null radii at least {CLOSEST_NULLS_MM:g} mm apart on a sheet with two targets",
            "choose radii further apart or another scheme",
        )


def _lay_out(alignment: Alignment, paper: Paper, bars: Bars, zenith_rad: float) -> StylusArc:
    """The drawing as low on the paper as the fans and the overhang scale allow."""
    arm = alignment.arm
    nulls = arm.stylus([radius for radius in arm.null_radii_mm if radius > 0])
    lowest = min(
        -arm.overhang_mm - SCALE_ROOM_MM, *(float(y) - marks.FAN_REACH_MM for _, y in nulls)
    )
    spindle = (paper.left + SPINDLE_FROM_LEFT_MM, bars.top_of_x + 3 - lowest)
    return StylusArc(alignment=alignment, spindle=spindle, zenith_rad=zenith_rad)


def _check_room(outlines: list[list[Point]], arc: StylusArc, paper: Paper) -> None:
    """Raise `InputError` when the working part does not leave room for margins and text."""
    right, top = (max(v) for v in zip(*(p for points in outlines for p in points), strict=True))
    width = paper.width_mm + max(0.0, right - paper.right)
    height = paper.height_mm + max(0.0, top + TEXT_HEIGHT_MM - paper.top)
    if width == paper.width_mm and height == paper.height_mm:
        return
    raise InputError(
        "paper",
        paper.label,
        f"a sheet of at least {width:.0f} x {height:.0f} mm for this arc, out to "
        f"{arc.outermost_mm:g} mm",
        larger(lambda known: known.width_mm >= width and known.height_mm >= height),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _SheetText:
    """What is written on the sheet, round the outlines of its drawing."""

    arc: StylusArc
    paper: Paper
    bars: Bars
    outlines: list[list[Point]]

    @property
    def left(self) -> float:
        """Where the text begins [mm]."""
        return self.arc.spindle[0] + 8

    def shapes(self, title: str, note: str) -> tuple[list[Shape], Card | None]:
        """Title, results, card and steps; and the card, None when left out.

        The largest type that fits is taken; only where none fits does the card give way.
        """
        head, y = self._head(title, note)
        card = Card.hung_from((self.paper.right, y))
        column = Region(
            left=self.paper.right - frame.CARD_WIDTH_MM,
            right=self.paper.right,
            bottom=self._top_of_drawing(card.low[0], self.paper.right),
            top=y,
        )
        foot = self._top_of_drawing(self.left, column.left - GUTTER_MM)
        pockets = self._pockets()
        for with_card in (True, False):
            steps = _steps(self.bars, with_card, len(self.arc.nulls), bool(self.arc.zenith_rad))
            for size in frame.SIZES_PT:
                results, below = self._results(y, min(size, LARGEST_RESULTS_PT))
                regions = [
                    Region(left=self.left, right=column.left - GUTTER_MM, bottom=foot, top=below),
                    replace(column, top=card.low[1] - 3) if with_card else column,
                    *pockets,
                ]
                text = frame.flow(steps, regions, size)
                if text is None:
                    continue
                if not with_card:
                    return [*head, *results, *text], None
                return [*head, *results, *text, *card.outline(), *card.note()], card
        raise frame.no_room(self.paper, "a sheet with room for the steps beside the arc")

    def _head(self, title: str, note: str) -> tuple[list[Shape], float]:
        """Title, print line and note; and the y below them."""
        width = self.paper.right - self.left
        shapes: list[Shape] = []
        y = self.paper.top
        for line in frame.clip(wrap(title, width, frame.TITLE_PT, bold=True), 2):
            y -= 5.0
            shapes.append(Label(line, (self.left, y), frame.TITLE_PT, bold=True))
            y -= 1.2
        y -= 3.4
        shapes.append(Label(frame.print_line(self.paper), (self.left, y), frame.NOTE_PT))
        labels, y = frame.set_lines([note], (self.left, y), frame.NOTE_PT, width=width)
        return [*shapes, *labels], y - 4.0

    def _results(self, top: float, size: float) -> tuple[list[Shape], float]:
        """The quiet block of inputs and results, and the y below it."""
        tab = self.left + width_mm("second harmonic  ", size)
        shapes: list[Shape] = []
        y = top - 2.2
        for name, value in _rows(self.arc.alignment, self.arc.zenith_rad):
            shapes += [Label(name, (self.left, y), size)] if name else []
            shapes.append(Label(value, (tab, y), size))
            y -= frame.leading_mm(size)
        return shapes, y - 1.0

    def _top_of_drawing(self, left: float, right: float) -> float:
        """Where text may end above the drawing between two abscissae [mm]."""
        reach = heights(self.outlines, left - 1, right + 1)
        return reach[1] + 2 if reach else 0.0

    def _pockets(self) -> list[Region]:
        """The free boxes below the arc: beside, between and outside the fans, if wide enough."""
        bottom, spindle = self.bars.top_of_x + 2, self.arc.spindle
        depth = spindle[1] - 25
        low = [x for points in self.outlines for x, y in points if y < depth]
        fans = []
        for x, _ in self.arc.nulls:
            near = [other for other in low if abs(other - x) < 20]
            fans.append((min(near), max(near)) if near else (x, x))
        edges = [spindle[0] + 5, *(x for fan in fans for x in fan), self.paper.right + 3]
        regions = []
        for left, right in zip(edges[::2], edges[1::2], strict=True):
            box = left + 3, right - 3
            if box[1] - box[0] < NARROWEST_POCKET_MM:
                continue
            reach = heights(self.outlines, box[0] - 1, box[1] + 1)
            top = (reach[0] if reach else spindle[1]) - 3
            if top > bottom:
                regions.append(Region(left=box[0], right=box[1], bottom=bottom, top=top))
        return regions


def _rows(alignment: Alignment, zenith_rad: float) -> Iterator[tuple[str, str]]:
    """Names and values of inputs and results."""
    arm, side, played = alignment.arm, alignment.record, alignment.played
    nulls = " and ".join(to_hundredth(radius) for radius in arm.null_radii_mm if radius > 0)
    yield "pivot to spindle", f"{to_hundredth(arm.pivot_to_spindle_mm)} mm"
    yield "effective length", f"{to_hundredth(arm.effective_length_mm)} mm"
    yield "overhang", f"{to_hundredth(arm.overhang_mm)} mm"
    yield "offset angle", f"{arm.offset_angle_deg:.2f}°"
    yield "linear offset", f"{to_hundredth(arm.linear_offset_mm)} mm"
    yield "null radii" if arm.null_radii_mm[0] > 0 else "null radius", f"{nulls} mm"
    if zenith_rad:
        yield "stylus askew", f"{marks.signed_degrees(zenith_rad)} (+ clockwise)"
    yield "scheme", alignment.label
    yield "record", side.name if alignment.play is None else f"{len(played.records)} by shares"
    yield "recorded radii", f"{played.inner_radius_mm:g} to {played.outer_radius_mm:g} mm"
    yield "tracking error", f"up to {alignment.peak_tracking_error_deg:.2f}°"
    yield "second harmonic", f"up to {alignment.peak_second_harmonic_percent:.2f} %"
    yield "", f"({alignment.velocity_cm_s:g} cm/s {alignment.velocity_is}, {side.rpm:.3g} rpm)"
    replay = alignment.equalisation
    if replay.signal_hz is not None:
        yield "", f"(equalised, {replay.signal_hz:g} Hz)"
    if replay.slope_db_octave is not None:
        yield "", f"(falling {replay.slope_db_octave:g} dB/octave)"
    if alignment.terms is not None:
        yield "held", f"{alignment.held}"
        yield from (("stopped by", end) for end in alignment.terms.binding)


def _steps(bars: Bars, card: bool, nulls: int, askew: bool) -> list[Paragraph]:
    """The steps in the order of doing, and cautions.

    `card` is true when the outline is on the sheet, `askew` when the grids are turned for a stylus
    that stands askew. A straight arm has a single null point: `nulls` is 1.
    """
    both = nulls == 2
    texts = [
        f"Print at 100 % (actual size), borderless off. Measure between the centres of the end "
        f"marks: {bars.lengths}. If one is off by more than 0.2 mm, mend the print settings and "
        "print again." + (" The card outline is a first check." if card else ""),
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
        f"Set the tip on the {'inner null point' if both else 'null point'}. Turn the "
        "cartridge in the headshell until its sides run along the grid and its front lies square "
        "to it."
        + (" The grid is turned for your askew stylus, not along the groove." if askew else ""),
        "Read what is left on the fan: a thin pencil lead stuck along the cartridge shows its "
        "axis. Figures are degrees; on the + side the cartridge stands clockwise, seen from above.",
        "Look at the outer null point: it must read the same, zero. If it does not, repeat 6 to "
        "8; length and angle change together."
        if both
        else "Look along the arc again: turning the cartridge may have moved the tip. If it has, "
        "repeat 6 to 8; length and angle change together.",
        f"Tighten the screws a little in turn and check {'both points' if both else 'both'} "
        "again. Then set tracking force and anti-skating as the cartridge's maker says.",
    ]
    return [
        *frame.in_order(texts),
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
