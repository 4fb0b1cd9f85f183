"""Decks that are remembered: found by their names, in a file of the user's, with its defaults.

The file has the form of any file of decks. Of its decks only the one that is asked for is read, so
that a fault in another one is in nobody's way.
"""

from __future__ import annotations

import difflib
import hashlib
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any

from protractor.alignments.deck import Deck
from protractor.alignments.sheet_code import quoted
from protractor.bench.deck_entries import Entry, unusable
from protractor.bench.deck_file import (
    entries_of,
    read_decks,
    with_changes,
    with_decks,
    with_new_defaults,
    without,
)
from protractor.bench.deck_toml import DEFAULTS
from protractor.bench.decks import deck_stem, read_deck
from protractor.bench.inputs import DECK
from protractor.errors import InputError, shown
from protractor.files import alone, make_folder, write_whole
from protractor.inputs.declaration import by_name, declared, inputs_of, take_all
from protractor.inputs.quantities import near
from protractor.inputs.toml_file import field_name
from protractor.printing.inputs import CLEAR_MARGIN, PAPER, PRINTER

INSTEAD: Mapping[str, frozenset[str]] = {
    given: frozenset(dropped)
    for given, dropped in {
        "pivot_to_spindle_mm": ("effective_length_mm",),
        "effective_length_mm": ("pivot_to_spindle_mm",),
        "scheme": ("null_radii_mm", "norm", "weight", "null_at_mm"),
        "null_radii_mm": ("scheme", "norm", "weight", "null_at_mm"),
        "norm": ("scheme", "null_radii_mm"),
        "weight": ("scheme", "null_radii_mm"),
        "null_at_mm": ("scheme", "null_radii_mm"),
        "record": ("inner_radius_mm", "outer_radius_mm", "rpm", "play"),
        "play": ("record", "inner_radius_mm", "outer_radius_mm", "rpm"),
        "paper": ("clear_margin_mm", "printer"),
    }.items()
}
"""What is given for one call takes the place of what a deck says in other words, by attribute."""


ON_PAPER = ("paper", "clear_margin_mm", "printer")
"""Fields of a deck that say how it is printed, and that defaults may say as well."""

WHERE_ASKED = (*ON_PAPER, "zenith_deg", "pivot_height_mm")
"""Fields of a remembered deck that count only where a call asks for them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Defaults:
    """What is taken when nothing else is given: a deck's name, paper, margin, printer.

    Raises `InputError` for the first that is not allowed.
    """

    deck: str | None = declared(DECK)
    paper: str | None = declared(PAPER)
    clear_margin_mm: float | None = declared(CLEAR_MARGIN)
    printer: str | None = declared(PRINTER)

    def __post_init__(self) -> None:
        take_all(self)

    @classmethod
    def read(cls, table: Mapping[str, object], path: Path) -> Defaults:
        """The defaults that a file's table says; raises `InputError` that names the file."""
        known = by_name(cls)
        values: dict[str, Any] = {}
        for key, value in table.items():
            name = field_name(key)
            if name not in known:
                got = f"{shown(key, 30)} in [{DEFAULTS}]"
                raise unusable(path, got, ", ".join(known), near(name, known))
            values[known[name][0]] = value
        try:
            return cls(**values)
        except InputError as error:
            got = f"{error.name} {error.got} in [{DEFAULTS}]"
            raise unusable(path, got, error.allowed, error.remedy) from error

    def __bool__(self) -> bool:
        return bool(self.table())

    def __str__(self) -> str:
        """The defaults in words, as in `deck "Bench deck", paper letter`."""
        words = []
        for name, value in self.table().items():
            unit = by_name(Defaults)[name][1].unit
            shown_as = f'"{value}"' if name == "deck" else f"{value:g} {unit}" if unit else value
            words.append(f"{name.replace('-', ' ')} {shown_as}")
        return ", ".join(words)

    def table(self) -> dict[str, Any]:
        """The defaults as a file's table."""
        named = {
            name: getattr(self, attribute) for name, (attribute, _) in by_name(Defaults).items()
        }
        return {name: value for name, value in named.items() if value is not None}


@dataclass(frozen=True, slots=True, kw_only=True)
class Remembered:
    """A file of decks that are found by name; none when there is no file."""

    path: Path
    entries: tuple[Entry, ...]
    defaults: Defaults

    @property
    def names(self) -> list[str]:
        """The names of the decks, of faulty ones too, in the order of the file."""
        return [name for entry in self.entries if (name := _name(entry))]

    def name_of(self, name: str) -> str:
        """The name of the deck that is meant: as written, or alone so but for capitals.

        Raises `InputError` with the nearest name when there is none, or more than one.
        """
        wanted = " ".join(name.split())
        names = self.names
        if names.count(wanted) == 1:
            return wanted
        alike = [each for each in names if each.casefold() == wanted.casefold()]
        if len(alike) == 1:
            return alike[0]
        where = shown(self.path, 160)
        if alike:
            remedy = f"give one of them another name in {where}"
            raise InputError("deck", name, "a name that one deck has", remedy)
        raise InputError("deck", name, f"a deck of {where}", _nearest(wanted, names))

    def unnamed(self) -> InputError:
        """The error of a call that names the file and none of its decks."""
        first = self.names[0] if self.names else "NAME"
        remedy = f"name one: `deck` '{shown(first, 30)}'"
        return InputError("deck", "nothing", f"a deck of {shown(self.path, 160)}", remedy)

    def deck(self, name: str) -> Deck:
        """The deck of a name; raises `InputError` as `name_of` does, and for a faulty deck."""
        meant = self.name_of(name)
        entry = next(entry for entry in self.entries if _name(entry) == meant)
        deck, faults = (None, [entry.fault]) if entry.fault else read_deck(entry.fields)
        if deck is None:
            first = faults[0]
            got = f"{shown(meant, 30)} with a fault in line {entry.line_of(first.name)}"
            remedy = f"correct it in {shown(self.path, 160)}: {first}"
            raise InputError("deck", got, "a deck without faults", remedy)
        return deck

    def default_deck(self) -> Deck | None:
        """The deck that is taken when none is named; raises `InputError` as `deck` does."""
        if self.defaults.deck is None:
            return None
        try:
            return self.deck(self.defaults.deck)
        except InputError as error:
            got = f"{shown(self.defaults.deck, 30)}, the default"
            remedy = f"{error.remedy} Choose another: protractor decks default NAME"
            raise InputError("deck", got, error.allowed, remedy) from error

    def deck_or_default(self, name: str | None) -> Deck:
        """The deck of a name, or the default; raises `InputError` where there is neither."""
        deck = self.default_deck() if name is None else self.deck(name)
        if deck is None:
            raise self.unnamed()
        return deck

    def words(self, name: str) -> str:
        """The options that name a deck of this file again."""
        words = f"--deck {quoted(name)}"
        if self.path == default_file():
            return words
        return f"{words} --decks {quoted(str(self.path))}"

    def log(self, name: str) -> Path:
        """The file that keeps the rounds of a deck, in a folder beside the file of decks."""
        return self.path.with_name(f"{self.path.stem}-rounds") / f"{deck_stem(name)}.jsonl"


def _nearest(wanted: str, names: Sequence[str]) -> str:
    """What to do about a name that no deck has: up to three that are like it."""
    folded = {name.casefold(): name for name in names}
    begun = [each for each in folded if wanted and each.startswith(wanted.casefold())]
    close = begun or difflib.get_close_matches(wanted.casefold(), folded, cutoff=0.5)
    if close:
        *others, last = (shown(folded[each], 30) for each in close[:3])
        return f"did you mean {' or '.join([', '.join(others)] * bool(others) + [last])}?"
    if names:
        return "name one of `protractor decks list`"
    return "none is remembered yet: protractor decks add"


def _name(entry: Entry) -> str:
    """The name of a deck as written, in one line; empty when it has none."""
    name = entry.fields.get("name", "")
    written = isinstance(name, (str, int, float)) and not isinstance(name, bool)
    return " ".join(str(name).split()) if written else ""


def default_file() -> Path:
    """The file of decks in the user's configuration folder."""
    from platformdirs import user_config_path

    return user_config_path("protractor", appauthor=False) / "decks.toml"


def remembered(path: Path | None = None) -> Remembered:
    """The decks of a file, by default the user's own.

    Raises `InputError` when the file is damaged, of a later form, or cannot be read, and when one
    that was named is not there.
    """
    file = default_file() if path is None else path
    entries, table = entries_of(file, or_none=path is None)
    return Remembered(path=file, entries=tuple(entries), defaults=Defaults.read(table, file))


def defaults_fault(path: Path) -> InputError | None:
    """What is wrong with the defaults of a file; None when nothing is."""
    try:
        remembered(path).default_deck()
    except InputError as error:
        return error
    return None


def add(path: Path, deck: Deck) -> bool:
    """Adds a deck to a file, made when there is none.

    Returns whether it was added: not when it is there already, the same in every field. Raises
    `InputError` as `with_decks` does.
    """
    if path == default_file():
        make_folder(path.parent, "DECKS")
    with alone(path, "DECKS"):
        try:
            text = with_decks(path, [deck])
        except InputError:
            if path.is_file() and _among(deck, read_decks(path).decks):
                return False
            raise
        write_whole(path, text.encode(), force=True, name="DECKS")
    return True


def add_all(path: Path, decks: Sequence[Deck]) -> int:
    """Adds decks to a file, all or none, and returns how many: those there already are the same.

    Raises `InputError` as `with_decks` does.
    """
    if path == default_file():
        make_folder(path.parent, "DECKS")
    with alone(path, "DECKS"):
        there = read_decks(path, or_none=True).decks
        new = [deck for deck in decks if not _among(deck, there)]
        if new:
            write_whole(path, with_decks(path, new).encode(), force=True, name="DECKS")
    return len(new)


def _among(deck: Deck, others: Collection[Deck]) -> bool:
    """Whether one of them is the same in every field, as it was stated."""
    return any(there == deck and there.stated == deck.stated for there in others)


def mark_of(deck: Deck | Defaults) -> str:
    """A short mark of everything that a file says of a deck, or by default.

    Who changes it gives the mark that he saw.
    """
    said = deck.as_dict() if isinstance(deck, Deck) else deck.table()
    return hashlib.sha256(repr(said).encode()).hexdigest()[:16]


def check_seen(what: str, now: Deck | Defaults, seen: str) -> None:
    """Raises `InputError` when something was changed since it was seen; an empty mark saw all."""
    if seen and mark_of(now) != seen:
        remedy = "look at what it is now, then change it"
        raise InputError("deck", f"{what}, changed meanwhile", "what was seen", remedy)


def change(
    path: Path,
    name: str,
    given: Mapping[str, object],
    gone: Collection[str],
    *,
    seen: str = "",
) -> Deck:
    """Changes fields of a deck in a file and returns it as it is then; errors as `with_changes`.

    A field that is given takes the place of those that say the same in other words, as it does for
    one call; both lengths stay, since one of them may be a statement. With the mark `seen` of the
    deck nothing is changed when it is another one now, and `InputError` is raised.
    """
    inputs = inputs_of(Deck)
    named = {asked.name: attribute for attribute, asked in inputs.items()}
    instead = {
        inputs[other].name
        for field_ in given
        if field_ not in ("pivot-to-spindle", "effective-length")
        for other in INSTEAD.get(named.get(field_, ""), ())
    } - set(given)
    with alone(path, "DECKS"):
        if seen:
            check_seen(name, remembered(path).deck(name), seen)
        text, deck = with_changes(path, name, given, {*gone, *instead})
        write_whole(path, text.encode(), force=True, name="DECKS")
    return deck


def remove(path: Path, name: str, *, seen: str = "") -> None:
    """Takes a deck out of a file; raises `InputError` as `without` does.

    With the mark `seen` of the deck also when it is another one now.
    """
    with alone(path, "DECKS"):
        if seen:
            check_seen(name, remembered(path).deck(name), seen)
        write_whole(path, without(path, name).encode(), force=True, name="DECKS")


def set_defaults(path: Path, defaults: Defaults, *, seen: str = "") -> None:
    """Writes the defaults of a file; raises `InputError` as `with_new_defaults` does.

    With the mark `seen` of those that were seen also when they are others now.
    """
    if path == default_file():
        make_folder(path.parent, "DECKS")
    with alone(path, "DECKS"):
        if seen and path.is_file():
            check_seen("the defaults", remembered(path).defaults, seen)
        text = with_new_defaults(path, defaults.table())
        write_whole(path, text.encode(), force=True, name="DECKS")


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """The deck that a call is about, and where it comes from.

    `known` is the remembered deck as it is in its file, None for one given by its figures alone;
    `given` holds the figures given besides; `by_default` is what nobody gave, `left_out` which
    printer is not taken, and why.
    """

    deck: Deck
    known: Deck | None = None
    given: Deck = field(default_factory=Deck)
    by_default: Defaults = field(default_factory=Defaults)
    left_out: str = ""


def question(
    file: Remembered,
    name: str | None,
    given: Mapping[str, Any],
    asked: Collection[str],
    *,
    or_default: bool = True,
    no_printer: str = "",
) -> Question:
    """The deck of a call: what is given, then what the remembered deck says, then the defaults.

    Args:
        file: the remembered decks.
        name: of the deck that is meant; None for the default or for none.
        given: fields of a deck that were given for this call, by attribute.
        asked: attributes that count for this call, besides those that settle the alignment.
        or_default: whether the default deck is taken when no name is given.
        no_printer: why this call takes no printer but one that is given.

    Raises:
        InputError: for a deck that is not there or has faults, and for figures that do not go
            together.
    """
    defaults = file.defaults
    of_default = name is None and or_default
    known = file.default_deck() if of_default else None
    if name is not None:
        known = file.deck(name)
    on_paper = {each: getattr(defaults, each) for each in ON_PAPER if each in asked}
    deck = Deck(**on_paper)
    if known is not None:
        said = {
            each.name: value
            for each in fields(Deck)
            if (value := getattr(known, each.name)) != each.default
            and (each.name not in WHERE_ASKED or each.name in asked)
        }
        deck = overridden(deck, said)
    deck = overridden(deck, given)
    printer, left_out = deck.printer, ""
    if "printer" in asked and "printer" not in given:
        meant = printer or (known and known.printer) or defaults.printer
        if meant and no_printer:
            deck, left_out = (
                replace(deck, printer=None),
                f"printer {meant} is left out: {no_printer}",
            )
        elif meant and not printer:
            left_out = f"printer {meant} is left out: it goes with another paper"
    taken = {
        each: getattr(deck, each)
        for each in on_paper
        if each not in given and not (known and getattr(known, each) is not None)
    }
    taken["deck"] = known.name if known and of_default else None
    return Question(
        deck=deck,
        known=known,
        given=Deck(**given),
        by_default=Defaults(**taken),
        left_out=left_out,
    )


def overridden(deck: Deck, given: Mapping[str, Any]) -> Deck:
    """The deck with what is given for one call, by attribute, in place of its own figures.

    >>> deck = Deck(pivot_to_spindle_mm=222.0, scheme="null-radii", null_radii_mm=(63, 119))
    >>> overridden(deck, {"scheme": "stevenson"}).null_radii_mm is None
    True
    """
    plain = {each.name: each.default for each in fields(Deck)}
    dropped = {name for attribute in given for name in INSTEAD.get(attribute, ())} - set(given)
    if "paper" in given and given["paper"] == PAPER.or_default(deck.paper):
        dropped -= {"clear_margin_mm", "printer"}
    inputs = inputs_of(Deck)
    said = {inputs[name].name for name in (*given, *dropped) if name in inputs}
    stated = tuple((name, text) for name, text in deck.stated if name not in said)
    changes: dict[str, Any] = {name: plain[name] for name in dropped}
    return replace(deck, **{"stated": stated, **changes, **given})
