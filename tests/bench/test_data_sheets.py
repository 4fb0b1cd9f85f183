"""Data sheets of cartridge, arm and stage in a file of decks: read, checked, kept and asked."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from protractor.alignments.deck import Deck
from protractor.bench.deck_file import decks_of, decks_text, with_decks
from tests.conftest import Ran

Run = Callable[..., Ran]

TEXT = """# the bench, invented
[[deck]]
name = "Bench deck 1"
pivot-to-spindle = 222

[deck.cartridge]    # from its box
kind = "moving-coil"
output = 0.3
velocity = 5
velocity-is = "peak"
resistance = "12 ohm"
load = [100, 400]

[deck.arm]
force = 1.8

[[deck.stage]]
name = "40 dB"
gain = 40

[[deck.stage]]
name = "62 dB"
gain = 62
load = "1 kohm"
load_setting = [1000, 200]

[[deck]]
name = "Bench deck 2"
pivot-to-spindle = 215
"""


@pytest.fixture
def file() -> Path:
    """The file of decks, in the current folder."""
    path = Path("bench.toml")
    path.write_text(TEXT)
    return path


def test_a_file_with_data_sheets_reads_back(run: Run, file: Path) -> None:
    """Written anew the tables are the same; of a deck without any there is none."""
    found = decks_of(TEXT.encode(), file)
    assert (found.faults, found.lines) == ((), (2, 27))
    sheets = dict(found.decks[0].data_sheets)
    assert sheets["cartridge"]["resistance"] == "12 ohm"
    assert [stage["gain"] for stage in sheets["stage"]] == [40, 62]
    assert found.decks[1].data_sheets == ()
    again = decks_of(decks_text(file, found.decks).encode(), file)
    assert [deck.data_sheets for deck in again.decks] == [deck.data_sheets for deck in found.decks]
    assert again.decks == found.decks


@pytest.mark.parametrize(
    "table",
    [
        *("stage = []", "cartridge = {}", 'cartridge.output = "5 mV"'),
        *('arm = { "Effective  Length" = "239 mm" }', '[deck.stage]\nload_setting = [47000, "1k"]'),
        *('[deck.stage]\nname = "a\\n\\"b\\""', "[deck.stage]\nname = 5\nload-setting = []"),
    ],
)
def test_odd_tables_are_written_so_that_they_read_back(table: str) -> None:
    """Whatever is sound, however it is written, is there again; what is empty is not."""
    head = '[[deck]]\nname = "A"\npivot-to-spindle = 222\n'
    found = decks_of(f"{head}{table}\n".encode(), Path("x.toml"))
    assert found.faults == ()
    again = decks_of(decks_text(Path("x.toml"), found.decks).encode(), Path("x.toml"))
    assert again.decks[0].data_sheets == found.decks[0].data_sheets
    assert all(part for _, part in again.decks[0].data_sheets)


def test_a_deck_more_leaves_them_as_they_are(run: Run, file: Path) -> None:
    """Comments too; and a deck with data sheets can be added itself."""
    one = Deck(name="New", pivot_to_spindle_mm=200.0, data_sheets=(("arm", {"wire": 30}),))
    longer = with_decks(file, [one])
    assert longer.startswith(TEXT)
    assert longer.endswith("\n[deck.arm]\nwire = 30\n")
    assert run("decks", "add", "bench.toml", "--name", "X", "--pivot-to-spindle", "230").status == 0
    assert run("decks", "remove", "X", "--decks", "bench.toml").status == 0
    assert file.read_text().rstrip() == TEXT.rstrip()


FAULTS = {
    "a figure out of range": ("force = 1.8", "force = 17.5", "line 15.*arm.force: got '17.5'"),
    "an unknown field": ("output = 0.3", "outptu = 0.3", "line 8.*outptu.*did you mean output"),
    "in the second stage": ('"1 kohm"', '"1 pF"', "line 24.*stage.2.load: .*units: ohm"),
    "two stages of one name": ('"62 dB"', '"40 dB"', "line 22.*stage.2.name: .*name them apart"),
    "no table": ("[deck.arm]\n", "[[deck.arm]]\n", "line 14.*arm: got no table"),
    "figures that contradict": (
        'kind = "moving-coil"',
        'kind = "moving-magnet"',
        "line 12.*cartridge.load: got 100 ohm; allowed: 1000 ohm or more",
    ),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_has_its_line_and_field(run: Run, fault: str) -> None:
    """`decks check` says where it is; the other deck stays sound."""
    before, after, line = FAULTS[fault]
    Path("bench.toml").write_text(TEXT.replace(before, after))
    ran = run("decks", "check", "bench.toml")
    assert (ran.status, ran.err.count("\n")) == (2, 1), ran.err
    assert re.search(line, ran.err), ran.err
    assert "1 sound deck, 1 fault" in ran.out
    asked = run("fit", "--deck", "Bench deck 1", "--decks", "bench.toml")
    assert (asked.status, asked.out, asked.err.count("\n")) == (2, "", 1)


def test_csv_says_what_it_leaves_out(run: Run, file: Path) -> None:
    """A note names the deck; the file is written, without a column for them."""
    ran = run("decks", "export", "bench.toml", "-o", "bench.csv")
    assert (ran.status, ran.err.count("\n")) == (0, 1)
    assert "left out of Bench deck 1" in ran.err
    assert Path("bench.csv").read_text().splitlines()[0] == "name,pivot-to-spindle"
    assert run("decks", "export", "bench.toml", "-o", "again.toml").err == ""


def test_fit_asks_a_deck(run: Run, file: Path) -> None:
    """Its data sheets and its alignment's lengths; a file counts for more, options for most."""
    known = ("fit", "--deck", "Bench deck 1", "--decks", "bench.toml", "--json")
    data = json.loads(run(*known).out)
    assert data["cartridge"]["output_mv"] == 0.3
    assert data["arm"]["length_mm"] == pytest.approx(239.296, abs=1e-3)
    assert [stage["gain_db"] for stage in data["stages"]] == [40.0, 62.0]
    answered = {one["name"] for one in data["answers"] if one["value"] is not None}
    assert {"skating-force", "rise-per-degree", "gain"} <= answered
    Path("more.toml").write_text(
        "[stage]\ngain = 60\n[arm]\nforce = 2\n[cartridge]\noutput = 0.4\n"
    )
    over = json.loads(run(*known, "--file", "more.toml", "--cartridge-output", "0.5").out)
    assert over["stages"] == [{"gain_db": 60.0}]
    assert (over["arm"]["force_g"], over["cartridge"]["output_mv"]) == (2.0, 0.5)
    assert over["cartridge"]["velocity_cm_s"] == 5.0


def test_the_worksheet_bears_the_verdicts(run: Run, file: Path) -> None:
    """On the terminal, as JSON and as a page; a deck without data sheets has none of it."""
    shown = run("decks", "show", "Bench deck 1", "--decks", "bench.toml")
    assert "Level, 62 dB" in shown.out
    assert "fits with a change: Set the load to 200 ohm." in shown.out
    assert 'Use the input "62 dB".' in shown.out
    assert max(map(len, shown.out.splitlines())) <= 80
    kept = json.loads(run("decks", "show", "Bench deck 1", "--decks", "bench.toml", "--json").out)
    assert kept["fit"][0]["name"] == "gain"
    other = run("decks", "show", "Bench deck 2", "--decks", "bench.toml")
    assert "Level" not in other.out


def test_a_batch_does_not_draw_anew_for_another_cartridge() -> None:
    """What a sheet does not show is no part of what its files depend on."""
    from protractor.bench.deck_sheets import SheetChoice

    plain = Deck(name="Bench deck", pivot_to_spindle_mm=222.0)
    fitted = Deck(
        name="Bench deck", pivot_to_spindle_mm=222.0, data_sheets=(("arm", {"wire": 30}),)
    )
    assert SheetChoice().key(plain, None) == SheetChoice().key(fitted, None)
    assert plain == fitted
    assert fitted.as_dict()["data_sheets"] == {"arm": {"wire": 30}}
