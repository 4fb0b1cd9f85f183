"""`protractor template`: the alignment sheet of one deck."""

from __future__ import annotations

import math
from pathlib import Path

import click

from protractor.alignments.align import align, chosen_nulls, without_length
from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.alignments.deck import Deck
from protractor.arms.schemes import OWN_NULLS
from protractor.cli.help import Command
from protractor.cli.options import ALIGNED, SHEET, asks_deck, json_option, option
from protractor.cli.sheets import (
    OnPaper,
    Sheet,
    SheetFile,
    alignment_stem,
    file_options,
    nulls_stem,
    profile_file_option,
    proof,
    scheme_stem,
    stem_of,
)
from protractor.cli.wording import prose, terms
from protractor.sheets.inputs import KIND


@click.command("template", cls=Command)
@asks_deck(*ALIGNED, "straight", "zenith_deg", *SHEET, "name")
@profile_file_option
@option(KIND)
@file_options
@json_option
def command(
    deck: Deck, kind: str | None, profile_file: Path | None, file: SheetFile, as_json: bool
) -> None:
    """Draw a true-scale alignment sheet for one deck, as a PDF to print.

    Measure from the centre of the arm's pivot to the centre of the spindle, in mm; for inches write
    8.74in. Print the sheet at 100 % and measure its bars before you use it.

    \b
    Example: protractor template --pivot-to-spindle 222 --paper letter
    """
    on_paper = OnPaper.of(deck, profile_file)
    alignment_sheet(deck, kind, on_paper)[0].write(file, as_json)


def alignment_sheet(
    deck: Deck, kind: str | None, on_paper: OnPaper
) -> tuple[Sheet, Alignment | None]:
    """The sheet of a kind for a deck, and its alignment; None when the deck gives no length."""
    if kind == "two-null":
        return two_null_sheet(deck, on_paper)
    alignment = align(deck)
    return arc_sheet(deck, alignment, on_paper), alignment


def report(on_paper: OnPaper, summary: str, remarks: list[str], file_format: str) -> str:
    """What is said of an alignment sheet."""
    lines = prose(f"{on_paper.paper.label}, {summary}", *remarks, on_paper.note)
    card = [] if file_format == "pdf" else ["The card with the steps is in the PDF alone."]
    return "\n".join([*lines, proof(file_format), *card])


def _continuing(alignment: Alignment | None, deck: Deck, code: str) -> str:
    """The command that continues with readings, by the name of a remembered deck."""
    from protractor.alignments.sheet_code import continuing
    from protractor.cli.remembered import remembered_words

    return continuing(alignment, deck, remembered=remembered_words(), code=code)


def arc_sheet(deck: Deck, alignment: Alignment, on_paper: OnPaper) -> Sheet:
    """The sheet of one deck with its stylus arc."""
    from protractor.alignments.sheet_code import sheet_code
    from protractor.sheets.alignment_sheet import alignment_pages

    arm, askew = alignment.arm, math.radians(deck.zenith_deg or 0.0)
    nulls = " and ".join(to_hundredth(radius) for radius in arm.null_radii_mm if radius > 0)
    summary = (
        f"{alignment.label}: overhang {to_hundredth(arm.overhang_mm)} mm, "
        f"offset {arm.offset_angle_deg:.2f} deg, nulls {nulls} mm"
    )
    return Sheet(
        stem=alignment_stem(deck, alignment, on_paper.paper.name),
        make=lambda: alignment_pages(
            alignment,
            on_paper.paper,
            deck.name,
            askew,
            on_paper.note,
            _continuing(alignment, deck, sheet_code(alignment, askew)),
        ),
        report=lambda _, form: report(on_paper, summary, terms(alignment), form),
        figures=alignment.as_dict,
        correction=on_paper.correction,
    )


def two_null_sheet(deck: Deck, on_paper: OnPaper) -> tuple[Sheet, Alignment | None]:
    """The sheet with two null points alone, for which no length is needed."""
    from protractor.alignments.sheet_code import nulls_code
    from protractor.sheets.two_null import two_null_pages

    alignment = None if without_length(deck) else align(deck)
    if alignment is None:
        scheme, side, nulls = chosen_nulls(deck)
        figures = {"scheme": scheme, "record": side.as_dict(), "null_radii_mm": list(nulls)}
        stem = nulls_stem(nulls) if scheme == OWN_NULLS else scheme
    else:
        scheme, side, nulls = alignment.label, alignment.record, alignment.arm.null_radii_mm
        figures, stem = alignment.as_dict(), scheme_stem(alignment)
    inner, outer = (to_hundredth(radius) for radius in nulls)
    summary = f"{scheme}: nulls {inner} and {outer} mm, for any deck whose arm reaches both"
    askew, remarks = math.radians(deck.zenith_deg or 0.0), terms(alignment) if alignment else []
    sheet = Sheet(
        stem=stem_of(deck, "two-null", stem, on_paper.paper.name),
        make=lambda: two_null_pages(
            nulls,
            scheme,
            side,
            on_paper.paper,
            deck.name,
            askew,
            on_paper.note,
            _continuing(alignment, deck, nulls_code(nulls, askew)),
        ),
        report=lambda _, form: report(on_paper, summary, remarks, form),
        figures=lambda: figures,
        correction=on_paper.correction,
    )
    return sheet, alignment
