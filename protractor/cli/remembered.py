"""The deck that a command is about: given by its figures, remembered by name, or the default."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, Any

import click

from protractor.alignments.alignment import Alignment
from protractor.alignments.deck import Deck
from protractor.bench.deck_rounds import DeckRounds
from protractor.cli.saying import note, tell
from protractor.errors import InputError
from protractor.setup.rounds import append, deck_of, next_round

if TYPE_CHECKING:
    from protractor.bench.remembered import Defaults, Question, Remembered

LENGTH_BOUND = "pivot_to_spindle_bound"
"""The parameter of a command that a deck's own bound fills, where it was not given."""

META = "protractor.remembered"
"""Where the context of a command keeps the remembered deck that it is about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """The remembered deck that the running command is about, and its file."""

    question: Question
    file: Remembered

    @property
    def deck(self) -> Deck:
        """The deck as it is in its file."""
        assert self.question.known is not None
        return self.question.known


def known_deck() -> Known | None:
    """The remembered deck that the running command is about; None for one given by its figures."""
    found: Known | None = click.get_current_context().meta.get(META)
    return found


def remembered_words() -> str:
    """The options that ask for the running command's target again; empty for no remembered deck."""
    from protractor.alignments.sheet_code import deck_words

    known = known_deck()
    if known is None:
        return ""
    return " ".join([known.file.words(known.deck.name), *deck_words(known.question.given)])


def other_decks() -> Iterator[Deck]:
    """The remembered decks, each read when it is asked for; none when their file cannot be read."""
    from protractor.bench.remembered import remembered

    with suppress(InputError):
        known = known_deck()
        file = known.file if known else remembered()
        for name in file.names:
            with suppress(InputError):
                yield file.deck(name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounds:
    """The log of the running command, if it keeps one: a file that was named, or a deck's own.

    `before` is what is said before the round when the deck's own log begins anew.
    """

    path: Path | None
    deck: str
    own: DeckRounds | None = None
    before: tuple[str, ...] = ()

    @classmethod
    def of(cls, log: Path | None, target: Alignment) -> Rounds:
        """The log for a target; raises `InputError` when it cannot be read or written."""
        known, deck = known_deck(), deck_of(target)
        if log is not None or known is None:
            if log is not None:
                next_round(log, deck)
            return cls(path=log, deck=deck)
        own = DeckRounds.of(known.file, known.deck.name, target)
        own.check()
        before = (*wrap(own.begins_again, 80), "") if own.begins_again else ()
        return cls(path=own.path, deck=deck, own=own, before=before)

    def add(self, values: dict[str, Any]) -> int | None:
        """Adds a round and returns its number; None without a log."""
        if self.own is not None:
            return self.own.add(values)
        return None if self.path is None else append(self.path, self.deck, values)


def asked_deck(
    given: Mapping[str, Any],
    values: dict[str, Any],
    asked: Collection[str],
    another: Collection[str] | None,
) -> Deck:
    """The deck of a command, which is told when it is the default.

    `given` are the fields of a deck that options gave, by attribute; `values` what else the command
    was given, of which the name of a deck and its file are taken out; `asked` the attributes that
    it asks for; `another` parameters which, if given, mean another deck than the default, None
    where no default is taken. Raises `InputError` for a deck that is not there or has faults.
    """
    name, path = values.pop("deck_name"), values.pop("decks_file")
    context = click.get_current_context()
    elsewhere = any(context.params.get(key) not in (None, ()) for key in another or ())
    or_default = another is not None and not elsewhere
    on_paper = {"paper", "clear_margin_mm", "printer"} & set(asked) - set(given)
    if name is path is None and not or_default and not on_paper:
        return Deck(**given)
    from protractor.bench.decks import length_bound_mm
    from protractor.bench.remembered import question, remembered

    try:
        file = remembered(path)
    except InputError as error:
        if name is not None or path is not None:
            raise
        note(error.line("--"))
        return Deck(**given)
    found = question(
        file, name, given, asked, or_default=or_default, no_printer=_no_printer(context)
    )
    if found.known is None and path is not None:
        raise file.unnamed()
    if by_default := str(_counting(found, context)):
        tell(f"{by_default[0].upper()}{by_default[1:]} (default).")
    if found.left_out:
        note(found.left_out)
    if found.known is not None:
        context.meta[META] = Known(question=found, file=file)
    bound = length_bound_mm(found.deck)
    if bound is not None and values.get(LENGTH_BOUND, bound) is None:
        values[LENGTH_BOUND] = bound
    return found.deck


def _counting(found: Question, context: click.Context) -> Defaults:
    """What was taken by default, without a paper where nothing is printed on any."""
    values = context.params
    draws = values.get("output") is not None if "as_csv" in values else "output" in values
    if draws or found.deck.printer is not None:
        return found.by_default
    return replace(found.by_default, paper=None, clear_margin_mm=None)


def _no_printer(context: click.Context) -> str:
    """Why the command takes no printer that is not given, as for a cut file; empty when it may."""
    values = context.params
    if values.get("print_scale_bound") is not None:
        return "the print scale's bound is given"
    output, form = values.get("output"), values.get("format")
    suffix = output.suffix.lower() if output is not None else ""
    if form not in (None, "pdf") or (form is None and suffix not in ("", ".pdf")):
        from protractor.bench.ready_sheet import ONLY_PDFS

        return ONLY_PDFS
    return ""
