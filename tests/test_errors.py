"""Text that can be shown: nothing in it is an order to a terminal."""

from __future__ import annotations

import json
import math
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protractor.errors import InputError, check_range, inert, shown

BIDIRECTIONAL = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
"""The characters of Unicode Standard Annex 9, table 4, that set the direction of writing."""

TEXTS = st.text(st.characters() | st.sampled_from(BIDIRECTIONAL + "\x1b\x9b\ud800\ufffe\n"))


@given(TEXTS)
def test_no_orders(text: str) -> None:
    """No control, direction, separator or half character is left but line ends; twice is once."""
    plain = inert(text)
    assert not set(plain) & set(BIDIRECTIONAL)
    kinds = {unicodedata.category(c) for c in plain if c != "\n"}
    assert not kinds & {"Cc", "Cs", "Zl", "Zp"}
    assert inert(plain) == plain


@given(TEXTS)
def test_json_stays_the_same_value(text: str) -> None:
    """The codes are those of JSON: a JSON text that was made inert is the same value."""
    assert json.loads(inert(json.dumps(text, ensure_ascii=False))) == text


def test_letters_of_any_script_stay() -> None:
    """Names that people have are left as they are, joiners and emoji too."""
    for name in ("Établi", "Прибор № 1", "עריסה", "می‌خواهم", "👩‍🔧", "10″ – left", "a\u00a0b"):
        assert inert(name) == name


def test_an_error_is_one_short_line() -> None:
    """What was given is on one line, inert and cut, however long it is."""
    error = InputError("title", "a\n\x1b[31m" + "\u202e" * 100_000, "a title", "give another")
    assert str(error).startswith("title: got a\\n\\u001b[31m\\u202e")
    assert len(str(error)) < 120
    assert shown("x" * 48) == "x" * 48
    assert shown("x" * 49) == "x" * 47 + "…"


def test_a_character_beyond_four_digits_is_two_codes() -> None:
    """As JSON has it (RFC 8259, section 7): a pair of surrogates."""
    assert inert("a\U000e0001b") == "a\\udb40\\udc01b"
    assert json.loads(f'"{inert(chr(0xE0001))}"') == "\U000e0001"


def test_a_range_holds_its_ends() -> None:
    """What an error says is allowed is allowed; what is no number is not."""
    for value in (1.0, 2.0):
        check_range("budget", value, "mm", (1.0, 2.0), "give another")
    for value in (math.nextafter(1, 0), math.nextafter(2, 3), math.nan, math.inf):
        with pytest.raises(InputError, match="allowed: 1 to 2 mm; give another"):
            check_range("budget", value, "mm", (1.0, 2.0), "give another")
