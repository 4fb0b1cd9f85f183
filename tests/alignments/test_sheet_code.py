"""A sheet's code: the same for the same targets, another for any other; and what continues it."""

from __future__ import annotations

import math
import shlex
from dataclasses import replace

import click
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from protractor import Deck, InputError, align
from protractor.alignments.sheet_code import (
    CODE,
    LENGTH,
    LETTERS,
    bears,
    continuing,
    nulls_code,
    quoted,
    sheet_code,
)
from protractor.arms.records import record
from protractor.arms.schemes import SCHEMES
from protractor.cli import cli
from protractor.cli.correct import command
from protractor.inputs.declaration import inputs_of

LENGTHS = st.integers(18000, 30000).map(lambda hundredths: hundredths / 100)


def test_printed_codes_stay_valid() -> None:
    """The code of a sheet printed by an earlier version is the one that this version gives."""
    assert sheet_code(align(Deck(pivot_to_spindle_mm=222.0))) == "MKV6VT"
    assert sheet_code(align(Deck(pivot_to_spindle_mm=222.0, straight=True))) == "QJRRJM"


@settings(max_examples=30)
@given(LENGTHS, st.sampled_from(list(SCHEMES)), st.sampled_from(["12", "10", "7"]))
def test_a_code_can_be_copied_by_hand(length: float, scheme: str, side: str) -> None:
    """Six letters and digits, read as typed in small letters and in groups."""
    code = sheet_code(align(Deck(pivot_to_spindle_mm=length, scheme=scheme, record=side)))
    assert len(code) == LENGTH
    assert set(code) <= set(LETTERS)
    assert not set(LETTERS) & set("0O1IL2Z5S8BUAE")
    assert CODE.read(f" {code[:3].lower()}-{code[3:].lower()} ") == code


@settings(max_examples=40)
@given(LENGTHS, LENGTHS, st.sampled_from(list(SCHEMES)), st.sampled_from(list(SCHEMES)))
def test_another_deck_or_scheme_has_another_code(
    one: float, other: float, scheme: str, another: str
) -> None:
    """What a reader could tell apart on the sheet has another code."""
    assume((one, scheme) != (other, another))
    first = align(Deck(pivot_to_spindle_mm=one, scheme=scheme))
    second = align(Deck(pivot_to_spindle_mm=other, scheme=another))
    assert sheet_code(first) != sheet_code(second)
    assert not bears(sheet_code(second), first)


def test_what_does_not_move_the_stylus_does_not_count() -> None:
    """Name, paper, notes, velocity, noise in the last digits."""
    plain = align(Deck(pivot_to_spindle_mm=222.0))
    other = Deck(
        name="Other", pivot_to_spindle_mm=222.0, paper="letter", velocity_cm_s=5, notes="x"
    )
    assert sheet_code(align(other)) == sheet_code(plain)
    noisy = replace(
        plain, arm=replace(plain.arm, offset_angle_rad=plain.arm.offset_angle_rad + 1e-15)
    )
    assert sheet_code(noisy) == sheet_code(plain)
    assert sheet_code(plain, -1e-9) == sheet_code(plain)
    assert sheet_code(plain, math.radians(1.5)) != sheet_code(plain, math.radians(-1.5))


def test_a_sheet_of_two_nulls_is_for_any_deck() -> None:
    """Its code is that of its nulls, and any deck with these nulls takes its readings."""
    code = nulls_code((63.0, 119.0))
    for length in (200.0, 222.0, 300.0):
        nulls = Deck(pivot_to_spindle_mm=length, null_radii_mm=(63.0, 119.0))
        assert bears(code, align(nulls))
        assert not bears(code, align(Deck(pivot_to_spindle_mm=length)))


@pytest.mark.parametrize("wrong", ["", "MKV6V", "MKV6VTT", "MKV6V0", "MKV6V!", "Ü34679"])
def test_no_code(wrong: str) -> None:
    """What no sheet bears is refused with what a code looks like."""
    with pytest.raises(InputError, match="6 characters out of 34679"):
        CODE.read(wrong)


QUESTIONS = (
    Deck(pivot_to_spindle_mm=222.25),
    Deck(pivot_to_spindle_mm=222.0, scheme="stevenson", record="12-din-1981", rpm=45),
    Deck(effective_length_mm=239.3, null_radii_mm=(63, 119), scheme="null-radii"),
    Deck(pivot_to_spindle_mm=222.0, exact=True, held="offset-angle", offset_angle_deg=0.0),
    Deck(pivot_to_spindle_mm=222.0, straight=True, pivot_height_mm=20),
    Deck(pivot_to_spindle_mm=222.0, record=record("7", inner_radius_mm=55.0), zenith_deg=-1.5),
    Deck(pivot_to_spindle_mm=222.0, record=record("10"), velocity_cm_s=5.0, velocity_is="rms"),
    Deck(
        pivot_to_spindle_mm=222.0,
        exact=True,
        overhang_range_mm=(10, 17),
        play=("12:80", "58-120.9@78:20"),
    ),
)


@pytest.mark.parametrize("deck", QUESTIONS)
def test_the_command_asks_for_the_same_target(deck: Deck) -> None:
    """Typed with its blanks filled in, the command leads to the target that the sheet shows."""
    words = shlex.split(continuing(align(deck), deck).replace("__", "0"))
    assert words[:2] == ["protractor", "correct"]
    above = click.Context(cli, **cli.context_settings)
    taken = command.make_context("correct", words[2:], parent=above).params
    asked = inputs_of(Deck).items()
    known = {attribute: taken.get(each.name.replace("-", "_")) for attribute, each in asked}
    again = align(Deck(**{name: value for name, value in known.items() if value is not None}))
    assert bears(sheet_code(align(deck)), again)
    assert again.peak_second_harmonic_percent == pytest.approx(
        align(deck).peak_second_harmonic_percent
    )
    assert again.label == align(deck).label
    radii = [r for r in align(deck).arm.null_radii_mm if r > 0]
    assert words.count("--reading") == len(radii)
    assert words.count("--overhang-mark") == 1


@given(st.text("aB1 -_.,:/+'\"$`!\\*?~#&;|<>(){}[]=%^äЖ♫\u00a0", min_size=1))
def test_a_name_is_one_word_of_the_shell(name: str) -> None:
    """A deck's name, whatever is in it, arrives as it is."""
    assert shlex.split(f"x {quoted(name)}") == ["x", name]
