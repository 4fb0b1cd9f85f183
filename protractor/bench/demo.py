"""An invented scenario: a repair bench with three decks of no maker."""

from __future__ import annotations

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.drawing.shapes import Page
from protractor.printing.paper import PAPERS

DEMO_DECKS = (
    ("nine-inch", "Bench deck 1, nine-inch arm (invented)", 215.0, "lofgren-a"),
    ("ten-inch", "Bench deck 2, ten-inch arm (invented)", 239.5, "lofgren-b"),
    ("twelve-inch", "Bench deck 3, twelve-inch arm (invented)", 295.5, "stevenson"),
)
"""File name, title, pivot to spindle [mm] and scheme of each deck."""

BOARD_TITLE = "Board for a new ten-inch arm (invented)"


def demo_decks() -> tuple[Deck, ...]:
    """The three decks as a technician keeps them."""
    return tuple(
        Deck(name=title, pivot_to_spindle_mm=d, scheme=scheme, notes="invented, of no maker")
        for _, title, d, scheme in DEMO_DECKS
    )


def demo_sheets(file_format: str | None = None) -> dict[str, bytes]:
    """The files of the demo by name.

    Each deck's sheet on A4 and on Letter, a plate for the first deck, an arm board for a new arm of
    the second one's length, and the file of the three decks. Without a `file_format` the plate is
    SVG and the rest PDF.
    """
    from protractor.alignments.sheet_code import continuing, sheet_code
    from protractor.bench.deck_toml import toml_text
    from protractor.output.formats import ENDINGS, page_bytes
    from protractor.sheets.alignment_sheet import alignment_pages
    from protractor.sheets.arm_board import board_page
    from protractor.sheets.plate import plate_page

    decks = [
        (name, deck, align(deck)) for (name, *_), deck in zip(DEMO_DECKS, demo_decks(), strict=True)
    ]
    pages: dict[str, tuple[Page | tuple[Page, ...], str]] = {}
    for name, deck, alignment in decks:
        command = continuing(alignment, deck, code=sheet_code(alignment))
        for paper in ("a4", "letter"):
            sheet = alignment_pages(alignment, PAPERS[paper], deck.name, command=command)
            pages[f"demo-{name}-{paper}"] = sheet, "pdf"
    name, deck, alignment = decks[0]
    pages[f"demo-{name}-plate"] = plate_page(alignment, title=deck.name), "svg"
    name, _, alignment = decks[1]
    length = alignment.arm.effective_length_mm
    board = align(Deck(effective_length_mm=length, scheme=alignment.scheme))
    pages[f"demo-{name}-board-a3"] = board_page(board, PAPERS["a3"], title=BOARD_TITLE), "pdf"
    sheets = {
        stem + ENDINGS[file_format or usual]: page_bytes(page, file_format or usual)
        for stem, (page, usual) in pages.items()
    }
    return {**sheets, "demo-bench.toml": toml_text(demo_decks()).encode("utf-8")}
