"""Reading what a user wrote."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import click
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from protractor.alignments.deck import Deck
from protractor.arms import inputs
from protractor.arms.records import RECORD_PRESETS
from protractor.bench.deck_csv import csv_text
from protractor.bench.deck_toml import toml_text
from protractor.bench.decks import fields_of, read_deck
from protractor.cli import cli
from protractor.cli.decks_add import field_options
from protractor.cli.options import Reads, filled
from protractor.errors import InputError
from protractor.inputs.declaration import Input, declared, description
from protractor.inputs.quantities import near, read_quantity


def commands(command: click.Command = cli) -> Iterator[click.Command]:
    """Every command of the program, groups and what they hold."""
    yield command
    if isinstance(command, click.Group):
        nobody = click.Context(command)
        for name in command.list_commands(nobody):
            found = command.get_command(nobody, name)
            assert found is not None
            yield from commands(found)


EVERY_INPUT = {
    (asked.name, asked.help): asked
    for command in commands()
    for parameter in command.params
    if isinstance(parameter.type, Reads)
    for asked in [parameter.type.asked]
}
"""Every declared input that a command asks for, each role of a quantity once."""


@given(st.floats(120, 500), st.sampled_from(["mm", " mm", "", " millimetres"]))
def test_lengths_in_mm(value: float, unit: str) -> None:
    """A decimal length reads back to itself."""
    assert inputs.PIVOT_TO_SPINDLE.read(f"{value!r}{unit}") == pytest.approx(value, rel=1e-12)


@given(st.integers(5, 18), st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_fractions_of_an_inch(whole: int, over: int, under: int) -> None:
    """Whole and fractional inches add up."""
    over %= under
    value = inputs.PIVOT_TO_SPINDLE.read(f"{whole} {over}/{under} in")
    assert value == pytest.approx((whole + over / under) * 25.4, rel=1e-12)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    """Whatever is written: a value in range, or one line that says what is allowed."""
    for asked in EVERY_INPUT.values():
        value, said = _read(asked, text)
        if said:
            assert "\n" not in said
            assert said.startswith(f"{asked.name}: got ")
            assert asked.allowed in said
        elif isinstance(value, float):
            assert asked.low * (1 - 1e-8) <= value <= asked.high * (1 + 1e-8)


def _read(declared: Input, text: str) -> tuple[object, str]:
    """The value read, or what the refusal says."""
    try:
        return declared.read(text), ""
    except InputError as error:
        return None, str(error)


def test_quantities_that_are_none() -> None:
    """Words, infinities and divisions by zero are no quantities."""
    for text in ("", "nan", "inf", "-inf", "1/0 in", "1 2", "1__0", "0x10", "٣٣", "1e9999mm mm"):
        assert read_quantity(text) is None


@pytest.mark.parametrize("declared", EVERY_INPUT.values(), ids=lambda d: d.name)
def test_declarations(declared: Input) -> None:
    """Each input has a help that is a sentence, and a default that it would take itself."""
    assert declared.help.endswith(".")
    if declared.default is not None:
        declared.read(declared.default)


def test_the_beginning_of_a_word_is_near() -> None:
    """Who leaves the year out is asked about the preset that the trade means."""
    assert near("12-iec", RECORD_PRESETS) == "did you mean 12-iec-1958?"
    assert near("", RECORD_PRESETS) == "name one of these"


def test_one_range_for_one_quantity() -> None:
    """A quantity has the same unit and range wherever it is asked for."""
    for quantity in ("overhang", "offset-angle", "effective-length", "pivot-to-spindle"):
        ranges = {
            (asked.unit, asked.low, asked.high)
            for asked in EVERY_INPUT.values()
            if asked.name in (quantity, f"now-{quantity}", f"{quantity}-range")
        }
        assert len(ranges) == 1, quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Planted(Deck):
    """A deck with one input more, declared once."""

    mat_mm: float | None = declared(
        Input(name="mat", kind="length", unit="mm", low=0, high=20, help="Thickness of the mat.")
    )


def test_a_new_input_appears_everywhere_by_one_declaration() -> None:
    """In options, in both kinds of deck files, in `decks add`, and in a form's description."""

    @click.command()
    @filled(Planted, ("mat_mm",), "deck")
    def show(deck: Planted) -> None:
        click.echo(deck.mat_mm)

    assert CliRunner().invoke(show, ["--mat", "0.5cm"]).output == "5.0\n"
    assert "Thickness of the mat. 0 to 20 mm." in " ".join(
        CliRunner().invoke(show, ["--help"]).output.split()
    )
    deck, faults = read_deck({"name": "A", "pivot-to-spindle": 222, "mat": "4 mm"}, Planted)
    assert faults == []
    assert isinstance(deck, Planted)
    assert deck.mat_mm == 4.0
    assert "mat = 4.0" in toml_text([deck])
    assert csv_text([deck]).splitlines() == ["name,pivot-to-spindle,mat", "A,222,4.0"]
    assert "--mat" in [word for option in field_options_of(Planted) for word in option.opts]
    assert [row["unit"] for row in description(fields_of(Planted)) if row["name"] == "mat"] == [
        "mm"
    ]
    with pytest.raises(InputError, match="mat: got '30'; allowed: 0 to 20 mm"):
        Planted(mat_mm=30)


def field_options_of(kind: type[Deck]) -> list[click.Parameter]:
    """The options that `decks add` has for a kind of deck."""
    command = click.command()(field_options(lambda **values: None, kind))
    return command.params


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ([1, 2], "got a list of 2;"),
        ({"a": 1}, "got a table of 1;"),
        (True, "got True (true or false);"),
        (10**400, "got a number of many digits;"),
    ],
)
def test_a_value_of_another_kind_is_named(value: object, said: str) -> None:
    """What a file holds instead of a length is named by its kind, not written out."""
    with pytest.raises(InputError) as caught:
        Deck(pivot_to_spindle_mm=value)  # type: ignore[arg-type]
    assert said in str(caught.value)


def test_a_name_on_two_lines_becomes_one() -> None:
    """Line breaks in a text, as files hold them, are blanks; in a length they are not allowed."""
    assert Deck(pivot_to_spindle_mm=222.0, name="Left\nbench\r\ndeck").name == "Left bench deck"
    with pytest.raises(InputError, match="pivot-to-spindle"):
        Deck(pivot_to_spindle_mm="22\n2")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "remedy"),
    [
        ("12-iec-1987:20", "write its radii instead, such as 58-120.9:20"),
        ("300-400:20", "not its diameter"),
        ("12@500:20", "give revolutions per minute"),
        ("13:20", "did you mean 12?"),
        ("disc:20", "name 12, 10, 7 or radii, as in 58-146:30"),
        ("12:x", "write a record, a colon and its share in percent, such as 12:80"),
    ],
)
def test_what_cannot_be_played_is_an_error_of_play(text: str, remedy: str) -> None:
    """Whatever is wrong within it, the error names `play`, what was written, and a way out."""
    with pytest.raises(InputError) as caught:
        inputs.PLAY.take(text)
    assert (caught.value.name, caught.value.got) == ("play", f"'{text}'")
    assert remedy in str(caught.value)


@pytest.mark.parametrize("radii", ["66", "66 121 130", [66.0], [66.0, 121.0, 130.0], 66.0])
def test_two_values_are_two(radii: object) -> None:
    """One value, or three, where two belong together."""
    with pytest.raises(InputError, match=r"allowed: two lengths, .*; write A and B"):
        Deck(pivot_to_spindle_mm=222.0, null_radii_mm=radii)  # type: ignore[arg-type]


def test_flags_as_files_write_them() -> None:
    """Yes and no in words, in capitals too; another word is refused, with what would do."""
    for word, meant in (("yes", True), ("YES", True), ("no", False), (True, True), (False, False)):
        assert Deck(pivot_to_spindle_mm=222.0, exact=word).exact is meant  # type: ignore[arg-type]
    with pytest.raises(InputError, match="exact: got perhaps"):
        Deck(pivot_to_spindle_mm=222.0, exact="perhaps")  # type: ignore[arg-type]
