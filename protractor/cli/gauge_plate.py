"""`protractor gauge plate`: a stiff gauge for one deck, to cut and engrave."""

from __future__ import annotations

import click

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.cli.help import Command
from protractor.cli.options import ALIGNED, asks_deck, filled, json_option
from protractor.cli.sheets import Sheet, SheetFile, alignment_stem, file_options
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
    from protractor.sheets.plate import plate_page

    alignment = align(deck)
    lines = ["One unit is one millimetre; measure the engraved 20 mm square before use."]
    if cutting.mirror:
        lines += ["The marks lie under the stock: look straight down on them."]
    Sheet(
        stem=alignment_stem(deck, alignment, "plate-mirrored" if cutting.mirror else "plate"),
        make=lambda: plate_page(alignment, cutting, deck.name),
        report=lambda page, form: "\n".join(
            [
                f"{page.width_mm:.1f} x {page.height_mm:.1f} mm of stock, kerf "
                f"{cutting.kerf_mm:g} mm, spindle hole {cutting.hole_mm:g} mm",
                *lines,
            ]
        ),
        figures=alignment.as_dict,
        usual="svg",
    ).write(file, as_json)
