"""The alignment sheet: a tool to lay on the platter, a card to hold in the hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.alignments.sheet_code import sheet_code
from protractor.drawing.extent import bounds
from protractor.drawing.shapes import Page, Point, Shape
from protractor.errors import InputError
from protractor.printing.paper import Paper, larger, turn_sheet
from protractor.sheets import frame, grid, marks, names
from protractor.sheets.frame import Bars, Card, Region
from protractor.sheets.grid import Group
from protractor.sheets.pointer import HEIGHT_MM, LENGTH_MM, pointer
from protractor.sheets.setup_card import SetupCard
from protractor.sheets.signs import scissors
from protractor.sheets.steps import CAUTIONS, alignment_steps
from protractor.sheets.tool import Tool, check_targets

BESIDE_MM = 8.0
"""Between the tool and what stands beside it."""

CAPTION_MM = 44.0
"""Width of the words to the right of the pointer, gap included."""

POINTER_WORDS = (
    "Pointer, best on card: cut out with its window, fold the bar up. With the fold on a front "
    "line and the straight edge on the dot it must read zero."
)


def alignment_pages(
    alignment: Alignment,
    paper: Paper,
    title: str = "",
    zenith_rad: float = 0.0,
    note: str = "",
    command: str = "",
) -> tuple[Page, ...]:
    """The sheet that aligns a cartridge on this deck: the tool, and the card beside it or after it.

    Drawn as one sees it from the front of the deck, on a page on its side: the pivot lies to the
    right, the null points toward the viewer. A straight arm has one null. The targets are turned
    for a stylus that stands `zenith_rad` clockwise of its cartridge. `note` stands under the title:
    what is reported of a printer's correction; `command` is the one that continues with readings.
    Raises `InputError` when the null radii leave no room for two targets, or when the tool does not
    fit on the paper.
    """
    check_targets(alignment.arm)
    sheet = _Sheet(
        alignment=alignment,
        title=title or "Alignment sheet",
        zenith_rad=zenith_rad,
        note=note,
        command=command,
    )
    return sheet.pages(paper)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sheet:
    """What a sheet shows, whatever its paper."""

    alignment: Alignment
    title: str
    zenith_rad: float
    note: str
    command: str

    def pages(self, paper: Paper) -> tuple[Page, ...]:
        """The pages on a paper, which lies on its side."""
        try:
            return self._on(_on_its_side(paper))
        except InputError as error:
            if error.name != "paper":
                raise
            raise InputError("paper", paper.label, error.allowed, larger(self._fits)) from error

    def _fits(self, known: Paper) -> bool:
        try:
            self._on(_on_its_side(known))
        except InputError:
            return False
        return True

    def _reach(self) -> tuple[float, float, float, float]:
        """How far the tool reaches left, below, right and above, its tongue apart."""
        return Tool(
            alignment=self.alignment, spindle=(0.0, 0.0), tongue_end=0.0, zenith_rad=self.zenith_rad
        ).reach_mm

    def _check_room(self, sheet: Paper, bars: Bars) -> None:
        """Raise `InputError` where a sheet is too small for the tool and what is beside it."""
        left, low, right, high = self._reach()
        width = bars.right_of_y + 2.0 - left + right + BESIDE_MM + frame.CARD_WIDTH_MM
        width += sheet.width_mm - sheet.right
        height = bars.top_of_x + 1.0 + high - low + sheet.height_mm - sheet.top
        if width > sheet.width_mm or height > sheet.height_mm:
            outer = to_hundredth(self.alignment.arm.null_radii_mm[1])
            wanted = sorted((max(width, sheet.width_mm), max(height, sheet.height_mm)))
            raise InputError(
                "paper",
                sheet.label,
                f"a sheet of at least {wanted[0]:.0f} x {wanted[1]:.0f} mm for a null at {outer} mm",
                "take a larger one",
            )

    def _on(self, sheet: Paper) -> tuple[Page, ...]:
        left, low, right, high = self._reach()
        bars = Bars.along_edges(sheet)
        self._check_room(sheet, bars)
        spindle = (bars.right_of_y + 2.0 - left, sheet.top - high)
        tool = Tool(
            alignment=self.alignment,
            spindle=spindle,
            tongue_end=sheet.right - 4.0,
            zenith_rad=self.zenith_rad,
        )
        drawn = tool.shapes()
        beside = Region(
            left=spindle[0] + right + BESIDE_MM,
            right=sheet.right,
            bottom=bars.top_of_x + 4.0,
            top=spindle[1] - 16.0,
        )
        below = Region(
            left=bars.right_of_y + 4.0,
            right=beside.left - BESIDE_MM,
            bottom=bars.top_of_x + 4.0,
            top=spindle[1] + low - 4.0,
        )
        together = self._together(beside, below, sheet)
        extra, card, own = together if together else self._apart(beside, sheet)
        features = {
            "spindle": list(tool.spindle),
            "null_inner": list(tool.nulls[0]) if len(tool.nulls) == 2 else None,
            "null_outer": list(tool.nulls[-1]),
            "pivot": list(tool.pivot) if tool.pivot[0] <= sheet.right else None,
            **bars.features,
            "card": card.feature if card else None,
        }
        first = frame.page_on(
            sheet,
            title=self.title,
            subject=self._subject(sheet),
            shapes=(*drawn, *scissors(tool.scissors), *bars.shapes(), *extra),
            features=features,
        )
        if own is None:
            return (first,)
        second = frame.page_on(
            sheet,
            title=f"{self.title}: card",
            subject=self._subject(sheet),
            shapes=own,
            features={},
        )
        return first, second

    def _subject(self, sheet: Paper) -> str:
        arm = self.alignment.arm
        return (
            f"Alignment sheet, pivot to spindle {to_hundredth(arm.pivot_to_spindle_mm)} mm, "
            f"{self.alignment.scheme}, {sheet.label}"
        )

    @property
    def _code(self) -> str:
        return sheet_code(self.alignment, self.zenith_rad)

    def _card(self, bars: Bars) -> SetupCard:
        """The card's content."""
        nulls = [radius for radius in self.alignment.arm.null_radii_mm if radius > 0]
        two = len(nulls) == 2
        called = ("inner null", "outer null") if two else ("null",)
        readings = [
            f"{name} {to_hundredth(radius)}" for name, radius in zip(called, nulls, strict=True)
        ]
        return SetupCard(
            title=self.title,
            lines=(names.made_from(self.alignment), self.note),
            groups=tuple(_groups(self.alignment, self.zenith_rad)),
            steps=alignment_steps(bars.lengths, nulls=len(nulls), askew=bool(self.zenith_rad)),
            readings=(f"overhang {names.signed(self.alignment.arm.overhang_mm)}", *readings),
            code=self._code,
            command=self.command,
            cautions=CAUTIONS,
        )

    def _together(self, beside: Region, below: Region, sheet: Paper) -> _Beside | None:
        """The card beside the tool and the proof of the scale below it; None without the room."""
        high = frame.CARD_HEIGHT_MM + BESIDE_MM + HEIGHT_MM
        if below.top - below.bottom < high or below.width < LENGTH_MM + CAPTION_MM:
            return None
        card = self._card(Bars.along_edges(sheet))
        shapes = replace(card, lines=(*card.lines, frame.print_line(sheet))).shapes(beside)
        if shapes is None:
            return None
        outline = Card.standing_on((below.left, below.bottom))
        cut = _pointer_with_words(
            (below.left, outline.high[1] + BESIDE_MM), below.right, aside=True
        )
        return [*shapes, *outline.corners(), *outline.note(), *cut], outline, None

    def _apart(self, beside: Region, sheet: Paper) -> _Beside:
        """What proves the scale beside the tool, and the card for a page of its own."""
        bars = Bars.along_edges(sheet)
        where = (
            names.made_from(self.alignment),
            frame.print_line(sheet),
            self.note,
            f"Sheet {self._code}; figures and steps are on its card.",
        )
        head, y = grid.head(self.title, where, (beside.left, beside.top), beside.width)
        shapes = list(head)
        corner = beside.left, y - BESIDE_MM - HEIGHT_MM
        shapes += _pointer_with_words(corner, beside.right)
        outline: Card | None = Card.standing_on((beside.left, beside.bottom))
        if outline and outline.high[1] > bounds(shapes)[1] - 3.0:
            outline = None
        if outline:
            shapes += [*outline.corners(), *outline.note()]
        own = self._card(bars).shapes(
            Region(left=sheet.left, right=sheet.right, bottom=sheet.bottom, top=sheet.top)
        )
        if own is None:
            raise frame.no_room(sheet, "a sheet with room for the steps")
        return shapes, outline, own


def _on_its_side(paper: Paper) -> Paper:
    """The paper with its longer side across."""
    return turn_sheet(paper) if paper.width_mm < paper.height_mm else paper


_Beside = tuple[list[Shape], Card | None, list[Shape] | None]
"""What stands beside the tool, the bank card among it, and the card's own page."""


def _pointer_with_words(corner: Point, right: float, *, aside: bool = False) -> list[Shape]:
    """The pointer, and how to cut it and prove it: below it, or to its right."""
    x, y = corner
    size = grid.FIGURES_PT
    at = (x + LENGTH_MM + 6.0, y + HEIGHT_MM + 1.2) if aside else (x, y - 1.5)
    labels, _ = frame.set_lines([POINTER_WORDS], at, size, width=right - at[0])
    return [*pointer(corner), *labels]


def _groups(alignment: Alignment, zenith_rad: float) -> Iterator[Group]:
    """The figures in the order of use: what was measured, what to set, what to expect."""
    arm, played = alignment.arm, alignment.played
    nulls = " and ".join(to_hundredth(radius) for radius in arm.null_radii_mm if radius > 0)
    given = "pivot to spindle", names.length(arm.pivot_to_spindle_mm)
    length = "effective length", names.length(arm.effective_length_mm)
    by_length = alignment.held == "effective-length"
    radii = f"{to_hundredth(played.inner_radius_mm)} to {to_hundredth(played.outer_radius_mm)} mm"
    measured = [length if by_length else given, ("recorded radii", radii)]
    if zenith_rad:
        measured.append(("stylus askew", f"{marks.signed_degrees(zenith_rad)}, + is clockwise"))
    yield Group(heading="measured", rows=tuple(measured))
    to_set = [
        ("overhang", names.length(arm.overhang_mm)),
        ("offset angle", f"{arm.offset_angle_deg:.2f}°"),
        ("null radii" if arm.null_radii_mm[0] > 0 else "null radius", f"{nulls} mm"),
        given if by_length else length,
        ("linear offset", names.length(arm.linear_offset_mm)),
    ]
    yield Group(heading="set", rows=tuple(to_set))
    velocity = f"{alignment.velocity_cm_s:g} cm/s {alignment.velocity_is}"
    expect = [
        ("tracking error", f"up to {alignment.peak_tracking_error_deg:.2f}°"),
        ("second harmonic", f"up to {alignment.peak_second_harmonic_percent:.2f} %"),
        ("at a velocity of", velocity),
    ]
    replay = alignment.equalisation
    if replay.signal_hz is not None:
        expect.append(("equalised", f"{replay.signal_hz:g} Hz"))
    if replay.slope_db_octave is not None:
        expect.append(("replay falls", f"{replay.slope_db_octave:g} dB/octave"))
    if alignment.terms is not None:
        expect.append(("exact, held", str(alignment.held).replace("-", " ")))
        expect += [("stopped by", end) for end in alignment.terms.binding]
    yield Group(heading="expect", rows=tuple(expect))
