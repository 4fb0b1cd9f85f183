"""The steps at the deck, one at a time; on a phone or tablet too, if he asks for it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from flask import Blueprint, flash, redirect, request, url_for
from markupsafe import Markup
from werkzeug.wrappers import Response

from protractor.app.answers import Answer, answers
from protractor.app.asked import AskedDeck, asked_deck
from protractor.app.course import NAMES, READ, Course
from protractor.app.forms import Form, option_words
from protractor.app.house import house
from protractor.app.inputs import ADDRESS, STEP
from protractor.app.local_network import own_addresses
from protractor.app.owner import on_the_way, step_left
from protractor.app.step_pages import made_for_another_device, qr_svg, step_shown
from protractor.bench.inputs import DECK
from protractor.errors import InputError
from protractor.sheets.inputs import KIND

pages = Blueprint("align", __name__)

ASKED = (
    "pivot_to_spindle_mm",
    "scheme",
    "record",
    "inner_radius_mm",
    "outer_radius_mm",
    "null_radii_mm",
    "straight",
    "zenith_deg",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a page of steps was asked: the deck, the sheet's kind and the step, and the steps.

    `course` is None where something is wrong or nothing was asked.
    """

    deck: AskedDeck
    more: Form
    course: Course | None
    number: int

    @property
    def errors(self) -> list[InputError]:
        """What is wrong with the question; a page without a question is no mistake."""
        return [*self.deck.form.errors, *self.more.errors] if self.anything else self.more.errors

    @property
    def anything(self) -> bool:
        """Whether a deck or a sheet was asked for at all."""
        return self.deck.asked or bool(self.more["kind"].typed)

    @property
    def kind(self) -> str:
        """The kind of the sheet."""
        return str(self.more.values.get("kind") or KIND.default)

    def address(self, step: int) -> str:
        """The address of a step of these."""
        return f"{url_for('align.align')}?{_query(step=str(step))}"


def _asked() -> Asked:
    """What the running request asks."""
    deck, more = asked_deck(ASKED), Form.asking({"kind": KIND, "step": STEP}, request.args)
    found = Asked(deck=deck, more=more, course=None, number=1)
    if not (found.anything and deck.form.ok and more.ok and deck.deck is not None):
        return found
    there, kind = deck.deck, found.kind
    course = deck.form.asks(lambda: Course.of(there, kind))
    number = more.values.get("step")
    if course is not None and number is not None and number > len(course.steps):
        allowed = f"1 to {len(course.steps)}"
        more.refuse(InputError("step", f"{number:g}", allowed, "go by the list of steps"))
        course = None
    if course is None:
        return found
    if number is None:
        number = min(step_left(deck.name) if deck.name else 1, len(course.steps))
    return Asked(deck=deck, more=more, course=course, number=int(number))


def _query(**instead: str) -> str:
    """The running page's query with other values for some names."""
    kept = [each for each in request.args.items(multi=True) if each[0] not in instead]
    return urlencode([*kept, *((name, value) for name, value in instead.items() if value)])


@answers(pages, "/align")
def align() -> Answer:
    """One step at the deck, and the way to the others."""
    asked = _asked()
    course, number = asked.course, asked.number
    way = on_the_way(asked.deck, "align", number if course else None)
    if course is None:
        file = asked.deck.file
        return Answer(
            template="align_which.html",
            title="Align",
            shown={**way, "names": file.names if file else [], "more": asked.more},
            errors=asked.errors,
        )
    step = course.steps[number - 1]
    kind = option_words(KIND, asked.more["kind"].typed) if asked.more["kind"].typed else ()
    drawn = Markup()
    if not request.path.endswith(".json"):  # which shows none
        with house().desk.drawing():
            drawn = course.drawing(step)
    return Answer(
        template="align.html",
        title=f"Step {number}: {NAMES[step.key]}",
        shown={
            **way,
            **step_shown(course, number, drawn),
            "addresses": {n: asked.address(n) for n in range(1, len(course.steps) + 1)},
            "at_hand_for_all": course.all_at_hand,
            "read": url_for("read.read") + f"?{_query(step='', kind='')}"
            if step.key in READ or number == len(course.steps)
            else "",
            "query": _query(step=str(number)),
            **_other_device(),
        },
        data={
            "kind": asked.kind,
            "step": number,
            "of": len(course.steps),
            "steps": course.as_list(),
        },
        command=asked.deck.command("template", *kind),
        python=_python(asked),
    )


def _python(asked: Asked) -> str:
    """The lines that print the same steps."""
    course = asked.course
    assert course is not None
    name = "two_null_steps" if course.view.two_null else "alignment_steps"
    given = [] if course.view.two_null or course.nulls == 2 else ["nulls=1"]
    given += ["askew=True"] if course.view.zenith_rad else []
    return (
        f"from protractor.sheets.steps import {name}, as_markdown\n"
        f"print(as_markdown({name}({', '.join(given)})))"
    )


def _other_device() -> dict[str, Any]:
    """What the page shows of the steps on a phone or tablet."""
    showing = house().other_device.showing
    return {
        "own": [] if showing else own_addresses(),
        "qr": qr_svg(showing.address) if showing else "",
    }


@pages.post("/align/elsewhere")
def show() -> Response:
    """Shows the steps to other devices of the same network, for a while."""
    asked = _asked()
    if asked.course is None:
        raise (asked.errors or [DECK.refuse("nothing", "open the steps of a deck first")])[0]
    own, found = request.form.get(ADDRESS.name, "").strip(), own_addresses()
    if own not in found:
        raise ADDRESS.refuse(own or "none", "choose one of those that the page names")
    with house().desk.drawing():
        made = made_for_another_device(asked.course)
    about = asked.deck.name or "the deck whose figures were given"
    house().other_device.start(own, made, about)
    return redirect(f"{asked.address(asked.number)}#elsewhere", 303)


@pages.post("/align/elsewhere/off")
def hide() -> Response:
    """Switches that off."""
    house().other_device.end()
    flash("The steps can no longer be read on the network.")
    query = _query()
    return redirect(f"{url_for('align.align')}{'?' if query else ''}{query}", 303)
