"""The one error for what a user can correct, and text that can be shown to one."""

from __future__ import annotations

import re

_NAMES = re.compile(r"`([a-z][a-z0-9-]*)`")

_OBEYED = re.compile(
    "[\x00-\x09\x0b-\x1f\x7f-\x9f"  # controls, but for the end of a line
    "\u061c\u200b\u200e\u200f\u202a-\u202e\u2060-\u206f"  # direction of writing, no width
    "\u2028\u2029\ufeff\ufff9-\ufffb\U000e0000-\U000e007f"  # line ends, marks, tags
    "\ud800-\udfff\ufffe\uffff]"  # no characters at all
)


def inert(text: str) -> str:
    r"""The text with every character that a terminal would obey, not show, as its code.

    Line ends stay. The codes are those of JSON, so that JSON stays the same value.

    >>> print(inert("red \x1b[31m, backwards \u202e"))
    red \u001b[31m, backwards \u202e
    """
    return _OBEYED.sub(lambda match: _code(match[0]), text)


def _code(character: str) -> str:
    r"""A character as JSON writes it: `\uXXXX`, or two of them beyond U+FFFF."""
    data = character.encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{data[at : at + 4]}" for at in range(0, len(data), 4))


def shown(value: object, limit: int = 48) -> str:
    """A value as an error message shows it: one line, inert, cut to `limit` characters."""
    text = str(value)
    text = inert(text[: limit + 1]).replace("\n", "\\n")
    return text if len(text) <= limit else f"{text[: limit - 1]}…"


def named(text: str, mark: str = "") -> str:
    """A text with the inputs that it names in backticks written as one face writes them.

    >>> named("add `exact`, or leave it out", "--")
    'add --exact, or leave it out'
    """
    return _NAMES.sub(rf"{mark}\1", text)


class InputError(ValueError):
    """Something the user gave cannot be used, and the user can correct it.

    `name` is the input's name as it is declared (`pivot-to-spindle`), `got` what was given,
    `allowed` what would do, and `remedy` what to do next; other inputs are named in them in
    backticks. The text of the exception is one line made of the four, with names as they are.
    """

    def __init__(self, name: str, got: object, allowed: str, remedy: str) -> None:
        self.name = name
        self.got = shown(got)
        self.allowed = allowed
        self.remedy = remedy
        super().__init__(self.line())

    def line(self, mark: str = "") -> str:
        """The error in one line; `mark` goes before every input's name, such as `--`.

        What is no input but a thing the user named, such as `DECKS`, is in capitals and unmarked.
        """
        name = self.name if self.name.isupper() else mark + self.name
        text = f"got {self.got}; allowed: {self.allowed}; {self.remedy}"
        return f"{name}: {named(text, mark)}"


def check_range(
    name: str, value: float, unit: str, bounds: tuple[float, float], remedy: str
) -> None:
    """Raise `InputError` unless a value lies within finite bounds; nan does not."""
    low, high = bounds
    if not low <= value <= high:
        raise InputError(name, f"{value:g} {unit}", f"{low:g} to {high:g} {unit}", remedy)
