"""`protractor fit`: whether a cartridge suits an arm and a phono stage."""

from __future__ import annotations

from itertools import groupby
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING

import click

from protractor.alignments.deck import Deck
from protractor.bench.deck_fit import (
    UNNAMED,
    answers_page,
    fit_deck,
    heading_of,
    open_questions,
    sheets_of,
)
from protractor.chain.answer import Answer
from protractor.chain.cartridge import Cartridge
from protractor.chain.question import CAUTIONS
from protractor.chain.sheet_file import NO_SHEETS, Sheets, given_of, read_sheets
from protractor.chain.stage import Stage
from protractor.chain.tonearm import Tonearm
from protractor.cli.compare import check_output
from protractor.cli.help import Command, Option
from protractor.cli.options import answer, asks_deck, filled, force_option, json_option
from protractor.cli.remembered import known_deck
from protractor.cli.saying import write_file
from protractor.errors import InputError, named
from protractor.output.formats import page_bytes
from protractor.printing.inputs import PAPER
from protractor.printing.paper import Paper
from protractor.printing.paper import paper as paper_named

if TYPE_CHECKING:
    from protractor.curves.chart_page import ChartPage


SHEET_FORMATS = {".pdf": "pdf", ".svg": "svg"}
"""The formats of the page of answers by the file's ending."""


def table(answers: list[Answer]) -> str:
    """Every answer at 80 columns, then what the rest would take, then the cautions."""
    rows = [one for one in answers if not one.is_open]
    lines = []
    if rows:
        lines = [f"  {'answer':<22}{'value':>8}{'interval':>18}  {'unit':<8}verdict"]
    for (subject, at), group in groupby(rows, key=lambda one: (one.subject, one.at)):
        lines += ["", heading_of(subject, at)]
        for one in group:
            lines += [_row(one), *_words(one)]
    if lacks := open_questions(answers):
        lines += ["", "Not answered"]
    for text in lacks:
        lines += _indented(named(text, "--"), 2, 4)
    return "\n".join([*lines, "", "Take care", *(x for c in CAUTIONS for x in _indented(c, 2, 2))])


def _row(one: Answer) -> str:
    row = f"  {one.name:<22}{one.value_text:>8}{one.interval_text:>18}  {one.unit:<8}"
    return f"{row}{one.verdict or ''}".rstrip()


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
    cls=Option,
    group="Essentials",
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
    cls=Option,
    group="File",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Draw the curves to a file: .pdf, .svg or .png.",
)
@click.option(
    "--sheet",
    cls=Option,
    group="File",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the answers as a page beside the deck's worksheet: .pdf or .svg.",
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
    sheet: Path | None,
    force: bool,
    as_json: bool,
) -> None:
    """Say whether a cartridge suits an arm and a phono stage.

    Give what the data sheets say, all of it or a part; what cannot be answered is listed with what
    to give. Figures are in the unit named, or carry their own: 0.5H, 47kohm, 0.2nF, 15mN. In a
    file the fields are the options without the table's name: --cartridge-output is output in
    [cartridge]. Several inputs of a stage, or several gains, are several [[stage]] with names.
    A deck's file may hold the same tables, as [deck.cartridge]: --deck reads them.

    \b
    Example: protractor fit --file sheets.toml -o fit.pdf
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
    if sheet is not None:
        check_output(sheet, "sheet", tuple(SHEET_FORMATS))
    answers = fit_deck(deck, sheets)
    files = []
    if output is not None:
        curves = _curves(sheets, deck).file_bytes(output.suffix.lower().lstrip("."))
        files.append((output, curves, "output"))
    if sheet is not None:
        page = answers_page(deck, answers, _paper(deck))
        files.append((sheet, page_bytes(page, SHEET_FORMATS[sheet.suffix.lower()]), "sheet"))
    for path, data, name in files:
        write_file(path, data, force=force, name=name)
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
        lambda: "\n".join(
            [table(answers), *([""] if files else []), *(str(path) for path, _, _ in files)]
        ),
    )


def _paper(deck: Deck) -> Paper:
    return paper_named(PAPER.or_default(deck.paper))


def _curves(sheets: Sheets, deck: Deck) -> ChartPage:
    """The page of curves."""
    from protractor.chain.charts import charts, reading
    from protractor.curves.chart_page import chart_page

    built = sheets.built()
    rows = charts(*built)
    note = reading(rows, len(built[2]))
    return chart_page(rows, paper=_paper(deck), title=deck.name or UNNAMED, note=note)
