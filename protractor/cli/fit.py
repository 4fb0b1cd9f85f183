"""`protractor fit`: whether a cartridge suits an arm and a phono stage."""

from __future__ import annotations

from itertools import groupby
from pathlib import Path
from textwrap import wrap

import click

from protractor.alignments.deck import Deck
from protractor.bench.deck_fit import fit_deck, heading_of, sheets_of
from protractor.cli.compare import check_output
from protractor.cli.help import Command
from protractor.cli.options import answer, asks_deck, filled, force_option, json_option
from protractor.cli.remembered import known_deck
from protractor.errors import InputError, named
from protractor.fit.answer import Answer
from protractor.fit.cartridge import Cartridge
from protractor.fit.interval import rounded
from protractor.fit.question import CAUTIONS
from protractor.fit.sheet_file import NO_SHEETS, Sheets, given_of, read_sheets
from protractor.fit.stage import Stage
from protractor.fit.tonearm import Tonearm
from protractor.printing.inputs import PAPER
from protractor.printing.paper import paper as paper_named


def table(answers: list[Answer]) -> str:
    """Every answer at 80 columns, then what the rest would take, then the cautions."""
    rows = [one for one in answers if one.value is not None or not one.wanted]
    lines = []
    if rows:
        lines = [f"  {'answer':<22}{'value':>8}{'interval':>18}  {'unit':<8}verdict"]
    for (subject, at), group in groupby(rows, key=lambda one: (one.subject, one.at)):
        lines += ["", heading_of(subject, at)]
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
@asks_deck("record", "inner_radius_mm", "outer_radius_mm", "rpm", "paper", "name", another=None)
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Draw the curves to a file: .pdf, .svg or .png.",
)
@force_option
@json_option
def command(
    file: Path | None,
    cartridge: Cartridge,
    arm: Tonearm,
    stage: Stage,
    deck: Deck,
    output: Path | None,
    force: bool,
    as_json: bool,
) -> None:
    """Say whether a cartridge suits an arm and a phono stage.

    Give what the data sheets say, all of it or a part; what is left out is listed with what it
    would take. Figures are in the unit named, or carry their own: 0.5H, 47kohm, 0.2nF, 15mN. In
    a file the fields are the options without the table's name: --cartridge-output is output in
    [cartridge]. Several inputs of a stage, or several gains, are several [[stage]] with names.
    """
    known = known_deck()
    read = sheets_of(deck) if known else NO_SHEETS
    if file is not None:
        read = read_sheets(file).over(read)
    sheets = read.overridden(given_of(cartridge), given_of(arm), given_of(stage))
    if not sheets:
        raise InputError(
            "file",
            "no figure",
            "data sheets in a file or of a `deck`, or options such as `cartridge-output`",
            "give what the data sheets say",
        )
    if output is not None:
        check_output(output)
    answers = fit_deck(deck, sheets)
    if output is not None:
        _draw(sheets, deck, output, force)
    answer(
        as_json,
        lambda: {
            "cartridge": sheets.cartridge,
            "arm": sheets.arm,
            "stages": list(sheets.stages),
            "record": deck.side.as_dict(),
            "answers": [one.as_dict() for one in answers],
            "cautions": list(CAUTIONS),
        },
        lambda: table(answers) + (f"\n\n{output}" if output is not None else ""),
    )


def _draw(sheets: Sheets, deck: Deck, output: Path, force: bool) -> None:
    """Write the page of curves."""
    from protractor.cli.saying import write_file
    from protractor.curves.chart_page import chart_page
    from protractor.fit.charts import READING, charts

    page = chart_page(
        charts(*sheets.built()),
        paper=paper_named(PAPER.or_default(deck.paper)),
        title=deck.name or "Cartridge, arm and phono stage",
        note=READING,
    )
    write_file(output, page.file_bytes(output.suffix.lower().lstrip(".")), force=force)
