"""`protractor gauge plate`: a stiff gauge for one deck, to cut and engrave."""

from __future__ import annotations

import click

from protractor.alignments.deck import Deck
from protractor.bench.sheet_orders import plate_sheet
from protractor.cli.help import Command
from protractor.cli.options import ALIGNED, asks_deck, filled, json_option
from protractor.cli.sheets import SheetFile, file_options, write_sheet
from protractor.sheets.cutting import Cutting


@click.command("plate", cls=Command)
@asks_deck(*ALIGNED, "name")
@filled(Cutting)
@file_options
@json_option
def command(deck: Deck, cutting: Cutting, file: SheetFile, as_json: bool) -> None:
    """Write a stiff gauge for one deck: outline to cut, marks to engrave.

    Cut it from acrylic or card of up to 12 mm. Layers: cut, inner-cut, engrave, reference. Read the
    cutter's kerf with `protractor gauge kerf` first. With --notch the plate rests against the
    pillar under the arm's pivot.
    """
    write_sheet(plate_sheet(deck, cutting), file, as_json)
