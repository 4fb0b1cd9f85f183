"""What a user can give about a deck, its alignment, its records and its sheet."""

from __future__ import annotations

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
    SPEED_RANGE_RPM,
)
from protractor.arms.schemes import DEFAULT_SCHEME, SCHEME_NAMES
from protractor.arms.schemes import HELD as HELD_NAMES
from protractor.inputs.declaration import Input
from protractor.printing.paper import CLEAR_RANGE_MM

PIVOT_TO_SPINDLE = Input(
    name="pivot-to-spindle",
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
    low=121.0,
    high=560.0,
    help="Pivot to stylus, instead of pivot to spindle, when the arm is yet to be mounted.",
    remedy="measure from the pivot's centre to the stylus; for inches write 9.4in",
)
SCHEME = Input(
    name="scheme",
    kind="choice",
    choices=SCHEME_NAMES,
    default=DEFAULT_SCHEME,
    help="Alignment scheme.",
)
RECORD = Input(
    name="record",
    kind="choice",
    choices=tuple(RECORD_PRESETS),
    also=tuple(RECORD_SHORT_NAMES),
    default="12",
    help="Recorded area by standard.",
)
INNER_RADIUS = Input(
    name="inner-radius",
    kind="length",
    unit="mm",
    low=RECORDED_RADIUS_RANGE_MM[0],
    high=RECORDED_RADIUS_RANGE_MM[1],
    help="Your own inner recorded radius, in place of the record's.",
    remedy="give the radius of the last modulated groove, not its diameter",
)
OUTER_RADIUS = Input(
    name="outer-radius",
    kind="length",
    unit="mm",
    low=RECORDED_RADIUS_RANGE_MM[0],
    high=RECORDED_RADIUS_RANGE_MM[1],
    help="Your own outer recorded radius, in place of the record's.",
    remedy="give the radius of the first modulated groove, not its diameter",
)
NULL_RADII = Input(
    name="null-radii",
    kind="length",
    unit="mm",
    low=RECORDED_RADIUS_RANGE_MM[0],
    high=RECORDED_RADIUS_RANGE_MM[1],
    count=2,
    help="Your own two null radii (scheme null-radii).",
    remedy="give the radii where the cartridge shall be tangent to the groove",
)
RPM = Input(
    name="rpm",
    kind="speed",
    unit="rpm",
    low=SPEED_RANGE_RPM[0],
    high=SPEED_RANGE_RPM[1],
    help="Speed of the record; default the record's own.",
    remedy="give revolutions per minute",
)
VELOCITY = Input(
    name="velocity",
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
    kind="choice",
    choices=("peak", "rms"),
    default="peak",
    help="Whether --velocity is a peak or an rms value.",
)
PAPER = Input(
    name="paper",
    kind="paper",
    default="a4",
    help="Paper to print on.",
)
CLEAR_MARGIN = Input(
    name="clear-margin",
    kind="length",
    unit="mm",
    low=CLEAR_RANGE_MM[0],
    high=CLEAR_RANGE_MM[1],
    help="What your printer leaves white at each edge, in place of 10 mm and 15 mm below.",
    remedy="give what your printer leaves white at the edges",
)
PRINTER = Input(
    name="printer",
    kind="text",
    longest=40,
    help="Correct the sheet for a printer that you recorded; it is true on that printer alone.",
)
KIND = Input(
    name="kind",
    kind="choice",
    choices=("arc", "two-null"),
    default="arc",
    help="Sheet for one deck with its stylus arc, or two null points alone, for any deck.",
)
TITLE = Input(
    name="title",
    kind="text",
    longest=80,
    help="Name of the deck, printed at the top of the sheet.",
)
HELD = Input(
    name="held",
    kind="choice",
    choices=HELD_NAMES,
    help="What stays as given while --exact moves the rest; default the length that is given. "
    "offset-angle: the angle stays besides, and only the other length moves.",
)
OFFSET_ANGLE = Input(
    name="offset-angle",
    kind="number",
    unit="deg",
    low=-59.9,
    high=59.9,
    help="Offset angle that is held (held offset-angle); 0 for a straight arm.",
    remedy="give the angle between the cartridge and the line stylus to pivot",
)
OVERHANG_RANGE = Input(
    name="overhang-range",
    kind="length",
    unit="mm",
    low=-100.0,
    high=100.0,
    count=2,
    help="Least and greatest overhang that the slots allow, for --exact.",
    remedy="give how far the slots let the stylus pass the spindle",
)
OFFSET_RANGE = Input(
    name="offset-range",
    kind="number",
    unit="deg",
    low=-59.9,
    high=59.9,
    count=2,
    help="Least and greatest offset angle that the headshell allows, for --exact.",
    remedy="give two angles in degrees",
)
NORM = Input(
    name="norm",
    kind="choice",
    choices=("peak", "rms"),
    help="With --exact, instead of a scheme: make the peak or the rms error small.",
)
WEIGHT = Input(
    name="weight",
    kind="choice",
    choices=("radius", "none"),
    help="With --exact, instead of a scheme: divide the error by the radius, as distortion does, "
    "or take the angle itself.",
)
NULL_AT = Input(
    name="null-at",
    kind="length",
    unit="mm",
    low=RECORDED_RADIUS_RANGE_MM[0],
    high=RECORDED_RADIUS_RANGE_MM[1],
    help="With --exact, instead of a scheme: keep a null at this radius.",
    remedy="give the radius where the cartridge shall be tangent to the groove",
)
PLAY = Input(
    name="play",
    kind="play",
    help="A record that is played and its share of the playing time in percent, such as 12:80, "
    "7@45:20 or 58-146:30; repeat it until the shares add up to 100.",
    remedy="write a record, a colon and its share in percent, such as 12:80",
)
SIGNAL = Input(
    name="signal",
    kind="number",
    unit="Hz",
    low=SIGNAL_RANGE_HZ[0],
    high=SIGNAL_RANGE_HZ[1],
    help="State the distortion of a tone of this frequency after IEC 60098 replay equalisation.",
    remedy="give the frequency of the tone in Hz",
)
REPLAY_SLOPE = Input(
    name="replay-slope",
    kind="number",
    unit="dB/octave",
    low=SLOPE_RANGE_DB_OCTAVE[0],
    high=SLOPE_RANGE_DB_OCTAVE[1],
    help="State the distortion after a replay fall of so many dB an octave.",
    remedy="give a fall in dB/octave",
)
NOW_OVERHANG = Input(
    name="now-overhang",
    kind="length",
    unit="mm",
    low=-100.0,
    high=100.0,
    help="Overhang as the deck is set up now.",
    remedy="give how far the stylus passes the spindle's centre, negative when it falls short",
)
NOW_OFFSET = Input(
    name="now-offset",
    kind="number",
    unit="deg",
    low=-59.9,
    high=59.9,
    help="Offset angle as the deck is set up now.",
    remedy="give the angle between the cartridge and the line stylus to pivot",
)
SIDE_MINUTES = Input(
    name="side-minutes",
    kind="number",
    unit="min",
    low=0.5,
    high=120.0,
    help="Playing time of a side; default an estimate from the usual groove pitch.",
    remedy="give the minutes that the sleeve prints",
)
X_AXIS = Input(
    name="x-axis",
    kind="choice",
    choices=("radius", "time"),
    default="radius",
    help="What the curves run along; the other one is shown at the top.",
)
ZENITH = Input(
    name="zenith",
    kind="number",
    unit="deg",
    low=-10.0,
    high=10.0,
    default="0",
    help="How far the stylus stands askew in its cartridge: clockwise of the body, seen from "
    "above, is positive.",
    remedy="a stylus further askew belongs back to its maker",
)


def every_input() -> dict[str, Input]:
    """Every declared input of the program by its name."""
    from protractor.inputs import bench as bench_inputs
    from protractor.inputs import printer as printer_inputs
    from protractor.inputs import setup as used_deck_inputs

    found: dict[str, Input] = {}
    for values in (globals(), *(vars(m) for m in (printer_inputs, used_deck_inputs, bench_inputs))):
        for value in list(values.values()):
            group = value.values() if isinstance(value, dict) else (value,)
            found |= {one.name: one for one in group if isinstance(one, Input)}
    return found
