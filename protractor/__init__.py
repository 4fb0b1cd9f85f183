"""Alignment geometry of record-player arms and true-scale alignment templates.

>>> from protractor import solve
>>> alignment = solve(pivot_to_spindle_mm=222.0, scheme="lofgren-a")
>>> round(alignment.arm.overhang_mm, 2), round(alignment.arm.offset_angle_deg, 2)
(17.3, 22.99)
>>> [round(radius, 2) for radius in alignment.arm.null_radii_mm]
[66.0, 120.89]
"""

from __future__ import annotations

from typing import Any

__version__ = "0.1.0"

_HOMES = {
    "Alignment": "alignment",
    "solve": "alignment",
    "Arm": "arm",
    "Comparison": "comparison",
    "compare": "comparison",
    "null_radii": "arm",
    "tracking_angle": "arm",
    "tracking_error": "arm",
    "Reading": "correction",
    "correct": "correction",
    "second_harmonic": "distortion",
    "harmonics": "distortion",
    "InputError": "errors",
    "solve_exact": "exact",
    "Objective": "objective",
    "Span": "objective",
    "best_arm": "optimum",
    "Play": "play",
    "Page": "drawing.shapes",
    "PAPERS": "paper",
    "RECORD_PRESETS": "records",
    "Record": "records",
    "record": "records",
    "solve_straight": "straight",
    "SCHEMES": "schemes",
    "scheme_null_radii": "schemes",
    "alignment_page": "sheets.alignment_sheet",
    "pdf_bytes": "output.pdf",
    "svg_bytes": "output.svg",
    "dxf_bytes": "output.dxf",
    "page_bytes": "output.formats",
    "Style": "output.style",
    "Cutting": "sheets.plate",
    "plate_page": "sheets.plate",
    "kerf_page": "sheets.kerf_piece",
    "board_page": "sheets.arm_board",
    "Deck": "decks",
    "DeckFile": "deckfile",
    "read_decks": "deckfile",
    "toml_text": "deckfile",
    "csv_text": "deckfile",
    "Order": "batch",
    "run_batch": "batch",
    "write_whole": "output.files",
}

__all__ = ["__version__", *sorted(_HOMES)]  # noqa: PLE0604  # names of strings, each loaded below


def __getattr__(name: str) -> Any:
    """Loads a public name's module when the name is first used, so that the import is light."""
    if name not in _HOMES:
        raise AttributeError(f"module 'protractor' has no attribute {name!r}")
    import importlib

    return getattr(importlib.import_module(f"protractor.{_HOMES[name]}"), name)
