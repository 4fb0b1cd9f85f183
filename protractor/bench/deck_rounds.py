"""The rounds of a remembered deck: its own log, whose count begins again with another target."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from protractor.alignments.alignment import Alignment
from protractor.bench.remembered import Remembered
from protractor.files import make_folder
from protractor.setup.rounds import append, deck_of, next_round, read_rounds, this_series


@dataclass(frozen=True, slots=True, kw_only=True)
class DeckRounds:
    """The log of a remembered deck, for one target.

    Attributes:
        path: the log, which may not be there yet.
        target: what the log calls deck and target.
        series: the rounds for this target so far, as they were written.
        earlier: the target of the round before, when that was another one; empty otherwise.
    """

    path: Path
    target: str
    series: tuple[dict[str, Any], ...]
    earlier: str = ""

    @classmethod
    def of(cls, file: Remembered, name: str, target: Alignment) -> DeckRounds:
        """The rounds of a deck; raises `InputError` for a log that cannot be read."""
        path, deck = file.log(name), deck_of(target)
        entries = read_rounds(path)
        series = tuple(this_series(entries, deck))
        earlier = str(entries[-1].get("deck", "")) if entries and not series else ""
        return cls(path=path, target=deck, series=series, earlier=earlier)

    @property
    def number(self) -> int:
        """The number of the next round."""
        return 1 + max((each["round"] for each in self.series), default=0)

    @property
    def begins_again(self) -> str:
        """What is said where the count begins again; empty where it goes on."""
        if not self.earlier:
            return ""
        return (
            f"Another target than in the rounds before, which were for {self.earlier}: the count "
            "begins again."
        )

    def check(self) -> None:
        """Raises `InputError` when the log cannot be written."""
        make_folder(self.path.parent, "log")
        next_round(self.path, self.target, renew=True)

    def add(self, values: dict[str, Any], expected: int | None = None) -> int:
        """Adds a round and returns its number.

        Raises `InputError` when the log cannot be written, and when the round is not the one that
        was `expected`, since another window kept one meanwhile.
        """
        make_folder(self.path.parent, "log")
        return append(self.path, self.target, values, renew=True, expected=expected)
