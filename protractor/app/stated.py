"""What is stated about an arm as fields of a form: read as statements, kept as they are written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from protractor.bench.decks import STATEMENTS
from protractor.inputs.declaration import Input
from protractor.setup.statements import STATED, read_statement

HELP = {
    "pivot-to-spindle": "What you measured, with what it may be wrong by: 222.3±0.3. Without ± it "
    "counts as rounded: 222.3 is 222.3±0.05.",
    "effective-length": "Pivot to stylus.",
    "overhang": "How far the stylus passes the spindle; negative for an underhung arm.",
    "offset-angle": "Between the cartridge and the line from stylus to pivot.",
    "linear-offset": "Effective length times the sine of the offset angle.",
    "null-radii": "Where the cartridge is tangent to the groove, two radii.",
}
"""What each is, for somebody who copies it from a page."""


def _as_written(asked: Input, text: str) -> str:
    """A statement as it was written, once it is sure that it can be read."""
    read_statement(asked.name, text)
    return " ".join(text.split())


AS_WRITTEN: Mapping[str, Input] = {
    name.replace("-", "_"): replace(asked, reads=_as_written, help=HELP[name])
    for name, asked in STATED.items()
}
"""What can be stated, by attribute; a value is the text, since its digits say how sure it is."""

KEPT = STATEMENTS
"""What a deck keeps of it. Null radii that a deck keeps are those of its own alignment."""
