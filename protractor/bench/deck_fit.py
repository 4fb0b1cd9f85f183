"""Whether a deck's cartridge suits its arm and phono stage, by the data sheets in its file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.chain.answer import SUBJECTS, Answer
from protractor.chain.question import CAUTIONS, fit
from protractor.chain.sheet_file import NO_SHEETS, Sheets, read_tables
from protractor.chain.stage import PLAIN_NAME
from protractor.drawing.shapes import Page
from protractor.errors import named
from protractor.printing.paper import Paper
from protractor.sheets.fit_sheet import FitPart, FitRow, fit_page
from protractor.sheets.grid import Group

SIGNS = ("", "plug", "", "guard")
"""The sign before each of the cautions on a page."""

UNNAMED = "Cartridge, arm and phono stage"
"""The title of a page about figures without a deck."""


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
    judged = [one for one in fit_deck(deck, sheets_of(deck)) if one.verdict and not one.is_open]
    return [
        Group(heading=heading, rows=tuple(_rows(answers))) for heading, answers in by_part(judged)
    ]


def by_part(answers: Iterable[Answer]) -> Iterator[tuple[str, list[Answer]]]:
    """Answers under their headings, subject by subject and input by input."""
    for (subject, at), group in groupby(answers, key=lambda one: (one.subject, one.at)):
        yield heading_of(subject, at), list(group)


def open_questions(answers: Iterable[Answer]) -> list[str]:
    """What could not be answered, each with the inputs to give, named in backticks.

    >>> open_questions(fit_deck(Deck()))[0]
    'gain, overload, signal-to-noise: give `cartridge-output`, `cartridge-velocity`'
    """
    wanting: dict[tuple[str, ...], list[str]] = {}
    for one in answers:
        if one.is_open:
            wanting.setdefault(one.wanted, []).append(one.name)
    return [
        f"{', '.join(dict.fromkeys(names))}: give {', '.join(f'`{name}`' for name in wanted)}"
        for wanted, names in wanting.items()
    ]


def answers_page(deck: Deck, answers: Sequence[Answer], paper: Paper) -> Page:
    """The answers about a deck as a page; raises `InputError` for too small a paper."""
    parts = [
        FitPart(heading=heading, rows=tuple(_fit_row(one) for one in group))
        for heading, group in by_part(one for one in answers if not one.is_open)
    ]
    lacks = [named(text) for text in open_questions(answers)]
    cautions = tuple(zip(SIGNS, CAUTIONS, strict=True))
    return fit_page(deck.name or UNNAMED, parts, lacks, cautions, paper)


def _fit_row(one: Answer) -> FitRow:
    return FitRow(
        name=spoken(one.name),
        value=f"{one.value_text} {one.unit}".strip() if one.value else "",
        interval=one.interval_text,
        verdict=one.verdict or "",
        change=named(one.change).replace("`", ""),
        plain=one.verdict in (None, "fits", "cannot tell"),
    )


def heading_of(subject: str, at: str) -> str:
    """What a group of answers is about: its subject, and the input where it has a name.

    >>> heading_of("level", "62 dB"), heading_of("level", "")
    ('Level, 62 dB', 'Which input')
    """
    heading = SUBJECTS[subject] if at or subject != "level" else "Which input"
    return heading + (f", {at}" if at not in ("", PLAIN_NAME) else "")


def spoken(name: str) -> str:
    """An answer's name as one says it.

    >>> spoken("minus-3-db"), spoken("tracking-force")
    ('minus 3 dB', 'tracking force')
    """
    return name.replace("-", " ").replace(" db", " dB")


def _rows(answers: Sequence[Answer]) -> Iterator[tuple[str, str]]:
    for one in answers:
        change = f": {named(one.change)}" if one.change else ""
        yield spoken(one.name), f"{one.verdict}{change}"
