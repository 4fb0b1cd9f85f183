"""The second station: paper, and whether the printer prints true to scale."""

from __future__ import annotations

from dataclasses import replace

from flask import flash, redirect, request, url_for
from flask.typing import ResponseReturnValue
from werkzeug.datastructures import MultiDict

from protractor.alignments.sheet_code import quoted
from protractor.app.answers import Answer, answers
from protractor.app.asked import AskedDeck, asked_deck
from protractor.app.forms import Form
from protractor.app.house import house
from protractor.app.owner import on_the_way
from protractor.app.pages.calibrate import CHOICE, pages
from protractor.bench.inputs import DECK
from protractor.bench.remembered import change, check_seen, mark_of, set_defaults
from protractor.errors import InputError
from protractor.printing.inputs import PAPER, PRINTER
from protractor.printing.paper import paper as paper_of
from protractor.printing.profiles import profile_for
from protractor.setup.print_cost import UNCALIBRATED_PERCENT, scale_cost

ON_PAPER = ("paper", "clear_margin_mm", "printer")

EVERYWHERE = "everywhere"
"""In the form: the choice holds for every deck that says nothing else."""


@answers(pages, "/printer")
def printer() -> Answer:
    """The second station: paper, and whether the printer prints true to scale."""
    return _page(asked_deck(ON_PAPER))


def _page(asked: AskedDeck, sent: str = "") -> Answer:
    """The page of a deck as it is now; `sent` is a choice that was refused."""
    form = asked.form
    recorded = form.asks(house().printers) or ()
    deck = asked.deck
    aligned = bool(deck and (deck.pivot_to_spindle_mm or deck.effective_length_mm))
    cost = form.asks(lambda: scale_cost(UNCALIBRATED_PERCENT, deck)) if deck else None
    calibrated = {each: scale_cost(each.fit.scale_bound_percent, deck) for each in recorded if cost}
    defaults = asked.file.defaults if asked.file else None
    return Answer(
        template="printer.html",
        title="Printer",
        shown={
            **on_the_way(asked, "printer"),
            "sent": sent,
            "seen": mark_of(asked.known) if asked.known else "",
            "seen_defaults": mark_of(defaults) if defaults is not None else "",
            "recorded": recorded,
            "chosen": deck.printer if deck else None,
            "paper": PAPER.or_default(deck.paper if deck else None),
            "cost": cost,
            "aligned": aligned,
            "calibrated": calibrated,
        },
        data={
            "deck": asked.name or None,
            "paper": PAPER.or_default(deck.paper if deck else None),
            "printer": deck.printer if deck else None,
            "printers": [each.as_dict() for each in recorded],
            "cost_uncalibrated": cost and cost.as_dict(),
        },
        errors=form.errors,
        command=_command(asked) if form.ok else "",
        python=asked.python(
            "from protractor import Deck\nfrom protractor.setup.print_cost import scale_cost",
            f"scale_cost({UNCALIBRATED_PERCENT:g}, deck)",
        )
        if form.ok
        else "",
    )


def _command(asked: AskedDeck) -> str:
    """The command that keeps what the page shows as chosen."""
    deck, file = asked.deck, asked.file
    if deck is None or file is None:
        return ""
    words = [f"--paper {quoted(PAPER.or_default(deck.paper))}"]
    words += [f"--printer {quoted(deck.printer)}"] if deck.printer else []
    words += house().decks_words()
    if not asked.known:
        words += house().profile_words() if deck.printer else []
        return " ".join(["protractor decks default", *words])
    return " ".join(["protractor decks change", quoted(asked.name), *words])


@pages.post("/printer/choose")
def choose() -> ResponseReturnValue:
    """Keeps paper and printer, with the deck or for every deck, and goes on to the sheet."""
    asked = asked_deck(("paper", "clear_margin_mm"), query=request.form)
    form = Form.asking({"printer": PRINTER}, request.form)
    for error in (*asked.form.errors, *([asked.trouble] if asked.trouble else [])):
        form.refuse(error)
    said = form.asks(lambda: _keep(asked, form.values.get("printer", "")))
    if said is None:
        again = asked_deck(ON_PAPER, query=MultiDict({DECK.name: asked.name} if asked.name else {}))
        for each in form.errors:
            again.form.refuse(each)
        sent = asked.form.values.get("paper") or "the paper as it was"
        how = form.values.get("printer")
        return _page(again, f"{sent}, {f'corrected for {how}' if how else 'as it prints'}").page()
    flash(said)
    if asked.known is None:
        return redirect(url_for("measure.measure"), 303)
    return redirect(url_for("sheet.sheet", deck=asked.name), 303)


def _keep(asked: AskedDeck, printer: str) -> str:
    """Writes the choice and says what is taken from now on.

    Raises `InputError` for a printer that was not recorded with the paper, and when deck or
    defaults are others now than the page showed.
    """
    file, known = asked.file, asked.known
    assert file is not None
    now = asked_deck(ON_PAPER, query=MultiDict({DECK.name: asked.name} if asked.name else {})).deck
    assert now is not None
    paper = asked.form.values.get("paper") or PAPER.or_default(now.paper)
    if printer:
        printer = profile_for(house().printers(), printer, paper).name
    everywhere = EVERYWHERE in request.form or known is None
    seen = request.form.get("seen", "")
    of_defaults = request.form.get(CHOICE, "")
    if known is not None:
        check_seen(known.name, known, seen)
    if everywhere:
        check_seen("the defaults", file.defaults, of_defaults)
    given: dict[str, object] = {}
    gone: list[str] = []
    if known is not None and everywhere:
        own = {"paper": known.paper, "printer": known.printer}
        gone = [name for name, value in own.items() if value]
    elif known is not None:
        if paper != PAPER.or_default(now.paper) or not now.paper:
            given = {"paper": paper, **({"printer": printer} if printer else {})}
        elif printer and printer != now.printer:
            given = {"printer": printer}
        if not printer and known.printer:
            gone = ["printer"]
        elif not printer and file.defaults.printer and paper == file.defaults.paper:
            raise InputError(
                PRINTER.name,
                "no correction for this deck alone",
                f"{file.defaults.printer}, which is taken by default",
                "tick 'for all my decks' to print all of them without correction",
            )
    if known is not None and (given or gone):
        change(file.path, known.name, given, gone, seen=seen)
    if everywhere:
        after = replace(file.defaults, paper=paper, printer=printer or None)
        if after != file.defaults:
            set_defaults(file.path, after, seen=of_defaults)
    label = paper_of(paper).label
    how = f"corrected for printer {printer}" if printer else "printed as it is"
    return f"{label}, {how}: kept {'for all decks' if everywhere else f'with {asked.name}'}."
