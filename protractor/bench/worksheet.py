"""The worksheet of a remembered deck, from its file and the log of its rounds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from protractor.alignments.align import align
from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.alignments.deck import Deck
from protractor.alignments.sheet_code import continuing, sheet_code
from protractor.bench.deck_fit import fit_deck, fit_groups, sheets_of
from protractor.bench.decks import remark
from protractor.bench.remembered import Remembered
from protractor.setup.rounds import deck_of, read_rounds, this_series
from protractor.setup.statements import STATED, read_statement
from protractor.sheets.grid import Group
from protractor.sheets.worksheet import Round, Worksheet

VERDICTS = {
    "matches": "stop: the readings match the target",
    "costs-little": "stop: what is left costs little",
    "no-gain": "stop: a move is not sure to gain anything",
    "read-again": "read again",
}
"""What a round came to, by its verdict in the log; the first logs say only whether to stop."""


def worksheet(file: Remembered, deck: Deck) -> Worksheet:
    """What is known of the work on a deck, in words.

    Raises `InputError` when the log of its rounds is damaged.
    """
    target, entries = align(deck), read_rounds(file.log(deck.name))
    due, command = _due(file, deck, target, entries)
    return Worksheet(
        title=deck.name,
        measured=Group(heading="Measured and stated", rows=tuple(_measured(deck))),
        target=Group(heading="Aimed at", rows=tuple(_aimed_at(deck, target))),
        rounds=tuple(_rounds(entries, deck_of(target))),
        ended=_ended(entries, deck_of(target)),
        due=due,
        command=command,
        verdicts=tuple(fit_groups(deck)),
        notes=deck.notes or "",
    )


def as_dict(file: Remembered, deck: Deck) -> dict[str, Any]:
    """The same under stable keys: the deck, its alignment, the log's rounds, what is due."""
    target, entries = align(deck), read_rounds(file.log(deck.name))
    due, command = _due(file, deck, target, entries)
    series = this_series(entries, deck_of(target))
    return {
        "deck": deck.as_dict(),
        "remark": remark(deck),
        "alignment": target.as_dict(),
        "code": _code(deck, target),
        "rounds": entries,
        "rounds_for_this_target": len(series),
        "leave_it": bool(series[-1].get("leave_it")) if series else None,
        "due": due,
        "command": command,
        "fit": [one.as_dict() for one in fit_deck(deck, sheets_of(deck))]
        if deck.data_sheets
        else None,
    }


def _code(deck: Deck, target: Alignment) -> str:
    return sheet_code(target, deck.zenith_rad)


def _measured(deck: Deck) -> Iterator[tuple[str, str]]:
    """What was measured on the deck or stated of it, as it was written."""
    stated = dict(deck.stated)
    for name, attribute in (
        ("pivot-to-spindle", "pivot_to_spindle_mm"),
        ("effective-length", "effective_length_mm"),
    ):
        value = getattr(deck, attribute)
        if value is not None and name not in stated:
            stated = {name: f"{value:g}", **stated}
    for name, text in stated.items():
        unit = "mm" if STATED[name].kind == "length" else "deg"
        words = text if any(letter.isalpha() for letter in text) else f"{text} {unit}"
        value = read_statement(name, text).value
        if unit == "mm" and words != f"{text} mm":
            words += f" = {to_hundredth(value)} mm"
        yield name.replace("-", " "), words
    if deck.zenith_deg:
        yield "zenith", f"{deck.zenith_deg:+g} deg"
    if deck.pivot_height_mm:
        yield "pivot height", f"{deck.pivot_height_mm:g} mm"
    if said := remark(deck):
        yield "note", said


def _aimed_at(deck: Deck, target: Alignment) -> Iterator[tuple[str, str]]:
    """The alignment that the sheet was made for, and the sheet's code."""
    arm, side = target.arm, target.record
    nulls = [to_hundredth(radius) for radius in arm.null_radii_mm if radius > 0]
    yield "scheme", target.label
    yield "record", f"{side.name}, {side.inner_radius_mm:g} to {side.outer_radius_mm:g} mm"
    yield "pivot to spindle", f"{to_hundredth(arm.pivot_to_spindle_mm)} mm"
    yield "overhang", f"{to_hundredth(arm.overhang_mm)} mm"
    yield "offset angle", f"{arm.offset_angle_deg:.2f} deg"
    yield "null radii", f"{' and '.join(nulls)} mm" if nulls else "none"
    yield "2nd harmonic", f"up to {target.peak_second_harmonic_percent:.2f} %"
    yield "code of its sheet", _code(deck, target)
    if deck.paper or deck.printer:
        printer = f"for printer {deck.printer}" if deck.printer else ""
        yield "printed on", " ".join(part for part in (deck.paper, printer) if part)


def _rounds(entries: Sequence[Mapping[str, Any]], deck: str) -> Iterator[Round]:
    """Every round of the log; where the target changed, a heading says what it was."""
    before = deck
    for entry in entries:
        its = entry.get("deck", deck)
        series = ""
        if its != before:
            series = "For the target as it is now:" if its == deck else f"For {its}:"
        before = its
        yield Round(number=entry["round"], read=_read(entry), move=move(entry), series=series)


def _read(entry: Mapping[str, Any]) -> str:
    """What was read in a round; the first logs did not keep it."""
    seen = entry.get("seen")
    if not isinstance(seen, dict):
        return "not in the log"
    parts = [f"{radius:g} mm: {signed(degrees)} deg" for radius, degrees in seen.get("reading", ())]
    if seen.get("overhang_mark_mm") is not None:
        parts.append(f"overhang mark {signed(seen['overhang_mark_mm'])} mm")
    if seen.get("overhang_mm") is not None:
        parts.append(f"overhang {seen['overhang_mm']:g} mm")
    return ", ".join(parts)


def signed(number: float) -> str:
    """A number with its sign, none before 0."""
    return f"{number:+g}" if number else "0"


def move(entry: Mapping[str, Any]) -> str:
    """What a round asked to be moved, in a line."""
    verdict = entry.get("verdict")
    if verdict in VERDICTS or entry.get("leave_it"):
        return VERDICTS.get(str(verdict), "stop")
    slide, turn = entry.get("slide_mm", 0.0), entry.get("turn_deg", 0.0)
    parts = []
    if abs(slide) >= 0.05:
        where = "toward the front" if slide > 0 else "back toward the pivot"
        parts.append(f"slide {abs(slide):.1f} mm {where}")
    if abs(turn) >= 0.05:
        way = "clockwise" if turn > 0 else "counter-clockwise"
        parts.append(f"turn {abs(turn):.1f} deg {way}")
    return ", ".join(parts) or "nothing that can be moved by hand"


def _ended(entries: Sequence[dict[str, Any]], deck: str) -> str:
    """How the work stands by the last round."""
    if not entries:
        return "No round yet."
    series = this_series(entries, deck)
    last = entries[-1]
    if not series:
        return f"The deck's figures changed after round {last['round']}; no round since."
    harmonic = last.get("peak_second_harmonic_percent_now")
    cost = f" 2nd harmonic up to {harmonic:.2f} % by its readings." if harmonic is not None else ""
    if last.get("verdict") == "read-again":
        return f"Round {last['round']} asked for another reading.{cost}"
    if last.get("leave_it"):
        return f"Round {last['round']} said to stop.{cost}"
    return f"Round {last['round']} asked for a move; nothing was read since.{cost}"


def _due(
    file: Remembered, deck: Deck, target: Alignment, entries: Sequence[dict[str, Any]]
) -> tuple[str, str]:
    """What comes next, and the command for it."""
    words, series = file.words(deck.name), this_series(entries, deck_of(target))
    if not series:
        anew = " anew: the deck's figures changed" if entries else ""
        return (
            f"Print the sheet{anew}, set the cartridge by it and read its fans.",
            f"protractor template {words}",
        )
    again = continuing(target, deck, remembered=words, code=_code(deck, target))
    if series[-1].get("verdict") == "read-again":
        return "Read the fans again, each more than once.", again
    if series[-1].get("leave_it"):
        return "Nothing on the alignment. How sure it is:", f"protractor tolerance {words}"
    return (
        "Move the cartridge as the last round says, then read the fans again.",
        again,
    )
