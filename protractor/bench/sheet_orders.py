"""Every sheet, by what it is asked for with: a deck, its paper, options; each face calls these.

`remembered` are the words that name the deck in a command, which the sheet's card prints; empty for
a deck that is given by its figures. An `alignment` is passed where it is known already.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from protractor.alignments.align import align, chosen_nulls, without_length
from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.alignments.deck import Deck
from protractor.arms.schemes import OWN_NULLS
from protractor.bench.ready_sheet import OnPaper, Pack, Sheet
from protractor.bench.sheet_names import alignment_stem, nulls_stem, scheme_stem, stem_of
from protractor.bench.wording import terms
from protractor.drawing.shapes import Page
from protractor.files import file_stem
from protractor.sheets.cutting import KERF, Cutting
from protractor.sheets.inputs import SLOTS, START

if TYPE_CHECKING:
    from protractor.bench.remembered import Remembered


def alignment_sheet(
    deck: Deck, on_paper: OnPaper, kind: str | None = None, remembered: str = ""
) -> Sheet:
    """The alignment sheet of a kind: `arc`, by default, or `two-null`."""
    make = two_null_sheet if kind == "two-null" else arc_sheet
    return make(deck, on_paper, remembered)


def arc_sheet(
    deck: Deck, on_paper: OnPaper, remembered: str = "", alignment: Alignment | None = None
) -> Sheet:
    """The sheet of one deck with its stylus arc.

    >>> deck = Deck(pivot_to_spindle_mm=222.0)
    >>> sheet = arc_sheet(deck, OnPaper.of(deck))
    >>> sheet.file_name(), sheet.file_bytes()[:5], len(sheet.pages)
    ('d222mm_lofgren-a_a4.pdf', b'%PDF-', 2)
    >>> sheet.words()[0]
    'A4, lofgren-a: overhang 17.30 mm, offset 22.99 deg, nulls 66.00 and 120.89 mm'
    """
    from protractor.alignments.sheet_code import continuing, sheet_code
    from protractor.sheets.alignment_sheet import alignment_pages

    target = alignment or align(deck)
    arm, askew = target.arm, deck.zenith_rad
    nulls = " and ".join(to_hundredth(radius) for radius in arm.null_radii_mm if radius > 0)
    summary = (
        f"{target.label}: overhang {to_hundredth(arm.overhang_mm)} mm, "
        f"offset {arm.offset_angle_deg:.2f} deg, nulls {nulls} mm"
    )

    def make() -> tuple[Page, ...]:
        code = sheet_code(target, askew)
        command = continuing(target, deck, remembered=remembered, code=code)
        return alignment_pages(target, on_paper.paper, deck.name, askew, on_paper.note, command)

    return Sheet(
        stem=alignment_stem(deck, target, on_paper.paper.name),
        make=make,
        says=lambda _, form: _of_alignment(on_paper, summary, target, form),
        figures=target.as_dict,
        correction=on_paper.correction,
        alignment=target,
    )


def two_null_sheet(deck: Deck, on_paper: OnPaper, remembered: str = "") -> Sheet:
    """The sheet with two null points alone, for which no length is needed."""
    from protractor.alignments.sheet_code import continuing, nulls_code
    from protractor.sheets.two_null import two_null_pages

    target = None if without_length(deck) else align(deck)
    figures: dict[str, Any]
    if target is None:
        scheme, side, nulls = chosen_nulls(deck)
        figures = {"scheme": scheme, "record": side.as_dict(), "null_radii_mm": list(nulls)}
        stem = nulls_stem(nulls) if scheme == OWN_NULLS else scheme
    else:
        scheme, side, nulls = target.label, target.record, target.arm.null_radii_mm
        figures, stem = target.as_dict(), scheme_stem(target)
    inner, outer = (to_hundredth(radius) for radius in nulls)
    summary = f"{scheme}: nulls {inner} and {outer} mm, for any deck whose arm reaches both"
    askew = deck.zenith_rad

    def make() -> tuple[Page, ...]:
        code = nulls_code(nulls, askew)
        command = continuing(target, deck, remembered=remembered, code=code)
        paper, note = on_paper.paper, on_paper.note
        return two_null_pages(nulls, scheme, side, paper, deck.name, askew, note, command)

    return Sheet(
        stem=stem_of(deck, "two-null", stem, on_paper.paper.name),
        make=make,
        says=lambda _, form: _of_alignment(on_paper, summary, target, form),
        figures=lambda: figures,
        correction=on_paper.correction,
        alignment=target,
    )


def _of_alignment(
    on_paper: OnPaper, summary: str, alignment: Alignment | None, file_format: str
) -> list[str]:
    """What is said of an alignment sheet."""
    remarks = terms(alignment) if alignment else []
    card = "" if file_format == "pdf" else "The card with the steps is in the PDF alone."
    said = f"{on_paper.paper.label}, {summary}"
    return [said, *remarks, on_paper.note, proof(file_format), card]


def proof(file_format: str) -> str:
    """What to do before a sheet with two bars is used."""
    if file_format == "pdf":
        return "Print at 100 % (actual size), then measure both bars before you use the sheet."
    return "One unit is one millimetre; measure both bars on the piece before you use it."


def pack_sheet(
    deck: Deck, on_paper: OnPaper, kind: str | None = None, remembered: str = ""
) -> Pack:
    """One PDF for one print run: the printer's sheet, the alignment sheet of a kind, the numbers.

    Without a length, for which `two-null` alone can be drawn, there is no page of numbers.
    """
    from protractor.sheets.calibration import calibration_page
    from protractor.sheets.numbers import numbers_page

    sheet = alignment_sheet(deck, on_paper, kind, remembered)
    target, note = sheet.alignment, on_paper.note

    def make() -> tuple[Page, ...]:
        drawn = sheet.pages
        first = on_paper.page(lambda paper: calibration_page(paper, deck.printer or "", note))
        if target is None:
            return first, *drawn
        last = on_paper.page(lambda paper: numbers_page(target, paper, deck.name, note))
        return first, *drawn, last

    def says(pages: tuple[Page, ...], _: str) -> list[str]:
        names = ", ".join(page.title for page in pages)
        summary = f"{len(pages)} pages {on_paper.paper.label}: {names}"
        remarks = terms(target) if target else []
        return [summary, *remarks, note, "Print at 100 % (actual size), on one side."]

    return Pack(
        stem=f"pack_{sheet.stem}",
        make=make,
        says=says,
        figures=sheet.figures,
        correction=on_paper.correction,
        alignment=target,
        name=deck.name,
        paper=on_paper.paper,
    )


def printer_sheet(deck: Deck, on_paper: OnPaper) -> Sheet:
    """The calibration sheet; for a deck that names a printer, the printer's verification sheet."""
    from protractor.sheets.calibration import calibration_lengths, calibration_page

    paper = on_paper.paper
    stem = f"verification_{file_stem(deck.printer)}" if deck.printer else "calibration"
    return Sheet(
        stem=f"{stem}_{paper.name}",
        make=lambda: calibration_page(paper, deck.printer or "", on_paper.note),
        says=lambda pages, _: (
            f"{pages[0].title}, {paper.label}. Print at 100 % (actual size), borderless off.",
            "Let it lie for an hour, then measure X, Y, Rising and Falling three times each.",
        ),
        figures=lambda: {
            "lines_mm": {key: list(length) for key, length in calibration_lengths(paper).items()}
        },
        correction=on_paper.correction,
    )


def plate_sheet(
    deck: Deck, cutting: Cutting | None = None, alignment: Alignment | None = None
) -> Sheet:
    """A stiff gauge for one deck: outline to cut, marks to engrave."""
    from protractor.sheets.plate import plate_page

    target, cut = alignment or align(deck), cutting or Cutting()
    return Sheet(
        stem=alignment_stem(deck, target, "plate-mirrored" if cut.mirror else "plate"),
        make=lambda: plate_page(target, cut, deck.name),
        says=lambda pages, _: (
            f"{pages[0].width_mm:.1f} x {pages[0].height_mm:.1f} mm of stock, kerf "
            f"{cut.kerf_mm:g} mm, spindle hole {cut.hole_mm:g} mm",
            "One unit is one millimetre; measure the engraved 20 mm square before use.",
            "The marks lie under the stock: look straight down on them." if cut.mirror else "",
        ),
        figures=target.as_dict,
        usual="svg",
        alignment=target,
    )


def kerf_sheet(kerf_mm: float | None = None) -> Sheet:
    """A test piece that reads how wide the cutter cuts."""
    from protractor.sheets.kerf_piece import kerf_page

    return Sheet(
        stem="kerf-test",
        make=lambda: kerf_page(KERF.or_default(kerf_mm)),
        says=lambda pages, _: (
            f"{pages[0].width_mm:.1f} x {pages[0].height_mm:.1f} mm of stock",
            "Push the twenty blocks to the left; the last one's edge points at the kerf.",
        ),
        usual="svg",
    )


def board_sheet(
    deck: Deck,
    on_paper: OnPaper,
    slots_mm: float | None = None,
    mount_mm: float | None = None,
    alignment: Alignment | None = None,
) -> Sheet:
    """Where to drill for a new arm: spindle, pivot circle and tolerance ring."""
    from protractor.sheets.arm_board import Mounting, board_page, pivot_ring

    target = alignment or align(deck)
    mounting = Mounting(slots_mm=SLOTS.or_default(slots_mm), mount_mm=mount_mm)

    def says(*_: object) -> tuple[str, ...]:
        pivot = to_hundredth(target.arm.pivot_to_spindle_mm)
        low, high = (to_hundredth(ring) for ring in pivot_ring(target, mounting.slots_mm))
        return (
            f"{on_paper.paper.label}: pivot {pivot} mm from the spindle, slots reach "
            f"{low} to {high} mm",
            "Measure both bars before you drill; the arm maker's drawing comes first.",
        )

    return Sheet(
        stem=alignment_stem(deck, target, f"board_{on_paper.paper.name}"),
        make=lambda: on_paper.page(
            lambda paper: board_page(target, paper, mounting, deck.name, on_paper.note)
        ),
        says=says,
        figures=lambda: {
            **target.as_dict(),
            "pivot_ring_mm": list(pivot_ring(target, mounting.slots_mm)),
        },
        correction=on_paper.correction,
        alignment=target,
    )


def pivot_gauge_sheet(deck: Deck, on_paper: OnPaper, start_mm: float | None = None) -> Sheet:
    """A paper gauge for the distance from pivot to spindle; it begins at `start_mm`."""
    from protractor.sheets.pivot_gauge import pivot_gauge_page

    begin = START.or_default(start_mm)

    def says(pages: tuple[Page, ...], file_format: str) -> list[str]:
        pivots = pages[0].features["pivots_mm"]
        assert pivots is not None
        reach = f"reads {pivots[0]:g} to {pivots[1]:g} mm from spindle to pivot"
        other = "Print the sheet that starts at the spindle too: this one is laid on it."
        said = f"{on_paper.paper.label}: {reach}"
        return [said, on_paper.note, proof(file_format), other if begin else ""]

    return Sheet(
        stem=stem_of(deck, "pivot-gauge", f"from-{begin:g}mm", on_paper.paper.name),
        make=lambda: pivot_gauge_page(on_paper.paper, begin, deck.name, on_paper.note),
        says=says,
        figures=lambda: {"start_mm": begin},
        correction=on_paper.correction,
    )


def worksheet_sheet(file: Remembered, deck: Deck, on_paper: OnPaper) -> Sheet:
    """The worksheet of a remembered deck as a page for the customer's file."""
    from protractor.bench.worksheet import as_dict, worksheet
    from protractor.sheets.worksheet import worksheet_page

    return Sheet(
        stem=stem_of(Deck(name=deck.name), "worksheet", on_paper.paper.name),
        make=lambda: on_paper.page(lambda paper: worksheet_page(worksheet(file, deck), paper)),
        says=lambda *_: (f"{on_paper.paper.label}: worksheet of {deck.name}",),
        figures=lambda: as_dict(file, deck),
    )
