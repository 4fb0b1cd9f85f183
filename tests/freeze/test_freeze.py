"""The freeze itself: it reports what changed, and a sample of it holds."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.freeze.cases import CASES
from tests.freeze.freeze import HASHES, differing, hash_of, left_by, main, protractor, settled

LINES = ("solve --pivot-to-spindle 222", "template --kind two-null --paper a5 -o x.pdf")
SAMPLE = (
    *("help: --help", "help: template --help", "help: printer record --help"),
    "solve: solve --pivot-to-spindle 222 --scheme lofgren-a",
    "compare: compare --pivot-to-spindle 222",
    "mistake: solve --pivot-to-spindle 222 --scheme lofgrenb",
    "mistake: template --pivot-to-spindle 222 -o taken.pdf",
    "decks: decks check bench.csv",
    "printer, the whole loop",
    "sheet: template --kind two-null --paper a5 --format pdf",
)
"""Cases whose output depends on nothing but this package and the pinned PDF library."""


def one_more_blank(words: list[str]) -> int:
    """Says one blank more."""
    status = protractor(words)
    print(end=" ")
    return status


def another_status(words: list[str]) -> int:
    """Ends with another status."""
    return protractor(words) + 1


def one_more_file(words: list[str]) -> int:
    """Leaves one file more."""
    Path("more").touch()
    return protractor(words)


def one_byte_in_a_file(words: list[str]) -> int:
    """Writes one byte of a sheet otherwise."""
    status = protractor(words)
    if "-o" in words:
        data = bytearray(Path("x.pdf").read_bytes())
        data[len(data) // 2] ^= 1
        Path("x.pdf").write_bytes(data)
    return status


def a_file_is_lost(words: list[str]) -> int:
    """Takes away a file that lay there before."""
    Path("taken.pdf").unlink(missing_ok=True)
    return protractor(words)


@pytest.mark.parametrize(
    "changed", [one_more_blank, another_status, one_more_file, one_byte_in_a_file, a_file_is_lost]
)
def test_every_kind_of_change_shows(changed: Callable[[list[str]], int]) -> None:
    """What is said, the status and the files each count; the same command leaves the same."""
    assert left_by(LINES) == left_by(LINES)
    assert left_by(LINES, changed) != left_by(LINES)


def test_the_last_digits_of_another_processor_are_no_change() -> None:
    """Nine digits count, what is nothing is 0, and shorter numbers are left as they are."""
    assert settled('{"a": 17.30104229103321, "b": -2.2e-16}') == '{"a": 17.3010423, "b": 0}'
    assert settled("17.30 mm, 1.5e-05 and 3f2e-11ab") == "17.30 mm, 1.5e-05 and 3f2e-11ab"
    assert settled("17.3010422") != settled("17.3010512345")


def test_cases_that_are_new_gone_or_changed_are_named() -> None:
    """Each name that the two sides do not share is told with what happened to it."""
    told = differing({"a": "1", "b": "1", "c": "1"}, {"a": "1", "b": "2", "d": "1"})
    assert told == ["changed: b", "gone: c", "new: d"]


def test_a_changed_output_fails_the_comparison(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Status 1 and the name of the case when a hash differs; 0 once it is written anew."""
    only, file = ["--only", "^mistake: slove$"], tmp_path / "hashes.json"
    file.write_text(json.dumps({"mistake: slove": "0" * 64, "another": "1"}))
    assert main(only, file) == 1
    assert "changed: mistake: slove" in capsys.readouterr().out
    assert main([*only, "--write"], file) == 0
    assert main(only, file) == 0
    assert json.loads(file.read_text())["another"] == "1"


def test_every_case_has_a_hash() -> None:
    """A case that was added is frozen too, and none is left over."""
    assert set(json.loads(HASHES.read_text(encoding="utf-8"))) == set(CASES)


@pytest.mark.parametrize("name", SAMPLE)
def test_sample(name: str) -> None:
    """A small sample holds; `python -m tests.freeze` compares everything."""
    assert hash_of(name) == json.loads(HASHES.read_text(encoding="utf-8"))[name]
