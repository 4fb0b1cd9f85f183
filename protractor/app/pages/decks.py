"""Remembered decks: added, changed, removed, imported from a file, and exported as one."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from pathlib import Path

from flask import Blueprint, flash, redirect, request, url_for
from flask.typing import ResponseReturnValue
from werkzeug.datastructures import MultiDict

from protractor.alignments.deck import Deck
from protractor.alignments.sheet_code import quoted
from protractor.app.answers import Answer, answers, file_answer
from protractor.app.deck_form import FIRST, changes, deck_form, made, texts_of
from protractor.app.forms import Form, option_words
from protractor.app.house import house
from protractor.app.inputs import PASTED, SEMICOLONS
from protractor.app.pages.workshop import decks_there
from protractor.bench.deck_file import DeckFile, decks_of, decks_text
from protractor.bench.decks import remark
from protractor.bench.inputs import DECK
from protractor.bench.remembered import (
    Defaults,
    add,
    add_all,
    change,
    mark_of,
    remove,
    set_defaults,
)
from protractor.errors import InputError
from protractor.printing.inputs import CLEAR_MARGIN, PAPER, PRINTER
from protractor.printing.paper import paper as paper_named
from protractor.printing.profiles import profile_for

pages = Blueprint("decks", __name__)

SEEN = "seen"
"""The field of a form that says which state of a deck it was filled in for."""

CONFLICT = 409


@answers(pages, "/workshop/add")
def add_page() -> Answer:
    """The form of a deck that is to be remembered."""
    return _form_of(deck_form(request.args, named=True))


@pages.post("/workshop/add")
def add_deck() -> ResponseReturnValue:
    """Remembers a deck; what is wrong is said beside its field."""
    form = deck_form(request.form, named=True)
    if (deck := made(form)) is not None:
        try:
            new = add(house().decks_path, deck)
        except InputError as error:
            form.refuse(error)
        else:
            kept = "is remembered." if new else "was there already, the same."
            flash(" ".join(filter(None, (f"{deck.name} {kept}", _note(deck)))))
            return redirect(url_for("workshop.workshop"), 303)
    return _form_of(form).page()


def _form_of(form: Form) -> Answer:
    return Answer(
        template="deck_form.html",
        title="Another deck",
        shown={"form": form, "deck": None, "first": FIRST, "now": {}, "seen": ""},
        errors=form.errors,
    )


def _note(deck: Deck) -> str:
    said = remark(deck)
    return f"{said[:1].upper()}{said[1:]}." if said else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A remembered deck as it is now, and the mark of that."""

    path: Path
    deck: Deck
    seen: str

    @classmethod
    def of(cls, name: str) -> Known:
        """The deck of a name; raises `InputError` where there is none or it is faulty."""
        file = house().decks()
        deck = file.deck(name)
        return cls(path=file.path, deck=deck, seen=mark_of(deck))


def _named() -> str:
    """The deck that is asked for; raises `InputError` for none."""
    name = request.args.get(DECK.name, "").strip()
    if not name:
        raise house().decks().unnamed()
    return DECK.read(name)  # type: ignore[no-any-return]  # a text


@answers(pages, "/workshop/change")
def change_page() -> Answer:
    """The form of a remembered deck, filled in with what its file says."""
    known = Known.of(_named())
    now = texts_of(known.deck)
    return _change_form(known, deck_form(MultiDict(now), named=False))


@pages.post("/workshop/change")
def change_deck() -> ResponseReturnValue:
    """Changes a deck as the form says, unless it is another one than the form was filled in for."""
    known = Known.of(_named())
    form = deck_form(request.form, named=False)
    if request.form.get(SEEN) != known.seen:
        return _change_form(known, form, meanwhile=True).page()[0], CONFLICT
    given, gone = changes(form, texts_of(known.deck))
    if not form.ok:
        return _change_form(known, form).page()
    if not given and not gone:
        flash(f"Nothing was changed of {known.deck.name}.")
        return redirect(url_for("workshop.workshop"), 303)
    try:
        deck = change(known.path, known.deck.name, given, gone, seen=known.seen)
    except InputError as error:
        form.refuse(error)
        now = Known.of(known.deck.name)
        answer = _change_form(now, form, meanwhile=now.seen != known.seen)
        return answer.page()[0], CONFLICT if now.seen != known.seen else answer.status
    flash(" ".join(filter(None, (f"{deck.name} is changed.", _note(deck)))))
    return redirect(url_for("workshop.workshop"), 303)


def _change_form(known: Known, form: Form, *, meanwhile: bool = False) -> Answer:
    """The form of a deck; `meanwhile` with what its file says now beside what was typed."""
    now = texts_of(known.deck)
    given, gone = changes(form, now)
    words = [
        word
        for name, each in form.fields.items()
        if name in given and each.error is None
        for word in option_words(each.asked, each.typed)
    ]
    words += [f"--without {name}" for name in gone]
    command = " ".join(
        ["protractor decks change", _argument(known.deck.name), *words, *house().decks_words()]
    )
    return Answer(
        template="deck_form.html",
        title=f"Change {known.deck.name}",
        shown={
            "form": form,
            "deck": known.deck,
            "first": FIRST,
            "now": {name: now.get(name, "") for name in form.fields} if meanwhile else {},
            "seen": known.seen,
            "meanwhile": meanwhile,
        },
        data={"deck": known.deck.as_dict(), "seen": known.seen},
        errors=form.errors,
        command=command if words else "",
    )


def _argument(name: str) -> str:
    """A deck's name as an argument, also where it begins like an option."""
    return f"-- {quoted(name)}" if name.startswith("-") else quoted(name)


@answers(pages, "/workshop/remove")
def remove_page() -> Answer:
    """Asks whether a deck is to be forgotten."""
    return _removal(Known.of(_named()))


def _removal(known: Known, *, meanwhile: bool = False) -> Answer:
    return Answer(
        template="deck_remove.html",
        title=f"Remove {known.deck.name}",
        shown={
            "deck": known.deck,
            "said": texts_of(known.deck),
            "seen": known.seen,
            "meanwhile": meanwhile,
        },
        data={"deck": known.deck.as_dict(), "seen": known.seen},
        command=" ".join(
            ["protractor decks remove", *house().decks_words(), _argument(known.deck.name)]
        ),
    )


@pages.post("/workshop/remove")
def remove_deck() -> ResponseReturnValue:
    """Forgets a deck, unless it is another one than the page showed."""
    known = Known.of(_named())
    if request.form.get(SEEN) != known.seen:
        return _removal(known, meanwhile=True).page()[0], CONFLICT
    remove(known.path, known.deck.name, seen=known.seen)
    flash(f"{known.deck.name} is forgotten. The log of its rounds stays.")
    return redirect(url_for("workshop.workshop"), 303)


DEFAULTS = {
    "deck": DECK,
    "paper": replace(PAPER, default=None, help="Paper where neither deck nor page names one."),
    "clear_margin_mm": replace(CLEAR_MARGIN, help="Its clear margin."),
    "printer": replace(PRINTER, help="A recorded printer to correct sheets for, on this paper."),
}
"""What can be taken by default, by attribute."""


@answers(pages, "/workshop/defaults")
def defaults_page() -> Answer:
    """What is taken where nothing is named."""
    now = house().decks().defaults
    table = {name: str(value) for name, value in now.table().items()}
    return _defaults_form(Form.asking(DEFAULTS, MultiDict(table)))


def _defaults_form(form: Form, *, meanwhile: bool = False) -> Answer:
    file = house().decks()
    try:
        printers = sorted({each.name for each in house().printers()})
    except InputError as error:
        printers = []
        form.others.append(error)
    return Answer(
        template="deck_defaults.html",
        title="Defaults",
        shown={
            "form": form,
            "names": file.names,
            "printers": printers,
            "seen": mark_of(file.defaults),
            "now": str(file.defaults) or "nothing" if meanwhile else "",
        },
        data=file.defaults.table(),
        errors=form.errors,
        command=" ".join(["protractor decks default", *house().decks_words()]),
    )


@pages.post("/workshop/defaults")
def keep_defaults() -> ResponseReturnValue:
    """Keeps what is taken by default, unless it is something else than the form showed."""
    file = house().decks()
    form = Form.asking(DEFAULTS, request.form)
    if request.form.get(SEEN) != mark_of(file.defaults):
        return _defaults_form(form, meanwhile=True).page()[0], CONFLICT

    def keep() -> Defaults:
        values = dict(form.values)
        if "deck" in values:
            values["deck"] = file.deck(values["deck"]).name
        after = Defaults(**values)
        if after.printer is not None:
            on = paper_named(PAPER.or_default(after.paper)).name
            profile_for(house().printers(), after.printer, on)
        if after != file.defaults:
            set_defaults(file.path, after, seen=mark_of(file.defaults))
        return after

    after = form.asks(keep)
    if after is None:
        return _defaults_form(form).page()
    flash(f"By default: {after or 'nothing'}.")
    return redirect(url_for("workshop.workshop"), 303)


@pages.get("/workshop/decks.<ending>")
def export(ending: str) -> ResponseReturnValue:
    """The remembered decks as a file, as `decks export` writes it."""
    if ending not in ("toml", "csv"):
        raise InputError("decks", f"decks.{ending}", "decks.toml or decks.csv", "take one of them")
    found = decks_there()
    if found.faults:
        count = f"{len(found.faults)} faults" if len(found.faults) > 1 else "1 fault"
        first = found.faults[0]
        raise InputError("decks", f"a file with {count}", "a file without", f"correct it: {first}")
    if not found.decks:
        raise InputError("decks", "no deck", "at least one", "add a deck first")
    form = Form.asking({"semicolons": SEMICOLONS}, request.args)
    semicolons = bool(form.values.get("semicolons")) and ending == "csv"
    text = decks_text(Path(f"decks.{ending}"), found.decks, semicolons=semicolons)
    return file_answer(text.encode(), ending, f"decks.{ending}")


_TABLE = re.compile(r"^\s*\[", re.MULTILINE)


@answers(pages, "/workshop/import")
def import_page() -> Answer:
    """Where decks of a file are imported."""
    return _import(Form.asking({"decks": PASTED}, MultiDict()), "", None)


@pages.post("/workshop/import")
def import_decks() -> ResponseReturnValue:
    """Checks the decks of a text or a file, and adds them all where every one is sound."""
    text, form = _sent()
    found = form.asks(lambda: decks_of(text.encode(), _called(text)))
    if found is not None and not found.faults and "add" in request.form:
        sound = found.decks
        count = form.asks(lambda: add_all(house().decks_path, sound))
        if count is not None:
            same = len(sound) - count
            flash(f"{_decks(count)} added." + (f" {same} there already, the same." * bool(same)))
            return redirect(url_for("workshop.workshop"), 303)
    return _import(form, text, found).page()


def _sent() -> tuple[str, Form]:
    """The text of a file that was sent, or what was pasted, and the form with what is wrong."""
    sent = request.files.get("file")
    data = sent.read() if sent is not None and sent.filename else b""
    text, trouble = request.form.get(PASTED.name, ""), None
    if data:
        try:
            text = data.decode("utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig")
        except UnicodeDecodeError:
            trouble = PASTED.refuse("a file that is no UTF-8 text", "save it as UTF-8")
    text = text.replace("\r\n", "\n")
    if trouble is None and len(text) > PASTED.longest:
        trouble = PASTED.refuse(
            f"{len(text)} characters", "use protractor decks, or split the list"
        )
        text = ""
    if trouble is None and not text.strip():
        trouble = PASTED.refuse("nothing", "paste the text, or choose a file")
    form = Form.asking({"decks": PASTED}, MultiDict())
    if trouble is not None:
        form.refuse(trouble)
    return text, form


def _called(text: str) -> Path:
    """What a text of decks is called: its ending says TOML where it has a table, else CSV."""
    return Path("pasted.toml" if _TABLE.search(text) else "pasted.csv")


def _decks(count: int) -> str:
    return f"{count} deck{'' if count == 1 else 's'}"


def _import(form: Form, text: str, found: DeckFile | None) -> Answer:
    return Answer(
        template="deck_import.html",
        title="Import decks",
        shown={
            "form": form,
            "text": text,
            "found": found,
            "remarks": [(deck.name, said) for deck in found.decks if (said := remark(deck))]
            if found
            else [],
        },
        data={
            "decks": [deck.name for deck in found.decks] if found else [],
            "faults": [each.as_dict() for each in found.faults] if found else [],
        },
        errors=form.errors or [fault.error for fault in (found.faults if found else ())],
        command=" ".join(["protractor decks check", *house().decks_words("")]),
    )
