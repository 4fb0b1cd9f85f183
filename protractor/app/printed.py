"""What the pages of a printer share: instruments, the library's advice as done here, the Python."""

from __future__ import annotations

from collections.abc import Sequence

from protractor.bench.prints import PrintReadings
from protractor.errors import named
from protractor.printing.paper import paper as paper_of
from protractor.printing.readings import INSTRUMENTS, STEPS_MM
from protractor.sheets.calibration import calibration_lengths

ON_PAGE = {
    "with `force`": "and tick that it replaces the old one",
    "print the verification sheet, protractor printer sheet --printer NAME": (
        "print the verification sheet from this page"
    ),
    "and add `dialog-checked` when it said": "and tick that you did when it said",
    "with `marks`": "under 'Other marks'",
    "or allow a larger `budget`": "or allow a larger budget under 'What is asked of the print'",
}
"""What the library says of inputs, as it is done on the page."""


def on_page(text: str) -> str:
    """A remedy of the library in the words of the page."""
    for said, here in ON_PAGE.items():
        text = text.replace(said, here)
    return named(text)


def instruments() -> list[tuple[str, str, str]]:
    """Each instrument: what it is called, what it is read to, between which marks."""
    return [
        (
            each.label.capitalize(),
            f"{STEPS_MM[each.name]:g} mm",
            "A to B, 150 mm" if each.name == "calipers" else "A to C, the whole line",
        )
        for each in INSTRUMENTS.values()
    ]


def fit_python(found: PrintReadings, paper: str, then: Sequence[str]) -> str:
    """The lines of Python that make the fit."""
    readings = {one.line: list(one.readings_mm) for one in found.measured}
    usual = calibration_lengths(paper_of(paper))
    at = 0 if found.marks == "150" else -1
    nominal = {
        one.line: one.nominal_mm for one in found.measured if one.nominal_mm != usual[one.line][at]
    }
    own = INSTRUMENTS[found.instrument.name]
    instrument = f'INSTRUMENTS["{own.name}"]'
    if own != found.instrument:
        instrument = repr(found.instrument)
    return "\n".join(
        [
            "from protractor import paper",
            "from protractor.printing.fit import fit",
            "from protractor.printing.readings import INSTRUMENTS, Instrument",
            "from protractor.sheets.calibration import read_lines",
            f"instrument = {instrument}",
            f'measured = read_lines(paper("{paper}"), "{found.marks}", {readings!r}, {nominal!r})',
            *then,
        ]
    )
