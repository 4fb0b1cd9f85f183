"""What is said on standard error: one line, which a terminal shows wrapped at its width."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from textwrap import fill

import click

from protractor.files import write_whole

NARROWEST = 40
"""Columns of the narrowest terminal that lines are wrapped for; below that it may break them."""


def tell(text: str) -> None:
    """Prints a line to stderr, wrapped at the terminal's width where stderr is one.

    A pipe or a file gets one line, which scripts can rely on.
    """
    line = " ".join(text.split())
    click.echo(wrapped(line, _columns()), err=True)


def note(text: str) -> None:
    """Prints to stderr what the user should know beside the answer."""
    tell(f"protractor: note: {text}")


def wrapped(line: str, columns: int) -> str:
    """A line in as many as a terminal of so many columns needs; as it is when columns are 0.

    Nothing is broken within a word or at a hyphen, so that what is to be typed can be copied.
    """
    if columns < NARROWEST:
        return line
    return fill(
        line, columns, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False
    )


def _columns() -> int:
    """The columns of the terminal that stderr is; 0 when it is none."""
    try:
        if not sys.stderr.isatty():
            return 0
        return os.get_terminal_size(sys.stderr.fileno()).columns
    except (OSError, ValueError, AttributeError):
        return 0


def write_file(path: Path, data: bytes, *, force: bool, name: str = "output") -> None:
    """Writes a file whole; says so when it is there already, the same, and is left as it is.

    Raises `InputError` as `write_whole` does.
    """
    if not write_whole(path, data, force=force, name=name):
        note(f"{path} is there already, the same; left as it is")
