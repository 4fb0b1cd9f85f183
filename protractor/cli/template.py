"""`protractor template`: the alignment sheet of one deck."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.arms.schemes import OWN_NULLS
from protractor.cli.file_options import (
    file_options,
    place_of,
    proof,
    report_page,
    style_of,
    write_page,
)
from protractor.cli.options import (
    alignment_of,
    deck_options,
    json_option,
    nulls_of,
    option,
    straight_option,
    without_deck,
)
from protractor.cli.sheet_options import page_on, sheet_of, sheet_options
from protractor.cli.solve import prose, terms
from protractor.drawing.shapes import Page
from protractor.files import file_stem
from protractor.inputs import deck as inputs
from protractor.printing.paper import Paper


def scheme_stem(scheme: str, nulls_mm: tuple[float, float]) -> str:
    """A scheme as a piece of a file name; the user's own null radii by their numbers."""
    if scheme != OWN_NULLS:
        return scheme
    return f"nulls-{nulls_mm[0]:.6g}-{nulls_mm[1]:.6g}"


def alignment_stem(alignment: Alignment) -> str:
    """An alignment's scheme as a piece of a file name."""
    exact = "-exact" if alignment.terms is not None and alignment.scheme != OWN_NULLS else ""
    return scheme_stem(alignment.scheme, alignment.arm.null_radii_mm) + exact


@click.command("template")
@deck_options
@straight_option
@option(inputs.ZENITH)
@option(inputs.KIND)
@sheet_options
@option(inputs.TITLE)
@file_options
@json_option
def command(
    zenith: float | None,
    kind: str | None,
    paper: str | None,
    clear_margin: float | None,
    printer: str | None,
    profile_file: Path | None,
    title: str | None,
    output: Path | None,
    format: str | None,
    text: str | None,
    colours: str | None,
    force: bool,
    as_json: bool,
    record: str | None,
    **values: Any,
) -> None:
    """Write the alignment sheet of one deck, true to scale: PDF, or SVG or DXF for a cutter.

    Give the pivot-to-spindle distance (or the effective length); --kind two-null needs neither.
    Lengths are in mm; write 8.74in or "8 3/4 in" for inches. Print the sheet at 100 % and check
    its bars before you use it.
    """
    name = title or ""
    sheet, correction = sheet_of(
        paper=paper, clear_margin=clear_margin, printer=printer, profile_file=profile_file
    )
    note = correction.statement if correction else ""
    planned = two_null if kind == "two-null" else one_deck
    words = Words(title=name, note=note, printer=printer or "", zenith_deg=zenith or 0.0)
    plan = planned(record, values, sheet, words)
    style = style_of(text, colours)
    path, file_format = place_of(output, format, force, plan.stem, correction=correction)
    page = page_on(plan.make, sheet)
    write_page(page, path, file_format, style, force, correction)
    lines = prose(f"{sheet.label}, {plan.summary}", *plan.remarks, *([note] if note else []))
    report_page(
        page,
        path,
        "\n".join([*lines, proof(file_format)]),
        plan.figures if as_json else None,
        correction,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """What a sheet bears besides the deck: title, note on a correction, the printer's name.

    `zenith_deg` is how far the stylus stands askew in its cartridge [deg].
    """

    title: str
    note: str
    printer: str
    zenith_deg: float

    @property
    def zenith_rad(self) -> float:
        """The same in radians."""
        return math.radians(self.zenith_deg)

    def stem(self, *parts: str) -> str:
        """A file's stem: the title, the given pieces, what turns the grids, and the printer."""
        turned = f"zenith{self.zenith_deg:+.6g}deg" if self.zenith_deg else ""
        *before, paper = parts
        printer = f"for-{file_stem(self.printer)}" if self.printer else ""
        pieces = file_stem(self.title), *before, turned, paper, printer
        return "_".join(piece for piece in pieces if piece)


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A sheet to be made: its page for a paper, its file's stem, and what is said about it.

    `figures` are those of `--json`; `alignment` is None when no deck was told.
    """

    make: Callable[[Paper], Page]
    stem: str
    summary: str
    remarks: list[str]
    figures: dict[str, Any]
    alignment: Alignment | None


def deck_sheet_stem(alignment: Alignment, words: Words, last: str) -> str:
    """A file's stem that says deck, kind of arm, scheme and, last, paper or kind of sheet."""
    deck = f"d{alignment.arm.pivot_to_spindle_mm:.6g}mm"
    kind = "" if alignment.arm.null_radii_mm[0] > 0 else "straight"
    return words.stem(deck, kind, alignment_stem(alignment), last)


def one_deck(record: str | None, values: dict[str, Any], sheet: Paper, words: Words) -> Plan:
    """The alignment sheet of one deck, from the values of the deck options."""
    from protractor.sheets.alignment_sheet import alignment_page

    alignment = alignment_of(record_name=record, **values)
    arm = alignment.arm
    nulls = " and ".join(to_hundredth(radius) for radius in arm.null_radii_mm if radius > 0)
    return Plan(
        make=lambda paper: alignment_page(
            alignment, paper, words.title, words.zenith_rad, words.note
        ),
        stem=deck_sheet_stem(alignment, words, sheet.name),
        summary=f"{alignment.label}: overhang {to_hundredth(arm.overhang_mm)} mm, "
        f"offset {arm.offset_angle_deg:.2f} deg, nulls {nulls} mm",
        remarks=terms(alignment),
        figures=alignment.as_dict(),
        alignment=alignment,
    )


def two_null(record: str | None, values: dict[str, Any], sheet: Paper, words: Words) -> Plan:
    """The two-null sheet, from the values of the deck options; a length is not needed."""
    from protractor.sheets.two_null import two_null_page

    alignment = None
    if without_deck(values):
        scheme, side, nulls = nulls_of(record_name=record, **values)
        figures: dict[str, Any] = {
            "scheme": scheme,
            "record": side.as_dict(),
            "null_radii_mm": list(nulls),
        }
        stem = scheme_stem(scheme, nulls)
    else:
        alignment = alignment_of(record_name=record, **values)
        scheme, side = alignment.label, alignment.record
        nulls, figures = alignment.arm.null_radii_mm, alignment.as_dict()
        stem = alignment_stem(alignment)
    inner, outer = (to_hundredth(radius) for radius in nulls)
    return Plan(
        make=lambda paper: two_null_page(
            nulls, scheme, side, paper, words.title, words.zenith_rad, words.note
        ),
        stem=words.stem("two-null", stem, sheet.name),
        summary=f"{scheme}: nulls {inner} and {outer} mm, for any deck whose arm reaches both",
        remarks=terms(alignment) if alignment else [],
        figures=figures,
        alignment=alignment,
    )
