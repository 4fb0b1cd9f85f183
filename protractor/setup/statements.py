"""What somebody states about an arm, and how far off the statement may be.

`237` was rounded to whole millimetres and means 237 ± 0.5; `237.0` means ± 0.05; `237±0.2` says
its bound itself, and `237+-0.2` is the same on a keyboard without the sign. The truth lies within
the bound, anywhere in it with equal chance (JCGM 100:2008, 4.3.7).
"""

from __future__ import annotations

import re

from protractor.errors import InputError, shown
from protractor.inputs.declaration import Input
from protractor.inputs.quantities import LENGTH_UNITS_MM, read_quantity
from protractor.setup.consistency import GREATEST_OVERHANG_MM, LENGTH_RANGE_MM, Statement

_BOUND = re.compile(r"±|\+/-|\+-")
_DIGITS = re.compile(
    r"[+-]?\s*[0-9]*(?:[.,](?P<decimals>[0-9]*))?(?:e(?P<power>[+-]?[0-9]+))?", re.I
)
_FRACTION = re.compile(r"/\s*(?P<under>[0-9]+)")

STATED = {
    declared.name: declared
    for declared in (
        Input(
            name="pivot-to-spindle",
            kind="length",
            unit="mm",
            low=120.0,
            high=500.0,
            help="Centre of the arm's pivot to centre of the spindle.",
            remedy="measure centre to centre; for inches write 8.74in",
        ),
        Input(
            name="effective-length",
            kind="length",
            unit="mm",
            low=LENGTH_RANGE_MM[0],
            high=LENGTH_RANGE_MM[1],
            help="Centre of the arm's pivot to the stylus.",
            remedy="give pivot to stylus; for inches write 9.4in",
        ),
        Input(
            name="overhang",
            kind="length",
            unit="mm",
            low=-GREATEST_OVERHANG_MM,
            high=GREATEST_OVERHANG_MM,
            help="How far the stylus reaches past the spindle; underhang is negative.",
            remedy="give effective length less pivot to spindle",
        ),
        Input(
            name="offset-angle",
            kind="number",
            unit="deg",
            low=-45.0,
            high=45.0,
            help="Angle between the cartridge and the line stylus to pivot.",
            remedy="give degrees, as in 22deg",
        ),
        Input(
            name="linear-offset",
            kind="length",
            unit="mm",
            low=-200.0,
            high=200.0,
            help="Distance of the pivot from the cartridge's axis.",
            remedy="give effective length times the sine of the offset angle",
        ),
        Input(
            name="null-radii",
            kind="length",
            unit="mm",
            low=30.0,
            high=220.0,
            count=2,
            help="The two radii at which the cartridge is tangent to the groove.",
            remedy="give the inner and the outer null radius",
        ),
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
    head, *tail = _BOUND.split(plain)
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
