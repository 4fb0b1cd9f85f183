"""`protractor gauge board`: where to drill for a new arm."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.alignments.align import align
from protractor.alignments.alignment import to_hundredth
from protractor.alignments.deck import Deck
from protractor.cli.help import Command
from protractor.cli.options import ALIGNED, SHEET, asks_deck, json_option, option
from protractor.cli.sheets import (
    OnPaper,
    Sheet,
    SheetFile,
    alignment_stem,
    file_options,
    profile_file_option,
)
from protractor.sheets.inputs import MOUNT, SLOTS


@click.command("board", cls=Command)
@asks_deck(*ALIGNED, *SHEET, "name")
@profile_file_option
@option(SLOTS)
@option(MOUNT)
@file_options
@json_option
def command(
    deck: Deck,
    profile_file: Path | None,
    slots: float | None,
    mount: float | None,
    file: SheetFile,
    as_json: bool,
) -> None:
    """Write where to drill for a new arm: spindle, pivot circle and tolerance ring.

    Give the arm's effective length. The arm maker's own drawing counts where it differs. Look under
    the plinth before you drill, and pull the mains plug.
    """
    from protractor.sheets.arm_board import Mounting, board_page, pivot_ring

    alignment = align(deck)
    on_paper = OnPaper.of(deck, profile_file)
    mounting = Mounting(slots_mm=SLOTS.or_default(slots), mount_mm=mount)
    low, high = pivot_ring(alignment, mounting.slots_mm)
    pivot = to_hundredth(alignment.arm.pivot_to_spindle_mm)
    said = (
        f"{on_paper.paper.label}: pivot {pivot} mm from the spindle, slots reach "
        f"{to_hundredth(low)} to {to_hundredth(high)} mm\n"
        "Measure both bars before you drill; the arm maker's drawing comes first."
    )
    Sheet(
        stem=alignment_stem(deck, alignment, f"board_{on_paper.paper.name}"),
        make=lambda: on_paper.page(
            lambda paper: board_page(alignment, paper, mounting, deck.name, on_paper.note)
        ),
        report=lambda page, form: said,
        figures=lambda: {**alignment.as_dict(), "pivot_ring_mm": [low, high]},
        correction=on_paper.correction,
    ).write(file, as_json)
