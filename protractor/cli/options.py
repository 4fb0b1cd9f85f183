"""Options made from declared inputs, and the values that commands get of them."""

from __future__ import annotations

import functools
from collections.abc import Callable, Collection, Iterable, Mapping
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from protractor.alignments.deck import NAME, Deck
from protractor.bench.inputs import DECK
from protractor.cli.help import Option
from protractor.errors import named
from protractor.inputs.declaration import Input, inputs_of
from protractor.printing.inputs import PRINTER

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

Function = TypeVar("Function", bound=Callable[..., Any])

METAVARS = {"length": "LENGTH", "choice": "NAME", "text": "TEXT"}

SIDE = ("record", "inner_radius_mm", "outer_radius_mm", "rpm", "velocity_cm_s", "velocity_is")
"""Fields of a deck that say which record is played, and at which velocity."""

ALIGNED = (
    "pivot_to_spindle_mm",
    "effective_length_mm",
    "scheme",
    "record",
    "inner_radius_mm",
    "outer_radius_mm",
    "null_radii_mm",
    "rpm",
    "velocity_cm_s",
    "velocity_is",
    "signal_hz",
    "replay_slope_db_octave",
    "play",
    "exact",
    "held",
    "offset_angle_deg",
    "overhang_range_mm",
    "offset_range_deg",
    "norm",
    "weight",
    "null_at_mm",
)
"""Fields of a deck that settle its alignment."""

SHEET = ("paper", "clear_margin_mm", "printer")
"""Fields of a deck that a sheet of paper needs."""

TITLE = replace(NAME, name="title", help="Name of the deck, printed at the top of the sheet.")


class Reads(click.ParamType):  # type: ignore[type-arg]  # generic in newer click only
    """A click type that leaves reading to the declared input."""

    def __init__(self, asked: Input) -> None:
        self.asked = asked
        self.name = asked.name

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        return self.asked.read(value) if isinstance(value, str) else value

    def shell_complete(
        self, ctx: click.Context, param: click.Parameter, incomplete: str
    ) -> list[CompletionItem]:
        from click.shell_completion import CompletionItem

        words: Iterable[str] = (*self.asked.also, *self.asked.choices)
        if self.asked.name == PRINTER.name:
            words = _recorded(ctx.params.get("profile_file"))
        elif self.asked.name == DECK.name:
            words = _remembered(ctx.params.get("decks_file"))
        begun = incomplete.casefold()
        return [CompletionItem(word) for word in words if word.casefold().startswith(begun)]


def _recorded(profile_file: Path | None) -> list[str]:
    """The names of the recorded printers, none when their file cannot be read.

    A name of several words is left out, since bash would take it apart.
    """
    from protractor.printing.profiles import default_file, load

    with suppress(Exception):  # whatever is wrong with the file, this is not the place to say so
        profiles = load(profile_file or default_file())
        return list(dict.fromkeys(p.name for p in profiles if " " not in p.name))
    return []


def _remembered(decks_file: Path | None) -> list[str]:
    """The names of the remembered decks, none when their file cannot be read; as for printers."""
    from protractor.bench.remembered import remembered

    with suppress(Exception):
        return [name for name in remembered(decks_file).names if " " not in name]
    return []


def option(
    asked: Input, *, parameter: str = "", group: str = "", **settings: Any
) -> Callable[[Function], Function]:
    """The click option of one declared input; its value arrives read, None when not given.

    It arrives as `parameter`, by default the input's name. In the help it comes under the input's
    own group, else under `group`.
    """
    text = named(asked.help, "--")
    settings = {"cls": Option, "group": asked.group or group, **settings}
    if asked.kind == "flag":
        return click.option(f"--{asked.name}", is_flag=True, help=text, **settings)
    if asked.kind == "choice":
        text += f" One of: {asked.allowed}."
    elif asked.kind not in ("text", "form"):
        text += f" {asked.allowed}."
    if asked.default is not None:
        text += f" Default {asked.default}."
    metavar = asked.metavar or METAVARS.get(asked.kind, "NUMBER")
    return click.option(
        f"--{asked.name}",
        parameter or asked.name.replace("-", "_"),
        type=Reads(asked),
        nargs=asked.count,
        multiple=asked.many,
        metavar=" ".join([metavar] * asked.count),
        help=text,
        **settings,
    )


def filled(
    kind: type,
    attributes: Collection[str] = (),
    under: str = "",
    instead: Mapping[str, Input] | None = None,
    beside: Collection[str] = (),
) -> Callable[[Function], Function]:
    """Adds options for the declared fields of a dataclass; the command gets the filled value.

    `attributes` are the fields that are asked for, in this order, all when empty; `under` is the
    parameter that the value arrives as, by default the class's name in small letters; `instead`
    are declarations that take a field's place; `beside` are fields that other options fill. In the
    help, fields without a group of their own come under the parameter's name.
    """
    known = {**inputs_of(kind), **(instead or {})}
    names = tuple(attributes) or tuple(known)
    parameter = under or kind.__name__.lower()

    def decorate(function: Function) -> Function:
        @functools.wraps(function)
        def command(**values: Any) -> Any:
            given = {name: values.pop(known[name].name.replace("-", "_")) for name in names}
            given |= {name: values.pop(name) for name in beside}
            kept = {name: value for name, value in given.items() if value is not None}
            return function(**{parameter: kind(**kept)}, **values)

        options: Any = command
        for name in reversed(names):
            options = option(known[name], group=parameter.capitalize())(options)
        return options  # type: ignore[no-any-return]  # click keeps the function's kind

    return decorate


decks_option = click.option(
    "--decks",
    "decks_file",
    cls=Option,
    group="Deck",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="File of decks, in place of the one in your configuration folder.",
)


def deck_options(function: Function) -> Function:
    """Adds `--deck` and `--decks`; the command gets a `deck_name` and a `decks_file`."""
    return option(DECK, parameter="deck_name", group="Deck")(decks_option(function))


def asks_deck(
    *attributes: str,
    instead: Mapping[str, Input] | None = None,
    another: Collection[str] | None = ("pivot_to_spindle", "effective_length"),
) -> Callable[[Function], Function]:
    """Adds the options for fields of a deck; the command gets a `deck`. The name is its title.

    What is not given comes from a remembered deck: the one that `--deck` names, or the default
    unless one of the parameters `another` is given, which then mean another deck. With `another`
    None the default is not taken.
    """
    known = {**inputs_of(Deck), "name": TITLE, **(instead or {})}

    def decorate(function: Function) -> Function:
        @functools.wraps(function)
        def command(**values: Any) -> Any:
            from protractor.cli.remembered import asked_deck

            every = {name: values.pop(known[name].name.replace("-", "_")) for name in attributes}
            given = {
                name: value
                for name, value in every.items()
                if value is not None and value is not False and value != ()
            }
            return function(deck=asked_deck(given, values, attributes, another), **values)

        options: Any = command
        for name in reversed(attributes):
            options = option(known[name], group="Deck")(options)
        return deck_options(options)  # type: ignore[no-any-return]  # click keeps the function's kind

    return decorate


json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON instead of a table.")
force_option = click.option(
    "--force", is_flag=True, cls=Option, group="File", help="Replace a file that exists."
)


def print_json(value: Any) -> None:
    """Prints a value as JSON at full precision and nothing else."""
    import json

    click.echo(json.dumps(value, indent=2, allow_nan=False, ensure_ascii=False))


def answer(as_json: bool, value: Callable[[], Any], lines: Callable[[], str]) -> None:
    """Prints the value as JSON, or the lines, whichever was asked for."""
    if as_json:
        print_json(value())
    else:
        click.echo(lines())
