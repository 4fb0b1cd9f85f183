"""Reading what a user wrote."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from protractor.inputs.deck import every_input

from protractor.arms.records import RECORD_PRESETS
from protractor.errors import InputError
from protractor.inputs import deck as inputs
from protractor.inputs.declaration import Input
from protractor.inputs.quantities import near, read_quantity


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
    for declared in every_input().values():
        value, said = _read(declared, text)
        if said:
            assert "\n" not in said
            assert said.startswith(f"{declared.name}: got ")
            assert declared.allowed in said
        elif isinstance(value, float):
            assert declared.low * (1 - 1e-8) <= value <= declared.high * (1 + 1e-8)


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


@pytest.mark.parametrize("declared", every_input().values(), ids=lambda d: d.name)
def test_declarations(declared: Input) -> None:
    """Each input has a help that is a sentence, and a default that it would take itself."""
    assert declared.help.endswith(".")
    if declared.default is not None:
        declared.read(declared.default)


def test_the_beginning_of_a_word_is_near() -> None:
    """Who leaves the year out is asked about the preset that the trade means."""
    assert near("12-iec", RECORD_PRESETS) == "did you mean 12-iec-1958?"
    assert near("", RECORD_PRESETS) == "name one of these"
