"""Decks in CSV: a line of field names and one line a deck, in any of the usual dresses."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from protractor.alignments.deck import Deck
from protractor.bench.deck_entries import Entry, given_fields, unusable
from protractor.bench.decks import FIELDS, fields_of
from protractor.errors import InputError, shown
from protractor.inputs.quantities import near
from protractor.inputs.toml_file import field_name

SEPARATORS = (",", ";", "\t", "|")


def csv_entries(path: Path, text: str) -> Iterator[Entry]:
    """The decks of a CSV file as written; raises `InputError` for columns that are not known."""
    rows = _csv_rows(path, text)
    header_line, header = next(rows, (1, []))
    names = [field_name(cell) for cell in header]
    where = f"line {header_line}"
    for name in names:
        if name not in FIELDS:
            got = f"{where}: column {shown(name, 30) or 'without a name'}"
            raise unusable(path, got, ", ".join(FIELDS), near(name, FIELDS))
        if names.count(name) > 1:
            raise unusable(path, f"{where}: column {name} twice", "each once", "leave one out")
    if "name" not in names:
        raise unusable(path, f"{where}: no column name", "a column name", "add it")
    return _csv_decks(rows, names)


def _csv_decks(rows: Iterator[tuple[int, list[str]]], names: list[str]) -> Iterator[Entry]:
    for line, cells in rows:
        pairs = zip(names, map(_plain_cell, cells), strict=False)
        filled = [(name, cell) for name, cell in pairs if cell.strip()]
        fields: dict[str, object] = dict(filled)
        fault = None
        if len(cells) > len(names) and any(cell.strip() for cell in cells[len(names) :]):
            fault = InputError(
                "row",
                f"{len(cells)} cells under {len(names)} names",
                "a cell under each name",
                'put quotes round a cell that has the separator in it, as in "222,5"',
            )

        def line_of(field: str, line: int = line) -> int:
            return line

        yield Entry(line=line, fields=fields, line_of=line_of, fault=fault)


def _csv_rows(path: Path, text: str) -> Iterator[tuple[int, list[str]]]:
    """The rows that hold something, each with the line that it starts on; the header first."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator_of(text), strict=True)
    before = 0
    try:
        for row in reader:
            if any(cell.strip() for cell in row):
                yield before + 1, row
            before = reader.line_num
    except csv.Error as error:
        got = f"line {before + 1}"
        remedy = f"correct it there: {error}"
        raise unusable(path, got, "CSV with its quotes in pairs", remedy) from error


def separator_of(text: str) -> str:
    """The separator under which the first line holds most field names."""
    first = next((line for line in text.splitlines() if line.strip()), "")

    def known(separator: str) -> tuple[int, int]:
        cells = [field_name(cell.strip().strip('"')) for cell in first.split(separator)]
        return sum(cell in FIELDS for cell in cells), len(cells)

    return max(SEPARATORS, key=known)


def csv_text(decks: Iterable[Deck], *, semicolons: bool = False) -> str:
    """Decks as a CSV file's text, with the columns that any of them fills.

    Commas and decimal points as RFC 4180 has them, or `semicolons` with decimal commas, as
    spreadsheets of half of the world want it. A text that a spreadsheet would compute, such as
    `=1+1`, stands behind an apostrophe, which is taken off again when the file is read.
    """
    decks = list(decks)
    given = [dict(given_fields(deck)) for deck in decks]
    known = {name for values in given for name in values}
    names = [name for name in fields_of(type(decks[0])) if name in known] if decks else []
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, delimiter=";" if semicolons else ",")
    writer.writerow(names)
    for values in given:
        writer.writerow([_cell(values.get(name), semicolons) for name in names])
    return stream.getvalue()


def _cell(value: Any, decimal_comma: bool) -> str:
    if isinstance(value, tuple):
        between = "; " if isinstance(value[0], str) else " and "
        return between.join(_cell(part, decimal_comma) for part in value)
    if isinstance(value, bool):
        return "yes"
    if isinstance(value, (int, float)):
        return repr(value).replace(".", ",") if decimal_comma else repr(value)
    return "" if value is None else _CELL.sub(_quoted_cell, str(value))


_CELL = re.compile(r"\A'*[=+\-@\t\r＝＋－＠].*\Z", re.DOTALL)
"""A cell that a spreadsheet would compute, or one already marked as text."""

_PLAIN_NUMBER = re.compile(r"[-+]?[0-9]+([.,][0-9]+)?")


def _quoted_cell(match: re.Match[str]) -> str:
    """The cell with the mark of a text, an apostrophe, before it; a plain number needs none."""
    return match[0] if _PLAIN_NUMBER.fullmatch(match[0]) else f"'{match[0]}"


def _plain_cell(cell: str) -> str:
    """The cell without the mark that `csv_text` gave it.

    >>> _plain_cell("'=1+1"), _plain_cell("-5"), _plain_cell("'tis")
    ('=1+1', '-5', "'tis")
    """
    return cell[1:] if cell.startswith("'") and _CELL.match(cell) else cell
