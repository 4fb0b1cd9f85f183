"""What a user can give of an arm and of the records it plays, each quantity declared once.

A face that asks for the same quantity in another role takes `dataclasses.replace` of it, so that
one range serves them all.
"""

from __future__ import annotations

import re
from dataclasses import replace

from protractor.arms.arm import PIVOT_TO_SPINDLE_RANGE_MM
from protractor.arms.distortion import (
    DEFAULT_VELOCITY_CM_S,
    SIGNAL_RANGE_HZ,
    SLOPE_RANGE_DB_OCTAVE,
    VELOCITY_RANGE_CM_S,
)
from protractor.arms.records import (
    RECORD_PRESETS,
    RECORD_SHORT_NAMES,
    RECORDED_RADIUS_RANGE_MM,
    RECORDS_ALSO_CALLED,
    SPEED_RANGE_RPM,
    SPEEDS_RPM,
    UNCLEAR_RECORDS,
    Record,
    record,
)
from protractor.arms.schemes import (
    DEFAULT_SCHEME,
    SCHEME_NAMES,
    SCHEMES_ALSO_CALLED,
    UNCLEAR_SCHEMES,
)
from protractor.errors import InputError, shown
from protractor.inputs.declaration import ESSENTIALS, Input
from protractor.inputs.quantities import NONE_NEAR, read_quantity

PIVOT_TO_SPINDLE = Input(
    name="pivot-to-spindle",
    group=ESSENTIALS,
    kind="length",
    unit="mm",
    low=PIVOT_TO_SPINDLE_RANGE_MM[0],
    high=PIVOT_TO_SPINDLE_RANGE_MM[1],
    help="Centre of the arm's pivot to centre of the spindle, as measured on the deck.",
    remedy="measure centre to centre; for inches write 8.74in",
)
EFFECTIVE_LENGTH = Input(
    name="effective-length",
    kind="length",
    unit="mm",
    low=100.0,
    high=560.0,
    help="Centre of the arm's pivot to the stylus.",
    remedy="measure from the pivot's centre to the stylus; for inches write 9.4in",
)
OVERHANG = Input(
    name="overhang",
    kind="length",
    unit="mm",
    low=-60.0,
    high=60.0,
    help="How far the stylus reaches past the spindle; underhang is negative.",
    remedy="give how far the stylus passes the spindle's centre, negative when it falls short",
)
OFFSET_ANGLE = Input(
    name="offset-angle",
    kind="number",
    unit="deg",
    low=-59.9,
    high=59.9,
    help="Angle between the cartridge and the line from stylus to pivot.",
    remedy="give the angle between the cartridge and the line from stylus to pivot",
)
LINEAR_OFFSET = Input(
    name="linear-offset",
    kind="length",
    unit="mm",
    low=-200.0,
    high=200.0,
    help="Distance of the pivot from the cartridge's axis.",
    remedy="give effective length times the sine of the offset angle",
)
NULL_RADII = Input(
    name="null-radii",
    group="Alignment",
    kind="length",
    unit="mm",
    low=RECORDED_RADIUS_RANGE_MM[0],
    high=RECORDED_RADIUS_RANGE_MM[1],
    count=2,
    help="The two radii at which the cartridge is tangent to the groove.",
    remedy="give the radii where the cartridge is to be tangent to the groove",
)
NULL_AT = replace(NULL_RADII, name="null-at", count=1, help="Radius of a null.")
SCHEME = Input(
    name="scheme",
    group=ESSENTIALS,
    kind="choice",
    choices=SCHEME_NAMES,
    means=SCHEMES_ALSO_CALLED,
    asks=UNCLEAR_SCHEMES,
    default=DEFAULT_SCHEME,
    help="Alignment scheme; lofgren-a is also called Baerwald.",
)
RECORD = Input(
    name="record",
    group="Record",
    kind="choice",
    choices=tuple(RECORD_PRESETS),
    also=tuple(RECORD_SHORT_NAMES),
    means=RECORDS_ALSO_CALLED,
    asks=UNCLEAR_RECORDS,
    default="12",
    takes=Record,
    help="Recorded area by standard; IEC, RIAA, LP, 12in and 7in are understood too.",
)
INNER_RADIUS = Input(
    name="inner-radius",
    group="Record",
    kind="length",
    unit="mm",
    low=RECORDED_RADIUS_RANGE_MM[0],
    high=RECORDED_RADIUS_RANGE_MM[1],
    help="Your own inner recorded radius, in place of the record's.",
    remedy="give the radius of the last modulated groove, not its diameter",
)
OUTER_RADIUS = replace(
    INNER_RADIUS,
    name="outer-radius",
    help="Your own outer recorded radius, in place of the record's.",
    remedy="give the radius of the first modulated groove, not its diameter",
)


def _read_speed(asked: Input, text: str) -> float:
    """A speed; every way of writing 33 1/3 is that speed exactly."""
    if text.strip() in ("33", "33.3", "33.33", "33 1/3"):
        return SPEEDS_RPM["33 1/3"]
    return asked.quantity(text)


RPM = Input(
    name="rpm",
    group="Record",
    kind="number",
    unit="rpm",
    low=SPEED_RANGE_RPM[0],
    high=SPEED_RANGE_RPM[1],
    allows=f"{', '.join(SPEEDS_RPM)} or {SPEED_RANGE_RPM[0]:g} to {SPEED_RANGE_RPM[1]:g} rpm",
    reads=_read_speed,
    help="Speed of the record; by default the record's own.",
    remedy="give revolutions per minute",
)
VELOCITY = Input(
    name="velocity",
    group="Distortion",
    kind="number",
    unit="cm/s",
    low=VELOCITY_RANGE_CM_S[0],
    high=VELOCITY_RANGE_CM_S[1],
    default=f"{DEFAULT_VELOCITY_CM_S:g}",
    help="Recorded velocity that the distortion is stated for.",
    remedy="give the velocity of the groove in cm/s",
)
VELOCITY_IS = Input(
    name="velocity-is",
    group="Distortion",
    kind="choice",
    choices=("peak", "rms"),
    default="peak",
    help="Whether `velocity` is a peak or an rms value.",
)
SIGNAL = Input(
    name="signal",
    group="Distortion",
    kind="number",
    unit="Hz",
    low=SIGNAL_RANGE_HZ[0],
    high=SIGNAL_RANGE_HZ[1],
    help="State the distortion of a tone of this frequency after IEC 60098 replay equalisation.",
    remedy="give the frequency of the tone in Hz",
)
REPLAY_SLOPE = Input(
    name="replay-slope",
    group="Distortion",
    kind="number",
    unit="dB/octave",
    low=SLOPE_RANGE_DB_OCTAVE[0],
    high=SLOPE_RANGE_DB_OCTAVE[1],
    help="State the distortion after a replay fall of so many dB an octave.",
    remedy="give a fall in dB/octave",
)


def _read_play(asked: Input, text: str) -> tuple[Record, float]:
    """A record and its share of the playing time [1]; errors name what was written here."""
    given = f"'{shown(text)}'"
    try:
        return _read_played(asked, text, given)
    except InputError as error:
        if error.name == asked.name:
            raise
        known = error.name == "record"
        remedy = "write its radii instead, such as 58-120.9:20" if known else error.remedy
        raise InputError(asked.name, given, error.allowed, remedy) from error


def _read_played(asked: Input, text: str, given: str) -> tuple[Record, float]:
    what, colon, share_text = text.rpartition(":")
    share = read_quantity(share_text)
    if not colon or share is None or share[1] not in ("", "%"):
        raise asked.refuse(given)
    what, at, speed = what.partition("@")
    rpm = RPM.read(speed) if at else None
    name = RECORD.meant(what)
    if name is not None:
        return record(name, rpm=rpm), share[0] / 100
    for separator in re.finditer(r"\.\.|-", what):
        ends = what[: separator.start()], what[separator.end() :]
        if all(read_quantity(end) is not None for end in ends):
            inner, outer = INNER_RADIUS.read(ends[0]), OUTER_RADIUS.read(ends[1])
            own = record(inner_radius_mm=inner, outer_radius_mm=outer, rpm=rpm)
            return own, share[0] / 100
    hint = RECORD.hint(what)
    if hint == NONE_NEAR:
        hint = "name 12, 10, 7 or radii, as in 58-146:30"
    raise asked.refuse(given, hint)


def written_play(side: Record, share: float) -> str:
    """A record and its share of the playing time [1] as `play` is written.

    >>> written_play(record("7"), 0.2)
    '7-jis-1973@45:20'
    """
    inner, outer, speed = (
        repr(value).removesuffix(".0")
        for value in (side.inner_radius_mm, side.outer_radius_mm, side.rpm)
    )
    what = side.name if side.name in RECORD_PRESETS else f"{inner}-{outer}"
    return f"{what}@{speed}:{100 * share:.12g}"


PLAY = Input(
    name="play",
    group="Record",
    kind="form",
    metavar="RECORD:SHARE",
    many=True,
    allows="RECORD:SHARE or INNER-OUTER:SHARE, with @RPM before the colon if need be",
    reads=_read_play,
    takes=tuple,
    help="A record that is played and its share of the playing time in percent, such as 12:80, "
    "7@45:20 or 58-146:30; repeat it until the shares add up to 100.",
    remedy="write a record, a colon and its share in percent, such as 12:80",
)
