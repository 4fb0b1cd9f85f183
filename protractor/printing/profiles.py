"""Profiles of printers: what was measured on each, kept in one TOML file of the user's.

The file is written whole or not at all, one process at a time; what cannot be read is reported and
left as it is.
"""

from __future__ import annotations

import dataclasses
import datetime
import hashlib
import math
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any, Literal

from protractor.errors import InputError
from protractor.files import Unreadable, alone, read_whole, write_whole
from protractor.printing.fit import Fit, PrintCorrection, fit
from protractor.printing.paper import paper
from protractor.printing.queues import check_queue
from protractor.printing.readings import DIRECTIONS, Instrument, Measured

FORMAT = 1
"""Version of the file's form. A file of a later one is not touched."""

LARGEST_FILE_BYTES = 4_000_000

LONGEST_NAME = 40

Orientation = Literal["portrait", "landscape"]
ORIENTATIONS: tuple[Orientation, ...] = ("portrait", "landscape")
"""How the sheet runs through the printer: short edge first, or long edge first."""

HEADING = "# Printers that protractor knows. Written whole; comments are not kept.\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """What was measured on one printer with one paper.

    `date` is what the user gave, as year-month-day, empty when nothing; `tray` is free text;
    `queue` is the print queue that leads to the printer, empty when not known; `fit` is scale and
    shear of the printer, from the readings, computed once. Raises `InputError` for a name, date,
    queue, paper or instrument that cannot be, or unusable readings.
    """

    name: str
    paper: str
    instrument: Instrument
    measured: tuple[Measured, ...]
    tray: str = ""
    orientation: Orientation = "portrait"
    date: str = ""
    queue: str = ""
    fit: Fit = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        check_name(self.name)
        if paper(self.paper).name != self.paper:
            raise InputError("paper", self.paper, paper(self.paper).name, "write it like that")
        if self.orientation not in ORIENTATIONS:
            raise InputError(
                "orientation", self.orientation, ", ".join(ORIENTATIONS), "name one of these"
            )
        if len(self.tray) > LONGEST_NAME or not self.tray.isprintable():
            raise InputError(
                "tray", self.tray, f"up to {LONGEST_NAME} printable characters", "shorten it"
            )
        check_date(self.date)
        if self.queue:
            check_queue(self.queue)
        for name, value in (
            ("reading-uncertainty", self.instrument.reading_mm),
            ("accuracy", self.instrument.accuracy_mm),
        ):
            least = 0.0 if name == "accuracy" else 1e-6
            if not (math.isfinite(value) and least <= value <= 5):
                raise InputError(name, f"{value:g} mm", "0.001 to 5 mm", "say what it reads to")
        object.__setattr__(self, "fit", fit(self.measured, self.instrument))

    @property
    def correction(self) -> PrintCorrection:
        """What undoes the printer's doing."""
        scales = {"scale_x": self.fit.scale_x, "scale_y": self.fit.scale_y}
        return PrintCorrection(printer=self.name, date=self.date, shear=self.fit.shear, **scales)

    @property
    def mark(self) -> str:
        """A short mark of everything in it; who replaces it gives the mark that he saw."""
        return hashlib.sha256(repr(self.as_dict()).encode()).hexdigest()[:16]

    def as_dict(self) -> dict[str, Any]:
        """The profile as tables, lists and numbers, as in the file."""
        return {
            "name": self.name,
            "paper": self.paper,
            "tray": self.tray,
            "orientation": self.orientation,
            "date": self.date,
            **({"queue": self.queue} if self.queue else {}),
            "instrument": asdict(self.instrument),
            "lines": {
                one.line: {"nominal_mm": one.nominal_mm, "readings_mm": list(one.readings_mm)}
                for one in self.measured
            },
            "fit": self.fit.as_dict(),
        }


def check_name(name: str) -> None:
    """Raise `InputError` unless a profile may bear the name."""
    if not (0 < len(name) <= LONGEST_NAME and name.isprintable() and name == name.strip()):
        raise InputError(
            "printer", name, f"1 to {LONGEST_NAME} printable characters", "choose another name"
        )


def check_date(date: str) -> None:
    """Raise `InputError` unless the text is empty or a day as year-month-day."""
    try:
        if date and datetime.date.fromisoformat(date).isoformat() != date:
            raise ValueError(date)
    except ValueError:
        raise InputError(
            "date", date, "a day as year-month-day, 2026-03-31", "write it in that order"
        ) from None


def default_file() -> Path:
    """The profile file in the user's configuration folder."""
    from platformdirs import user_config_path

    return user_config_path("protractor", appauthor=False) / "printers.toml"


def _damaged(path: Path, what: str) -> InputError:
    return InputError(
        "profile-file",
        path,
        "a profile file that protractor wrote",
        f"left as it is: {what}; correct it by hand, move it away, or name another `profile-file`",
    )


def load(path: Path) -> tuple[Profile, ...]:
    """Every profile of a file, none when there is no file.

    Raises `InputError` when the file cannot be read, is damaged, or is of a later form.
    """
    try:
        content = read_whole(path, LARGEST_FILE_BYTES)
    except FileNotFoundError:
        return ()
    except Unreadable as error:
        raise _damaged(path, f"it is {error}") from error
    try:
        tables = tomllib.loads(content.decode())
    except (ValueError, RecursionError) as error:
        raise _damaged(path, f"it is no TOML ({' '.join(str(error).split())})") from error
    return _profiles(path, tables)


def _profiles(path: Path, tables: dict[str, Any]) -> tuple[Profile, ...]:
    version = tables.get("format")
    if isinstance(version, int) and not isinstance(version, bool) and version > FORMAT:
        raise InputError(
            "profile-file",
            path,
            f"a profile file of form {FORMAT}",
            f"left as it is: it is of form {version}, written by a later protractor; use that one",
        )
    if version != FORMAT or isinstance(version, bool):
        raise _damaged(path, f"it does not say format = {FORMAT}")
    _check_keys(path, tables, ("format", "profile"), "the file")
    entries = tables.get("profile", [])
    if not isinstance(entries, list):
        raise _damaged(path, "'profile' is no list of tables")
    profiles: list[Profile] = []
    for number, entry in enumerate(entries, start=1):
        try:
            profile = _profile(entry)
        except InputError as error:
            raise _damaged(path, f"profile {number}, {error}") from error
        except (KeyError, TypeError, AttributeError, OverflowError, ValueError) as error:
            raise _damaged(path, f"profile {number} lacks or mistakes {error}") from error
        if any(_same(profile, other.name, other.paper) for other in profiles):
            raise _damaged(path, f"profile {number} is there twice")
        profiles.append(profile)
    return tuple(profiles)


def _check_keys(path: Path | None, table: Any, keys: Sequence[str], where: str) -> None:
    """Raise when a table has other keys than these: nothing may be lost when it is written."""
    if not isinstance(table, dict):
        raise TypeError(f"{where}, which should be a table")
    for key in table:
        if key not in keys:
            if path is not None:
                raise _damaged(path, f"{where} has an unknown entry {ascii(key)[:40]}")
            raise KeyError(f"{key} in {where}")


def _text(table: dict[str, Any], key: str) -> str:
    value = table[key]
    if not isinstance(value, str):
        raise TypeError(f"{key}, which should be text")
    return value


def _number(value: Any, what: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise TypeError(f"{what}, which should be a number")
    return float(value)


def _profile(entry: Any) -> Profile:
    """A profile from its table; its fit must be the one that its readings give."""
    keys = ("name", "paper", "tray", "orientation", "date", "instrument", "lines", "fit")
    _check_keys(None, entry, (*keys, "queue"), "the profile")
    instrument = entry["instrument"]
    _check_keys(None, instrument, ("name", "label", "reading_mm", "accuracy_mm"), "instrument")
    _check_keys(None, entry["lines"], tuple(DIRECTIONS), "lines")
    measured = tuple(_line(line, table) for line, table in entry["lines"].items())
    orientation = next((o for o in ORIENTATIONS if o == _text(entry, "orientation")), None)
    if orientation is None:
        raise TypeError("orientation")
    profile = Profile(
        **{key: _text(entry, key) for key in ("name", "paper", "tray", "date")},
        orientation=orientation,
        instrument=Instrument(
            name=_text(instrument, "name"),
            label=_text(instrument, "label"),
            reading_mm=_number(instrument["reading_mm"], "reading_mm"),
            accuracy_mm=_number(instrument["accuracy_mm"], "accuracy_mm"),
        ),
        measured=measured,
        queue=_text({"queue": "", **entry}, "queue"),
    )
    found = profile.as_dict()["fit"]
    _check_keys(None, entry["fit"], tuple(found), "fit")
    # uncertainties are worked out anew: those of an earlier protractor may have been smaller
    known = {key: _number(entry["fit"][key], key) for key in found}
    if any(abs(known[key] - found[key]) > 1e-9 for key in ("scale_x", "scale_y", "shear")):
        raise ValueError("its fit, which does not belong to its readings")
    return profile


def _line(line: str, table: Any) -> Measured:
    """The readings of one line from its table."""
    _check_keys(None, table, ("nominal_mm", "readings_mm"), line)
    if not isinstance(table["readings_mm"], list):
        raise TypeError(f"readings_mm of {line}, which should be a list")
    return Measured(
        line=line,
        nominal_mm=_number(table["nominal_mm"], "nominal_mm"),
        readings_mm=tuple(_number(r, f"a reading of {line}") for r in table["readings_mm"]),
    )


def _same(profile: Profile, name: str, of_paper: str) -> bool:
    return profile.name.casefold() == name.casefold() and profile.paper == of_paper


def profile_for(profiles: Sequence[Profile], name: str, of_paper: str | None = None) -> Profile:
    """The profile of a printer, for a paper when one is given.

    Raises `InputError` when there is none, or when several papers were recorded and none is given.
    """
    check_name(name)
    named = [p for p in profiles if p.name.casefold() == name.casefold()]
    if not named:
        known = ", ".join(dict.fromkeys(p.name for p in profiles))
        raise InputError(
            "printer",
            name,
            known or "a printer that was recorded",
            "record it first: protractor printer sheet, then protractor printer record",
        )
    fitting = [p for p in named if of_paper is None or p.paper == of_paper]
    if len(fitting) == 1:
        return fitting[0]
    papers = ", ".join(p.paper for p in named)
    if fitting:
        raise InputError("paper", "none", papers, f"say which paper of printer {name} you mean")
    raise InputError(
        "printer",
        f"{name} with paper {of_paper}",
        f"{name} with paper {papers}",
        "record the printer with this paper too: each paper runs differently",
    )


def _change(path: Path, change: Callable[[tuple[Profile, ...]], list[Profile]]) -> None:
    """Reads, changes and writes the file while no other process does."""
    import tomli_w

    with alone(path, "profile-file"):
        profiles = change(load(path))
        tables = {"format": FORMAT, "profile": [profile.as_dict() for profile in profiles]}
        data = (HEADING + tomli_w.dumps(tables)).encode()
        write_whole(path, data, force=True, name="profile-file")


def keep(path: Path, profile: Profile, *, replace: bool, seen: str = "") -> bool:
    """Adds a profile to a file; one of the same printer and paper only gives way to `replace`.

    Without a queue of its own it keeps the queue of that one; nothing but another queue needs no
    `replace`. With the mark `seen` that one gives way only if it is still what was seen. Returns
    whether the file was changed: not when just this profile is there already. Raises `InputError`
    when another one is there, or when the file cannot be read or written.
    """
    before = [p for p in load(path) if _same(p, profile.name, profile.paper)]
    if before and not profile.queue:
        profile = dataclasses.replace(profile, queue=before[0].queue)
    if profile in before:
        return False
    replace = replace or profile in [dataclasses.replace(p, queue=profile.queue) for p in before]

    def change(profiles: tuple[Profile, ...]) -> list[Profile]:
        others = [p for p in profiles if not _same(p, profile.name, profile.paper)]
        there = [p.mark for p in profiles if p not in others]
        if seen and there != [seen]:
            raise InputError(
                "printer",
                f"{profile.name} with paper {profile.paper}, changed meanwhile",
                "the one that was seen",
                "look at what is recorded now, then replace it",
            )
        if len(others) < len(profiles) and not replace:
            raise InputError(
                "printer",
                f"{profile.name} with paper {profile.paper}",
                "a printer and paper not recorded yet",
                "kept it; say `force` to replace it",
            )
        return [*others, profile]

    _change(path, change)
    return True


def set_queue(path: Path, name: str, queue: str) -> list[Profile]:
    """Keeps the print queue that leads to a printer, with every paper it was recorded with.

    Returns its profiles. Raises `InputError` for a printer that was not recorded, a name that no
    queue has, or a file that cannot be read or written.
    """
    of_printer: list[Profile] = []

    def change(profiles: tuple[Profile, ...]) -> list[Profile]:
        changed = [
            dataclasses.replace(p, queue=queue) if p.name.casefold() == name.casefold() else p
            for p in profiles
        ]
        of_printer.extend(p for p in changed if p.name.casefold() == name.casefold())
        if not of_printer:
            profile_for(profiles, name)
        return changed

    if not path.exists():
        profile_for((), name)
    _change(path, change)
    return of_printer


def forget(path: Path, name: str, of_paper: str | None = None) -> Profile:
    """Takes a profile out of a file and returns it; errors as `profile_for` and `keep`."""
    gone: list[Profile] = []

    def change(profiles: tuple[Profile, ...]) -> list[Profile]:
        gone.append(profile_for(profiles, name, of_paper))
        return [p for p in profiles if p is not gone[0]]

    if not path.exists():
        profile_for((), name)
    _change(path, change)
    return gone[0]
