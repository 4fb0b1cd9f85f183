"""The alignment sheet: a tool to lay on the platter, a card to hold in the hand."""

from __future__ import annotations

from collections.abc import Iterator

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.alignments.sheet_code import sheet_code
from protractor.drawing.shapes import Page
from protractor.printing.paper import Paper
from protractor.sheets import marks, names
from protractor.sheets.grid import Group
from protractor.sheets.setup_card import SetupCard
from protractor.sheets.steps import CAUTIONS, alignment_steps
from protractor.sheets.tool import Tool, check_targets
from protractor.sheets.tool_sheet import ToolSheet


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
    arm = alignment.arm
    nulls = [radius for radius in arm.null_radii_mm if radius > 0]
    code, made_from = sheet_code(alignment, zenith_rad), names.made_from(alignment)
    title = title or "Alignment sheet"

    def card(bars: str) -> SetupCard:
        called = ("inner null", "outer null") if len(nulls) == 2 else ("null",)
        readings = (f"{name} {to_hundredth(r)}" for name, r in zip(called, nulls, strict=True))
        return SetupCard(
            title=title,
            lines=(made_from, note),
            groups=tuple(figure_groups(alignment, zenith_rad)),
            steps=alignment_steps(bars, nulls=len(nulls), askew=bool(zenith_rad)),
            readings=("overhang mark", *readings),
            code=code,
            command=command,
            cautions=CAUTIONS,
        )

    return ToolSheet(
        title=title,
        subject="Alignment sheet, pivot to spindle "
        f"{to_hundredth(arm.pivot_to_spindle_mm)} mm, {alignment.scheme}",
        made_from=made_from,
        note=note,
        code=code,
        needs=f"a null at {to_hundredth(nulls[-1])} mm",
        tool=lambda spindle, end: Tool(
            alignment=alignment, spindle=spindle, tongue_end=end, zenith_rad=zenith_rad
        ),
        card=card,
    ).pages(paper)


def figure_groups(alignment: Alignment, zenith_rad: float = 0.0) -> Iterator[Group]:
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
        expect.append(("exact, fixed", str(alignment.held).replace("-", " ")))
        expect += [("stopped by", end) for end in alignment.terms.binding]
    yield Group(heading="expect", rows=tuple(expect))
