"""Data sheets in TOML: the tables [cartridge], [arm] and [stage] of a file, read strictly.

The fields of a table are the names of its inputs without the table's own name: `cartridge-output`
is `output` in [cartridge]. Several inputs of a stage are several [[stage]].
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from protractor.chain.cartridge import Cartridge
from protractor.chain.stage import PLAIN_NAME, Stage, conflicts
from protractor.chain.tonearm import Tonearm
from protractor.errors import InputError, shown
from protractor.files import Unreadable, read_whole
from protractor.inputs.declaration import Input, inputs_of
from protractor.inputs.quantities import near
from protractor.inputs.toml_file import Place, field_name, read_toml

LARGEST_BYTES = 20_000
"""A hundred inputs of a stage; larger files are something else."""

MOST_INPUTS = 20

TABLES: dict[str, type[Any]] = {"cartridge": Cartridge, "arm": Tonearm, "stage": Stage}

Given = dict[str, Any]
"""Values by attribute of a data sheet, read and in range."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flaw:
    """What is wrong with one place in the tables."""

    place: Place
    error: InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheets:
    """What is given of each data sheet; a stage has as many as it has inputs."""

    cartridge: Given
    arm: Given
    stages: tuple[Given, ...]

    def __bool__(self) -> bool:
        return bool(self.cartridge or self.arm or any(self.stages))

    def over(self, below: Sheets) -> Sheets:
        """The same with what it lacks from other sheets; its stages take the place of theirs."""
        return Sheets(
            cartridge={**below.cartridge, **self.cartridge},
            arm={**below.arm, **self.arm},
            stages=self.stages or below.stages,
        )

    def overridden(self, cartridge: Given, arm: Given, stage: Given) -> Sheets:
        """The same with what is given anew in place of the old.

        Raises `InputError` for a stage's field beside several stages.
        """
        if stage and len(self.stages) > 1:
            raise InputError(
                inputs_of(Stage)[next(iter(stage))].name,
                f"an option beside {len(self.stages)} stages",
                "options beside one stage or none",
                "write it into the [[stage]] that it belongs to",
            )
        stages = self.stages
        if len(stages) <= 1:
            merged = {**(stages[0] if stages else {}), **stage}
            stages = (merged,) if merged else ()
        return Sheets(
            cartridge={**self.cartridge, **cartridge}, arm={**self.arm, **arm}, stages=stages
        )

    def built(self) -> tuple[Cartridge, Tonearm, list[Stage]]:
        """The data sheets themselves; raises `InputError` for figures that contradict."""
        stages = [Stage(**stage) for stage in self.stages]
        return Cartridge(**self.cartridge), Tonearm(**self.arm), stages


NO_SHEETS = Sheets(cartridge={}, arm={}, stages=())


def given_of(sheet: Any) -> Given:
    """What a data sheet was given, by attribute."""
    kind: Any = type(sheet)
    values = {attribute: getattr(sheet, attribute) for attribute in inputs_of(kind)}
    return {each: value for each, value in values.items() if value not in (None, (), PLAIN_NAME)}


@cache
def fields_of(table: str) -> Mapping[str, tuple[str, Input]]:
    """Attribute and input of each field of a table, by the field's name.

    >>> [name for name, (_, asked) in fields_of("stage").items() if asked.unit == "dB"]
    ['gain']
    """
    return {
        asked.name.removeprefix(f"{table}-"): (attribute, asked)
        for attribute, asked in inputs_of(TABLES[table]).items()
    }


def read_sheets(path: Path) -> Sheets:
    """The data sheets of a file.

    Raises `InputError` for what is no such file, and with its line for a table or field that there
    is not, a value that its input does not take, and figures that contradict each other.
    """
    try:
        return sheets_of(read_whole(path, LARGEST_BYTES), path)
    except FileNotFoundError as error:
        raise _refused(path, "no such file", "a file of data sheets", "check the name") from error
    except Unreadable as error:
        allowed = f"a file of data sheets, up to {LARGEST_BYTES:,} bytes"
        raise _refused(path, str(error), allowed, "check the name") from error


def sheets_of(data: bytes, path: Path) -> Sheets:
    """The data sheets of a file's content, as `read_sheets` reads them; `path` only names it.

    >>> sheets_of(b"[cartridge]\\noutput = '0.005 V'\\n", Path("sheets.toml")).cartridge
    {'output_mv': 5.0}
    """
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        got = f"line {line}: a byte that is not UTF-8"
        raise _refused(path, got, "UTF-8 text", "save it as UTF-8") from error

    def refuse(got: str, allowed: str, remedy: str) -> InputError:
        return _refused(path, got, allowed, remedy)

    file = read_toml(text, refuse, "TOML with [cartridge], [arm], [stage]")
    sheets, flaws = read_tables(file.tables)
    if flaws:
        first = min(flaws, key=lambda flaw: file.line(flaw.place))
        wrong = first.error
        where = f"line {file.line(first.place)}, {wrong.name}"
        raise _refused(path, wrong.got, wrong.allowed, wrong.remedy, where)
    return sheets


def read_tables(tables: Mapping[str, object]) -> tuple[Sheets, list[Flaw]]:
    """The data sheets of tables as a TOML file holds them, and everything wrong with them.

    A flaw's error is about the field or the table as it is written.

    >>> sheets, flaws = read_tables({"arm": {"force": 17.5}, "stage": [{"gain": 40}]})
    >>> sheets.stages[0], flaws[0].place
    ({'gain_db': 40.0}, ('arm', 'force'))
    """
    flaws: list[Flaw] = []
    given: dict[str, list[Given]] = {name: [] for name in TABLES}

    def flawed(name: str, got: str, allowed: str, remedy: str) -> None:
        flaws.append(Flaw(place=(name,), error=InputError(name, got, allowed, remedy)))

    for name, table in tables.items():
        listed = name == "stage" and isinstance(table, list)
        parts: list[Any] = table if listed and isinstance(table, list) else [table]
        if name not in TABLES:
            flawed(name, "a table unknown here", ", ".join(TABLES), near(name, TABLES))
        elif not all(isinstance(each, dict) for each in parts):
            flawed(name, "no table", "a table of its fields", f"write [{name}] over them")
        elif len(parts) > MOST_INPUTS:
            flawed(name, f"{len(parts)} inputs", f"up to {MOST_INPUTS}", "leave some out")
        else:
            for at, part in enumerate(parts):
                place = (name, at) if listed else (name,)
                given[name].append(_read(place, part, flaws))
    nothing: list[Given] = [{}]
    sheets = Sheets(
        cartridge=(given["cartridge"] or nothing)[0],
        arm=(given["arm"] or nothing)[0],
        stages=tuple(given["stage"]),
    )
    if not flaws and sheets.stages:
        listed = isinstance(tables["stage"], list)
        cartridge, _, stages = sheets.built()
        for at, error in conflicts(cartridge, stages):
            place = ("stage", at) if listed else ("stage",)
            field = error.name.removeprefix("stage-")
            where = f"{field} in {_header(place)}"
            flaws.append(Flaw(place=(*place, field), error=_at(error, where)))
    return sheets, flaws


def _read(place: Place, table: Mapping[str, object], flaws: list[Flaw]) -> Given:
    """The values of one table by attribute; what is wrong with it is added to the flaws."""
    name = str(place[0])
    known, kind = fields_of(name), TABLES[name]
    where = _header(place)
    given: Given = {}
    written: dict[str, str] = {}
    for key, value in table.items():
        field = field_name(key)
        try:
            if field not in known:
                allowed = ", ".join(known)
                raise InputError(key, "a field unknown here", allowed, near(field, known))
            attribute, asked = known[field]
            if attribute in given:
                raise InputError(key, "the field twice", "each field once", "leave one out")
            # one figure of a maker's range is both its ends
            pair = asked.count == 2 and isinstance(value, (int, float, str))
            given[attribute] = asked.take([value, value] if pair else value)
            written[asked.name] = key
        except InputError as error:
            flaws.append(
                Flaw(place=(*place, key), error=_at(error, f"{shown(key, 24)} in {where}"))
            )
    if not any(flaw.place[: len(place)] == place for flaw in flaws):
        try:
            kind(**given)
        except InputError as error:
            at = written.get(error.name, "")
            named = f"{shown(at, 24)} in {where}" if at else where
            flaws.append(Flaw(place=(*place, at) if at else place, error=_at(error, named)))
    return given


def _header(place: Place) -> str:
    """The header of a table, with its number where there are several."""
    return f"[{place[0]}]" if len(place) == 1 else f"[[{place[0]}]] {int(place[1]) + 1}"


def _at(error: InputError, name: str) -> InputError:
    """The error under another name of what it is about."""
    return InputError(name, error.got, error.allowed, error.remedy)


def _refused(path: Path, got: str, allowed: str, remedy: str, where: str = "") -> InputError:
    place = f", {where}" if where else ""
    return InputError("file", got, allowed, f"{remedy} (file {shown(path, 80)}{place})")
