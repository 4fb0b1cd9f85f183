"""The first station: pivot to spindle, what was stated of the arm, and the deck's name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from flask import Blueprint, flash, redirect, request, url_for
from flask.typing import ResponseReturnValue
from werkzeug.datastructures import MultiDict

from protractor.alignments.deck import NAME, Deck
from protractor.alignments.sheet_code import quoted
from protractor.app.answers import Answer, answers, file_answer
from protractor.app.asked import AskedDeck, asked_deck
from protractor.app.forms import Form, Query, option_words, python_of
from protractor.app.house import house
from protractor.app.owner import on_the_way
from protractor.app.reconciled import arm_rows, suspicion, ways
from protractor.app.stated import AS_WRITTEN, KEPT
from protractor.bench.decks import read_deck
from protractor.bench.ready_sheet import OnPaper, Sheet
from protractor.bench.remembered import add, change, mark_of
from protractor.bench.sheet_orders import pivot_gauge_sheet
from protractor.errors import InputError
from protractor.inputs.declaration import Input
from protractor.printing.inputs import PAPER
from protractor.setup.explained import differ_most
from protractor.setup.questions import reconcile
from protractor.setup.reconcile import Reconciliation
from protractor.setup.ruler import APART_MM, NEAR_EDGE, SPINDLE_DIAMETER, RuledLength, ruled_length
from protractor.setup.statements import BOUND, read_statement
from protractor.sheets.names import scheme_name

pages = Blueprint("measure", __name__)

SEEN = "seen"
"""In the form of a remembered deck: the mark of what the page showed of it."""

WORKED_OUT = Input(
    name="worked-out",
    kind="flag",
    help="Take pivot to spindle from what was stated, until it is measured.",
)

LENGTH = "pivot-to-spindle"

GAUGED = ("paper", "clear_margin_mm", "printer", "name")
"""Fields of a deck that count for the printed gauge."""

ASKED: Mapping[str, Input] = {
    **AS_WRITTEN,
    "near_edge_mm": NEAR_EDGE,
    "spindle_mm": SPINDLE_DIAMETER,
    "worked_out": WORKED_OUT,
    "name": NAME,
}

RULER_MM = 0.3
"""Nobody measures pivot to spindle more closely than this without a gauge (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Length:
    """Pivot to spindle as the page knows it: `text` as a statement, and where it comes from.

    `source` is `written`, `ruler`, or `worked-out` for what follows from other statements.
    """

    text: str
    source: str

    @property
    def value_mm(self) -> float:
        """The length [mm]."""
        return read_statement(LENGTH, self.text).value

    @property
    def bound_mm(self) -> float:
        """What it may be wrong by [mm]."""
        return read_statement(LENGTH, self.text).bound

    @property
    def too_sure(self) -> bool:
        """Whether its digits claim more than a ruler can tell."""
        return not BOUND.search(self.text) and self.bound_mm < RULER_MM


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What the page makes of the form: readings, statements, whether they agree, the length."""

    form: Form
    ruled: RuledLength | None
    stated: Mapping[str, Any]
    found: Reconciliation | None
    length: Length | None
    derived: Length | None

    @property
    def to_keep(self) -> dict[str, str]:
        """What a deck keeps of it, by field."""
        if self.length is None:
            return {}
        if self.length.source == "worked-out":
            return {LENGTH: self.length.text, "notes": self.note}
        return {LENGTH: self.length.text} | {
            name: text for name, text in self.stated.items() if name in KEPT and name != LENGTH
        }

    @property
    def note(self) -> str:
        """What the notes of a deck say where its length was not measured."""
        said = ", ".join(f"{_words(name)} {_text(text)}" for name, text in self.stated.items())
        return f"pivot to spindle worked out, not measured; stated: {said}"


def _words(name: str) -> str:
    return name.replace("-", " ")


def _text(stated: str | tuple[str, ...]) -> str:
    return stated if isinstance(stated, str) else " and ".join(stated)


def _known(form: Form, deck: Deck | None) -> Known:
    """What is known of the deck by what was typed."""
    values = form.values
    readings = values.get("near_edge_mm", ())
    spindle = SPINDLE_DIAMETER.or_default(values.get("spindle_mm"))
    ruled = ruled_length(readings, spindle) if readings else None
    stated = {
        name: values[key]
        for key, name in form.by_attribute()
        if key in AS_WRITTEN.keys() & values.keys()
    }
    length = None
    if LENGTH in stated:
        length = Length(text=stated[LENGTH], source="written")
    elif ruled is not None:
        length = Length(text=ruled.statement, source="ruler")
        stated = {LENGTH: ruled.statement, **stated}
    found, derived = None, None
    if len(stated) > 1:
        found = form.asks(lambda: reconcile(stated, deck))
    if length is None and found is not None:
        derived = _derived(found)
        if values.get("worked_out"):
            length = derived
    return Known(form=form, ruled=ruled, stated=stated, found=found, length=length, derived=derived)


def _derived(found: Reconciliation) -> Length | None:
    """Pivot to spindle that follows from the statements; None where they leave it open."""
    arm = found.settled
    if arm is None or arm.uncertainty["pivot_to_spindle_mm"] is None:
        return None
    bound = 3**0.5 * arm.uncertainty["pivot_to_spindle_mm"]
    value = arm.alignment.arm.pivot_to_spindle_mm
    return Length(text=f"{value:.1f}±{max(bound, 0.1):.1f}", source="worked-out")


def _query(asked: AskedDeck, query: Query) -> Query:
    """What the form shows: what was sent with it, or what the deck is remembered with."""
    if asked.known is None or query.getlist(SEEN):
        return query
    shown = MultiDict(dict(asked.known.stated))
    for name in ASKED.values():
        if query.getlist(name.name):
            shown.setlist(name.name, query.getlist(name.name))
    return shown


def _seen(asked: AskedDeck, query: Query) -> str:
    """The mark of the deck as this page first showed it."""
    given = query.getlist(SEEN)
    return given[0] if given else mark_of(asked.known) if asked.known else ""


@answers(pages, "/measure")
def measure() -> Answer:
    """The first station: pivot to spindle, what was stated of the arm, and the deck's name."""
    asked = asked_deck(GAUGED)
    form = Form.asking(ASKED, _query(asked, request.args))
    return _page(asked, form, _seen(asked, request.args))


def _page(asked: AskedDeck, form: Form, seen: str, changed: bool = False) -> Answer:
    """The page of a form; `changed` when the deck is no longer what it showed."""
    for error in asked.form.others:
        form.refuse(error)
    known = _known(form, asked.known)
    commands = _commands(asked, known) if form.ok and not changed else []
    return Answer(
        template="measure.html",
        title="Measure",
        shown={
            **on_the_way(asked, "measure"),
            "form": form,
            "paper": asked.form["paper"],
            "looking": "look" in request.args,
            "seen": seen,
            "known": known,
            "apart_mm": APART_MM,
            "changes": _changes(asked, known),
            "meanwhile": asked.known if changed else None,
            **_reconciled(known.found),
        },
        data=_data(asked, known),
        errors=[*form.errors, *filter(None, [asked.form["paper"].error])],
        command="\n".join(commands),
        python=_python(asked, known) if commands else "",
    )


def _reconciled(found: Reconciliation | None) -> dict[str, Any]:
    """What the page shows of figures that were compared."""
    if found is None:
        return {}
    return {
        "suspect": suspicion(found),
        "explained": ways(found),
        "again": differ_most(found.explanations),
        "rows": arm_rows(found.settled) if found.settled else [],
        "scheme_name": scheme_name,
    }


def _data(asked: AskedDeck, known: Known) -> dict[str, Any]:
    length = known.length
    return {
        "deck": asked.name or None,
        "pivot_to_spindle": length
        and {"text": length.text, "mm": length.value_mm, "bound_mm": length.bound_mm}
        | {"source": length.source},
        "ruler": known.ruled and known.ruled.as_dict(),
        "stated": {name: _text(text) for name, text in known.stated.items()},
        "reconcile": known.found and known.found.as_dict(),
    }


def _changes(asked: AskedDeck, known: Known) -> dict[str, tuple[str, str]]:
    """What would change of a remembered deck: each field as it is and as it would be."""
    if asked.known is None or known.length is None:
        return {}
    before, after = dict(asked.known.stated), known.to_keep
    if "notes" in after:
        before["notes"] = asked.known.notes or ""
    names = [name for name in (*KEPT, "notes") if before.get(name, "") != after.get(name, "")]
    return {name: (before.get(name, ""), after.get(name, "")) for name in names}


def _commands(asked: AskedDeck, known: Known) -> list[str]:
    """The commands that ask and keep the same, in the order that they are typed."""
    lines = []
    changes = _changes(asked, known)
    kept = [f"--{name} {quoted(text)}" for name, text in known.to_keep.items()]
    if asked.known and changes:
        given = [f"--{name} {quoted(new)}" for name, (_, new) in changes.items() if new]
        gone = [f"--without {name}" for name, (_, new) in changes.items() if not new]
        words = [
            "protractor decks change",
            quoted(asked.name),
            *given,
            *gone,
            *house().decks_words(),
        ]
        lines.append(" ".join(words))
    elif not asked.known and known.length and known.form.values.get("name"):
        name = f"--name {quoted(known.form.values['name'])}"
        lines.append(" ".join(["protractor decks add", *house().decks_words(""), name, *kept]))
    if known.found is not None:
        stated = [_option(name, text) for name, text in known.stated.items()]
        named = asked.file.words(asked.name) if asked.file and asked.known else ""
        lines.append(" ".join(filter(None, ["protractor reconcile", named, *stated])))
    if asked.form["paper"].error is None:
        lines.append(_gauge_command(asked))
    return lines


def _gauge_command(asked: AskedDeck) -> str:
    """The command that writes the pivot gauge."""
    named = asked.file.words(asked.name) if asked.file and asked.known else ""
    typed = asked.form["paper"].typed
    words = option_words(PAPER, typed) if typed else ()
    return " ".join(filter(None, ["protractor gauge pivot", named, *words]))


def _option(name: str, text: str | tuple[str, ...]) -> str:
    parts = (text,) if isinstance(text, str) else text
    return f"--{name} {' '.join(map(quoted, parts))}"


def _python(asked: AskedDeck, known: Known) -> str:
    """The lines of Python that ask the same."""
    lines = ["from protractor import Deck, reconcile"] if asked.known else []
    if known.found is None:
        return ""
    judged_by = ("record", "inner_radius_mm", "outer_radius_mm", "velocity_cm_s", "velocity_is")
    if asked.known:
        own = {name: getattr(asked.known, name) for name in (*judged_by, "pivot_height_mm")}
        deck = python_of(Deck(**own))
        return "\n".join([*lines, f"found = reconcile({dict(known.stated)!r}, {deck})"])
    return f"from protractor import reconcile\nfound = reconcile({dict(known.stated)!r})"


@pages.post("/measure/remember")
def remember() -> ResponseReturnValue:
    """Remembers the deck, or changes it, and goes on to the printer."""
    asked = asked_deck(GAUGED, query=request.form)
    form = Form.asking(ASKED, request.form)
    seen = _seen(asked, request.form)
    if asked.file is None and asked.trouble is not None:
        form.refuse(asked.trouble)
    if asked.known and seen != mark_of(asked.known):
        page, _ = _page(asked, form, mark_of(asked.known), changed=True).page()
        return page, 409
    known = _known(form, asked.known)
    name = form.asks(lambda: _kept(asked, known, seen))
    if name is None:
        return _page(asked, form, seen).page()
    flash(f"{name} is remembered.")
    return redirect(url_for("printer.printer", deck=name), 303)


def _kept(asked: AskedDeck, known: Known, seen: str) -> str:
    """The deck's name, once the file has it; raises `InputError` when it cannot be kept."""
    assert asked.file is not None
    if known.length is None:
        raise InputError(LENGTH, "nothing", AS_WRITTEN["pivot_to_spindle"].allowed, "measure it")
    if asked.known:
        changes = _changes(asked, known)
        given = {name: new for name, (_, new) in changes.items() if new}
        gone = [name for name, (_, new) in changes.items() if not new]
        if changes:
            change(asked.file.path, asked.name, given, gone, seen=seen)
        return asked.name
    name = known.form.values.get("name", "")
    if not name:
        raise InputError(NAME.name, "nothing", NAME.allowed, "name the deck")
    deck, faults = read_deck({"name": name, **known.to_keep})
    if deck is None:
        raise faults[0]
    add(asked.file.path, deck)
    return deck.name


def _gauge() -> Sheet:
    """The pivot gauge on the deck's paper, or that of the defaults."""
    asked = asked_deck(GAUGED)
    if asked.form.errors or asked.deck is None:
        raise asked.form.errors[0]
    return pivot_gauge_sheet(asked.deck, OnPaper.of(asked.deck, house().profile_file))


@pages.get("/measure/pivot-gauge.pdf")
def gauge() -> ResponseReturnValue:
    """The pivot gauge, to print."""
    with house().desk.drawing():
        sheet = _gauge()
        return file_answer(sheet.file_bytes(), "pdf", sheet.file_name())


@pages.get("/measure/pivot-gauge.svg")
def gauge_preview() -> ResponseReturnValue:
    """The pivot gauge as an image."""
    with house().desk.drawing():
        return file_answer(_gauge().preview(), "svg")
