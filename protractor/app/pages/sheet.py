"""The sheet of one deck: scheme, paper, printer, preview, and the file to print."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import Blueprint, abort, flash, redirect, request, url_for
from flask.typing import ResponseReturnValue
from werkzeug.wrappers import Response

from protractor.alignments.alignment import Alignment
from protractor.alignments.comparison import compare
from protractor.alignments.deck import Deck
from protractor.alignments.sheet_code import sheet_code
from protractor.app.answers import Answer, answers, file_answer
from protractor.app.asked import AskedDeck, asked_deck
from protractor.app.forms import Field, Form, Query
from protractor.app.house import house
from protractor.app.owner import on_the_way
from protractor.arms.schemes import DEFAULT_SCHEME, SCHEMES
from protractor.bench.ready_sheet import ONLY_PDFS, OnPaper, Sheet
from protractor.bench.remembered import change, mark_of
from protractor.bench.sheet_orders import alignment_sheet
from protractor.errors import InputError
from protractor.inputs.declaration import Input
from protractor.printing.inputs import PAPER, PRINTER
from protractor.sheets.inputs import KIND
from protractor.sheets.names import length, scheme_name

pages = Blueprint("sheet", __name__)

ASKED = (
    "pivot_to_spindle_mm",
    "scheme",
    "record",
    "inner_radius_mm",
    "outer_radius_mm",
    "null_radii_mm",
    "effective_length_mm",
    "straight",
    "exact",
    "overhang_range_mm",
    "offset_range_deg",
    "play",
    "zenith_deg",
    "paper",
    "clear_margin_mm",
    "printer",
    "name",
)

SELDOM = ("zenith", "record", "inner-radius", "outer-radius", "null-radii", "clear-margin")
"""Fields that most owners leave alone."""

OTHER_ARMS = (
    "effective-length",
    "straight",
    "exact",
    "overhang-range",
    "offset-range",
    "play",
)
"""Fields of arms that are out of the ordinary, and of the exact optimum."""


@answers(pages, "/sheet")
def sheet() -> Answer:
    """The sheet of one deck."""
    asked, more = asked_deck(ASKED, instead=_recorded()), _more(request.args)
    deck, form, any_deck = asked.deck, asked.form, more.values.get("kind") == "two-null"
    anything = asked.asked or any_deck
    made = form.asks(lambda: _sheet(asked, deck, more)) if deck and anything and more.ok else None
    if made is not None:
        form.asks(lambda: _drawn(made))  # papers that it does not fit on
    ok = made is not None and form.ok
    target = made.alignment if made and ok else None
    return Answer(
        template="sheet.html",
        title="The sheet",
        shown={
            **on_the_way(asked, "sheet"),
            "anything": anything,
            "kind": more["kind"],
            "sheet": made if ok else None,
            "two_null": any_deck,
            "figures": _figures(target, deck) if target and deck else (),
            "schemes": _schemes(form["scheme"]),
            "costs": _costs(deck) if deck and target else {},
            "seldom": SELDOM,
            "other_arms": OTHER_ARMS,
            "opened": any(form[name].typed for name in SELDOM),
            "other_opened": any(form[name].typed for name in OTHER_ARMS),
            "compared": _compared(asked),
            "kept": _kept(asked),
            "seen": mark_of(asked.known) if asked.known else "",
        },
        data=made.figures() if made and ok else None,
        errors=[*form.errors, *more.errors] if anything else (),
        command=asked.command("template", *more.words()) if ok else "",
        python=_python(asked, any_deck, target is not None) if ok else "",
    )


def _more(query: Query) -> Form:
    """What is asked of the sheet besides its deck."""
    return Form.asking({"kind": KIND}, query)


def _python(asked: AskedDeck, two_null: bool, aligned: bool) -> str:
    """The lines of Python that draw the same; two nulls alone want no deck."""
    paper = (asked.deck.paper if asked.deck else None) or PAPER.default
    if two_null and not aligned:
        return ""
    save = f'paper("{paper}"), deck.name), "sheet.pdf")'
    if two_null:
        return asked.python(
            "from protractor import Deck, align, paper, save, two_null_pages",
            "target = align(deck)",
            "save(two_null_pages(target.arm.null_radii_mm, target.label, target.record, " + save,
        )
    return asked.python(
        "from protractor import Deck, align, alignment_pages, paper, save",
        f"save(alignment_pages(align(deck), {save}",
    )


def _kept(asked: AskedDeck) -> list[tuple[str, str]]:
    """What was chosen besides what is remembered of the deck, to be remembered as well."""
    return [
        (field.name, field.value)
        for field in asked.form.fields.values()
        if field.typed and field.name not in ("title", "pivot-to-spindle")
    ]


@pages.post("/sheet/keep")
def keep() -> ResponseReturnValue:
    """Remembers what was chosen for a deck, and goes on to the steps."""
    asked = asked_deck(ASKED, query=request.form, instead=_recorded())
    if asked.known is None or asked.deck is None:
        raise asked.form.errors[0] if asked.form.errors else NO_DECK
    _sheet(asked, asked.deck, _more(request.form))  # what has no sheet is refused, not kept
    path = house().decks().path
    change(path, asked.name, dict(_kept(asked)), (), seen=request.form.get("seen", ""))
    flash(f"Remembered with {asked.name}.")
    kind = _more(request.form)["kind"].value or None
    return redirect(url_for("align.align", deck=asked.name, kind=kind), 303)


NO_DECK = InputError("deck", "nothing", "a remembered deck", "name the deck at the first station")


def _sheet(asked: AskedDeck, deck: Deck, more: Form) -> Sheet:
    """The sheet of a deck, of the kind that is asked for, on its paper, for its printer."""
    on_paper = OnPaper.of(deck, house().profiles())
    return alignment_sheet(deck, on_paper, more.values.get("kind"), asked.remembered)


def _drawn(made: Sheet) -> Sheet:
    """The sheet once its pages are made; raises `InputError` where they cannot be."""
    with house().desk.drawing():
        assert made.pages
    return made


def _figures(target: Alignment, deck: Deck) -> list[tuple[str, str]]:
    """What the sheet shows, in words."""
    arm = target.arm
    nulls = [length(radius) for radius in arm.null_radii_mm if radius > 0]
    askew = deck.zenith_rad
    return [
        ("Overhang", length(arm.overhang_mm)),
        ("Offset angle", f"{arm.offset_angle_deg:.2f}°"),
        ("Effective length", length(arm.effective_length_mm)),
        ("Null points", " and ".join(nulls) or "none"),
        ("Peak second harmonic", f"{target.peak_second_harmonic_percent:.2f} %"),
        ("Code of the sheet", sheet_code(target, askew)),
    ]


def _schemes(field: Field) -> list[tuple[str, str, str, str]]:
    """The schemes to choose from: value, name, what it is for, and the scheme it stands for."""
    known = field.known or DEFAULT_SCHEME
    remark = "as remembered; " if field.known else ""
    others = [scheme for scheme in SCHEMES if scheme != known]
    return [
        ("", scheme_name(known), f"{remark}{SUMMARIES.get(known, '')}", known),
        *((scheme, scheme_name(scheme), SUMMARIES[scheme], scheme) for scheme in others),
    ]


SUMMARIES = {
    "lofgren-a": "The usual choice: the worst moment of a side is as good as it can be.",
    "lofgren-b": "The side as a whole distorts least, at the price of a worse beginning and end.",
    "lofgren-c": "As Löfgren B, with both null points free.",
    "stevenson": "Clean at the innermost groove, where records distort most; worse elsewhere.",
    "equal-angle": "The least angle anywhere, without regard to the slower inner grooves.",
}
"""What each scheme is for, in plain words."""


def _costs(deck: Deck) -> dict[str, str]:
    """What each scheme would cost on the deck, in words, by its name."""
    plain = replace(deck, scheme=None, null_radii_mm=None)
    return {
        row.scheme: f"second harmonic at most {row.peak_second_harmonic_percent:.2f} %, "
        f"{row.inner_harmonics_percent[0]:.2f} % at the innermost groove"
        for row in compare(plain).alignments
    }


def _compared(asked: AskedDeck) -> str:
    """The address of the page that compares the schemes on the deck."""
    if asked.name:
        return url_for("compare.compare", deck=asked.name)
    typed = asked.form["pivot-to-spindle"].value
    named: dict[str, Any] = {"pivot-to-spindle": typed} if typed else {}
    return url_for("compare.compare", **named)


def _recorded() -> dict[str, Input]:
    """The field for a printer as a choice of those that are recorded, when there are any."""
    names = dict.fromkeys(each.name for each in house().printers())
    return {"printer": replace(PRINTER, kind="choice", choices=tuple(names))} if names else {}


def _asked_sheet(no_printer: str = "") -> Sheet:
    """The sheet that a file is asked of; raises `InputError` for a deck that has none."""
    asked, more = asked_deck(ASKED, no_printer=no_printer), _more(request.args)
    if asked.deck is None or not more.ok:
        raise [*asked.form.errors, *more.errors][0]
    return _sheet(asked, asked.deck, more)


@pages.get("/sheet.svg")
def preview() -> Response:
    """The tool's page as an image, uncorrected."""
    with house().desk.drawing():
        return file_answer(_asked_sheet().preview(), "svg")


@pages.get("/card.svg")
def card() -> Response:
    """The last page as an image: the card with the steps."""
    with house().desk.drawing():
        made = _asked_sheet()
        return file_answer(made.preview(len(made.pages) - 1), "svg")


@pages.get("/sheet.pdf")
def pdf() -> Response:
    """The sheet to print, as the command writes it."""
    with house().desk.drawing():
        made = _asked_sheet()
        return file_answer(made.file_bytes("pdf"), "pdf", made.file_name("pdf"))


@pages.get("/sheet-cut.<form>")
def cut(form: str) -> Response:
    """The tool for a cutter, as the command writes it."""
    if form not in ("svg", "dxf"):
        abort(404)
    with house().desk.drawing():
        made = _asked_sheet(ONLY_PDFS)
        return file_answer(made.file_bytes(form), form, made.file_name(form))
