"""`protractor gauge pivot`: a paper gauge for the distance from pivot to spindle."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.alignments.deck import Deck
from protractor.cli.help import Command
from protractor.cli.options import SHEET, asks_deck, json_option, option
from protractor.cli.sheets import (
    OnPaper,
    Sheet,
    SheetFile,
    file_options,
    profile_file_option,
    proof,
    stem_of,
)
from protractor.cli.wording import prose
from protractor.drawing.shapes import Page
from protractor.sheets.inputs import START


@click.command("pivot", cls=Command)
@option(START)
@asks_deck(*SHEET, "name", another=None)
@profile_file_option
@file_options
@json_option
def command(
    start: float | None, deck: Deck, profile_file: Path | None, file: SheetFile, as_json: bool
) -> None:
    """Write a gauge that measures pivot to spindle to a tenth of a millimetre.

    A fork with two scales lies from the spindle to past the pivot, open toward it so that it slides
    past the arm's pillar; a slider with verniers and two flaps carries the reading up to the
    pivot's height. For an arm that is longer than the sheet add a second sheet, as from --start
    190, which is laid on the first and read where it lies.
    """
    from protractor.sheets.pivot_gauge import pivot_gauge_page

    on_paper, begin = OnPaper.of(deck, profile_file), START.or_default(start)

    def report(page: Page, file_format: str) -> str:
        pivots = page.features["pivots_mm"]
        assert pivots is not None
        reach = f"reads {pivots[0]:g} to {pivots[1]:g} mm from spindle to pivot"
        lines = [f"{on_paper.paper.label}: {reach}", *prose(on_paper.note), proof(file_format)]
        if begin:
            lines += ["Print the sheet that starts at the spindle too: this one is laid on it."]
        return "\n".join(lines)

    Sheet(
        stem=stem_of(deck, "pivot-gauge", f"from-{begin:g}mm", on_paper.paper.name),
        make=lambda: pivot_gauge_page(on_paper.paper, begin, deck.name, on_paper.note),
        report=report,
        figures=lambda: {"start_mm": begin},
        correction=on_paper.correction,
    ).write(file, as_json)
