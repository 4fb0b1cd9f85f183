"""`protractor template`: the alignment sheet of one deck."""

from __future__ import annotations

import math
import re
import unicodedata
from pathlib import Path
from typing import Any

import click

from protractor import inputs
from protractor.alignment import Alignment, to_hundredth
from protractor.cli.options import (
    alignment_of,
    deck_options,
    force_option,
    json_option,
    option,
    print_json,
    straight_option,
)
from protractor.cli.solve import prose, terms
from protractor.drawing.type import printable
from protractor.output.files import make_folder, refuse, write_whole
from protractor.paper import PAPERS
from protractor.schemes import OWN_NULLS

DEFAULT_FOLDER = Path("templates_out")


def file_stem(title: str) -> str:
    """A title as a safe piece of a file name: letters and digits of any script, and hyphens."""
    words = re.split(r"[^\w]+|_+", unicodedata.normalize("NFKC", title).casefold())
    return "-".join(word for word in words if word)[:40].strip("-")


def default_name(alignment: Alignment, paper: str, title: str, zenith_deg: float = 0.0) -> str:
    """File name that says deck, scheme and paper; and a straight arm or turned grids."""
    scheme = alignment.scheme
    if scheme == OWN_NULLS:
        inner, outer = alignment.arm.null_radii_mm
        scheme = f"nulls-{inner:.6g}-{outer:.6g}"
    elif alignment.terms is not None:
        scheme += "-exact"
    deck = f"d{alignment.arm.pivot_to_spindle_mm:.6g}mm"
    kind = "" if alignment.arm.null_radii_mm[0] > 0 else "straight"
    turned = f"zenith{zenith_deg:+.6g}deg" if zenith_deg else ""
    parts = file_stem(title), deck, kind, scheme, turned, paper
    return "_".join(part for part in parts if part) + ".pdf"


@click.command("template")
@deck_options
@straight_option
@option(inputs.ZENITH)
@option(inputs.PAPER)
@option(inputs.TITLE)
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="File to write. Default: a name that says deck, scheme and paper, in templates_out/.",
)
@force_option
@json_option
def command(
    zenith: float | None,
    paper: str | None,
    title: str | None,
    output: Path | None,
    force: bool,
    as_json: bool,
    record: str | None,
    **values: Any,
) -> None:
    """Write the alignment sheet of one deck as a PDF, true to scale.

    Give the pivot-to-spindle distance (or the effective length). Lengths are in mm; write 8.74in
    or "8 3/4 in" for inches. Print the sheet at 100 % and check its bars before you use it.
    """
    alignment = alignment_of(record_name=record, **values)
    sheet = PAPERS[paper or str(inputs.PAPER.default)]
    name = title or ""
    path = output or DEFAULT_FOLDER / default_name(alignment, sheet.name, name, zenith or 0.0)
    if output is not None or DEFAULT_FOLDER.exists():
        refuse(path, force)

    from protractor.output.pdf import pdf_bytes
    from protractor.sheets.alignment_sheet import alignment_page

    page = alignment_page(alignment, sheet, name, math.radians(zenith or 0.0))
    data = pdf_bytes([page])
    if output is None:
        make_folder(DEFAULT_FOLDER)
    write_whole(path, data, force=force)
    if printable(name) != name:
        click.echo(
            "protractor: note: the sheet's typeface lacks some characters of the title", err=True
        )
    if as_json:
        print_json(
            {
                **alignment.as_dict(),
                "file": str(path),
                "sheet": {
                    "paper": page.paper,
                    "width_mm": page.width_mm,
                    "height_mm": page.height_mm,
                },
                "features": page.features,
            }
        )
        return
    arm = alignment.arm
    nulls = " and ".join(to_hundredth(radius) for radius in arm.null_radii_mm if radius > 0)
    found = (
        f"{sheet.label}, {alignment.label}: overhang {to_hundredth(arm.overhang_mm)} mm, "
        f"offset {arm.offset_angle_deg:.2f} deg, nulls {nulls} mm"
    )
    lines = [found, *prose(*terms(alignment))]
    click.echo(
        f"{path}\n" + "\n".join(lines) + "\n"
        "Print at 100 % (actual size), then measure both bars before you use the sheet."
    )
