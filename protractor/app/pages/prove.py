"""What is left, what it costs, and the worksheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from flask import Blueprint, url_for
from werkzeug.wrappers import Response

from protractor.alignments.align import align
from protractor.alignments.alignment import Alignment
from protractor.alignments.deck import Deck
from protractor.alignments.sheet_code import quoted
from protractor.app.answers import Answer, answers, file_answer
from protractor.app.asked import AskedDeck, asked_deck
from protractor.app.fans import DECK_ASKED
from protractor.app.forms import python_of
from protractor.app.house import house
from protractor.app.owner import on_the_way
from protractor.bench.deck_rounds import DeckRounds
from protractor.bench.decks import length_bound_mm
from protractor.bench.inputs import DECK
from protractor.bench.ready_sheet import OnPaper, profile_of
from protractor.bench.remembered import question
from protractor.bench.sheet_orders import worksheet_sheet
from protractor.bench.worksheet import as_dict, worksheet
from protractor.errors import InputError, named
from protractor.printing.inputs import PAPER
from protractor.printing.paper import paper
from protractor.setup.advice import HEADS
from protractor.setup.bounds import SEED, SetupBounds
from protractor.setup.tolerance import Tolerance, tolerance
from protractor.sheets.steps import Step, alignment_steps

pages = Blueprint("prove", __name__)

DRAWS = 20_000
"""They settle the peaks to a hundredth of a percent, in a fifth of a second."""

ASKED = (*DECK_ASKED, "printer", "paper")


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """What the last round of a deck left.

    Attributes:
        number: of the round, 0 for none.
        verdict: what it came to, as a log has it; empty where it is not in the log.
        own: the target's peak second harmonic [%].
        between: that of the cartridge as it was read, at 95 % [%]; None where it is not known.
        back: the station to go back to, empty when there is nothing left to do there.
        begins_again: what is said where the target is another than in the rounds before.
    """

    number: int
    verdict: str
    own: float
    between: tuple[float, float] | None
    back: str
    begins_again: str = ""

    @property
    def head(self) -> str:
        """How the work stands, in a few words."""
        if not self.number:
            return "Not proven yet: no round is kept"
        if not self.back:
            return "The alignment is done"
        if self.verdict == "read-again":
            return "Not settled: read again"
        return "Not done: the last round asked for a move"

    @property
    def costs(self) -> str:
        """What is left costs, in a sentence."""
        if self.between is None:
            return ""
        low, high = self.between
        more = max(0.0, high - self.own)
        return (
            f"Peak second harmonic over the side: {low:.2f} to {high:.2f} % at 95 %. The scheme's "
            f"own, with everything in its place, is {self.own:.2f} %. What is left costs at most "
            f"{more:.2f} % at that one worst place of the side."
        )


def left(rounds: DeckRounds, target: Alignment) -> Left:
    """What the last round for a target left."""
    last: Mapping[str, Any] = rounds.series[-1] if rounds.series else {}
    between = last.get("peak_second_harmonic_percent_now_95")
    known = isinstance(between, list) and len(between) == 2 and None not in between
    verdict = str(last.get("verdict", ""))
    back = "" if last.get("leave_it") and verdict != "read-again" else "read"
    return Left(
        number=last.get("round", 0),
        verdict=verdict if verdict in HEADS else "",
        own=target.peak_second_harmonic_percent,
        between=(between[0], between[1]) if known and between else None,
        back=back if last else "align",
        begins_again=rounds.begins_again,
    )


@answers(pages, "/prove")
def prove() -> Answer:
    """What is left, what it costs, and the worksheet."""
    asked = asked_deck(ASKED)
    deck, known, file = asked.deck, asked.known, asked.file
    ask = asked.form.asks
    target = ask(lambda: align(deck)) if deck and asked.asked else None
    sure = ask(lambda: _sure(deck, target)) if deck and target else None
    stands = sheet = data = None
    if file and known and target:
        stands = ask(lambda: left(DeckRounds.of(file, known.name, target), target))
        sheet, data = ask(lambda: worksheet(file, known)), ask(lambda: as_dict(file, known))
    ok = target is not None and sure is not None and asked.form.ok
    return Answer(
        template="prove.html",
        title="Prove",
        shown={
            **on_the_way(asked, "prove"),
            "names": file.names if file else [],
            "target": target if ok else None,
            "left": stands,
            "sheet": sheet,
            "sure": sure,
            "draws": DRAWS,
            "seed": SEED,
            "first": _first(sure) if ok and sure else "",
            "finish": _finish(),
            "back": url_for(f"{stands.back}.{stands.back}", deck=asked.name)
            if stands and stands.back
            else "",
        },
        data={"worksheet": data, "tolerance": sure.as_dict()} if ok and sure else None,
        errors=asked.form.errors if asked.asked else (),
        command=_commands(asked) if ok else "",
        python=asked.python(
            "from protractor import Deck, SetupBounds, align, tolerance",
            f"sure = tolerance(align(deck){_bounds(sure)}, draws={DRAWS}, seed={SEED})",
        )
        if ok and sure
        else "",
    )


def _sure(deck: Deck, target: Alignment) -> Tolerance:
    """How sure a set-up is, by the deck's own length and the printer's scale where they are known.

    Raises `InputError` for a printer that is not recorded, and as `tolerance` does.
    """
    bounds, stated = SetupBounds(), length_bound_mm(deck)
    if stated is not None:
        bounds = replace(bounds, pivot_to_spindle_mm=stated)
    if deck.printer is not None:
        on = paper(PAPER.or_default(deck.paper))
        profile = profile_of(deck.printer, on, house().profiles())
        bounds = replace(bounds, print_scale_percent=profile.fit.scale_bound_percent)
    return tolerance(target, bounds, draws=DRAWS, seed=SEED)


def _bounds(sure: Tolerance | None) -> str:
    """The bounds that are not the usual ones, as Python is given them."""
    if sure is None or sure.bounds == SetupBounds():
        return ""
    return f", {python_of(sure.bounds)}"


def _first(sure: Tolerance) -> str:
    """What to improve first, as a sentence."""
    if sure.certain:
        return ""
    remedy = named(sure.causes[0].remedy)
    return f"{remedy[0].upper()}{remedy[1:]}."


def _finish() -> Step:
    """The last step of the card."""
    return alignment_steps()[-1]


def _commands(asked: AskedDeck) -> str:
    """The commands that say the same."""
    lines = [asked.command("tolerance", f"--draws {DRAWS} --seed {SEED}")]
    if asked.file and asked.known:
        named = [quoted(asked.name), *house().decks_words()]
        lines += [" ".join([f"protractor decks {what}", *named]) for what in ("show", "sheet")]
    return "\n".join(lines)


@pages.get("/prove/worksheet.pdf")
def pdf() -> Response:
    """The worksheet to print, as the command writes it."""
    asked = asked_deck(ASKED)
    if asked.file is None or asked.known is None:
        errors: list[InputError] = asked.form.errors
        raise (errors or [DECK.refuse("nothing", "name a remembered deck")])[0]
    on = question(asked.file, asked.name, {}, ("paper", "clear_margin_mm")).deck
    with house().desk.drawing():
        made = worksheet_sheet(asked.file, asked.known, OnPaper.of(on))
        return file_answer(made.file_bytes("pdf"), "pdf", made.file_name("pdf"))
