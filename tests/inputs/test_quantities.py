"""Numbers that no dimension is: read as none, and never another error."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protractor.errors import InputError
from protractor.inputs.quantities import read_quantity
from protractor.setup.statements import STATED, read_statement

BEYOND = (
    "9" * 400,
    "9" * 400 + "/3",
    "1/" + "9" * 400,
    "3 " + "9" * 400 + "/1",
    "9" * 5000,
    "1/0",
    "0e999",
    "9e999",
    "1e-320",
    "nan",
    "inf",
)


@pytest.mark.parametrize("text", BEYOND)
def test_numbers_beyond_measure(text: str) -> None:
    """Hundreds of digits, fractions of them, exponents of three digits, no numbers at all."""
    assert read_quantity(text) is None


@given(st.from_regex(r"[0-9]{1,70}( [0-9]{1,70})?(/[0-9]{1,70})?(e[0-9]{1,4})?", fullmatch=True))
def test_what_is_read_is_a_number(text: str) -> None:
    """Whatever is made of digits is a finite number or none."""
    quantity = read_quantity(text)
    assert quantity is None or math.isfinite(quantity[0])


def test_digits_as_people_write_them() -> None:
    """As many digits as a calculator or a spreadsheet shows are still a number."""
    assert read_quantity("222.00000000000000000000001 mm") == (222.0, "mm")
    assert read_quantity("2.22e+02") == (222.0, "")


@pytest.mark.parametrize("name", [name for name in STATED if STATED[name].count == 1])
@pytest.mark.parametrize("text", [*BEYOND, *(f"0±{text}" for text in BEYOND)])
def test_statements_beyond_measure(name: str, text: str) -> None:
    """The same in a statement, as its number or its bound: one error that names it."""
    with pytest.raises(InputError, match=name):
        read_statement(name, text)
