"""The steps of setting up a cartridge, in the order that spares the stylus.

One table that the sheets, the README and any other page share: what to do, and how one knows that
it is right. The platter and the cartridge move only while the tip is up.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Step:
    """One step: what to do, and how one knows that it is right; each at most two sentences."""

    what: str
    know: str = ""
