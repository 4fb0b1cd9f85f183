"""Options made from the declared inputs, and what several commands make of them."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any, TypeVar

import click

from protractor import inputs
from protractor.alignment import Alignment, solve
from protractor.inputs import Input
from protractor.records import record

Function = TypeVar("Function", bound=Callable[..., Any])


class Reads(click.ParamType):  # type: ignore[type-arg]  # generic in newer click only
    """A click type that leaves reading to the declared input."""

    def __init__(self, declared: Input) -> None:
        self.declared = declared
        self.name = declared.name

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        return self.declared.read(value) if isinstance(value, str) else value


def option(declared: Input, **settings: Any) -> Callable[[Function], Function]:
    """The click option of one declared input; its value arrives read, None when not given."""
    metavar = {"length": "LENGTH", "choice": "NAME", "text": "TEXT"}.get(declared.kind, "NUMBER")
    text = declared.help
    if declared.kind == "choice":
        text += f" One of: {', '.join((*declared.also, *declared.choices))}."
    elif declared.kind != "text":
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


def deck_options(function: Function) -> Function:
    """Adds the options that say which deck, which scheme and which record."""
    for declared in reversed(DECK_INPUTS):
        function = option(declared)(function)
    return function


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
) -> Alignment:
    """The alignment that the deck options ask for."""
    return solve(
        pivot_to_spindle_mm=pivot_to_spindle,
        effective_length_mm=effective_length,
        scheme=scheme,
        record=record(
            record_name, inner_radius_mm=inner_radius, outer_radius_mm=outer_radius, rpm=rpm
        ),
        null_radii_mm=null_radii,
        velocity_cm_s=velocity or float(inputs.VELOCITY.default or 0),
        velocity_is=velocity_is or str(inputs.VELOCITY_IS.default),
    )


def print_json(value: Any) -> None:
    """Prints a value as JSON at full precision and nothing else."""
    click.echo(json.dumps(value, indent=2, allow_nan=False, ensure_ascii=False))
