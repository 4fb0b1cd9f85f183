"""What ties a sheet to its readings: a short code of what it shows, and the command that continues.

Two sheets with the same code put the stylus and the cartridge in the same place. The deck's name,
the paper, the printer and the version of the program do not count.
"""

from __future__ import annotations

import hashlib
import math
import re
import shlex
from collections.abc import Iterator
from typing import Any

from protractor.alignments.align import chosen_nulls
from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.alignments.deck import Deck
from protractor.arms.inputs import written_play
from protractor.arms.records import RECORD_PRESETS, SPEEDS_RPM, Record
from protractor.errors import shown
from protractor.inputs.declaration import Input, inputs_of

LETTERS = "34679CDFGHJKMNPQRTVWXY"
"""What codes are written with: nothing that is taken for another (0 O, 1 I L, 2 Z, 5 S, 8 B, U V),
and no vowels, so that no code is a word."""

LENGTH = 6
"""Characters of a code. Of a thousand sheets, two share one with a probability of 0.4 %."""

BLANK = "__"
"""Where a command on paper waits for what is read."""

LEFT_OUT = ("name", "notes", "paper", "clear_margin_mm", "printer")
"""Fields of a deck that change nothing about readings."""


def _read_code(asked: Input, text: str) -> str:
    """A code as it was typed: small letters, blanks and hyphens do not count."""
    code = re.sub(r"[\s-]+", "", text).upper()
    if len(code) != LENGTH or any(letter not in LETTERS for letter in code):
        raise asked.refuse(f"'{shown(text)}'")
    return code


CODE = Input(
    name="code",
    kind="form",
    metavar="CODE",
    allows=f"{LENGTH} characters out of {LETTERS}",
    reads=_read_code,
    help="Code of the sheet that was read; readings of another deck's or scheme's sheet are then "
    "refused.",
    remedy="copy it from the sheet, or leave it out",
)


def sheet_code(alignment: Alignment, zenith_rad: float = 0.0) -> str:
    """The code of a sheet made for one deck.

    Args:
        alignment: what the sheet shows.
        zenith_rad: how far its grids are turned [rad].

    Returns:
        `LENGTH` characters of `LETTERS`, from the two lengths, the null radii, the offset angle and
        the zenith, each as the sheet prints it, to a hundredth.

    >>> from protractor.alignments.align import align
    >>> sheet_code(align(Deck(pivot_to_spindle_mm=222.0)))
    'MKV6VT'
    """
    arm = alignment.arm
    lengths = arm.pivot_to_spindle_mm, arm.effective_length_mm
    radii = [radius for radius in arm.null_radii_mm if radius > 0]
    return _code(*lengths, *radii, math.degrees(arm.offset_angle_rad), math.degrees(zenith_rad))


def nulls_code(null_radii_mm: tuple[float, float], zenith_rad: float = 0.0) -> str:
    """The code of a sheet that shows two null points [mm] for any deck."""
    return _code(*null_radii_mm, math.degrees(zenith_rad))


def _code(*figures: float) -> str:
    """A code of figures, each to a hundredth; how many there are counts as well."""
    text = " ".join(map(to_hundredth, figures))
    number = int.from_bytes(hashlib.sha256(text.encode()).digest()[:8], "big")
    code = ""
    for _ in range(LENGTH):
        number, at = divmod(number, len(LETTERS))
        code += LETTERS[at]
    return code


def bears(code: str, alignment: Alignment, zenith_rad: float = 0.0) -> bool:
    """Whether a code is that of a sheet for this alignment: with its arc, or two nulls alone."""
    return code in (
        sheet_code(alignment, zenith_rad),
        nulls_code(alignment.arm.null_radii_mm, zenith_rad),
    )


def continuing(
    alignment: Alignment | None, deck: Deck, *, remembered: str = "", code: str = ""
) -> str:
    """The whole command that takes the readings of a sheet, with blanks for what is read.

    Args:
        alignment: what the sheet shows; None for the two nulls of a deck without a length.
        deck: the question that it answers.
        remembered: the options that name the deck where it is remembered, in place of its figures.
        code: the sheet's code, so that readings of another sheet are refused.

    >>> from protractor.alignments.align import align
    >>> deck = Deck(pivot_to_spindle_mm=222.0, scheme="stevenson")
    >>> continuing(align(deck), deck)  # doctest: +NORMALIZE_WHITESPACE
    'protractor correct --pivot-to-spindle 222 --scheme stevenson
    --reading 60.3:__ --reading 117.4:__ --overhang-mark __'
    >>> continuing(align(deck), deck, remembered="--deck bench",
    ...            code="K3F9QX")  # doctest: +NORMALIZE_WHITESPACE
    'protractor correct --deck bench --code K3F9QX --reading 60.3:__ --reading 117.4:__
    --overhang-mark __'
    """
    known = [remembered] if remembered else list(deck_words(deck))
    if alignment is None:
        _, _, nulls = chosen_nulls(deck)
        known.insert(0, f"--pivot-to-spindle {BLANK}")
    else:
        nulls = alignment.arm.null_radii_mm
    readings = [f"--reading {radius:.1f}:{BLANK}" for radius in nulls if radius > 0]
    if alignment is not None:
        readings.append(f"--overhang-mark {BLANK}")
    return " ".join(
        ["protractor correct", *known, *([f"--code {code}"] if code else []), *readings]
    )


def deck_words(deck: Deck) -> Iterator[str]:
    """The options that ask for the deck's alignment again, each with its values.

    >>> list(deck_words(Deck(pivot_to_spindle_mm="8 3/4 in", null_radii_mm=(63, 119))))
    ['--pivot-to-spindle 222.25', '--null-radii 63 119']
    """
    for attribute, asked in inputs_of(Deck).items():
        value = getattr(deck, attribute)
        if attribute in LEFT_OUT or value is None or value is False or value == ():
            continue
        if asked.kind == "flag":
            yield f"--{asked.name}"
        elif isinstance(value, Record):
            yield from _record_words(value)
        elif attribute == "play":
            yield from (f"--play {written_play(*each)}" for each in value)
        else:
            values = value if isinstance(value, tuple) else (value,)
            yield " ".join([f"--{asked.name}", *map(_word, values)])


def _record_words(side: Record) -> Iterator[str]:
    """The options for a record that was given as a value."""
    preset = RECORD_PRESETS.get(side.name)
    radii = side.inner_radius_mm, side.outer_radius_mm
    if preset is not None and (preset.inner_radius_mm, preset.outer_radius_mm) == radii:
        yield f"--record {side.name}"
    else:
        yield f"--inner-radius {_word(radii[0])}"
        yield f"--outer-radius {_word(radii[1])}"
        preset = None
    if side.rpm != (preset.rpm if preset else SPEEDS_RPM["33 1/3"]):
        yield f"--rpm {_word(side.rpm)}"


def _word(value: Any) -> str:
    """A value as it is typed: numbers to a tenth of a micrometre, 33 1/3 as a speed is typed."""
    if value == SPEEDS_RPM["33 1/3"]:
        return "33.33"
    return f"{round(value, 4):.10g}" if isinstance(value, (int, float)) else quoted(str(value))


def quoted(text: str) -> str:
    """A text as one word of a command line, in double quotes where they do.

    >>> quoted("desk"), quoted("Bench deck"), quoted("5 $")
    ('desk', '"Bench deck"', "'5 $'")
    """
    if re.fullmatch(r"[\w.,:/+-]+", text) and not text.startswith("-"):
        return text
    return shlex.quote(text) if set(text) & set('"$`\\!') or not text else f'"{text}"'
