"""The one error for what a user can correct."""

from __future__ import annotations

import re

_NAMES = re.compile(r"`([a-z][a-z0-9-]*)`")


def shown(value: object, limit: int = 48) -> str:
    """A value as an error message shows it: one line, escaped, cut to `limit` characters."""
    text = value if isinstance(value, str) else str(value)
    text = ascii(text)[1:-1] if any(not c.isprintable() for c in text) else text
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
