"""What was read on a sheet, as the page asks for it: two fans by their names, and all else.

One question has one address: fans that were filled in are written as `reading`, as a command has
them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import cached_property
from urllib.parse import urlencode

from flask import request

from protractor.alignments.align import align
from protractor.alignments.alignment import Alignment
from protractor.alignments.deck import Deck
from protractor.alignments.sheet_code import CODE, sheet_code
from protractor.alignments.sheet_search import check_code, targets_of
from protractor.app.asked import AskedDeck, asked_deck
from protractor.app.forms import Form
from protractor.bench.deck_rounds import DeckRounds
from protractor.bench.decks import length_bound_mm
from protractor.errors import InputError
from protractor.inputs.declaration import Input, inputs_of
from protractor.setup.bounds import FAN_RANGE_DEG
from protractor.setup.correction import Correction
from protractor.setup.inputs import READING, Seen
from protractor.setup.questions import correct

DECK_ASKED = (
    "pivot_to_spindle_mm",
    "effective_length_mm",
    "scheme",
    "record",
    "inner_radius_mm",
    "outer_radius_mm",
    "null_radii_mm",
    "straight",
    "zenith_deg",
    "pivot_height_mm",
)

AS_PRINTED_MM = 0.051
"""A radius is printed to a tenth."""


def _fan(which: str) -> Input:
    return Input(
        name=f"{which}-fan",
        kind="number",
        unit="deg",
        low=-FAN_RANGE_DEG,
        high=FAN_RANGE_DEG,
        many=True,
        help=f"What the fan of the {which} target shows, with its sign.",
        remedy="turn the cartridge until it is roughly along the grid, then read both again",
    )


FANS = (_fan("inner"), _fan("outer"))
"""The fans of a sheet, from the spindle outwards; a sheet of one target has the first alone."""


@dataclass(frozen=True, kw_only=True)
class Read:
    """What the running request asks of a deck and of what was read on its sheet.

    `form` has what was read, `asked` the deck; `target` is what the sheet was made for, None when
    something is wrong with the deck.
    """

    asked: AskedDeck
    form: Form
    target: Alignment | None

    @classmethod
    def of_request(cls) -> Read:
        """What the running request asks; what is wrong is said in its forms."""
        asked = asked_deck(DECK_ASKED)
        fans = {fan.name.replace("-", "_"): fan for fan in FANS}
        form = Form.asking({**fans, **inputs_of(Seen), "code": CODE}, request.args)
        deck = asked.deck
        target = asked.form.asks(lambda: align(deck)) if deck and asked.asked else None
        found = cls(asked=asked, form=form, target=target)
        if target is not None:
            found._check_code(target)
        return found

    def _check_code(self, target: Alignment) -> None:
        deck, code = self.asked.deck, self.form.values.get("code")
        assert deck is not None
        self.form.asks(lambda: check_code(code, deck, target, self._others()))

    def _others(self) -> Iterator[Deck]:
        """The remembered decks that can be read."""
        for name in self.asked.file.names if self.asked.file else ():
            with suppress(InputError):
                yield self.asked.file.deck(name)  # type: ignore[union-attr]

    @property
    def code(self) -> str:
        """The code of the deck's own sheet."""
        assert self.target is not None
        assert self.asked.deck is not None
        return sheet_code(self.target, self.asked.deck.zenith_rad)

    @property
    def targets(self) -> list[float]:
        """The radii of the sheet's targets, from the spindle outwards [mm]."""
        return sorted(targets_of(self.target)) if self.target else []

    @property
    def canonical(self) -> str:
        """The address's query with the fans written as `reading`, empty where it is so written."""
        names = [fan.name for fan in FANS]
        wrong = any(self.form[name].error for name in names)
        if wrong or not self.targets or not any(name in request.args for name in names):
            return ""
        kept = [each for each in request.args.items(multi=True) if each[0] not in names]
        kept = [(name, text.strip()) for name, text in kept if text.strip()]
        for fan, radius in zip(FANS, self.targets, strict=False):
            degrees = self.form.values.get(fan.name.replace("-", "_"), ())
            kept += [(READING.name, f"{radius:.1f}:{each:.10g}") for each in degrees]
        return urlencode(kept)

    def fill_fans(self) -> list[str]:
        """Shows readings at the targets in their fans; returns the others, as they were typed."""
        field, others = self.form["reading"], []
        shown: list[list[str]] = [[] for _ in FANS]
        for text in [part for typed in field.typed for part in typed.split(";")]:
            radius, degrees = math.nan, text
            with suppress(InputError):
                [(radius, _)] = READING.take(text)
                degrees = text.partition(":")[2].strip()
            near = [abs(radius - each) <= AS_PRINTED_MM for each in self.targets[: len(FANS)]]
            shown[near.index(True)].append(degrees) if any(near) else others.append(text)
        for fan, typed in zip(FANS, shown, strict=True):
            there = self.form.fields[fan.name]
            self.form.fields[fan.name] = replace(there, typed=there.typed or tuple(typed))
        return others

    @property
    def seen(self) -> Seen:
        """What was read, with the deck's own bound of its length where none was given.

        Raises `InputError` for values that do not go together.
        """
        assert self.asked.deck is not None
        known = inputs_of(Seen)
        values = {name: value for name, value in self.form.values.items() if name in known}
        bound = length_bound_mm(self.asked.deck)
        if bound is not None:
            values.setdefault("pivot_to_spindle_bound_mm", bound)
        return Seen(**values)

    @property
    def waits_for(self) -> str:
        """What has still to be read before anything can be answered; empty when all is there."""
        radii = {radius for radius, _ in self.form.values.get("reading", ())}
        with_overhang = {"overhang_mark_mm", "overhang_mm"} & self.form.values.keys()
        if not radii:
            return (
                "Read the fan at each target as the steps on the card say, and give what they show."
            )
        if len(radii) == 1 and not with_overhang:
            if len(self.targets) == 1:
                return "Read the overhang marks too: a sheet of one target settles nothing alone."
            return "Read the other target too, or the overhang marks."
        return ""

    @cached_property
    def found(self) -> tuple[Seen, Correction] | None:
        """What was read and what to move; None while something is wrong or missing."""
        deck = self.asked.deck
        if self.target is None or deck is None or self.waits_for:
            return None
        seen = self.form.asks(lambda: self.seen)
        if seen is None:
            return None
        found = self.form.asks(lambda: correct(deck, seen))
        return None if found is None else (seen, found)

    @cached_property
    def rounds(self) -> DeckRounds | None:
        """The rounds of the remembered deck, None for one given by its figures."""
        file, name, target = self.asked.file, self.asked.name, self.target
        if file is None or not name or target is None:
            return None
        return self.form.asks(lambda: DeckRounds.of(file, name, target))

    @property
    def errors(self) -> list[InputError]:
        """Everything that is wrong; a page without a question is no mistake."""
        return [*(self.asked.form.errors if self.asked.asked else ()), *self.form.errors]
