"""What the pages share: files, desk, guard, and addresses that go on with a question."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

from flask import current_app, request, url_for

from protractor.alignments.sheet_code import quoted
from protractor.app.batches import Batches
from protractor.app.drawing import Desk
from protractor.app.guard import Guard
from protractor.app.other_device import OtherDevice
from protractor.bench.remembered import Defaults, Remembered, remembered
from protractor.bench.remembered import default_file as decks_file
from protractor.printing.profiles import Profile, default_file, load


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """What the pages share.

    Attributes:
        guard: who may ask and write.
        decks_file: the file of decks, None for the user's own.
        profile_file: the file of printers, None for the user's own.
        desk: where sheets are drawn.
        other_device: the steps on a phone or tablet, off at first.
        batches: the batch that runs, or the last one.
        stop: ends the server.
    """

    guard: Guard
    decks_file: Path | None = None
    profile_file: Path | None = None
    desk: Desk = field(default_factory=Desk)
    other_device: OtherDevice = field(default_factory=OtherDevice)
    batches: Batches = field(default_factory=Batches)
    stop: Callable[[], None] = lambda: None

    def decks(self) -> Remembered:
        """The remembered decks as they are now, none where there is no file yet.

        Raises `InputError` for a damaged file.
        """
        path = self.decks_file
        if path is not None and not path.exists():
            return Remembered(path=path, entries=(), defaults=Defaults())
        return _read(path, _stamp(self.decks_path))

    @property
    def decks_path(self) -> Path:
        """The file of decks."""
        return self.decks_file or decks_file()

    def decks_words(self, option: str = "--decks") -> list[str]:
        """The words of a command that name the file of decks, none for the user's own.

        With `option` empty it is named as an argument.
        """
        return _naming(option, self.decks_path, decks_file())

    def profiles(self) -> Path:
        """The file of printers."""
        return self.profile_file or default_file()

    def profile_words(self) -> list[str]:
        """The option that names the file of printers, none for the user's own."""
        return _naming("--profile-file", self.profiles(), default_file())

    def printers(self) -> tuple[Profile, ...]:
        """The recorded printers as they are now; raises `InputError` for a damaged file."""
        return load(self.profiles())


def _naming(option: str, path: Path, own: Path) -> list[str]:
    """The words that name a file, none for the user's own."""
    return [] if path == own else [f"{option} {quoted(str(path))}".strip()]


@lru_cache(maxsize=2)
def _read(path: Path | None, stamp: tuple[int, ...]) -> Remembered:
    """The remembered decks of a file, read once until its stamp is another.

    A page that follows a hand asks twenty times a second, and a long file takes a third of one.
    """
    return remembered(path)


def _stamp(path: Path) -> tuple[int, ...]:
    """What changes whenever a file is written, by whomever; nothing where there is none."""
    try:
        found = path.stat()
    except OSError:
        return ()
    return found.st_mtime_ns, found.st_ctime_ns, found.st_size, found.st_ino


def house() -> House:
    """What the pages of the running site share."""
    found: House = current_app.extensions["protractor"]
    return found


def file_of(endpoint: str, **parts: Any) -> str:
    """The address of a file that answers the running page's question."""
    query = request.query_string.decode()
    return f"{url_for(endpoint, **parts)}{'?' if query else ''}{query}"


def json_twin() -> str:
    """The address of the running page's JSON."""
    where = "/index" if request.path == "/" else request.path.rstrip("/")
    query = request.query_string.decode()
    return f"{where}.json{'?' if query else ''}{query}"
