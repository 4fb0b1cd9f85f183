"""`protractor gauge plate`: a stiff gauge for one deck, to cut and engrave."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from protractor.cli.file_options import file_options, place_of, report_page, style_of, write_page
from protractor.cli.options import alignment_of, deck_options, json_option, option, value_of
from protractor.cli.template import Words, deck_sheet_stem
from protractor.inputs import bench as bench_inputs
from protractor.inputs import deck as inputs


@click.command("plate")
@deck_options
@option(bench_inputs.KERF)
@option(bench_inputs.HOLE)
@option(bench_inputs.THICKNESS)
@option(bench_inputs.NOTCH)
@option(bench_inputs.STOCK)
@click.option("--mirror", is_flag=True, help="Mirrored, to engrave the underside of clear stock.")
@option(inputs.TITLE)
@file_options
@json_option
def command(
    kerf: float | None,
    hole: float | None,
    thickness: float | None,
    notch: float | None,
    stock: tuple[float, float] | None,
    mirror: bool,
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
    """Write a stiff gauge for one deck: outline to cut, marks to engrave.

    Cut it from acrylic or card of up to 12 mm. Layers: cut, inner-cut, engrave, reference. Read the
    cutter's kerf with `protractor gauge kerf` first. With --notch the plate rests against the
    pillar under the arm's pivot.
    """
    alignment = alignment_of(record_name=record, **values)
    style = style_of(text, colours)
    words = Words(title=title or "", note="", printer="", zenith_deg=0.0)
    stem = deck_sheet_stem(alignment, words, "plate-mirrored" if mirror else "plate")
    path, file_format = place_of(output, format, force, stem, "svg")

    from protractor.sheets.plate import Cutting, plate_page

    cutting = Cutting(
        kerf_mm=value_of(kerf, bench_inputs.KERF),
        hole_mm=value_of(hole, bench_inputs.HOLE),
        thickness_mm=value_of(thickness, bench_inputs.THICKNESS),
        notch_mm=notch,
        stock_mm=stock,
        mirror=mirror,
    )
    page = plate_page(alignment, cutting, title or "")
    write_page(page, path, file_format, style, force)
    report_page(
        page,
        path,
        f"{page.width_mm:.1f} x {page.height_mm:.1f} mm of stock, kerf {cutting.kerf_mm:g} mm, "
        f"spindle hole {cutting.hole_mm:g} mm\n"
        "One unit is one millimetre; measure the engraved 20 mm square before use."
        + ("\nThe marks lie under the stock: look straight down on them." if mirror else ""),
        alignment.as_dict() if as_json else None,
    )
