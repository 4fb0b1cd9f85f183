"""The demo's sheets, as committed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from protractor.bench.deck_file import read_decks
from protractor.bench.demo import BOARD_TITLE, DEMO_DECKS, demo_decks, demo_sheets
from tests.conftest import Ran

COMMITTED = Path(__file__).parents[2] / "templates_out"


def test_committed_sheets_are_reproduced() -> None:
    """Every sheet in templates_out/ is what the demo makes now, byte for byte."""
    sheets = demo_sheets()
    assert {path.name for path in COMMITTED.glob("demo-*")} == set(sheets)
    for name, data in sheets.items():
        assert (COMMITTED / name).read_bytes() == data, f"run `protractor demo --force`: {name}"


def test_demo_is_said_to_be_invented() -> None:
    """No deck of the demo could be taken for a real one."""
    assert all("(invented)" in title for _, title, _, _ in DEMO_DECKS)
    assert "(invented)" in BOARD_TITLE


def test_demo_in_another_format(run: Callable[..., Ran]) -> None:
    """Every sheet can be had for a cutter as well; the file of decks reads back."""
    ran = run("demo", "--format", "svg")
    assert {Path(name).suffix for name in ran.files} == {".svg", ".toml"}
    found = read_decks(Path("templates_out/demo-bench.toml"))
    assert (found.decks, found.faults) == (demo_decks(), ())


def test_demo_command(run: Callable[..., Ran]) -> None:
    """It writes all sheets, leaves equal ones alone, and keeps a file that differs."""
    first = run("demo")
    assert first.status == 0
    assert len(first.files) == len(demo_sheets())
    assert run("demo").out.count("(unchanged)") == len(first.files)
    Path(first.files[0]).write_bytes(b"mine")
    third = run("demo")
    assert third.status == 2
    assert "say --force" in third.err
    assert Path(first.files[0]).read_bytes() == b"mine"
