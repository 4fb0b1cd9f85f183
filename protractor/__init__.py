"""Alignment geometry of record-player arms and true-scale alignment templates.

>>> from protractor import Deck, align
>>> alignment = align(Deck(pivot_to_spindle_mm=222.0, scheme="lofgren-a"))
>>> round(alignment.arm.overhang_mm, 2), round(alignment.arm.offset_angle_deg, 2)
(17.3, 22.99)
>>> [round(radius, 2) for radius in alignment.arm.null_radii_mm]
[66.0, 120.89]
"""

from __future__ import annotations

from typing import Any

__version__ = "0.1.0"

_HOMES = {
    "Alignment": "alignments.alignment",
    "Arm": "arms.arm",
    "Comparison": "alignments.comparison",
    "compare": "alignments.comparison",
    "null_radii": "arms.arm",
    "tracking_angle": "arms.arm",
    "tracking_error": "arms.arm",
    "Reading": "setup.correction",
    "correct": "setup.correction",
    "second_harmonic": "arms.distortion",
    "harmonics": "arms.distortion",
    "InputError": "errors",
    "Objective": "alignments.objective",
    "Span": "alignments.objective",
    "best_arm": "alignments.optimum",
    "Play": "arms.play",
    "Page": "drawing.shapes",
    "PAPERS": "printing.paper",
    "RECORD_PRESETS": "arms.records",
    "Record": "arms.records",
    "record": "arms.records",
    "SCHEMES": "arms.schemes",
    "scheme_null_radii": "arms.schemes",
    "alignment_page": "sheets.alignment_sheet",
    "pdf_bytes": "output.pdf",
    "svg_bytes": "output.svg",
    "dxf_bytes": "output.dxf",
    "page_bytes": "output.formats",
    "save": "output.formats",
    "curve_page": "curves.page",
    "Style": "output.style",
    "Cutting": "sheets.cutting",
    "plate_page": "sheets.plate",
    "kerf_page": "sheets.kerf_piece",
    "board_page": "sheets.arm_board",
    "Deck": "alignments.deck",
    "align": "alignments.align",
    "DeckFile": "bench.deck_file",
    "read_decks": "bench.deck_file",
    "toml_text": "bench.deck_file",
    "csv_text": "bench.deck_file",
    "SheetChoice": "bench.deck_sheets",
    "run_batch": "bench.batch",
    "write_whole": "files",
}

__all__ = ["__version__", *sorted(_HOMES)]  # noqa: PLE0604  # names of strings, each loaded below


def __getattr__(name: str) -> Any:
    """Loads a public name's module when the name is first used, so that the import is light."""
    if name not in _HOMES:
        raise AttributeError(f"module 'protractor' has no attribute {name!r}")
    import importlib

    return getattr(importlib.import_module(f"protractor.{_HOMES[name]}"), name)
