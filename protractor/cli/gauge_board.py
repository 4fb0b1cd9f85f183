"""`protractor gauge board`: where to drill for a new arm."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from protractor.alignments.alignment import to_hundredth
from protractor.cli.file_options import file_options, place_of, report_page, style_of, write_page
from protractor.cli.options import alignment_of, deck_options, json_option, option, value_of
from protractor.cli.sheet_options import page_on, sheet_of, sheet_options
from protractor.cli.template import Words, deck_sheet_stem
from protractor.inputs import bench as bench_inputs
from protractor.inputs import deck as inputs


@click.command("board")
@deck_options
@option(bench_inputs.SLOTS)
@option(bench_inputs.MOUNT)
@sheet_options
@option(inputs.TITLE)
@file_options
@json_option
def command(
    slots: float | None,
    mount: float | None,
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
    """Write where to drill for a new arm: spindle, pivot circle and tolerance ring.

    Give the arm's effective length. The arm maker's own drawing counts where it differs. Look under
    the plinth before you drill, and pull the mains plug.
    """
    alignment = alignment_of(record_name=record, **values)
    style = style_of(text, colours)
    sheet, correction = sheet_of(
        paper=paper, clear_margin=clear_margin, printer=printer, profile_file=profile_file
    )
    note = correction.statement if correction else ""
    words = Words(title=title or "", note=note, printer=printer or "", zenith_deg=0.0)
    stem = deck_sheet_stem(alignment, words, f"board_{sheet.name}")
    path, file_format = place_of(output, format, force, stem, correction=correction)

    from protractor.sheets.arm_board import Mounting, board_page, pivot_ring

    mounting = Mounting(slots_mm=value_of(slots, bench_inputs.SLOTS), mount_mm=mount)
    page = page_on(lambda p: board_page(alignment, p, mounting, title or "", note), sheet)
    write_page(page, path, file_format, style, force, correction)
    low, high = pivot_ring(alignment, mounting.slots_mm)
    pivot = alignment.arm.pivot_to_spindle_mm
    report_page(
        page,
        path,
        f"{sheet.label}: pivot {to_hundredth(pivot)} mm from the spindle, slots reach "
        f"{to_hundredth(low)} to {to_hundredth(high)} mm\n"
        "Measure both bars before you drill; the arm maker's drawing comes first.",
        {**alignment.as_dict(), "pivot_ring_mm": [low, high]} if as_json else None,
        correction,
    )
