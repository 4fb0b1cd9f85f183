"""The system's print queues (CUPS): which there are, what papers they have, a sheet sent as it is.

Every call is a list of words without a shell, with a limit of time and answers in English.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

from protractor.errors import InputError, shown
from protractor.printing.paper import Paper

ASKING_S, SENDING_S = 20.0, 60.0
"""How long a queue may take to answer, and to take a sheet."""

COMMANDS = ("lp", "lpstat", "lpoptions")

LONGEST_QUEUE = 127
"""Characters of a queue's name in CUPS."""

QUEUE_ALLOWED = f"1 to {LONGEST_QUEUE} printable characters without blanks"

MEDIA = {
    "a3": ("A3", "iso_a3_297x420mm"),
    "a4": ("A4", "iso_a4_210x297mm"),
    "a5": ("A5", "iso_a5_148x210mm"),
    "letter": ("Letter", "na_letter_8.5x11in"),
    "legal": ("Legal", "na_legal_8.5x14in"),
    "tabloid": ("Tabloid", "11x17", "na_ledger_11x17in"),
}
"""What queues call a paper: Adobe's PPD 4.3 names, then those of PWG 5101.1."""

CUSTOM = "Custom.WIDTHxHEIGHT"
"""What a queue lists that takes sizes of the user's own."""

BY_HAND = "print it by hand: actual size or 100 %, borderless off, on one side"


def check_queue(name: str) -> str:
    """The name of a queue; raises `InputError` unless a queue may have it."""
    fits = 0 < len(name) <= LONGEST_QUEUE and name.isprintable() and not set(name) & set(" #?'\"")
    if not fits or name.startswith("-"):
        raise InputError("queue", name, QUEUE_ALLOWED, "lpstat -e lists the queues")
    return name


def queues() -> list[str]:
    """The names of the queues; raises `InputError` where there is no print system."""
    if not all(map(shutil.which, COMMANDS)):
        raise InputError("queue", "no command lp", "a system that prints with CUPS", BY_HAND)
    return _asked("lpstat", "-e").split()


def usual_queue(known: Sequence[str]) -> str | None:
    """The queue that the system takes when none is named, or the only one; None for none."""
    named = re.search(r"destination: (\S+)", _asked("lpstat", "-d"))
    if named is not None:
        return named[1]
    return known[0] if len(known) == 1 else None


def choose_queue(named: str | None, remedy: str = "name one of these") -> str:
    """The queue that was named, else the usual one.

    Raises `InputError`, with the `remedy` for one that was named, when there is none.
    """
    known = queues()
    if not known:
        raise InputError("queue", "none", "a queue of the system", f"set one up, or {BY_HAND}")
    queue = named or usual_queue(known)
    if queue is None or (named and named.partition("/")[0] not in known):
        raise InputError("queue", named or "none", ", ".join(known), remedy)
    return queue


def media_of(queue: str) -> list[str]:
    """The papers that a queue has, as it names them; empty when it does not say."""
    for line in _asked("lpoptions", "-p", queue, "-l").splitlines():
        name, _, choices = line.partition(":")
        if name.split("/")[0] in ("PageSize", "media"):
            return [choice.lstrip("*") for choice in choices.split()]
    return []


def medium_of(paper: Paper, queue: str, media: Sequence[str]) -> str:
    """What a queue calls a paper; raises `InputError` when it does not have it.

    A queue that does not say what it has is asked for the paper's usual name.
    """
    names = MEDIA.get(paper.name, ())
    there = {medium.casefold(): medium for medium in media}
    for name in names:
        if name.casefold() in there:
            return there[name.casefold()]
    if names and not media:
        return names[0]
    if CUSTOM in media or not media:
        return f"Custom.{paper.width_mm:g}x{paper.height_mm:g}mm"
    plain = [medium for medium in media if "fullbleed" not in medium.lower()]
    raise InputError(
        "queue",
        f"{queue} for a sheet of {paper.label}",
        f"a queue with {paper.label}; {queue} has {shown(', '.join(plain), 160)}",
        "draw the sheet on a paper that the queue has, or name another queue",
    )


def print_command(file: Path, queue: str, medium: str) -> list[str]:
    """The words that send a sheet unscaled, on its own medium, a page a sheet, on one side.

    Each setting is named because the queue or the user may have another default for it. Which way
    up the page lies is left to the system.
    """
    settings = {
        "print-scaling": "none",
        "media": medium,
        "sides": "one-sided",
        "number-up": "1",
        "mirror": "false",
        "page-border": "none",
    }
    options = [word for name, value in settings.items() for word in ("-o", f"{name}={value}")]
    return ["lp", "-d", queue, *options, os.path.abspath(file)]


def send(command: Sequence[str], queue: str) -> str:
    """Sends a sheet; returns the request's name. Raises `InputError` when it is not taken."""
    said = _asked(*command, limit_s=SENDING_S, queue=queue)
    request = re.search(r"request id is (\S+)", said)
    return request[1] if request else "unknown"


def _asked(*words: str, limit_s: float | None = None, queue: str = "") -> str:
    """What a command of the print system answers; that it fails counts only for a named `queue`."""
    limit_s = limit_s or ASKING_S
    try:
        done = subprocess.run(
            words,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            timeout=limit_s,
            check=False,
            env={**os.environ, "LC_ALL": "C", "LANGUAGE": "C"},
        )
    except subprocess.TimeoutExpired as error:
        allowed = f"an answer within {limit_s:g} s"
        raise InputError(
            "queue", f"none from {words[0]}", allowed, f"wait, or {BY_HAND}"
        ) from error
    except OSError as error:
        said = f"{words[0]}: {error.strerror}"
        raise InputError("queue", said, "a system that prints with CUPS", BY_HAND) from error
    if queue and done.returncode:
        said = " ".join(done.stderr.decode("utf-8", "replace").split()) or "nothing"
        remedy = f"{words[0]} says: {shown(said, 160)}; name another queue, or {BY_HAND}"
        raise InputError("queue", queue, "a queue that takes the sheet", remedy)
    return done.stdout.decode("utf-8", "replace")
