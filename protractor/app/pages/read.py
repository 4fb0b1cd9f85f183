"""What the fans show, what to move, and the rounds that are kept."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import Blueprint, flash, redirect, request, url_for
from flask.typing import ResponseReturnValue
from markupsafe import Markup
from werkzeug.wrappers import Response

from protractor.alignments.alignment import Alignment
from protractor.alignments.comparison import NOW, Comparison
from protractor.app.answers import Answer, answers
from protractor.app.fans import FANS, Read
from protractor.app.forms import python_of
from protractor.app.house import house
from protractor.app.owner import on_the_way
from protractor.app.pictures.close_by import pointer
from protractor.app.pictures.correction import correction
from protractor.app.pictures.deck_views import DeckView
from protractor.app.pictures.picture import sign_svg
from protractor.bench.inputs import DECK
from protractor.bench.worksheet import worksheet
from protractor.curves.side import side_axis, side_charts
from protractor.drawing.chart import Chart
from protractor.errors import InputError, named
from protractor.inputs.declaration import Input
from protractor.output.chart_svg import NARROW, WIDE, chart_svgs
from protractor.setup.advice import HEADS, advice, figures, moves
from protractor.setup.correction import Correction
from protractor.setup.inputs import Seen
from protractor.setup.report import report
from protractor.sheets.steps import CAUTIONS

pages = Blueprint("read", __name__)

ROUND = Input(
    name="round",
    kind="number",
    whole=True,
    low=1,
    high=1_000_000,
    help="The number that a round is to be kept under.",
    remedy="open the page of the readings again",
)

DECK_SELDOM = ("scheme", "record", "inner-radius", "outer-radius", "null-radii", "straight")
ALSO = ("zenith", "pivot-height")
SELDOM = (
    "reading-bound",
    "slot-room",
    "turn-about",
    "stylus-to-screws",
    "slot-angle",
    "overhang",
    "overhang-bound",
    "pivot-to-spindle-bound",
    "record-above-sheet",
    "anywhere",
)
"""Fields that most owners leave alone."""

POINTS = 120
"""Of a curve along the side."""

AGAIN = 3
"""How many readings of a fan there is room for."""


@answers(pages, "/read")
def read() -> Answer | Response:
    """What the fans show, and what to move."""
    asked = Read.of_request()
    if canonical := asked.canonical:
        return redirect(f"{request.path}?{canonical}", 303)
    return _page(asked)


def _page(asked: Read) -> Answer:
    """The page of a question."""
    there, target = asked.asked, asked.target
    found = asked.found
    words = list(asked.form.words())  # before the fans are filled from the readings
    others = asked.fill_fans()
    form, file = asked.form, there.file
    values = report(found[1], target) if found and target and form.ok else None
    seldom = [name for name in SELDOM if name in form.fields]
    drawing = not request.path.endswith(".json")
    return Answer(
        template="read.html",
        title="Read and correct",
        shown={
            **on_the_way(there, "read"),
            "read": form,
            "target": target,
            "targets": list(zip(FANS, asked.targets, strict=False)),
            "own_code": asked.code if target else "",
            "others": others,
            "room": AGAIN,
            "seldom": seldom,
            "also": ALSO,
            "deck_seldom": DECK_SELDOM,
            "opened": any(form[name].typed for name in seldom),
            "waits_for": asked.waits_for,
            "fan": _fan(target) if target and drawing else "",
            "names": file.names if file else [],
            "query": request.query_string.decode(),
            **_answered(asked),
            **(_answer(*found, target, drawing) if values and found and target else {}),
        },
        data=values,
        errors=asked.errors,
        command=there.command("correct", *words) if values else "",
        python=there.python(
            "from protractor import Deck, Seen, correct",
            f"found = correct(deck, {python_of(found[0])})",
        )
        if values and found
        else "",
    )


def _fan(target: Alignment) -> Markup:
    """A small drawing of a fan and its sign."""
    with house().desk.drawing():
        return pointer(DeckView(alignment=target)).svg()


def _answer(seen: Seen, found: Correction, target: Alignment, drawing: bool) -> dict[str, Any]:
    """The verdict, the moves in their order and the figures."""
    to_move = found.verdict == "move"
    steps = moves(found, seen.turn_about) if to_move else ()
    drawn = Markup()
    if to_move and drawing:
        with house().desk.drawing():
            drawn = correction(found, target, seen).svg()
    own = target.peak_second_harmonic_percent
    return {
        "found": found,
        "head": HEADS[found.verdict],
        "advice": [_by_label(named(each)) for each in advice(found, seen, own)],
        "moves": steps,
        "about_screws": seen.turn_about == "screws",
        "drawn": drawn,
        "caution": (sign_svg(CAUTIONS[0][0]), CAUTIONS[0][1]),
        "curves": _curves(found, target) if drawing else (),
        "figures": figures(found, target, found.as_alignment(target)),
    }


def _curves(found: Correction, target: Alignment) -> tuple[Chart, Markup, Markup]:
    """The second harmonic along the side, now and at the target: wide, and for a phone."""
    now = replace(found.as_alignment(target), scheme=NOW)
    both = Comparison(alignments=(target,), now=now)
    names = {NOW: "now", target.scheme: "target"}
    charts = side_charts(
        both, side_axis(both, by_time=False, minutes=None), points=POINTS, names=names
    )[-1:]
    [wide], [narrow] = chart_svgs(charts, WIDE, "w"), chart_svgs(charts, NARROW, "n")
    return charts[0], Markup(wide), Markup(narrow)


def _by_label(text: str) -> str:
    """A sentence for a command line as one for this page."""
    return text.replace(", and give overhang-mark.", ", and give what they show.")


def _answered(asked: Read) -> dict[str, Any]:
    """The rounds so far, and whether these readings are kept already."""
    rounds, file, known = asked.rounds, asked.asked.file, asked.asked.known
    if rounds is None or file is None or known is None:
        return {"rounds": None, "so_far": (), "kept": None}
    last = rounds.series[-1] if rounds.series else {}
    seen = asked.found[0].as_dict() if asked.found else None
    sheet = asked.form.asks(lambda: worksheet(file, known))
    return {
        "rounds": rounds,
        "so_far": sheet.rounds if sheet else (),
        "kept": last.get("round") if seen and last.get("seen") == seen else None,
    }


@pages.post("/read/keep")
def keep() -> ResponseReturnValue:
    """Keeps what was read as the next round of the deck, once."""
    asked = Read.of_request()
    found, rounds, target = asked.found, asked.rounds, asked.target
    if found is None or target is None or rounds is None or asked.errors:
        if not asked.errors:
            asked.form.refuse(DECK.refuse("no remembered deck", "remember the deck first"))
        return _page(asked).page()
    seen, correction_found = found
    values = {**report(correction_found, target), "seen": seen.as_dict()}
    try:
        number = rounds.add(values, int(ROUND.take(request.form.get(ROUND.name, ""))))
    except InputError as error:
        asked.form.refuse(error)
        page, _ = _page(asked).page()
        return page, 409
    flash(f"Round {number} is kept.")
    return redirect(f"{url_for('read.read')}?{request.query_string.decode()}", 303)
