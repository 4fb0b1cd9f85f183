"""Decks that are remembered: found by name, changed in their file, filled up by what is given."""

from __future__ import annotations

import contextlib
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.bench.deck_file import decks_of, read_decks
from protractor.bench.deck_text import (
    with_deck_changed,
    with_decks_added,
    with_defaults,
    without_deck,
)
from protractor.bench.deck_toml import toml_text
from protractor.bench.decks import read_deck
from protractor.bench.remembered import (
    ON_PAPER,
    Defaults,
    Remembered,
    add,
    change,
    overridden,
    question,
    remembered,
    remove,
    set_defaults,
)
from protractor.errors import InputError

FILE = """# my decks, all invented
[default]
deck = "Bench deck"   # the usual one
paper = "letter"
printer = "desk"

# the first
[[deck]]
name = "Bench deck"
pivot-to-spindle = "222.3±0.3"  # by ruler
scheme = "null-radii"
null-radii = [
  63,
  119,
]
zenith = 1.5

# a straight one
[[deck]]
name = "Прибор № 2"
pivot-to-spindle = 240
straight = true
notes = \"\"\"
[[deck]]
no table \"\"\"

[[deck]]
name = "Faulty"
pivot-to-spindle = 3
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A file of three decks with defaults, the last deck faulty."""
    path = tmp_path / "decks.toml"
    path.write_text(FILE, encoding="utf-8")
    return path


@pytest.fixture
def sound(file: Path) -> Path:
    """The same without the faulty deck."""
    file.write_text(FILE[: FILE.rindex("[[deck]]")], encoding="utf-8")
    return file


@pytest.mark.parametrize("name", ["Bench deck", "bench deck", " BENCH  deck ", "Прибор № 2"])
def test_a_deck_is_found_by_its_name(file: Path, name: str) -> None:
    """Capitals and blanks do not count; a faulty deck is in nobody's way."""
    assert remembered(file).deck(name).name.casefold() == " ".join(name.split()).casefold()


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("bench", "did you mean Bench deck?"),
        ("Bnech deck", "did you mean Bench deck?"),
        ("♫", "name one of"),
        ("Faulty", "Faulty with a fault in line 29; allowed: a deck without faults"),
        ("", "name one of"),
    ],
)
def test_a_name_that_is_not_there(file: Path, name: str, said: str) -> None:
    """One line with the nearest names and what to do."""
    with pytest.raises(InputError) as caught:
        remembered(file).deck(name)
    assert said in str(caught.value)
    assert str(caught.value).count("\n") == 0


def test_names_that_differ_by_capitals(file: Path) -> None:
    """As written it is one of them; otherwise nobody knows which is meant."""
    file.write_text(FILE + '\n[[deck]]\nname = "bench deck"\npivot-to-spindle = 210\n')
    known = remembered(file)
    assert known.deck("bench deck").pivot_to_spindle_mm == 210
    assert known.deck("Bench deck").pivot_to_spindle_mm == 222.3
    with pytest.raises(InputError, match="a name that one deck has"):
        known.deck("BENCH DECK")


def ask(file: Remembered, name: str | None = None, **given: Any) -> Deck:
    """The deck of a call that prints and counts the zenith."""
    return question(file, name, given, (*ON_PAPER, "zenith_deg")).deck


def test_what_is_given_counts_for_this_call(file: Path) -> None:
    """A scheme takes the place of null radii, a length of the other, a record of radii."""
    known = remembered(file)
    assert align(ask(known, "Bench deck", scheme="stevenson")).scheme == "stevenson"
    assert ask(known, "Bench deck", effective_length_mm=239.0).pivot_to_spindle_mm is None
    assert ask(known, "Bench deck", zenith_deg=-1.0).zenith_deg == -1.0
    own = Deck(pivot_to_spindle_mm=222, inner_radius_mm=58, outer_radius_mm=140, rpm=45)
    assert overridden(own, {"record": "7"}).side.outer_radius_mm == 84.0
    assert overridden(own, {"inner_radius_mm": 60}).side.outer_radius_mm == 140
    assert known.deck("Bench deck") == read_decks(file).decks[0]


def test_a_statement_that_is_overridden_is_none(file: Path) -> None:
    """The deck's own words about a length go with it."""
    assert dict(ask(remembered(file), "Bench deck").stated) == {"pivot-to-spindle": "222.3±0.3"}
    assert ask(remembered(file), "Bench deck", pivot_to_spindle_mm=210.0).stated == ()


def test_fields_count_where_a_call_asks_for_them(file: Path) -> None:
    """A plate turns no grid and is printed on no paper; a straight arm is one everywhere."""
    known = remembered(file)
    plate = question(known, "Bench deck", {}, ("name",)).deck
    assert (plate.zenith_deg, plate.paper, plate.printer) == (None, None, None)
    assert question(known, "Прибор № 2", {}, ()).deck.straight


def test_defaults_fill_what_nobody_gave(file: Path) -> None:
    """Deck, paper and printer, each reported; none of them where it was given."""
    known = remembered(file)
    every = question(known, None, {}, ON_PAPER)
    assert str(every.by_default) == 'deck "Bench deck", paper letter, printer desk'
    assert (every.deck.paper, every.deck.printer) == ("letter", "desk")
    named = question(known, "Прибор № 2", {"printer": "attic"}, ON_PAPER)
    assert str(named.by_default) == "paper letter"
    assert not question(known, None, {}, ON_PAPER, or_default=False).known


def test_a_printer_goes_with_its_paper(file: Path) -> None:
    """On another paper the default printer is left out, and that is said; on its own it stays."""
    known = remembered(file)
    other = question(known, None, {"paper": "a3"}, ON_PAPER)
    assert (other.deck.printer, other.deck.paper) == (None, "a3")
    assert other.left_out == "printer desk is left out: it goes with another paper"
    assert question(known, None, {"paper": "letter"}, ON_PAPER).deck.printer == "desk"
    cut = question(known, None, {}, ON_PAPER, no_printer="only PDFs are corrected")
    assert cut.deck.printer is None
    assert cut.left_out == "printer desk is left out: only PDFs are corrected"


def test_comments_stay(sound: Path) -> None:
    """Adding, removing and choosing defaults change their own lines and no others."""
    add(sound, Deck(name="New", pivot_to_spindle_mm=230.0))
    assert sound.read_text().startswith(FILE[: FILE.rindex("[[deck]]")].rstrip())
    remove(sound, "New")
    remove(sound, "Прибор № 2")
    text = sound.read_text()
    assert [deck.name for deck in read_decks(sound).decks] == ["Bench deck"]
    for comment in ("# my decks, all invented", "# the first", "# by ruler", "# a straight one"):
        assert comment in text
    set_defaults(sound, Defaults(deck="Bench deck", clear_margin_mm=5.0))
    assert tomllib.loads(sound.read_text())["default"] == {"deck": "Bench deck", "clear-margin": 5}
    assert "# by ruler" in sound.read_text()
    set_defaults(sound, Defaults())
    assert "default" not in tomllib.loads(sound.read_text())


def test_a_deck_is_changed_in_its_lines(sound: Path) -> None:
    """Comments beside the values stay; what is said in other words goes; all else is as it was."""
    before = remembered(sound).deck("Прибор № 2")
    changed = change(
        sound, "Bench deck", {"pivot-to-spindle": "222.1±0.1", "scheme": "stevenson"}, ("zenith",)
    )
    text = sound.read_text()
    assert 'pivot-to-spindle = "222.1±0.1"  # by ruler\n' in text
    assert changed == remembered(sound).deck("Bench deck")
    assert (changed.pivot_to_spindle_mm, changed.scheme) == (222.1, "stevenson")
    assert changed.null_radii_mm is changed.zenith_deg is None
    assert remembered(sound).deck("Прибор № 2") == before
    change(sound, "Прибор № 2", {"straight": "no", "effective-length": "257"}, ())
    straight = remembered(sound).deck("Прибор № 2")
    assert not straight.straight
    assert dict(straight.stated)["effective-length"] == "257"
    assert remembered(sound).defaults == Defaults(deck="Bench deck", paper="letter", printer="desk")


def test_a_change_that_makes_no_deck_changes_nothing(sound: Path) -> None:
    """The first thing that is wrong with it is said, and the file stays."""
    before = sound.read_bytes()
    for given_, gone in (
        ({"pivot-to-spindle": "3"}, ()),
        ({}, ("pivot-to-spindle",)),
        ({"held": "offset-angle"}, ()),
    ):
        with pytest.raises(InputError):
            change(sound, "Bench deck", given_, gone)
        assert sound.read_bytes() == before


def test_a_removed_default_is_no_default(sound: Path) -> None:
    """The paper stays a default; the last deck can go, and another can be added."""
    remove(sound, "Bench deck")
    assert remembered(sound).defaults == Defaults(paper="letter", printer="desk")
    remove(sound, "Прибор № 2")
    assert remembered(sound).names == []
    add(sound, Deck(name="Bench deck", pivot_to_spindle_mm=222.0))
    assert remembered(sound).names == ["Bench deck"]


def test_a_faulty_file_is_not_changed(file: Path) -> None:
    """The fault is named; nothing is written over what cannot be read."""
    for changes in (
        lambda: add(file, Deck(name="New", pivot_to_spindle_mm=230.0)),
        lambda: remove(file, "Bench deck"),
        lambda: set_defaults(file, Defaults(paper="a4")),
    ):
        with pytest.raises(InputError, match="line 29"):
            changes()
        assert file.read_text() == FILE


NAMES = st.text("aB1 -_.,:/+'\"$`!\\*?~#&;|<>(){}[]=%^äЖ♫\u2028\x85", min_size=1, max_size=12)


@settings(max_examples=40)
@given(st.lists(NAMES, min_size=1, max_size=3), st.integers(0, 3), st.booleans())
def test_any_name_is_kept_and_removed(names: list[str], at: int, on_one_line: bool) -> None:
    """Whatever a name holds, the file says it, a default names it, and it alone is removed."""
    decks = []
    for name in names:
        with contextlib.suppress(InputError):  # a name of controls alone is none
            decks.append(Deck(name=name, pivot_to_spindle_mm=222.0))
    decks = list({deck.name: deck for deck in decks if deck.name}.values())
    assume(decks)
    text = toml_text(decks)
    if on_one_line:
        inside = (part.split("\n", 1)[1].strip().replace("\n", ", ") for part in text.split("\n\n"))
        text = "# one\ndeck = [" + ", ".join(f"{{{part}}}" for part in inside) + "]\n"
    gone = decks[at % len(decks)]
    noted = [replace(deck, notes=gone.name) if deck is gone else deck for deck in decks]
    rest = [deck for deck in decks if deck is not gone]
    for changed, wanted, default in (
        (without_deck(text, at % len(decks), decks), rest, {}),
        (with_defaults(text, {"deck": gone.name}, decks), decks, {"deck": gone.name}),
        (with_decks_added(text, [Deck(name="♫♫", pivot_to_spindle_mm=222)], decks), None, {}),
        (with_deck_changed(text, at % len(decks), {"notes": gone.name}, (), noted), decks, {}),
    ):
        data = tomllib.loads(changed)
        assert data.get("default", {}) == default
        if wanted is decks and not default:
            assert [each.get("notes") for each in data["deck"]] == [d.notes for d in noted]
        if wanted is not None:
            assert [each["name"] for each in data.get("deck", [])] == [d.name for d in wanted]


def test_zero_is_a_figure(tmp_path: Path) -> None:
    """An offset angle of 0 that is kept is written, and read back."""
    deck, faults = read_deck(
        {"name": "S", "pivot-to-spindle": 222, "exact": True, "held": "offset-angle",
         "offset-angle": 0}
    )  # fmt: skip
    assert deck is not None, faults
    assert decks_of(toml_text([deck]).encode(), Path("d.toml")).decks == (deck,)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"\xff", "a byte that is no UTF-8"),
        (b"a = 1 = 2\n", "line 1"),
        (b"format = 2\n", "left as it is: a later protractor wrote it"),
        (b"format = true\n", "line 1: format"),
        (b"default = 3\n", "line 1: default"),
        (b"[default]\npapre = 'a4'\n", "did you mean paper?"),
        (b"[default]\npaper = 'a99'\n", "paper a99 in [default]"),
        (b"[defaults]\n", "did you mean default?"),
        (b"x" * 9_000_000, "a file of over 8,000,000 bytes"),
    ],
    ids=lambda value: repr(value[:24]),
)
def test_a_damaged_file_is_left_alone(tmp_path: Path, content: bytes, said: str) -> None:
    """What is wrong is one line with its place; the file stays byte for byte."""
    path = tmp_path / "decks.toml"
    path.write_bytes(content)
    with pytest.raises(InputError) as caught:
        remembered(path)
    assert said in str(caught.value)
    assert str(caught.value).count("\n") == 0
    if b"[default]" not in content:  # which a deck that is added leaves as it is
        with pytest.raises(InputError):
            add(path, Deck(name="New", pivot_to_spindle_mm=222.0))
    assert path.read_bytes() == content
