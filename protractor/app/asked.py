"""The deck that a page is about: given by its figures, or remembered by its name."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from flask import request

from protractor.alignments.deck import NAME, Deck
from protractor.alignments.sheet_code import deck_words
from protractor.app.forms import Form, Query, python_of
from protractor.app.house import house
from protractor.bench.inputs import DECK
from protractor.bench.remembered import Question, Remembered, question
from protractor.errors import InputError
from protractor.inputs.declaration import Input

TITLE = replace(NAME, name="title", help="Name of the deck, printed at the top of the sheet.")


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedDeck:
    """What a page was asked of a deck.

    Attributes:
        form: the fields of the deck, as typed, with what is wrong.
        file: the remembered decks, None where their file is damaged.
        question: the deck and where it comes from, None when something is wrong.
        trouble: what is wrong with the file of decks, where nothing of it was asked for.
    """

    form: Form
    file: Remembered | None
    question: Question | None
    trouble: InputError | None = None

    @property
    def deck(self) -> Deck | None:
        """The deck, None when something is wrong."""
        return self.question.deck if self.question else None

    @property
    def known(self) -> Deck | None:
        """The remembered deck as it is in its file, if it is one."""
        return self.question.known if self.question else None

    @property
    def name(self) -> str:
        """The name of the remembered deck, empty for none."""
        return self.known.name if self.known else ""

    @property
    def asked(self) -> bool:
        """Whether a deck was asked for at all; a page without a question is no mistake."""
        return bool(request.args.get(DECK.name, "").strip()) or not self.form.empty

    @property
    def remembered(self) -> str:
        """The options that ask for the same target again by the deck's name, empty for none."""
        if self.question is None or self.file is None or self.known is None:
            return ""
        return " ".join([self.file.words(self.known.name), *deck_words(self.question.given)])

    def command(self, name: str, *more: str) -> str:
        """The command that asks the same as the page."""
        known = [self.file.words(self.known.name)] if self.file and self.known else []
        return " ".join(["protractor", name, *known, *self.form.words(), *filter(None, more)])

    def python(self, *lines: str) -> str:
        """The lines of Python that ask the same; the deck is `deck` in `lines`."""
        if self.deck is None:
            return ""
        made = python_of(self.deck, but=("notes",))
        return "\n".join([*lines[:1], f"deck = {made}", *lines[1:]])


def asked_deck(
    attributes: Collection[str],
    *,
    query: Query | None = None,
    instead: Mapping[str, Input] | None = None,
    no_printer: str = "",
) -> AskedDeck:
    """The deck that the running request asks for, by `deck` and by fields of a deck.

    `attributes` are the fields that count for the page; `query` is the request's own when None.
    What is wrong is said in the form.
    """
    query = request.args if query is None else query
    form = Form.of(Deck, attributes, query, {"name": TITLE, **(instead or {})})
    names = [name.strip() for name in query.getlist(DECK.name) if name.strip()]
    name = names[0] if names else None
    file, trouble = None, None
    try:
        file = house().decks()
    except InputError as error:
        if name is not None:
            form.refuse(error)
        trouble = error
    if file is None:
        bare = form.asks(lambda: Question(deck=Deck(**form.values), given=Deck(**form.values)))
        return AskedDeck(form=form, file=None, question=bare, trouble=trouble)
    there = file
    found = form.asks(
        lambda: question(
            there, name, form.values, attributes, or_default=False, no_printer=no_printer
        )
    )
    for attribute, field in form.by_attribute():
        said = found and (getattr(found.known, attribute, None) or _default(found, attribute))
        form.know(field, said)
    return AskedDeck(form=form, file=file, question=found)


def _default(found: Question, attribute: str) -> object:
    """What the defaults of the file say of a field, such as the paper."""
    return getattr(found.by_default, attribute, None)
