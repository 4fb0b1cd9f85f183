"""Forms made from declared inputs: what the query says, read field by field, errors beside them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Protocol, TypeVar

from protractor.alignments.sheet_code import quoted
from protractor.arms.inputs import written_play
from protractor.arms.records import RECORD_SHORT_NAMES, Record
from protractor.arms.schemes import SCHEMES
from protractor.errors import InputError, named
from protractor.inputs.declaration import YES_NO, Input, inputs_of
from protractor.sheets.names import RECORD_NAMES, scheme_name

Value = TypeVar("Value")

LONG_TEXT = 200
"""A text that may be longer gets several lines."""

LABELS = {
    "deck": "Deck",
    "name": "Name of the deck",
    "rpm": "Speed",
    "play": "What is played",
    "zenith": "Zenith of the stylus",
    "notes": "Notes",
    "hole": "Spindle hole",
    "notch": "Notch for the pillar",
    "mount": "Hole for the base",
    "start": "Start of the scale",
    "slots": "Length of the slots",
    "text": "Letters",
    "kind": "Kind of sheet",
}
"""What a field is called where its name with spaces for hyphens does not do."""


class Query(Protocol):
    """What came with an address or a form: the values of a name, in order."""

    def getlist(self, key: str) -> list[str]: ...


def label_of(name: str) -> str:
    """An input's name as a form writes it.

    >>> label_of("pivot-to-spindle")
    'Pivot to spindle'
    """
    return LABELS.get(name, name.replace("-", " ").capitalize())


KINDS = {
    "arc": "With the stylus arc, for this deck",
    "two-null": "Two null points alone, for any deck",
}
"""What the kinds of an alignment sheet are."""


def words_of(asked: Input, choice: str) -> str:
    """A choice as a form writes it: the trade's name, where there is one, and what it means."""
    if asked.name == "scheme" and choice in SCHEMES:
        return f"{scheme_name(choice)}: {SCHEMES[choice].summary}"
    if asked.name == "scheme":
        return scheme_name(choice)
    if asked.name == "kind":
        return KINDS.get(choice, choice)
    if asked.name == "record":
        return RECORD_NAMES.get(choice, choice)
    return {"a3": "A3", "a4": "A4", "a5": "A5"}.get(choice, choice.replace("-", " ").capitalize())


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One input as a form shows it: what was typed, and what is wrong with it.

    `typed` are the texts as they were given; `error` says why they cannot be taken; `known` is what
    holds when nothing is typed, as a remembered deck or the defaults say it.
    """

    asked: Input
    typed: tuple[str, ...] = ()
    error: InputError | None = None
    known: str = ""

    @property
    def name(self) -> str:
        """The name in the address, which is the option's."""
        return self.asked.name

    @property
    def label(self) -> str:
        """What it is called."""
        return label_of(self.asked.name)

    @property
    def value(self) -> str:
        """What was typed, in one text."""
        return ("; " if self.asked.many else " and ").join(self.typed)

    @property
    def help(self) -> str:
        """What is asked for, in a sentence."""
        return named(self.asked.help)

    @property
    def hint(self) -> str:
        """What is taken: range and unit, and the default."""
        asked = self.asked
        if self.kind == "choice" or asked.kind in ("flag", "text"):
            return ""
        hint = asked.allowed
        if asked.count > 1:
            hint = f"two, each {hint}; write A and B"
        if self.known:
            hint += f"; {self.known} is remembered"
        elif asked.default is not None:
            hint += f"; {asked.default} unless you say otherwise"
        return hint

    @property
    def kind(self) -> str:
        """Which control it is: choice, flag, text, lines or number."""
        if self.asked.kind == "flag":
            return "flag"
        if self.asked.choices:
            return "choice"
        if self.asked.kind == "text":
            return "lines" if self.asked.longest > LONG_TEXT else "text"
        return "number" if self.asked.kind in ("length", "number") else "text"

    @property
    def options(self) -> list[tuple[str, str]]:
        """The choices, each with its words.

        What holds when nothing is chosen comes first, under an empty value.
        """
        usual = self.asked.meant(self.known or self.asked.default or "") or self.known
        usual = RECORD_SHORT_NAMES.get(usual, usual) if self.name == "record" else usual
        first = words_of(self.asked, usual) if usual else "not given"
        if self.known:
            first += " (remembered)"
        others = [word for word in self.asked.choices if word != usual or self.known]
        if self.chosen and self.chosen not in others:
            others.append(self.chosen)
        return [("", first), *((word, words_of(self.asked, word)) for word in others)]

    @property
    def chosen(self) -> str:
        """The choice that was typed, empty for what holds without one."""
        meant = self.asked.meant(self.value) or self.value
        return "" if meant == self.asked.default and not self.known else meant

    @property
    def complaint(self) -> str:
        """What is wrong, without the field's name, which stands beside it."""
        if self.error is None:
            return ""
        wrong = self.error
        return named(f"Got {wrong.got}. Allowed: {wrong.allowed}. {_sentence(wrong.remedy)}")


def _sentence(text: str) -> str:
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "?", "!")) else f"{text}."


@dataclass(slots=True, kw_only=True)
class Form:
    """Declared inputs and what a query says of them.

    `fields` by the input's name; `values` what was read, by attribute, nothing that is wrong;
    `others` are errors that belong to no field here.
    """

    fields: dict[str, Field]
    values: dict[str, Any]
    attributes: dict[str, str]
    others: list[InputError] = field(default_factory=list)

    @classmethod
    def of(
        cls,
        kind: type,
        attributes: Collection[str],
        query: Query,
        instead: Mapping[str, Input] | None = None,
    ) -> Form:
        """The form of the declared fields `attributes` of a dataclass, all when empty.

        `instead` are declarations that take a field's place, by attribute.
        """
        known = {**inputs_of(kind), **(instead or {})}
        return cls.asking({name: known[name] for name in attributes or known}, query)

    @classmethod
    def asking(cls, inputs: Mapping[str, Input], query: Query) -> Form:
        """The form of inputs, by the attribute that each fills."""
        fields: dict[str, Field] = {}
        values: dict[str, Any] = {}
        for attribute, asked in inputs.items():
            typed = tuple(text for raw in query.getlist(asked.name) if (text := raw.strip()))
            error = None
            if typed:
                try:
                    values[attribute] = _taken(asked, typed)
                except InputError as wrong:
                    error = wrong
            fields[asked.name] = Field(asked=asked, typed=typed, error=error)
        return cls(
            fields=fields,
            values={name: value for name, value in values.items() if _is_given(value)},
            attributes={asked.name: name for name, asked in inputs.items()},
        )

    @property
    def errors(self) -> list[InputError]:
        """Everything that is wrong."""
        return [each.error for each in self.fields.values() if each.error] + self.others

    @property
    def ok(self) -> bool:
        """Whether nothing is wrong."""
        return not self.errors

    @property
    def empty(self) -> bool:
        """Whether nothing was given."""
        return not any(each.typed for each in self.fields.values())

    def __getitem__(self, name: str) -> Field:
        return self.fields[name]

    def by_attribute(self) -> list[tuple[str, str]]:
        """Each field's attribute and name."""
        return [(attribute, name) for name, attribute in self.attributes.items()]

    def know(self, name: str, value: object) -> None:
        """Says what holds when nothing is typed into a field."""
        if _is_given(value) and name in self.fields:
            self.fields[name] = replace(self.fields[name], known=_text(value))

    def refuse(self, error: InputError) -> None:
        """Puts an error beside its field, or among the others."""
        there = self.fields.get(error.name)
        if there is None:
            self.others.append(error)
        elif there.error is None:
            self.fields[error.name] = replace(there, error=error)

    def asks(self, make: Callable[[], Value]) -> Value | None:
        """What `make` gives, or None when something is wrong, which is then said in the form."""
        if not self.ok:
            return None
        try:
            return make()
        except InputError as error:
            self.refuse(error)
            return None

    def words(self) -> Iterator[str]:
        """What was given as options of a command."""
        for each in self.fields.values():
            if each.typed and each.error is None:
                yield from option_words(each.asked, each.typed)


def _is_given(value: object) -> bool:
    """Whether a value says anything: a zero does, a box that is not ticked does not."""
    return value is not None and value is not False and value != ()


def _text(value: object) -> str:
    """A value as a user would write it."""
    if isinstance(value, tuple):
        return " and ".join(map(_text, value))
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def _taken(asked: Input, typed: tuple[str, ...]) -> Any:
    """The value of what was typed into one field, once or more."""
    if asked.many:
        return tuple(value for text in typed for value in asked.take(text))
    if len(typed) == 1:
        return asked.take(typed[0])
    if asked.count > 1:
        return asked.take(list(typed))
    raise asked.refuse(f"{len(typed)} values", "give one")


def option_words(asked: Input, typed: tuple[str, ...]) -> Iterator[str]:
    """What was typed as options of a command, as it would be typed there.

    >>> from protractor.arms.inputs import NULL_RADII, PIVOT_TO_SPINDLE
    >>> list(option_words(PIVOT_TO_SPINDLE, ("8 3/4 in",)))
    ['--pivot-to-spindle "8 3/4 in"']
    >>> list(option_words(NULL_RADII, ("63 and 119",)))
    ['--null-radii 63 119']
    """
    if asked.kind == "flag":
        if any(YES_NO.get(text.lower()) for text in typed):
            yield f"--{asked.name}"
        return
    if asked.many:
        texts = [part.strip() for text in typed for part in text.split(";") if part.strip()]
        yield from (f"--{asked.name} {quoted(text)}" for text in texts)
        return
    if asked.count > 1:
        value = asked.take(typed[0] if len(typed) == 1 else list(typed))
        typed = tuple(map(_text, value))
    yield f"--{asked.name} {' '.join(quoted(' '.join(text.split())) for text in typed)}"


def python_of(value: Any, but: Collection[str] = ()) -> str:
    """The line of Python that makes a declared value: what differs from its defaults.

    Fields in `but` are left out.

    >>> from protractor.alignments.deck import Deck
    >>> python_of(Deck(pivot_to_spindle_mm=222.0, scheme="stevenson"))
    "Deck(pivot_to_spindle_mm=222.0, scheme='stevenson')"
    """
    plain = type(value)()
    given = {name: getattr(value, name) for name in inputs_of(type(value)) if name not in but}
    said = [
        f"{name}={_python(each)}" for name, each in given.items() if each != getattr(plain, name)
    ]
    return f"{type(value).__name__}({', '.join(said)})"


def _python(value: object) -> str:
    """A value as Python that reads it the same; records with their shares as they are typed."""
    pairs = value if isinstance(value, tuple) else ()
    if any(isinstance(each, tuple) and isinstance(each[0], Record) for each in pairs):
        return repr([written_play(*each) for each in pairs])
    return repr(value)
