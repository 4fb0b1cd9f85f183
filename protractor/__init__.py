"""Alignment geometry of record-player arms and true-scale alignment templates.

>>> from protractor import Deck, align
>>> alignment = align(Deck(pivot_to_spindle_mm=222.0, scheme="lofgren-a"))
>>> round(alignment.arm.overhang_mm, 2), round(alignment.arm.offset_angle_deg, 2)
(17.3, 22.99)
>>> [round(radius, 2) for radius in alignment.arm.null_radii_mm]
[66.0, 120.89]

`Deck` is the question and `align` the way to its answer, an `Alignment`; `compare` sets schemes
beside each other; the functions that end in `_page` draw sheets from it, and `save` writes them.
`reconcile`, `correct` and `tolerance` are for a deck whose data are missing or wrong; `fit` says
whether a `Cartridge` suits a `Tonearm` and a `Stage`; `read_decks` and `run_batch` are for many
decks. What cannot be used raises `InputError`, in one line.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from protractor.alignments.align import align
    from protractor.alignments.alignment import Alignment
    from protractor.alignments.comparison import Comparison, compare
    from protractor.alignments.deck import Deck
    from protractor.arms.arm import Arm
    from protractor.arms.records import Record, record
    from protractor.bench.batch import run_batch
    from protractor.bench.deck_file import read_decks
    from protractor.bench.deck_sheets import SheetChoice
    from protractor.chain.answer import Answer
    from protractor.chain.cartridge import Cartridge
    from protractor.chain.interval import Interval
    from protractor.chain.question import fit
    from protractor.chain.stage import Stage
    from protractor.chain.tonearm import Tonearm
    from protractor.curves.page import curve_page
    from protractor.drawing.shapes import Page
    from protractor.errors import InputError
    from protractor.output.formats import save
    from protractor.printing.paper import paper
    from protractor.setup.bounds import SetupBounds
    from protractor.setup.inputs import Seen
    from protractor.setup.questions import correct, reconcile
    from protractor.setup.tolerance import tolerance
    from protractor.sheets.alignment_sheet import alignment_pages
    from protractor.sheets.arm_board import board_page
    from protractor.sheets.cutting import Cutting
    from protractor.sheets.pivot_gauge import pivot_gauge_page
    from protractor.sheets.plate import plate_page
    from protractor.sheets.two_null import two_null_pages

__version__ = "0.1.0"

_ROOMS = {
    "align": "alignments.align",
    "Alignment": "alignments.alignment",
    "alignment_pages": "sheets.alignment_sheet",
    "Answer": "chain.answer",
    "Arm": "arms.arm",
    "board_page": "sheets.arm_board",
    "Cartridge": "chain.cartridge",
    "compare": "alignments.comparison",
    "Comparison": "alignments.comparison",
    "correct": "setup.questions",
    "curve_page": "curves.page",
    "Cutting": "sheets.cutting",
    "Deck": "alignments.deck",
    "fit": "chain.question",
    "InputError": "errors",
    "Interval": "chain.interval",
    "Page": "drawing.shapes",
    "paper": "printing.paper",
    "pivot_gauge_page": "sheets.pivot_gauge",
    "plate_page": "sheets.plate",
    "read_decks": "bench.deck_file",
    "reconcile": "setup.questions",
    "Record": "arms.records",
    "record": "arms.records",
    "run_batch": "bench.batch",
    "save": "output.formats",
    "Seen": "setup.inputs",
    "SetupBounds": "setup.bounds",
    "SheetChoice": "bench.deck_sheets",
    "Stage": "chain.stage",
    "tolerance": "setup.tolerance",
    "Tonearm": "chain.tonearm",
    "two_null_pages": "sheets.two_null",
}
"""The public names, each with the module that it is loaded from when it is first used."""

__all__ = [  # noqa: RUF022  # in the order of `_ROOMS`, which a test compares
    "align",
    "Alignment",
    "alignment_pages",
    "Answer",
    "Arm",
    "board_page",
    "Cartridge",
    "compare",
    "Comparison",
    "correct",
    "curve_page",
    "Cutting",
    "Deck",
    "fit",
    "InputError",
    "Interval",
    "Page",
    "paper",
    "pivot_gauge_page",
    "plate_page",
    "read_decks",
    "reconcile",
    "Record",
    "record",
    "run_batch",
    "save",
    "Seen",
    "SetupBounds",
    "SheetChoice",
    "Stage",
    "tolerance",
    "Tonearm",
    "two_null_pages",
]


def __getattr__(name: str) -> Any:
    """Loads a public name's module when the name is first used, so that the import is light."""
    if name not in _ROOMS:
        raise AttributeError(f"module 'protractor' has no attribute {name!r}")
    import importlib

    return getattr(importlib.import_module(f"protractor.{_ROOMS[name]}"), name)


def __dir__() -> list[str]:
    """What a notebook offers after `protractor.`: the public names and the version."""
    return [*__all__, "__doc__", "__version__"]
