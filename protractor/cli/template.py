"""`protractor template`: the alignment sheet of one deck."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from protractor import inputs
from protractor.alignment import Alignment, to_hundredth
from protractor.cli.options import (
    alignment_of,
    correction_dict,
    deck_options,
    force_option,
    json_option,
    nulls_of,
    option,
    output_option,
    page_on,
    pdf_only,
    print_json,
    sheet_of,
    sheet_options,
    straight_option,
    without_deck,
)
from protractor.cli.solve import prose, terms
from protractor.drawing.shapes import Page
from protractor.drawing.type import printable
from protractor.output.files import make_folder, refuse, write_whole
from protractor.paper import Paper
from protractor.schemes import OWN_NULLS

DEFAULT_FOLDER = Path("templates_out")


def file_stem(title: str) -> str:
    """A title as a safe piece of a file name: letters and digits of any script, and hyphens."""
    words = re.split(r"[^\w]+|_+", unicodedata.normalize("NFKC", title).casefold())
    return "-".join(word for word in words if word)[:40].strip("-")


def scheme_stem(scheme: str, nulls_mm: tuple[float, float]) -> str:
    """A scheme as a piece of a file name; the user's own null radii by their numbers."""
    if scheme != OWN_NULLS:
        return scheme
    return f"nulls-{nulls_mm[0]:.6g}-{nulls_mm[1]:.6g}"


def alignment_stem(alignment: Alignment) -> str:
    """An alignment's scheme as a piece of a file name."""
    exact = "-exact" if alignment.terms is not None and alignment.scheme != OWN_NULLS else ""
    return scheme_stem(alignment.scheme, alignment.arm.null_radii_mm) + exact


def sheet_path(output: Path | None, file_name: str, force: bool) -> Path:
    """The file that was asked for, else the named one in the default folder; refused early."""
    path = output or DEFAULT_FOLDER / file_name
    if output is not None or DEFAULT_FOLDER.exists():
        refuse(path, force)
    return path


def write_sheet(path: Path, data: bytes, force: bool) -> None:
    """Writes a sheet whole; the default folder is made only now."""
    if path.parent == DEFAULT_FOLDER:
        make_folder(DEFAULT_FOLDER)
    write_whole(path, data, force=force)


@click.command("template")
@deck_options
@straight_option
@option(inputs.ZENITH)
@option(inputs.KIND)
@sheet_options
@option(inputs.TITLE)
@output_option
@force_option
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
    force: bool,
    as_json: bool,
    record: str | None,
    **values: Any,
) -> None:
    """Write the alignment sheet of one deck as a PDF, true to scale.

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
    path = sheet_path(output, plan.file_name, force)
    pdf_only(correction, path)

    from protractor.output.pdf import pdf_bytes

    page = page_on(plan.make, sheet)
    write_sheet(path, pdf_bytes([page], correction.matrix if correction else None), force)
    if printable(name) != name:
        click.echo(
            "protractor: note: the sheet's typeface lacks some characters of the title", err=True
        )
    if as_json:
        print_json(
            {
                **plan.figures,
                "file": str(path),
                "sheet": {
                    "paper": page.paper,
                    "width_mm": page.width_mm,
                    "height_mm": page.height_mm,
                },
                "printer": correction_dict(correction) if correction else None,
                "features": page.features,
            }
        )
        return
    click.echo(path)
    summary = f"{sheet.label}, {plan.summary}"
    for line in prose(summary, *plan.remarks, *([note] if note else [])):
        click.echo(line)
    click.echo("Print at 100 % (actual size), then measure both bars before you use the sheet.")


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

    def file_name(self, *parts: str) -> str:
        """A file name of the title, the given pieces, what turns the grids, and the printer."""
        turned = f"zenith{self.zenith_deg:+.6g}deg" if self.zenith_deg else ""
        *before, paper = parts
        printer = f"for-{file_stem(self.printer)}" if self.printer else ""
        pieces = file_stem(self.title), *before, turned, paper, printer
        return "_".join(piece for piece in pieces if piece) + ".pdf"


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A sheet to be made: its page for a paper, its file's name, and what is said about it.

    `figures` are those of `--json`; `alignment` is None when no deck was told.
    """

    make: Callable[[Paper], Page]
    file_name: str
    summary: str
    remarks: list[str]
    figures: dict[str, Any]
    alignment: Alignment | None


def one_deck(record: str | None, values: dict[str, Any], sheet: Paper, words: Words) -> Plan:
    """The alignment sheet of one deck, from the values of the deck options."""
    from protractor.sheets.alignment_sheet import alignment_page

    alignment = alignment_of(record_name=record, **values)
    arm = alignment.arm
    nulls = " and ".join(to_hundredth(radius) for radius in arm.null_radii_mm if radius > 0)
    deck = f"d{arm.pivot_to_spindle_mm:.6g}mm"
    kind = "" if arm.null_radii_mm[0] > 0 else "straight"
    return Plan(
        make=lambda paper: alignment_page(
            alignment, paper, words.title, words.zenith_rad, words.note
        ),
        file_name=words.file_name(deck, kind, alignment_stem(alignment), sheet.name),
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
        file_name=words.file_name("two-null", stem, sheet.name),
        summary=f"{scheme}: nulls {inner} and {outer} mm, for any deck whose arm reaches both",
        remarks=terms(alignment) if alignment else [],
        figures=figures,
        alignment=alignment,
    )
