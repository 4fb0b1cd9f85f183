"""A file of data sheets: TOML with the tables [cartridge], [arm] and [stage], read strictly.

The fields of a table are the names of its inputs without the table's own name: `cartridge-output`
stands as `output` in [cartridge]. Several inputs of a stage are several [[stage]].
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from protractor.errors import InputError, shown
from protractor.files import Unreadable, read_whole
from protractor.fit.cartridge import Cartridge
from protractor.fit.stage import Stage
from protractor.fit.tonearm import Tonearm
from protractor.inputs.declaration import Input, inputs_of
from protractor.inputs.quantities import near

LARGEST_BYTES = 20_000
"""A hundred inputs of a stage; larger files are something else."""

MOST_INPUTS = 20

TABLES: dict[str, type[Any]] = {"cartridge": Cartridge, "arm": Tonearm, "stage": Stage}

Given = dict[str, Any]
"""Values by attribute of a data sheet, read and in range."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetFile:
    """What a file gives of each data sheet; a stage has as many as it has inputs."""

    cartridge: Given
    arm: Given
    stages: tuple[Given, ...]


def read_sheets(path: Path) -> SheetFile:
    """The data sheets of a file.

    Raises `InputError` for what is no such file, for a table or field that there is not, and for
    a value that its input does not take.
    """
    try:
        return sheets_of(read_whole(path, LARGEST_BYTES), path)
    except FileNotFoundError as error:
        raise _refused(path, "no such file", "a file of data sheets", "check the name") from error
    except Unreadable as error:
        allowed = f"a file of data sheets, up to {LARGEST_BYTES:,} bytes"
        raise _refused(path, str(error), allowed, "check the name") from error


def sheets_of(data: bytes, path: Path) -> SheetFile:
    """The data sheets of a file's content, as `read_sheets` reads them; `path` only names it.

    >>> sheets_of(b"[cartridge]\\noutput = '0.005 V'\\n", Path("sheets.toml")).cartridge
    {'output_mv': 5.0}
    """
    try:
        tables = tomllib.loads(data.decode("utf-8-sig").replace("\r\n", "\n"))
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        got = f"line {line}: a byte that is no UTF-8"
        raise _refused(path, got, "UTF-8 text", "save it as UTF-8") from error
    except (ValueError, RecursionError) as error:
        deep = isinstance(error, RecursionError)
        reason, _, place = ("nested too deep" if deep else str(error)).partition(" (at ")
        got = place.removesuffix(")") or "no sound TOML"
        allowed = "TOML with [cartridge], [arm], [stage]"
        raise _refused(path, got, allowed, f"correct it: {shown(reason, 100)}") from error
    for name, table in tables.items():
        if name not in TABLES:
            raise _refused(path, name, ", ".join(TABLES), near(name, TABLES))
        several = name == "stage" and isinstance(table, list)
        if not all(isinstance(each, dict) for each in (table if several else [table])):
            raise _refused(path, f"{name} = a value", f"[{name}] over its fields", "write it so")
    stages = tables.get("stage", [])
    stages = stages if isinstance(stages, list) else [stages]
    if len(stages) > MOST_INPUTS:
        raise _refused(path, f"{len(stages)} stages", f"up to {MOST_INPUTS}", "leave some out")
    return SheetFile(
        cartridge=_read(path, "cartridge", tables.get("cartridge", {})),
        arm=_read(path, "arm", tables.get("arm", {})),
        stages=tuple(_read(path, "stage", stage) for stage in stages),
    )


def _read(path: Path, name: str, table: dict[str, object]) -> Given:
    """The values of one table by attribute."""
    kind: Any = TABLES[name]
    known: dict[str, tuple[str, Input]] = {
        asked.name.removeprefix(f"{name}-"): (attribute, asked)
        for attribute, asked in inputs_of(kind).items()
    }
    given: Given = {}
    for field, value in table.items():
        if field not in known:
            meant = near(field.replace("_", "-"), known)
            raise _refused(path, f"{field} in [{name}]", f"the fields of [{name}]", meant)
        attribute, asked = known[field]
        # one figure of a maker's range is both its ends
        pair = asked.count == 2 and isinstance(value, (int, float, str))
        try:
            given[attribute] = asked.take([value, value] if pair else value)
        except InputError as error:
            got = f"{error.got} for {field} in [{name}]"
            raise _refused(path, got, error.allowed, error.remedy) from error
    return given


def _refused(path: Path, got: str, allowed: str, remedy: str) -> InputError:
    return InputError("file", got, allowed, f"{remedy} (file {shown(path, 80)})")
