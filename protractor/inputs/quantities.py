"""Numbers with units as users write them, and words that are nearly right."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping

LENGTH_UNITS_MM = {
    **dict.fromkeys(("", "mm", "millimetre", "millimetres", "millimeter", "millimeters"), 1.0),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), 10.0),
    **dict.fromkeys(("in", "inch", "inches", '"', "″"), 25.4),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), 1000.0),
}

LENGTH_WORDS = {"mm": "millimetres", "cm": "centimetres", "in": "inches", "m": "metres"}
"""The units of length that a number without one may have been meant in, in words."""

ANGLE_UNITS_DEG = dict.fromkeys(("", "deg", "degree", "degrees", "°"), 1.0)


_FRACTION_SIGNS = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
    "⅓": "1/3",
    "⅔": "2/3",
}


LONGEST_QUANTITY = 60
"""Characters of a number with its unit. No dimension takes more, and sixty digits still make a
number that the machine can hold."""

_DECIMAL = r"(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:e[+-]?[0-9]{1,2})?"


_QUANTITY = re.compile(
    rf"""\s*(?P<sign>[+-]?)\s*
    (?: (?:(?P<whole>[0-9]+)[\s-]+)? (?P<over>[0-9]+)\s*/\s*(?P<under>[0-9]+)
      | (?P<decimal>{_DECIMAL}) )
    \s*(?P<unit>(?:[^\s0-9.,/+-][^\s0-9.,+-]*)?)\s*""",
    re.VERBOSE | re.IGNORECASE,
)


def read_quantity(text: str) -> tuple[float, str] | None:
    """Number and unit that a user wrote, or None when it is no number with an optional unit.

    Takes decimals with a point or a comma (`8.74in`, `222,5 mm`) and fractions (`8 3/4 in`, `33⅓`)
    of up to `LONGEST_QUANTITY` characters and exponents of two digits. A unit may be a quotient
    (`cm/s`).

    >>> read_quantity("8 3/4 in"), read_quantity("222,5"), read_quantity("nan")
    ((8.75, 'in'), (222.5, ''), None)
    """
    if len(text) > LONGEST_QUANTITY:
        return None
    for sign, fraction in _FRACTION_SIGNS.items():
        text = text.replace(sign, f" {fraction}")
    match = _QUANTITY.fullmatch(text)
    if match is None or (match["under"] is not None and int(match["under"]) == 0):
        return None
    if match["decimal"] is not None:
        value = float(match["decimal"].replace(",", "."))
    else:
        value = int(match["whole"] or 0) + int(match["over"]) / int(match["under"])
    return (-value if match["sign"] == "-" else value), match["unit"].lower()


def other_units(value: float, units: Mapping[str, float], low: float, high: float) -> list[str]:
    """The units in which a number would lie within bounds, one for each size of unit.

    >>> other_units(8.74, {"mm": 1.0, "cm": 10.0, "in": 25.4}, 120.0, 500.0)
    ['in']
    """
    fitting: dict[float, str] = {}
    for unit, factor in units.items():
        if value and low <= value * factor <= high:
            fitting.setdefault(factor, unit)
    return list(fitting.values())


_INCH_MARKS = re.compile("''|[\"″”“]")
_LEFT_OUT = re.compile("[\\s_‐‑–-]+")


def folded(word: str) -> str:
    """A word without what people leave out or write otherwise: case, accents, blanks, hyphens.

    >>> folded("Löfgren A"), folded('12"'), folded("loefgren_a")
    ('lofgrena', '12in', 'lofgrena')
    """
    marked = _INCH_MARKS.sub("in", word)
    letters = unicodedata.normalize("NFKD", marked.casefold())
    plain = "".join(letter for letter in letters if not unicodedata.combining(letter))
    return _LEFT_OUT.sub("", plain).replace("oe", "o")


NONE_NEAR = "name one of these"


def near(word: str, words: Iterable[str], likeness: float = 0.5) -> str:
    """`did you mean X?` when one of `words` is near `word`, else `NONE_NEAR`.

    The beginning of a word is nearest to the first that begins so.
    """
    import difflib

    word, known = word.lower(), list(words)
    close = [name for name in known if word and name.startswith(word)]
    close = close or difflib.get_close_matches(word, known, n=1, cutoff=likeness)
    return f"did you mean {close[0]}?" if close else NONE_NEAR
