"""Schemes beside each other on one deck: curves that follow the question, tables, files.

One address is one question. A slider sets the field beside it, and the page asks again; what is
drawn while it moves is a light SVG, and the files are those of the command.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from flask import Blueprint, request
from werkzeug.wrappers import Response

from protractor.alignments.comparison import NOW, Comparison
from protractor.alignments.comparison import compare as compare_schemes
from protractor.alignments.costs import costs
from protractor.alignments.deck import Deck
from protractor.alignments.objective import OWN_OBJECTIVE
from protractor.app.answers import Answer, answers, file_answer
from protractor.app.asked import AskedDeck, asked_deck
from protractor.app.compared import facts, places, stops
from protractor.app.forms import Form
from protractor.app.house import house
from protractor.arms.arm import ERROR_SIGN
from protractor.arms.schemes import SCHEMES as KNOWN_SCHEMES
from protractor.curves.inputs import NOW_OFFSET, NOW_OVERHANG, SCHEMES, SIDE_MINUTES, X_AXIS
from protractor.curves.page import Curves, curve_page
from protractor.curves.side import chosen_row, side_charts
from protractor.errors import InputError
from protractor.inputs.declaration import by_name
from protractor.output.chart_svg import NARROW, WIDE, chart_svgs
from protractor.printing.inputs import PAPER
from protractor.printing.paper import paper
from protractor.sheets.names import scheme_name

pages = Blueprint("compare", __name__)

Value = TypeVar("Value")

MORE = {
    "schemes": SCHEMES,
    "now_overhang_mm": NOW_OVERHANG,
    "now_offset_angle_deg": NOW_OFFSET,
    "x_axis": X_AXIS,
    "side_minutes": SIDE_MINUTES,
}
"""What is asked besides the fields of a deck."""

HEADINGS = (
    ("Speed, signal, what is played", ("rpm", "velocity-is", "signal", "replay-slope", "play")),
    ("Null radii or an aim of your own", ("null-radii", "norm", "weight", "null-at")),
    ("Limits of the exact optimum", ("held", "offset-angle", "overhang-range", "offset-range")),
    ("An arm yet to be mounted", ("effective-length",)),
    ("Axis, heading and paper", ("x-axis", "side-minutes", "title", "paper")),
)
"""What is asked under headings that open, by name."""

FIRST = ("pivot-to-spindle", "record", "inner-radius", "outer-radius", "velocity", "exact")
"""What is asked of a deck up front, by name."""

POINTS = 121
"""Of a curve on the page: one every five or six pixels of the widest drawing."""

EXAMPLE_MM = 222.0
"""Where the slider begins before a deck is given."""


def _attributes() -> list[str]:
    """The fields of a deck that the page asks for; the heading of a page is the deck's name."""
    names = [*FIRST, *(name for _, group in HEADINGS for name in group)]
    known = by_name(Deck)
    return [known[name][0] for name in names if name in known] + ["name"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Slider:
    """A second control of a field, which sets it.

    `low`, `high` and `step` in the field's unit, `value` where it is; `beside` names the field that
    must be filled together with this one.
    """

    name: str
    low: float
    high: float
    step: float
    value: float
    beside: str = ""

    @classmethod
    def about(
        cls, name: str, low: float, high: float, step: float, value: float, beside: str = ""
    ) -> Slider:
        """A slider of a usual range, which reaches as far as its value does."""
        low, high = min(low, step * (value // step)), max(high, -step * (-value // step))
        return cls(name=name, low=low, high=high, step=step, value=value, beside=beside)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the page was asked, and the comparison that answers it, None when something is wrong."""

    deck: AskedDeck
    more: Form
    comparison: Comparison | None = None
    curves: Curves | None = None

    @property
    def errors(self) -> list[InputError]:
        """Everything that is wrong; a page without a question is no mistake."""
        return [*self.deck.form.errors, *self.more.errors] if self.is_question else []

    @property
    def is_question(self) -> bool:
        """Whether anything was asked."""
        return self.deck.asked or not self.more.empty

    @property
    def schemes(self) -> tuple[str, ...]:
        """The schemes that were asked for; none for all, which is what all ticked is."""
        chosen = tuple(dict.fromkeys(self.more.values.get("schemes", ())))
        return () if chosen == tuple(KNOWN_SCHEMES) else chosen


def _asked() -> Asked:
    """The question of the running request, answered."""
    asked, more = asked_deck(_attributes()), Form.asking(MORE, request.args)
    found = Asked(deck=asked, more=more)
    deck = asked.deck
    if deck is None or not found.is_question:
        return found

    def ask(make: Callable[[], Value]) -> Value | None:
        if not (asked.form.ok and more.ok):
            return None
        try:
            return make()
        except InputError as error:
            (more if error.name in more.fields else asked.form).refuse(error)
            return None

    values = more.values
    comparison = ask(
        lambda: compare_schemes(
            deck,
            found.schemes,
            now_overhang_mm=values.get("now_overhang_mm"),
            now_offset_angle_deg=values.get("now_offset_angle_deg"),
        )
    )
    if comparison is None:
        return found
    curves = ask(
        lambda: curve_page(
            comparison,
            paper=paper(PAPER.or_default(deck.paper)),
            title=deck.name,
            by_time=values.get("x_axis") == "time",
            minutes=values.get("side_minutes"),
        )
    )
    return Asked(deck=asked, more=more, comparison=comparison, curves=curves)


@answers(pages, "/compare")
def compare() -> Answer:
    """Schemes beside each other on one deck, live."""
    asked = _asked()
    comparison, curves = asked.comparison, asked.curves
    form, more = asked.deck.form, asked.more
    shown: dict[str, Any] = {
        "asked": asked.deck,
        "form": form,
        "more": more,
        "fields": form.fields | more.fields,
        "headings": HEADINGS,
        "open": _opened(form.fields | more.fields),
        "sliders": _sliders(asked),
        "ticked": set(asked.schemes or KNOWN_SCHEMES),
        "schemes": list(dict.fromkeys([*KNOWN_SCHEMES, *asked.schemes])),
        "scheme_name": scheme_name,
        "decks": asked.deck.file.names if asked.deck.file else [],
        "comparison": comparison,
        "sign": ERROR_SIGN,
    }
    if comparison and curves:
        shown |= _drawn(comparison, curves)
    return Answer(
        template="compare.html",
        title="Schemes compared",
        shown=shown,
        data=comparison.as_list() if comparison and curves else None,
        errors=asked.errors,
        command=_commands(asked) if curves else "",
        python=_python(asked) if curves else "",
    )


def _opened(fields: Mapping[str, Any]) -> set[str]:
    """The headings below which something was given or is wrong."""
    return {
        heading
        for heading, names in HEADINGS
        if any(fields[name].typed or fields[name].error for name in names)
    }


def _sliders(asked: Asked) -> dict[str, Slider]:
    """The sliders by the name of their field, each at what holds now."""
    if asked.comparison is None:
        d, inner, outer, velocity = EXAMPLE_MM, 60.325, 146.05, 10.0
        overhang, offset = 17.0, 23.0
    else:
        row = asked.comparison.now or chosen_row(asked.comparison)
        d, inner = row.arm.pivot_to_spindle_mm, row.record.inner_radius_mm
        outer, velocity = row.record.outer_radius_mm, row.velocity_cm_s
        overhang, offset = row.arm.overhang_mm, row.arm.offset_angle_deg
    sliders = (
        Slider.about("pivot-to-spindle", 180.0, 320.0, 0.5, d),
        Slider.about("inner-radius", 48.0, 80.0, 0.25, inner),
        Slider.about("outer-radius", 80.0, 150.0, 0.25, outer),
        Slider.about("velocity", 1.0, 30.0, 0.5, velocity),
        Slider.about("now-overhang", -20.0, 30.0, 0.1, overhang, "now-offset"),
        Slider.about("now-offset", 0.0, 30.0, 0.1, offset, "now-overhang"),
    )
    return {slider.name: slider for slider in sliders}


def _drawn(comparison: Comparison, curves: Curves) -> dict[str, Any]:
    """The curves and what the tables say beside them."""
    names = {row.scheme: scheme_name(row.scheme) for row in comparison.rows}
    names |= {NOW: "now", OWN_OBJECTIVE: "Own aim"}
    charts = side_charts(comparison, curves.axis, points=POINTS, names=names)
    wide, narrow = chart_svgs(charts, WIDE, "w"), chart_svgs(charts, NARROW, "n")
    best = min(comparison.alignments, key=lambda row: row.peak_second_harmonic_percent)
    return {
        "drawings": list(zip(charts, wide, narrow, strict=True)),
        "names": names,
        "first": comparison.rows[0],
        "best": best,
        "facts": facts(comparison),
        "stops": stops(comparison, names),
        "places": places(comparison),
        "costs": costs(comparison),
        "chosen": chosen_row(comparison),
    }


def _commands(asked: Asked) -> str:
    """The commands that give the same: table and page of curves, figures, curves as CSV."""
    words = [word for word in asked.more.words() if not word.startswith(f"--{SCHEMES.name} ")]
    words += [f"--{SCHEMES.name} {name}" for name in asked.schemes]
    question = asked.deck.question
    if question and question.by_default.paper and not asked.deck.form["paper"].typed:
        words.append(f"--paper {question.by_default.paper}")
    command = asked.deck.command("compare", *words)
    return "\n".join(f"{command} {kind}" for kind in ("-o curves.pdf", "--json", "--csv"))


def _python(asked: Asked) -> str:
    """The lines of Python that give the same."""
    curves, values = asked.curves, asked.more.values
    assert curves is not None
    given = [repr(list(asked.schemes))] if asked.schemes else []
    given += [
        f"{name}={values[name]!r}"
        for name in ("now_overhang_mm", "now_offset_angle_deg")
        if name in values
    ]
    deck = asked.deck.deck
    assert deck is not None
    drawn = [f"paper=paper({PAPER.or_default(deck.paper)!r})"]
    drawn += [f"title={deck.name!r}"] if deck.name else []
    drawn += ["by_time=True"] if curves.axis.by_time else []
    drawn += [f"minutes={values['side_minutes']!r}"] if "side_minutes" in values else []
    text = asked.deck.python(
        "from protractor import Deck, compare, curve_page, paper",
        f"comparison = compare({', '.join(['deck', *given])})",
        f"page = curve_page(comparison, {', '.join(drawn)})",
        'pdf, csv, figures = page.file_bytes("pdf"), comparison.as_csv(), comparison.as_list()',
    )
    return text.replace("import Deck,", "import Deck, Record,", 1) if "Record(" in text else text


def _page_of_curves() -> Curves:
    """The page of curves that was asked for; raises `InputError` for what cannot be drawn."""
    asked = _asked()
    if asked.errors:
        raise asked.errors[0]
    if asked.curves is None:
        raise by_name(Deck)["pivot-to-spindle"][1].refuse("nothing")
    return asked.curves


def _file(file_format: str) -> Response:
    curves = _page_of_curves()
    with house().desk.drawing():
        data = curves.file_bytes(file_format)
    return file_answer(data, file_format, f"curves.{file_format}")


@pages.get("/compare.pdf")
def pdf() -> Response:
    """The page of curves as PDF."""
    return _file("pdf")


@pages.get("/compare.svg")
def svg() -> Response:
    """The page of curves as SVG."""
    return _file("svg")


@pages.get("/compare.png")
def png() -> Response:
    """The page of curves as PNG."""
    return _file("png")


@pages.get("/compare.csv")
def csv() -> Response:
    """The curves, millimetre by millimetre, as CSV."""
    return file_answer(_page_of_curves().comparison.as_csv().encode(), "csv", "curves.csv")
