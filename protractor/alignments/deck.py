"""The question: everything a user knows of a deck and wants of it, as one frozen value.

Each field carries its declaration: name, unit, range, default, help and remedy, once. Options of
the command line, a row of a deck file, keyword arguments in a notebook and a form are made from
these fields, and a further field appears in all of them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, fields, replace
from typing import Any, Literal

from protractor.arms import inputs
from protractor.arms.play import Play
from protractor.arms.records import Record, record
from protractor.arms.schemes import HELD
from protractor.inputs.declaration import Input, declared, take_all
from protractor.printing.inputs import CLEAR_MARGIN, PAPER, PRINTER

NAME = Input(
    name="name",
    kind="text",
    longest=80,
    help="Name of the deck; no two decks of a file share one.",
)
EXACT = Input(
    name="exact",
    group="Exact optimum",
    kind="flag",
    help="Find the true optimum for this arm, in place of the published closed form.",
)
STRAIGHT = Input(
    name="straight",
    group="Alignment",
    kind="flag",
    help="A straight arm without offset: underhung, with a single null radius.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Deck:
    """One deck. What is None was not given, and the usual default holds.

    One of `pivot_to_spindle_mm` and `effective_length_mm` is given; it stays as it is. Numbers are
    in the unit that ends the name; a text is read as on the command line (`"8.74in"`). `stated` are
    statements about the arm as they were written, which are checked against each other and move
    nothing; `data_sheets` are the tables of cartridge, arm and stage as they were written.

    Raises `InputError` for the first value that is not allowed.

    >>> Deck(pivot_to_spindle_mm=222.0).scheme is None
    True
    >>> Deck(pivot_to_spindle_mm="8 3/4 in").pivot_to_spindle_mm
    222.25
    """

    name: str = declared(NAME, default="")
    pivot_to_spindle_mm: float | None = declared(inputs.PIVOT_TO_SPINDLE)
    effective_length_mm: float | None = declared(
        replace(
            inputs.EFFECTIVE_LENGTH,
            help="Pivot to stylus, instead of pivot to spindle, when the arm is yet to be mounted.",
        )
    )
    scheme: str | None = declared(inputs.SCHEME)
    record: str | Record | None = declared(inputs.RECORD)
    inner_radius_mm: float | None = declared(inputs.INNER_RADIUS)
    outer_radius_mm: float | None = declared(inputs.OUTER_RADIUS)
    null_radii_mm: tuple[float, float] | None = declared(
        replace(inputs.NULL_RADII, help="Your own two null radii (scheme null-radii).")
    )
    rpm: float | None = declared(inputs.RPM)
    velocity_cm_s: float | None = declared(inputs.VELOCITY)
    velocity_is: str | None = declared(inputs.VELOCITY_IS)
    signal_hz: float | None = declared(inputs.SIGNAL)
    replay_slope_db_octave: float | None = declared(inputs.REPLAY_SLOPE)
    play: Play | tuple[tuple[Record, float], ...] = declared(inputs.PLAY)
    exact: bool = declared(EXACT, default=False)
    held: Literal["pivot-to-spindle", "effective-length", "offset-angle"] | None = declared(
        Input(
            name="held",
            group="Exact optimum",
            kind="choice",
            choices=HELD,
            help="What stays fixed while `exact` moves the rest; by default the length that you "
            "give. With offset-angle that angle stays fixed too, and only the other length moves.",
        )
    )
    offset_angle_deg: float | None = declared(
        replace(
            inputs.OFFSET_ANGLE,
            group="Exact optimum",
            help="Offset angle to keep, with `held` offset-angle; 0 for a straight arm.",
        )
    )
    overhang_range_mm: tuple[float, float] | None = declared(
        replace(
            inputs.OVERHANG,
            name="overhang-range",
            group="Exact optimum",
            count=2,
            help="Least and greatest overhang that the slots allow, for `exact`.",
            remedy="give how far the slots let the stylus pass the spindle",
        )
    )
    offset_range_deg: tuple[float, float] | None = declared(
        replace(
            inputs.OFFSET_ANGLE,
            name="offset-range",
            group="Exact optimum",
            count=2,
            help="Least and greatest offset angle that the headshell allows, for `exact`.",
            remedy="give two angles in degrees",
        )
    )
    norm: Literal["peak", "rms"] | None = declared(
        Input(
            name="norm",
            group="Exact optimum",
            kind="choice",
            choices=("peak", "rms"),
            help="With `exact`, instead of a scheme: make the peak or the rms error small.",
        )
    )
    weight: Literal["radius", "none"] | None = declared(
        Input(
            name="weight",
            group="Exact optimum",
            kind="choice",
            choices=("radius", "none"),
            help="With `exact`, instead of a scheme: divide the error by the radius, as distortion "
            "does, or take the angle itself.",
        )
    )
    null_at_mm: float | None = declared(
        replace(
            inputs.NULL_AT,
            group="Exact optimum",
            help="With `exact`, instead of a scheme: keep a null at this radius.",
            remedy="give the radius where the cartridge is to be tangent to the groove",
        )
    )
    straight: bool = declared(STRAIGHT, default=False)
    zenith_deg: float | None = declared(
        Input(
            name="zenith",
            kind="number",
            unit="deg",
            low=-10.0,
            high=10.0,
            default="0",
            help="How far the stylus is turned in its cartridge; clockwise, seen from above, is "
            "positive.",
            remedy="a stylus turned further than that should go back to its maker",
        )
    )
    pivot_height_mm: float | None = declared(
        Input(
            name="pivot-height",
            kind="length",
            unit="mm",
            low=0.0,
            high=100.0,
            default="0",
            help="Height of the pivot above the stylus.",
            remedy="measure from the record's surface up to the centre of the pivot's bearing",
        )
    )
    paper: str | None = declared(PAPER)
    clear_margin_mm: float | None = declared(CLEAR_MARGIN)
    printer: str | None = declared(PRINTER)
    notes: str | None = declared(
        Input(name="notes", kind="text", longest=1000, help="What else to remember.")
    )
    stated: tuple[tuple[str, str], ...] = field(default=(), compare=False)
    data_sheets: tuple[tuple[str, Any], ...] = field(default=(), compare=False)

    def __post_init__(self) -> None:
        if isinstance(self.play, Play):
            pairs = zip(self.play.records, self.play.shares, strict=True)
            object.__setattr__(self, "play", tuple(pairs))
        take_all(self)

    @property
    def played(self) -> Play | None:
        """What is played, if given; raises `InputError` for shares that do not add up."""
        if isinstance(self.play, Play):
            return self.play
        if not self.play:
            return None
        return Play(
            records=tuple(side for side, _ in self.play),
            shares=tuple(share for _, share in self.play),
        )

    @property
    def zenith_rad(self) -> float:
        """How far the stylus is turned in its cartridge, 0 when nothing was given [rad]."""
        return math.radians(self.zenith_deg or 0.0)

    @property
    def side(self) -> Record:
        """The record of the closed forms: the one that is named, else the one played most.

        Raises `InputError` for radii that no side has.
        """
        radii = self.inner_radius_mm, self.outer_radius_mm
        played = self.played
        if played is not None and (self.record, *radii, self.rpm) == (None,) * 4:
            return played.records[played.shares.index(max(played.shares))]
        return record(self.record, inner_radius_mm=radii[0], outer_radius_mm=radii[1], rpm=self.rpm)

    def as_dict(self) -> dict[str, Any]:
        """What was given, by attribute; lists for pairs, dictionaries for what was written."""
        given = {each.name: getattr(self, each.name) for each in fields(self)}
        stated, play = given.pop("stated"), given.pop("play")
        sheets = dict(given.pop("data_sheets"))
        plain = {
            name: list(value) if isinstance(value, tuple) else value
            for name, value in given.items()
            if value is not None and value is not False
        }
        if isinstance(self.record, Record):
            plain["record"] = self.record.as_dict()
        if play and self.played:
            plain["play"] = self.played.as_list()
        written = {"stated": dict(stated), "data_sheets": sheets}
        return plain | {name: tables for name, tables in written.items() if tables}
