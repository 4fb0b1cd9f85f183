"""Sheets of many decks at once: chosen, drawn in the background, handed out as one ZIP."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from flask import Blueprint, abort, flash, redirect, request, send_file, url_for
from flask.typing import ResponseReturnValue

from protractor.alignments.sheet_code import quoted
from protractor.app.answers import TYPES, Answer, answers
from protractor.app.batches import Busy, Order
from protractor.app.dress import DRESS, STYLE_IMPORT, style_python
from protractor.app.forms import Form
from protractor.app.house import house
from protractor.app.pages.workshop import decks_there
from protractor.bench.deck_file import LARGEST_BYTES, DeckFile
from protractor.bench.deck_sheets import SheetChoice
from protractor.bench.decks import deck_stem
from protractor.bench.inputs import DECK, SHEET
from protractor.errors import InputError
from protractor.files import read_whole
from protractor.inputs.declaration import inputs_of
from protractor.output.inputs import FORMAT
from protractor.output.style import style_of
from protractor.printing.inputs import PAPER
from protractor.sheets.cutting import Cutting

pages = Blueprint("batch", __name__)

CUTTING = ("kerf_mm", "hole_mm", "thickness_mm", "stock_mm", "mirror")
"""What is cut alike for all decks, as `batch` takes it; a notch is one deck's own."""

ASKED = {
    "sheets": SHEET,
    "formats": replace(FORMAT, many=True, help="Formats to write. Default all."),
    "paper": replace(PAPER, help="Paper of decks that name none."),
    **{name: inputs_of(Cutting)[name] for name in CUTTING},
    **DRESS,
}
"""What is asked of a batch, by attribute."""

TICKED = "ticked"
"""The field that says that the ticked decks alone are wanted."""


@answers(pages, "/workshop/batch")
def batch() -> Answer:
    """How far the batch is, or the form of one."""
    return _page(Form.asking(ASKED, request.args))


def _page(form: Form) -> Answer:
    try:
        found, trouble = decks_there(), ""
    except InputError as error:
        found, trouble = DeckFile(decks=(), lines=(), faults=()), error.line()
    now = house().batches.progress
    default = SheetChoice()
    ticked = set(request.values.getlist(DECK.name))
    return Answer(
        template="batch.html",
        title="Sheets for many decks",
        shown={
            "form": form,
            "trouble": trouble,
            "names": [deck.name for deck in found.decks],
            "faulty": len(found.faulty_decks),
            "ticked": ticked,
            "now": now,
            "sheets": form["sheet"].typed or default.sheets,
            "formats": form["format"].typed or default.formats,
        },
        data=now.as_dict() if now else {"state": "none"},
        errors=form.errors,
        command=_command(form) if form.ok and not ticked else "",
        python=_python(form) if form.ok and not ticked else "",
    )


def _choice(values: dict[str, Any]) -> SheetChoice:
    """The choice of sheets; raises `InputError` for colours that cannot be read."""
    default = SheetChoice()
    return SheetChoice(
        sheets=tuple(dict.fromkeys(values.get("sheets", ()))) or default.sheets,
        formats=tuple(dict.fromkeys(values.get("formats", ()))) or default.formats,
        cutting=Cutting(**{name: values[name] for name in CUTTING if name in values}),
        style=style_of(values.get("text"), values.get("colours")),
        paper=values.get("paper") or str(PAPER.default),
        profile_file=house().profile_file,
    )


def _command(form: Form) -> str:
    """The command that draws the same sheets of all decks."""
    words = list(form.words())
    words += house().profile_words()
    return " ".join(["protractor batch", quoted(str(house().decks_path)), *words])


def _python(form: Form) -> str:
    """The lines of Python that draw the same."""
    values, said = form.values, []
    for name in ("sheets", "formats", "paper"):
        if name in values:
            said.append(f"{name}={values[name]!r}")
    cutting = ", ".join(f"{name}={values[name]!r}" for name in CUTTING if name in values)
    imports = ["from pathlib import Path", "from protractor import SheetChoice, read_decks"]
    imports[1] += ", run_batch"
    if cutting:
        imports.append("from protractor import Cutting")
        said.append(f"cutting=Cutting({cutting})")
    if {"text", "colours"} & values.keys():
        imports.append(STYLE_IMPORT)
        said.append(f"style={style_python(values)}")
    folder = f"templates_out/{deck_stem(house().decks_path.stem)}"
    return "\n".join(
        [
            *imports,
            f"folder = Path({folder!r})",
            "folder.mkdir(parents=True, exist_ok=True)",
            f"decks = read_decks(Path({str(house().decks_path)!r}))",
            f"run_batch(decks, folder, SheetChoice({', '.join(said)}))",
        ]
    )


@pages.post("/workshop/batch")
def start() -> ResponseReturnValue:
    """Starts a batch."""
    form = Form.asking(ASKED, request.form)
    choice = form.asks(lambda: _choice(form.values))
    ticked = frozenset(request.form.getlist(DECK.name)) if TICKED in request.form else None
    if ticked is not None and not ticked:
        form.refuse(DECK.refuse("no deck ticked", "tick one, or draw all"))
    if choice is not None and form.ok:
        form.asks(lambda: _start(choice, ticked))
    if not form.ok:
        return _page(form).page()
    return redirect(url_for("batch.batch"), 303)


def _start(choice: SheetChoice, names: frozenset[str] | None) -> None:
    """Starts a batch; raises `InputError` for a file without decks, and while one runs."""
    found = decks_there()
    if not found.decks and not found.faults:
        raise InputError("decks", "no deck", "at least one", "add a deck first")
    path = house().decks_path
    data = read_whole(path, LARGEST_BYTES)
    order = Order(data=data, path=Path(path.name), choice=choice, names=names)
    try:
        house().batches.start(order)
    except Busy as error:
        remedy = "wait for it, or stop it"
        raise InputError("batch", "another one", "one at a time", remedy) from error


@pages.post("/workshop/batch/stop")
def stop() -> ResponseReturnValue:
    """Stops the batch that runs."""
    house().batches.stop()
    return redirect(url_for("batch.batch"), 303)


@pages.post("/workshop/batch/drop")
def drop() -> ResponseReturnValue:
    """Drops the sheets of a batch that has ended."""
    try:
        house().batches.drop()
    except Busy:
        flash("It still runs: stop it first.")
    return redirect(url_for("batch.batch"), 303)


@pages.get("/workshop/batch/sheets.zip")
def sheets() -> ResponseReturnValue:
    """The sheets of the batch that is done, straight from the disk."""
    path = house().batches.zip_file
    if path is None or not path.is_file():
        abort(404)
    name = f"{deck_stem(house().decks_path.stem)}.zip"
    return send_file(path, TYPES["zip"], as_attachment=True, download_name=name, max_age=0)
