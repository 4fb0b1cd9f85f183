"""`protractor fit`: whether a cartridge suits an arm and a phono stage."""

from __future__ import annotations

from itertools import groupby
from pathlib import Path
from textwrap import wrap
from typing import Any

import click

from protractor.alignments.deck import Deck
from protractor.cli.help import Command
from protractor.cli.options import answer, filled, json_option
from protractor.errors import InputError, named
from protractor.fit.answer import Answer
from protractor.fit.cartridge import Cartridge
from protractor.fit.interval import rounded
from protractor.fit.question import CAUTIONS, fit
from protractor.fit.sheet_file import Given, SheetFile, read_sheets
from protractor.fit.stage import PLAIN_NAME, Stage
from protractor.fit.tonearm import Tonearm
from protractor.inputs.declaration import inputs_of

HEADINGS = {
    "level": "Level",
    "load": "Load",
    "balance": "Balance",
    "resonance": "Resonance",
    "side": "Along the side",
}

NO_SHEETS = SheetFile(cartridge={}, arm={}, stages=())


def table(answers: list[Answer]) -> str:
    """Every answer at 80 columns, then what the rest would take, then the cautions."""
    rows = [one for one in answers if one.value is not None or not one.wanted]
    lines = []
    if rows:
        lines = [f"  {'answer':<22}{'value':>8}{'interval':>18}  {'unit':<8}verdict"]
    for (subject, at), group in groupby(rows, key=lambda one: (one.subject, one.at)):
        heading = HEADINGS[subject] if at or subject != "level" else "Which input"
        lines += ["", heading + (f", {at}" if at not in ("", PLAIN_NAME) else "")]
        for one in group:
            lines += [_row(one), *_words(one)]
    wanting: dict[tuple[str, ...], list[str]] = {}
    for one in answers:
        if one.wanted and one.value is None:
            wanting.setdefault(one.wanted, []).append(one.name)
    if wanting:
        lines += ["", "Not answered"]
    for wanted, names in wanting.items():
        options = ", ".join(f"--{name}" for name in wanted)
        text = f"{', '.join(dict.fromkeys(names))} would take: {options}"
        lines += _indented(text, 2, 4)
    return "\n".join([*lines, "", "Take care", *(x for c in CAUTIONS for x in _indented(c, 2, 2))])


def _row(one: Answer) -> str:
    value = interval = ""
    if one.value is not None:
        decimals = one.value.decimals
        value = rounded(one.value.nominal, decimals)
        span = one.value.text(decimals)
        interval = span if " to " in span else ""
    row = f"  {one.name:<22}{value:>8}{interval:>18}  {one.unit:<8}{one.verdict or ''}"
    return row.rstrip()


def _words(one: Answer) -> list[str]:
    """What to do, why, and where the rule comes from."""
    change = [f"-> {named(one.change, '--')}"] if one.change else []
    return [
        line
        for text, later in (*((c, 7) for c in change), (one.reason, 4), (f"({one.source})", 5))
        for line in _indented(text, 4, later)
    ]


def _indented(text: str, first: int, later: int) -> list[str]:
    return wrap(
        text, 80, initial_indent=" " * first, subsequent_indent=" " * later, break_on_hyphens=False
    )


def _given(sheet: Any) -> Given:
    """What options gave of a data sheet, by attribute."""
    kind: Any = type(sheet)
    values = {attribute: getattr(sheet, attribute) for attribute in inputs_of(kind)}
    return {each: value for each, value in values.items() if value not in (None, (), PLAIN_NAME)}


def _stages(sheets: SheetFile, given: Given) -> list[Given]:
    """The inputs of the stage; options go to the one there is."""
    if given and len(sheets.stages) > 1:
        raise InputError(
            inputs_of(Stage)[next(iter(given))].name,
            f"an option beside {len(sheets.stages)} stages in the file",
            "options for a file of up to one stage",
            "write it into the [[stage]] that it belongs to",
        )
    first = sheets.stages[0] if sheets.stages else {}
    merged = {**first, **given}
    return list(sheets.stages) if len(sheets.stages) > 1 else [merged] if merged else []


@click.command("fit", cls=Command)
@click.option(
    "--file",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Data sheets in a TOML file with [cartridge], [arm] and [stage]; options override it.",
)
@filled(Cartridge)
@filled(Tonearm, under="arm")
@filled(Stage)
@filled(Deck, ("record", "inner_radius_mm", "outer_radius_mm", "rpm"))
@json_option
def command(
    file: Path | None, cartridge: Cartridge, arm: Tonearm, stage: Stage, deck: Deck, as_json: bool
) -> None:
    """Say whether a cartridge suits an arm and a phono stage.

    Give what the data sheets say, all of it or a part; what is left out is listed with what it
    would take. Figures are in the unit named, or carry their own: 0.5H, 47kohm, 0.2nF, 15mN. In
    a file the fields are the options without the table's name: --cartridge-output is output in
    [cartridge]. Several inputs of a stage, or several gains, are several [[stage]] with names.
    """
    sheets = read_sheets(file) if file else NO_SHEETS
    of_cartridge = {**sheets.cartridge, **_given(cartridge)}
    of_arm = {**sheets.arm, **_given(arm)}
    of_stages = _stages(sheets, _given(stage))
    if not (of_cartridge or of_arm or of_stages):
        raise InputError(
            "file",
            "no figure",
            "data sheets in a file, or options such as `cartridge-output`",
            "give what the data sheets say",
        )
    side = deck.side
    answers = fit(
        Cartridge(**of_cartridge),
        Tonearm(**of_arm),
        [Stage(**of_stage) for of_stage in of_stages],
        radii_mm=(side.inner_radius_mm, side.outer_radius_mm),
        rpm=side.rpm,
    )
    answer(
        as_json,
        lambda: {
            "cartridge": of_cartridge,
            "arm": of_arm,
            "stages": of_stages,
            "record": side.as_dict(),
            "answers": [one.as_dict() for one in answers],
            "cautions": list(CAUTIONS),
        },
        lambda: table(answers),
    )
