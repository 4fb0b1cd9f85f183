"""Options made from the declared inputs, and what several commands make of them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

import click
from click.shell_completion import CompletionItem

from protractor.alignments.alignment import Alignment, chosen_nulls, solve
from protractor.arms.distortion import Equalisation
from protractor.arms.play import Play
from protractor.arms.records import Record, record
from protractor.errors import InputError
from protractor.inputs import deck as inputs
from protractor.inputs.declaration import Input
from protractor.printing.paper import PAPERS

Function = TypeVar("Function", bound=Callable[..., Any])


class Reads(click.ParamType):  # type: ignore[type-arg]  # generic in newer click only
    """A click type that leaves reading to the declared input."""

    def __init__(self, declared: Input) -> None:
        self.declared = declared
        self.name = declared.name

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        return self.declared.read(value) if isinstance(value, str) else value

    def shell_complete(
        self, ctx: click.Context, param: click.Parameter, incomplete: str
    ) -> list[CompletionItem]:
        declared = self.declared
        words: Iterable[str] = (*declared.also, *declared.choices)
        if declared.kind == "paper":
            words = PAPERS
        elif declared is inputs.PRINTER:
            words = _recorded(ctx.params.get("profile_file"))
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


def option(declared: Input, **settings: Any) -> Callable[[Function], Function]:
    """The click option of one declared input; its value arrives read, None when not given."""
    metavars = {
        "length": "LENGTH",
        "choice": "NAME",
        "text": "TEXT",
        "paper": "PAPER",
        "play": "RECORD:SHARE",
        "reading": "RADIUS:DEGREES",
    }
    metavar = metavars.get(declared.kind, "NUMBER")
    text = declared.help
    if declared.kind == "choice":
        text += f" One of: {', '.join((*declared.also, *declared.choices))}."
    elif declared.kind not in ("text", "play", "reading"):
        text += f" {declared.allowed}."
    if declared.default is not None:
        text += f" Default {declared.default}."
    return click.option(
        f"--{declared.name}",
        type=Reads(declared),
        nargs=declared.count,
        metavar=" ".join([metavar] * declared.count),
        help=text,
        **settings,
    )


DECK_INPUTS = (
    inputs.PIVOT_TO_SPINDLE,
    inputs.EFFECTIVE_LENGTH,
    inputs.SCHEME,
    inputs.RECORD,
    inputs.INNER_RADIUS,
    inputs.OUTER_RADIUS,
    inputs.NULL_RADII,
    inputs.RPM,
    inputs.VELOCITY,
    inputs.VELOCITY_IS,
)


EXACT_INPUTS = (
    inputs.HELD,
    inputs.OFFSET_ANGLE,
    inputs.OVERHANG_RANGE,
    inputs.OFFSET_RANGE,
    inputs.NORM,
    inputs.WEIGHT,
    inputs.NULL_AT,
)
"""What only --exact takes."""

FIGURE_INPUTS = (inputs.SIGNAL, inputs.REPLAY_SLOPE)
"""How the distortion is stated."""

exact_option = click.option(
    "--exact",
    is_flag=True,
    help="Find the true optimum for this arm, in place of the published closed form.",
)


def deck_options(function: Function, *, many_schemes: bool = False) -> Function:
    """Adds the options that say which deck, which scheme and which record.

    With `many_schemes` the option --scheme may be repeated.
    """
    for declared in reversed(EXACT_INPUTS):
        function = option(declared)(function)
    function = exact_option(function)
    function = option(inputs.PLAY, multiple=True)(function)
    for declared in reversed((*DECK_INPUTS, *FIGURE_INPUTS)):
        if many_schemes and declared is inputs.SCHEME:
            several = replace(declared, default=None, help="Repeat it for several; default all.")
            function = option(several, multiple=True)(function)
        else:
            function = option(declared)(function)
    return function


straight_option = click.option(
    "--straight",
    is_flag=True,
    help="A straight arm without offset: underhung, with a single null radius.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON instead of a table.")
force_option = click.option("--force", is_flag=True, help="Replace a file that exists.")


def alignment_of(
    *,
    pivot_to_spindle: float | None,
    effective_length: float | None,
    scheme: str | None,
    record_name: str | None,
    inner_radius: float | None,
    outer_radius: float | None,
    null_radii: tuple[float, float] | None,
    rpm: float | None,
    velocity: float | None,
    velocity_is: str | None,
    exact: bool,
    held: str | None,
    offset_angle: float | None,
    overhang_range: tuple[float, float] | None,
    offset_range: tuple[float, float] | None,
    norm: str | None,
    weight: str | None,
    null_at: float | None,
    play: tuple[tuple[Record, float], ...],
    signal: float | None,
    replay_slope: float | None,
    straight: bool = False,
) -> Alignment:
    """The alignment that the deck options ask for."""
    played = _played(play)
    deck: dict[str, Any] = {
        "pivot_to_spindle_mm": pivot_to_spindle,
        "effective_length_mm": effective_length,
        "scheme": scheme,
        "record": _side(played, record_name, inner_radius, outer_radius, rpm),
        "play": played,
        "velocity_cm_s": velocity or float(inputs.VELOCITY.default or 0),
        "velocity_is": velocity_is or str(inputs.VELOCITY_IS.default),
        "equalisation": Equalisation(signal_hz=signal, slope_db_octave=replay_slope),
    }
    own = {"norm": norm, "weight": weight, "null-at": null_at}
    if not exact:
        length = "effective-length" if pivot_to_spindle is None else "pivot-to-spindle"
        only = {
            "held": None if held == length else held,
            "offset-angle": offset_angle,
            "overhang-range": overhang_range,
            "offset-range": offset_range,
            **own,
        }
        for name, value in only.items():
            if value is not None:
                raise InputError(
                    name,
                    f"{name} without --exact",
                    f"{name} beside --exact",
                    "add --exact, or leave it out",
                )
        if straight:
            from protractor.alignments.alignment import solve_straight  # not needed for other arms

            return solve_straight(**deck, null_radii_mm=null_radii)
        return solve(**deck, null_radii_mm=null_radii)
    if straight:
        raise InputError(
            "straight",
            "straight beside --exact",
            "one of the two",
            "for the exact optimum say --exact --held offset-angle --offset-angle 0",
        )
    if null_radii is not None:
        raise InputError(
            "null-radii",
            "radii beside --exact",
            "radii for scheme null-radii, whose nulls are as given on true angles too",
            "leave out one of the two",
        )
    given = [name for name, value in own.items() if value is not None]
    if given and scheme is not None:
        raise InputError(
            given[0],
            f"{given[0]} beside scheme {scheme}",
            "a scheme, or an objective of your own",
            "leave out one of the two",
        )
    from protractor.alignments.exact import solve_exact  # not needed for a plain answer
    from protractor.alignments.objective import Objective

    return solve_exact(
        **deck,
        held=held,  # type: ignore[arg-type]  # a choice of HELD, as read
        offset_angle_rad=None if offset_angle is None else math.radians(offset_angle),
        overhang_range_mm=overhang_range,
        offset_range_rad=offset_range
        and (math.radians(offset_range[0]), math.radians(offset_range[1])),
        objective=Objective(
            norm="rms" if norm == "rms" else "peak",
            weighted=weight != "none",
            null_at_mm=null_at,
        )
        if given
        else None,
    )


def _played(play: tuple[tuple[Record, float], ...]) -> Play | None:
    """What is played, None when nothing was said."""
    if not play:
        return None
    return Play(records=tuple(r for r, _ in play), shares=tuple(s for _, s in play))


def _side(
    played: Play | None,
    record_name: str | None,
    inner_radius: float | None,
    outer_radius: float | None,
    rpm: float | None,
) -> Record:
    """The record of the closed forms: the one named, else the one that is played most."""
    if played is not None and (record_name, inner_radius, outer_radius, rpm) == (None,) * 4:
        return played.records[played.shares.index(max(played.shares))]
    return record(record_name, inner_radius_mm=inner_radius, outer_radius_mm=outer_radius, rpm=rpm)


def value_of(value: float | None, declared: Input) -> float:
    """A number that was given, or its input's default."""
    return float(declared.default or 0) if value is None else value


def without_deck(values: dict[str, Any]) -> bool:
    """Whether the values of the deck options tell of no deck and ask for nothing that needs one."""
    exact = ("exact", "straight", *(declared.name.replace("-", "_") for declared in EXACT_INPUTS))
    lengths = ("pivot_to_spindle", "effective_length")
    return all(values[name] in (None, False) for name in (*lengths, *exact))


def nulls_of(
    *,
    scheme: str | None,
    record_name: str | None,
    inner_radius: float | None,
    outer_radius: float | None,
    null_radii: tuple[float, float] | None,
    rpm: float | None,
    play: tuple[tuple[Record, float], ...],
    **others: Any,
) -> tuple[str, Record, tuple[float, float]]:
    """Scheme, record and null radii that the deck options ask for, whatever the deck."""
    side = _side(_played(play), record_name, inner_radius, outer_radius, rpm)
    return chosen_nulls(scheme, side, null_radii)


def print_json(value: Any) -> None:
    """Prints a value as JSON at full precision and nothing else."""
    import json

    click.echo(json.dumps(value, indent=2, allow_nan=False, ensure_ascii=False))
