"""What somebody states about an arm, and how wrong the statement may be.

`237` was rounded to whole millimetres and means 237 ± 0.5; `237.0` means ± 0.05; `237±0.2` gives
its bound itself, and `237+-0.2` is the same on a keyboard without the sign. The truth lies within
the bound, anywhere in it with equal chance (JCGM 100:2008, 4.3.7).
"""

from __future__ import annotations

import re

from protractor.arms.inputs import (
    EFFECTIVE_LENGTH,
    LINEAR_OFFSET,
    NULL_RADII,
    OFFSET_ANGLE,
    OVERHANG,
    PIVOT_TO_SPINDLE,
)
from protractor.errors import InputError, shown
from protractor.inputs.quantities import LENGTH_UNITS_MM, read_quantity
from protractor.setup.consistency import Statement

BOUND = re.compile(r"±|\+/-|\+-")
"""What stands between a number and its bound."""

_DIGITS = re.compile(
    r"[+-]?\s*[0-9]*(?:[.,](?P<decimals>[0-9]*))?(?:e(?P<power>[+-]?[0-9]+))?", re.I
)
_FRACTION = re.compile(r"/\s*(?P<under>[0-9]+)")

STATED = {
    asked.name: asked
    for asked in (
        PIVOT_TO_SPINDLE,
        EFFECTIVE_LENGTH,
        OVERHANG,
        OFFSET_ANGLE,
        LINEAR_OFFSET,
        NULL_RADII,
    )
}
"""What can be stated about an arm, each declared once."""


def read_statement(name: str, text: str) -> Statement:
    """The statement that a user wrote for a key of `STATED`.

    Raises `InputError` when it cannot be read or no arm is like that.

    >>> print(read_statement("effective-length", "237"))
    237 ± 0.5 mm
    >>> print(read_statement("offset-angle", "22deg±0.25"))
    22 ± 0.25 deg
    >>> print(read_statement("pivot-to-spindle", "8 3/4 in"))
    222.25 ± 3.2 mm
    """
    declared = STATED[name]
    plain = text.replace("°", "deg")
    head, *tail = BOUND.split(plain)
    if len(tail) > 1:
        raise InputError(name, f"'{shown(text)}'", "one ± at most", "write it as 237±0.5")
    value = declared.read(head)
    assert isinstance(value, float)
    quantity = read_quantity(head)
    unit = quantity[1] if quantity else ""
    factor = LENGTH_UNITS_MM[unit] if declared.kind == "length" else 1.0
    if not tail:
        return Statement(name=name, value=value, bound=_half_digit(head) * factor)
    bound = read_quantity(tail[0])
    units = LENGTH_UNITS_MM if declared.kind == "length" else {"": 1.0, "deg": 1.0}
    if bound is None or bound[1] not in units:
        raise InputError(
            name, f"'{shown(text)}'", "a number after the ±", "write it as 237±0.5 or 237"
        )
    # a bound without a unit of its own is in the unit of its number
    return Statement(
        name=name, value=value, bound=bound[0] * (units[bound[1]] if bound[1] else factor)
    )


def _half_digit(text: str) -> float:
    """Half of the last digit that was written, or of the fraction's unit."""
    fraction = _FRACTION.search(text)
    if fraction is not None:
        return 0.5 / int(fraction["under"])
    digits = _DIGITS.match(text.strip())
    assert digits is not None
    return float(0.5 * 10.0 ** (int(digits["power"] or 0) - len(digits["decimals"] or "")))
