"""The one error for what a user can mend."""

from __future__ import annotations


def shown(value: object, limit: int = 48) -> str:
    """A value as an error message shows it: one line, escaped, cut to `limit` characters."""
    text = value if isinstance(value, str) else str(value)
    text = ascii(text)[1:-1] if any(not c.isprintable() for c in text) else text
    return text if len(text) <= limit else f"{text[: limit - 1]}…"


class InputError(ValueError):
    """Something the user gave cannot be used, and the user can mend it.

    `name` is the input's name as it is declared (`pivot-to-spindle`), `got` what was given,
    `allowed` what would do, and `remedy` what to do next. The text of the exception is one line
    made of the four.
    """

    def __init__(self, name: str, got: object, allowed: str, remedy: str) -> None:
        self.name = name
        self.got = shown(got)
        self.allowed = allowed
        self.remedy = remedy
        super().__init__(f"{name}: got {self.got}; allowed: {allowed}; {remedy}")
