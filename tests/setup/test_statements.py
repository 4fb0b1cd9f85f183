"""What a user writes about an arm becomes a number with a bound."""

import pytest

from protractor.errors import InputError
from protractor.setup.consistency import Statement
from protractor.setup.statements import read_statement


@pytest.mark.parametrize(
    ("name", "text", "value", "bound"),
    [
        ("effective-length", "237", 237.0, 0.5),
        ("effective-length", "237.0", 237.0, 0.05),
        ("effective-length", "237,25", 237.25, 0.005),
        ("effective-length", "237±0.2", 237.0, 0.2),
        ("effective-length", "237 +/- 0.2 mm", 237.0, 0.2),
        ("effective-length", "237mm+-0.2mm", 237.0, 0.2),
        ("effective-length", "9.4in", 238.76, 1.27),
        ("effective-length", "9.4in±0.01", 238.76, 0.254),
        ("effective-length", "9.4in±0.5mm", 238.76, 0.5),
        ("pivot-to-spindle", "8 3/4 in", 222.25, 3.175),
        ("pivot-to-spindle", "8¾ in ± 1/32", 222.25, 25.4 / 32),
        ("offset-angle", "22deg±0.5", 22.0, 0.5),
        ("offset-angle", "22.5°", 22.5, 0.05),
        ("offset-angle", "22", 22.0, 0.5),
        ("overhang", "-16.0", -16.0, 0.05),
        ("overhang", "1.7e1", 17.0, 0.5),
    ],
)
def test_value_and_bound(name: str, text: str, value: float, bound: float) -> None:
    """Rounding, ±, inches, fractions and degrees are read as they are meant."""
    read = read_statement(name, text)
    assert read.value == pytest.approx(value, abs=1e-12)
    assert read.bound == pytest.approx(bound, rel=1e-12)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("effective-length", ""),
        ("effective-length", "±0.5"),
        ("effective-length", "237±"),
        ("effective-length", "237±x"),
        ("effective-length", "237±0"),
        ("effective-length", "237±-1"),
        ("effective-length", "237±1±1"),
        ("effective-length", "nan"),
        ("effective-length", "inf"),
        ("effective-length", "237deg"),
        ("effective-length", "237±1deg"),
        ("effective-length", "23.7"),
        ("offset-angle", "22mm"),
        ("offset-angle", "95"),
        ("overhang", "180"),
    ],
)
def test_what_cannot_be_read_is_refused(name: str, text: str) -> None:
    """Anything else is said with the statement's name, and nothing is guessed."""
    with pytest.raises(InputError) as refused:
        read_statement(name, text)
    assert refused.value.name == name


def test_a_statement_needs_a_bound() -> None:
    """A bound of nothing would make a statement infinitely sure."""
    with pytest.raises(InputError, match="bound above 0"):
        Statement(name="overhang", value=17.0, bound=0.0)
