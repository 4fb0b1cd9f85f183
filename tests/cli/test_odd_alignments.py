"""Alignments that no deck is set to: every command draws or prints them, or refuses in a line."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import Ran

Run = Callable[..., Ran]
D = "--pivot-to-spindle 222"
DRAWN = (
    *("template -o x.pdf", "template -o x.dxf", "gauge plate -o x.svg", "gauge board -o x.pdf"),
    *("pack -o x.pdf", "pack -o x.pdf --paper a3"),
)
PRINTED = (
    *("solve", "compare", "solve --json", "tolerance --draws 1000"),
    *("correct --reading 90:1 --reading 120:1", "correct --reading 66:1 --overhang 15"),
)


def one_line_or_a_result(ran: Ran) -> bool:
    """Whether the run succeeded; else it left one line that says what to do, and no file."""
    if ran.status == 0:
        assert all(line.startswith("protractor: note: ") for line in ran.err.splitlines())
        return True
    assert ran.status == 2, ran.err
    assert ran.err.startswith("protractor: --")
    assert ran.err.count("\n") == 1
    assert ran.files == []
    return False


@pytest.mark.parametrize("radii", ["66 66.00001", "66 66.000001", "66 66.00000001", "66 66.009"])
@pytest.mark.parametrize("line", [*DRAWN, *PRINTED])
def test_null_radii_next_to_each_other(run: Run, line: str, radii: str) -> None:
    """Two nulls that print the same are refused in one line, by sheets and figures alike."""
    ran = run(*line.split(), *D.split(), "--null-radii", *radii.split())
    assert not one_line_or_a_result(ran)
    assert "at least 0.01 mm apart" in ran.err


@pytest.mark.parametrize(
    "limits",
    [
        "--offset-range 0 3",
        "--overhang-range 16 17 --offset-range 0 3",
        "--overhang-range 17 18 --offset-range 0 20",
        "--held offset-angle --offset-angle 0",
    ],
)
@pytest.mark.parametrize("line", [*DRAWN, *PRINTED])
def test_an_exact_alignment_without_two_nulls(run: Run, line: str, limits: str) -> None:
    """Limits or a straight headshell leave one null or none: a sheet, or one line."""
    done = one_line_or_a_result(run(*line.split(), *D.split(), "--exact", *limits.split()))
    if line.startswith(("gauge board", "solve", "compare")):
        assert done


@pytest.mark.parametrize("line", [*DRAWN, *PRINTED])
@pytest.mark.parametrize("limits", ["0 20", "1 2", "0.001 0.002", "40 41"])
def test_an_exact_alignment_with_nulls_off_the_record(run: Run, line: str, limits: str) -> None:
    """An overhang that no scheme has puts the nulls off the record, or off the sheet."""
    one_line_or_a_result(
        run(*line.split(), *D.split(), "--exact", "--overhang-range", *limits.split())
    )


@pytest.mark.parametrize(
    ("limits", "said"),
    [
        ("--overhang-range 16 17 --offset-range 0 3", "null radii none"),
        ("--offset-range 0 3", "null radii 80.04 mm"),
        ("--offset-range 0 40", "null radii 65.98 and 121.04 mm"),
    ],
)
def test_the_board_names_the_nulls_that_there_are(run: Run, limits: str, said: str) -> None:
    """The drilling drawing of an arm with one null or none says so; no negative radius, no nan."""
    assert run(*f"gauge board {D} --exact -o x.svg {limits}".split()).status == 0
    labels = re.findall(r'aria-label="([^"]*)"', Path("x.svg").read_text(encoding="utf-8"))
    text = " ".join(labels) or Path("x.svg").read_text(encoding="utf-8")
    assert said in text
    assert "nan" not in text
