"""Options of every sheet: paper, margin, the printer it is corrected for, and the file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from protractor.cli.options import Function, option
from protractor.inputs import deck as inputs
from protractor.printing.paper import Paper, placed
from protractor.printing.paper import paper as paper_of

if TYPE_CHECKING:
    from protractor.drawing.shapes import Page
    from protractor.printing.fit import Correction, Fit
    from protractor.printing.profiles import Profile

profile_file_option = click.option(
    "--profile-file",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="File of printer profiles, in place of the one in your configuration folder.",
)
output_option = click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="File to write; its ending says the format. Default: a name that says what is on the "
    "sheet, in templates_out/.",
)


def sheet_options(function: Function) -> Function:
    """Adds the options that every sheet has: paper, margin, and the printer it is corrected for.

    `sheet_of` makes paper and correction of them.
    """
    function = profile_file_option(function)
    for declared in (inputs.PRINTER, inputs.CLEAR_MARGIN, inputs.PAPER):
        function = option(declared)(function)
    return function


def profile_path(profile_file: Path | None) -> Path:
    """The profile file that was named, else the user's own."""
    from protractor.printing.profiles import default_file

    return profile_file or default_file()


def sheet_of(
    *,
    paper: str | None,
    clear_margin: float | None,
    printer: str | None,
    profile_file: Path | None,
) -> tuple[Paper, Correction | None]:
    """Paper and correction that the sheet options ask for."""
    sheet = paper_of(paper or str(inputs.PAPER.default), clear_margin)
    if printer is None:
        return sheet, None
    return sheet, _profile(printer, sheet, profile_file).correction


def fit_of(printer: str, paper: str | None, profile_file: Path | None) -> Fit:
    """What a recorded printer does on a paper, and how sure that is."""
    return _profile(printer, paper_of(paper or str(inputs.PAPER.default)), profile_file).fit


def _profile(printer: str, sheet: Paper, profile_file: Path | None) -> Profile:
    from protractor.printing.profiles import load, profile_for

    return profile_for(load(profile_path(profile_file)), printer, sheet.name)


def correction_dict(correction: Correction) -> dict[str, Any]:
    """A correction under the stable keys of `--json`."""
    return {
        "name": correction.printer,
        "date": correction.date,
        "x_factor": 1 / correction.scale_x,
        "y_factor": 1 / correction.scale_y,
        "matrix": [list(row) for row in correction.matrix],
    }


def page_on(make: Callable[[Paper], Page], sheet: Paper) -> Page:
    """The page that `make` makes for a paper, upright or drawn on its side and turned back.

    Raises `InputError` that names the smallest paper that would do.
    """
    page, on_its_side = placed(make, sheet)
    if not on_its_side:
        return page
    from protractor.drawing.turning import upright

    return upright(page)
