"""The workshop: remembered decks as a table, and the way to gauges and to many sheets at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from flask import Blueprint, request, url_for

from protractor.alignments.alignment import to_hundredth
from protractor.alignments.deck import Deck
from protractor.app.answers import Answer, answers
from protractor.app.forms import Form
from protractor.app.house import house
from protractor.app.inputs import FIND, FROM
from protractor.bench.deck_file import DeckFile, read_decks
from protractor.bench.inputs import DECK
from protractor.bench.remembered import Remembered
from protractor.bench.worksheet import as_dict
from protractor.errors import InputError
from protractor.printing.inputs import PAPER
from protractor.sheets.names import scheme_name

pages = Blueprint("workshop", __name__)

ROWS = 50
"""Decks on one page: each is worked out anew."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A deck as the table shows it, and its figures."""

    name: str
    length: str
    scheme: str
    printed: str
    due: str
    remark: str
    data: dict[str, Any]

    @property
    def addresses(self) -> dict[str, str]:
        """Where its links lead."""
        to: dict[str, Any] = {DECK.name: self.name}
        return {
            "way": url_for("measure.measure", **to),
            "worksheet": url_for("prove.prove", **to),
            "change": url_for("decks.change_page", **to),
            "remove": url_for("decks.remove_page", **to),
        }


@answers(pages, "/workshop")
def workshop() -> Answer:
    """The remembered decks, those that match a text, and the faults of their file."""
    form = Form.asking({"find": FIND, "first": FROM}, request.args)
    try:
        file, found, trouble = house().decks(), decks_there(), ""
    except InputError as error:
        file, found, trouble = None, DeckFile(decks=(), lines=(), faults=()), error.line()
    wanted = form.values.get("find", "").casefold()
    decks = [
        (deck, line)
        for deck, line in zip(found.decks, found.lines, strict=True)
        if wanted in " ".join(map(str, said_of(deck))).casefold()
    ]
    first = int(form.values.get("first", 1))
    shown = decks[first - 1 : first - 1 + ROWS]
    rows = [row(file, deck, line) for deck, line in shown] if file is not None else []
    return Answer(
        template="workshop.html",
        title="Workshop",
        shown={
            "form": form,
            "trouble": trouble,
            "file": file,
            "rows": rows,
            "faults": found.faults[:ROWS],
            "fault_count": len(found.faults),
            "count": len(decks),
            "all": len(found.decks),
            "first": first,
            "before": around(form, first - ROWS) if first > 1 else "",
            "after": around(form, first + ROWS) if first - 1 + ROWS < len(decks) else "",
        },
        data={
            "count": len(decks),
            "decks": [each.data for each in rows],
            "faults": [each.as_dict() for each in found.faults],
            "defaults": file.defaults.table() if file is not None else None,
            "trouble": trouble,
        },
        errors=form.errors,
        command=" ".join(["protractor decks list", *house().decks_words("")]),
        python=f"from pathlib import Path\nfrom protractor import read_decks\n"
        f"read_decks(Path({str(house().decks_path)!r})).decks",
    )


def decks_there() -> DeckFile:
    """The decks of the file and its faults, none where there is no file yet."""
    return read_decks(house().decks_path, or_none=True)


def around(form: Form, first: int) -> str:
    """The address of the decks before or after those that are shown."""
    find = form.values.get("find")
    named: dict[str, Any] = {"find": find, "from": first if first > 1 else None}
    return url_for("workshop.workshop", **named)


def said_of(deck: Deck) -> tuple[object, ...]:
    """What is searched when decks are looked for."""
    return deck.name, deck.scheme or "", deck.paper or "", deck.printer or "", deck.notes or ""


def row(file: Remembered, deck: Deck, line: int) -> Row:
    """A deck's row; what is wrong with the log of its rounds stands in place of what is due."""
    stated = dict(deck.stated)
    name, value = "pivot-to-spindle", deck.pivot_to_spindle_mm
    if value is None:
        name, value = "effective-length", deck.effective_length_mm
    length = stated.get(name) or (f"{value:.10g}" if value is not None else "")
    try:
        data = as_dict(file, deck)
        due, remark = data["due"], data["remark"]
        aimed = data["alignment"]
        overhang = to_hundredth(aimed["overhang_mm"])
        scheme = f"{scheme_name(aimed['scheme'])}, overhang {overhang} mm"
    except InputError as error:
        data, due, remark, scheme = {}, error.line(), "", deck.scheme or ""
    paper, printer = deck.paper or file.defaults.paper, deck.printer or file.defaults.printer
    return Row(
        name=deck.name,
        length=f"{length}\N{NO-BREAK SPACE}mm" if length and length[-1].isdigit() else length,
        scheme=scheme,
        printed=", ".join(filter(None, (PAPER.or_default(paper), printer))),
        due=due,
        remark=remark,
        data={
            "name": deck.name,
            "line": line,
            "pivot_to_spindle_mm": deck.pivot_to_spindle_mm,
            "effective_length_mm": deck.effective_length_mm,
            "stated": stated,
            "scheme": data.get("alignment", {}).get("scheme"),
            "paper": paper,
            "printer": printer,
            "due": due,
            "remark": remark,
        },
    )
