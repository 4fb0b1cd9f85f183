"""Whether a deck's cartridge suits its arm and phono stage, by the data sheets in its file."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.errors import named
from protractor.fit.answer import SUBJECTS, Answer
from protractor.fit.question import fit
from protractor.fit.sheet_file import NO_SHEETS, Sheets, read_tables
from protractor.fit.stage import PLAIN_NAME
from protractor.sheets.grid import Group


def sheets_of(deck: Deck) -> Sheets:
    """The data sheets of a deck, the arm's lengths those of its alignment unless the arm has own.

    Raises the first `InputError` of what is wrong with them.

    >>> deck = Deck(pivot_to_spindle_mm=222.0, data_sheets=(("arm", {"force": 1.8}),))
    >>> {name: round(value, 1) for name, value in sheets_of(deck).arm.items()}
    {'length_mm': 239.3, 'pivot_to_spindle_mm': 222.0, 'force_g': 1.8}
    """
    sheets, flaws = read_tables(dict(deck.data_sheets))
    if flaws:
        raise flaws[0].error
    if deck.pivot_to_spindle_mm is None and deck.effective_length_mm is None:
        return sheets
    arm = align(deck).arm
    geometry = {
        "length_mm": arm.effective_length_mm,
        "pivot_to_spindle_mm": arm.pivot_to_spindle_mm,
    }
    if {"length_mm", "pivot_to_spindle_mm"} & set(sheets.arm):
        geometry = {}
    return replace(sheets, arm={**geometry, **sheets.arm})


def fit_deck(deck: Deck, sheets: Sheets = NO_SHEETS) -> list[Answer]:
    """Every answer about a deck by these data sheets, on the record that it is set up for.

    Raises `InputError` as `fit` does.
    """
    side = deck.side
    radii = side.inner_radius_mm, side.outer_radius_mm
    return fit(*sheets.built(), radii_mm=radii, rpm=side.rpm)


def fit_groups(deck: Deck) -> list[Group]:
    """The verdicts on a deck's data sheets, subject by subject; none for a deck without any."""
    if not deck.data_sheets:
        return []
    judged = [one for one in fit_deck(deck, sheets_of(deck)) if one.verdict and not one.wanted]
    return [
        Group(heading=heading_of(subject, at), rows=tuple(_rows(list(answers))))
        for (subject, at), answers in groupby(judged, key=lambda one: (one.subject, one.at))
    ]


def heading_of(subject: str, at: str) -> str:
    """What a group of answers is about: its subject, and the input where it has a name.

    >>> heading_of("level", "62 dB"), heading_of("level", "")
    ('Level, 62 dB', 'Which input')
    """
    heading = SUBJECTS[subject] if at or subject != "level" else "Which input"
    return heading + (f", {at}" if at not in ("", PLAIN_NAME) else "")


def _rows(answers: Sequence[Answer]) -> Iterator[tuple[str, str]]:
    for one in answers:
        change = f": {named(one.change)}" if one.change else ""
        yield one.name.replace("-", " "), f"{one.verdict}{change}"
