"""What a user can give: each input declared once, for every face of the program.

An `Input` knows its name, kind, unit, range, default and help, and reads what a user wrote. Nothing
here knows a command line: a form can be made from the same declarations.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any, Literal

from protractor.alignment import DEFAULT_SCHEME
from protractor.arm import PIVOT_TO_SPINDLE_RANGE_MM
from protractor.bounds import (
    DEFAULT_DRAWS,
    DRAWS_RANGE,
    FAN_RANGE_DEG,
    OVERHANG_BOUND_MM,
    PIVOT_TO_SPINDLE_BOUND_MM,
    READING_BOUND_DEG,
    SEED,
    SETUP_BOUNDS,
    STYLUS_TO_SCREWS_MM,
)
from protractor.distortion import (
    DEFAULT_VELOCITY_CM_S,
    SIGNAL_RANGE_HZ,
    SLOPE_RANGE_DB_OCTAVE,
    VELOCITY_RANGE_CM_S,
)
from protractor.errors import InputError, shown
from protractor.objective import HELD as HELD_NAMES
from protractor.paper import CLEAR_RANGE_MM, PAPERS, PAPERS_ALLOWED, paper
from protractor.readings import DIRECTIONS, INSTRUMENTS, READING_RANGE_MM
from protractor.records import (
    RECORD_PRESETS,
    RECORD_SHORT_NAMES,
    RECORDED_RADIUS_RANGE_MM,
    SPEED_RANGE_RPM,
    SPEEDS_RPM,
    Record,
    record,
)
from protractor.schemes import SCHEME_NAMES

LENGTH_UNITS_MM = {
    **dict.fromkeys(("", "mm", "millimetre", "millimetres", "millimeter", "millimeters"), 1.0),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), 10.0),
    **dict.fromkeys(("in", "inch", "inches", '"', "″"), 25.4),
}

ANGLE_UNITS_DEG = dict.fromkeys(("", "deg", "degree", "degrees", "°"), 1.0)

_FRACTION_SIGNS = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
    "⅓": "1/3",
    "⅔": "2/3",
}
_DECIMAL = r"(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:e[+-]?[0-9]{1,3})?"
_QUANTITY = re.compile(
    rf"""\s*(?P<sign>[+-]?)\s*
    (?: (?:(?P<whole>[0-9]+)[\s-]+)? (?P<over>[0-9]+)\s*/\s*(?P<under>[0-9]+)
      | (?P<decimal>{_DECIMAL}) )
    \s*(?P<unit>[^\s0-9.,/+-]*)\s*""",
    re.VERBOSE | re.IGNORECASE,
)


def read_quantity(text: str) -> tuple[float, str] | None:
    """Number and unit that a user wrote, or None when it is no number with an optional unit.

    Takes decimals with a point or a comma (`8.74in`, `222,5 mm`) and fractions (`8 3/4 in`, `33⅓`).

    >>> read_quantity("8 3/4 in"), read_quantity("222,5"), read_quantity("nan")
    ((8.75, 'in'), (222.5, ''), None)
    """
    for sign, fraction in _FRACTION_SIGNS.items():
        text = text.replace(sign, f" {fraction}")
    match = _QUANTITY.fullmatch(text)
    if match is None or (match["under"] is not None and int(match["under"]) == 0):
        return None
    if match["decimal"] is not None:
        value = float(match["decimal"].replace(",", "."))
    else:
        value = int(match["whole"] or 0) + int(match["over"]) / int(match["under"])
    return (-value if match["sign"] == "-" else value), match["unit"].lower()


def near(word: str, words: Iterable[str]) -> str:
    """`did you mean X?` when one of `words` is near `word`, else `name one of these`."""
    import difflib

    close = difflib.get_close_matches(word.lower(), list(words), n=1, cutoff=0.5)
    return f"did you mean {close[0]}?" if close else "name one of these"


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One thing a user can give, with everything a face needs to ask for it and to read it.

    `low` and `high` bound a quantity in `unit`; `choices` are the words of a choice, `also` further
    spellings of them that are taken; `count` is how many values stand together; `longest` bounds a
    text in characters.
    """

    name: str
    kind: Literal["length", "number", "speed", "choice", "text", "paper", "play", "reading"]
    help: str
    unit: str = ""
    low: float = -math.inf
    high: float = math.inf
    default: str | None = None
    choices: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    count: int = 1
    longest: int = 0
    remedy: str = "mend it"

    @property
    def allowed(self) -> str:
        """What the input takes, in words."""
        span = f"{self.low:.12g} to {self.high:.12g} {self.unit}".strip()
        words = {
            "paper": PAPERS_ALLOWED,
            "choice": ", ".join((*self.also, *self.choices)),
            "text": f"up to {self.longest} printable characters",
            "reading": "RADIUS:DEGREES, as in 66.0:-0.5",
            "speed": ", ".join(SPEEDS_RPM) + f" or {span}",
            "play": "RECORD:SHARE or INNER-OUTER:SHARE, with @RPM before the colon if need be",
        }
        return words.get(self.kind, span)

    def read(self, text: str) -> Any:
        """The value of what a user wrote: mm for a length, a float for a number or a speed.

        A reading is a pair: radius in mm, and degrees. A paper is its name, a size in the form that
        `protractor.paper.paper` takes.

        Raises `InputError` when it cannot be read or is not allowed.
        """
        readers: dict[str, Callable[[str], Any]] = {
            "choice": self._read_choice,
            "paper": self._read_paper,
            "text": self._read_text,
            "reading": self._read_reading,
            "play": self._read_play,
        }
        if self.kind == "speed" and text.strip() in ("33", "33.3", "33.33", "33 1/3"):
            return SPEEDS_RPM["33 1/3"]
        return readers.get(self.kind, self._read_quantity)(text)

    def _read_choice(self, text: str) -> str:
        word = text.strip().lower()
        if word not in self.choices and word not in self.also:
            raise InputError(self.name, text, self.allowed, near(word, (*self.also, *self.choices)))
        return word

    def _read_paper(self, text: str) -> str:
        word = text.strip().lower().replace("×", "x")
        if word not in PAPERS and not any(c.isdigit() for c in word.partition("x")[2]):
            raise InputError(self.name, text, self.allowed, near(word, PAPERS))
        return paper(word).name

    def _read_text(self, text: str) -> str:
        if len(text) > self.longest:
            raise InputError(
                self.name, f"{len(text)} characters", self.allowed, "give a shorter one"
            )
        odd = next((c for c in text if unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp")), None)
        if odd is not None:
            raise InputError(
                self.name, f"a control character, U+{ord(odd):04X}", self.allowed, "leave it out"
            )
        return " ".join(text.split())

    def _read_reading(self, text: str) -> tuple[float, float]:
        radius, colon, angle = text.replace("°", "deg").partition(":")
        pair = read_quantity(radius), read_quantity(angle)
        if not colon or pair[0] is None or pair[1] is None:
            raise InputError(self.name, f"'{shown(text)}'", self.allowed, self.remedy)
        (length, unit), (degrees, angle_unit) = pair[0], pair[1]
        if unit not in LENGTH_UNITS_MM or angle_unit not in ("", "deg"):
            raise InputError(
                self.name,
                f"'{shown(text)}'",
                f"{self.allowed} (mm, cm or in; deg)",
                "mend the unit",
            )
        return length * LENGTH_UNITS_MM[unit], degrees

    def _read_play(self, text: str) -> tuple[Record, float]:
        """A record and its share of the playing time [1]."""
        what, colon, share_text = text.rpartition(":")
        share = read_quantity(share_text)
        if not colon or share is None or share[1] not in ("", "%"):
            raise InputError(self.name, f"'{shown(text)}'", self.allowed, self.remedy)
        what, at, speed = what.partition("@")
        rpm = RPM.read(speed) if at else None
        name = what.strip().lower()
        if name in RECORD_PRESETS or name in RECORD_SHORT_NAMES:
            return record(name, rpm=rpm), share[0] / 100
        for separator in re.finditer(r"\.\.|-", what):
            ends = what[: separator.start()], what[separator.end() :]
            if all(read_quantity(end) is not None for end in ends):
                inner, outer = INNER_RADIUS.read(ends[0]), OUTER_RADIUS.read(ends[1])
                own = record(inner_radius_mm=inner, outer_radius_mm=outer, rpm=rpm)
                return own, share[0] / 100
        raise InputError(
            self.name,
            f"'{shown(text)}'",
            self.allowed,
            near(name, (*RECORD_SHORT_NAMES, *RECORD_PRESETS)),
        )

    def _read_quantity(self, text: str) -> float:
        quantity = read_quantity(text)
        if quantity is None:
            raise InputError(self.name, f"'{shown(text)}'", self.allowed, "give a number")
        value, unit = quantity
        units = LENGTH_UNITS_MM if self.kind == "length" else {"": 1.0, self.unit: 1.0}
        if self.unit == "deg":
            units = ANGLE_UNITS_DEG
        if unit not in units:
            known = "mm, cm or in" if self.kind == "length" else self.unit or "no unit"
            raise InputError(
                self.name, f"'{shown(text)}'", f"{self.allowed} (units: {known})", "mend the unit"
            )
        value *= units[unit]
        slack = 1e-9 * min(abs(value), 1e9)
        if not self.low - slack <= value <= self.high + slack:
            raise InputError(self.name, f"'{shown(text)}'", self.allowed, self.remedy)
        return value


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
PROFILE_PAPER = replace(
    PAPER, default=None, help="Paper of the profile, when the printer has several."
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
INSTRUMENT = Input(
    name="instrument",
    kind="choice",
    choices=tuple(INSTRUMENTS),
    help="What you measured with.",
)
READING_UNCERTAINTY = Input(
    name="reading-uncertainty",
    kind="length",
    unit="mm",
    low=0.001,
    high=5.0,
    help="Standard deviation of one of your readings, in place of the instrument's usual one.",
    remedy="give about a third of the smallest step that you are sure of",
)
ACCURACY = Input(
    name="accuracy",
    kind="length",
    unit="mm",
    low=0.0,
    high=5.0,
    help="Largest error of your instrument itself, in place of the usual one.",
    remedy="its data sheet or certificate tells",
)
MARKS = Input(
    name="marks",
    kind="choice",
    choices=("ends", "150"),
    help="Marks you measured between: the ends of each line (A to C), or the first 150 mm (A to B)."
    " Default 150 with calipers, else ends.",
)
TRAY = Input(name="tray", kind="text", longest=40, help="Tray that the paper came from.")
ORIENTATION = Input(
    name="orientation",
    kind="choice",
    choices=("portrait", "landscape"),
    default="portrait",
    help="How the sheet ran through the printer: short edge first, or long edge first.",
)
DATE = Input(
    name="date",
    kind="text",
    longest=10,
    help="Day of the readings as year-month-day; it is printed on corrected sheets.",
)
BUDGET = Input(
    name="budget",
    kind="length",
    unit="mm",
    low=0.01,
    high=5.0,
    default="0.1",
    help="Largest length error that the print may have.",
    remedy="give a length error",
)
OVER = Input(
    name="over",
    kind="length",
    unit="mm",
    low=10.0,
    high=500.0,
    help="Distance that the budget holds over. Default inner null to outer null, 54.9 mm.",
    remedy="give a distance on the sheet",
)
LINE_INPUTS = {
    line: Input(
        name=line,
        kind="length",
        unit="mm",
        low=READING_RANGE_MM[0],
        high=READING_RANGE_MM[1],
        help=f"A reading of line {line.capitalize()}; give it three times.",
        remedy="give what you read on the sheet",
    )
    for line in DIRECTIONS
}
NOMINAL_INPUTS = {
    line: Input(
        name=f"{line}-nominal",
        kind="length",
        unit="mm",
        low=20.0,
        high=600.0,
        help=f"Printed length of line {line.capitalize()}, when it is not the usual sheet's.",
        remedy="give the length that is printed beside the line",
    )
    for line in DIRECTIONS
}
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

READING = Input(
    name="reading",
    kind="reading",
    unit="deg",
    help="Radius of a target and what its fan shows there: degrees, positive on the + side, where "
    "the cartridge stands clockwise of the grid seen from above. Give it once for each target.",
    remedy="write the target's radius, a colon, and the degrees",
)
READING_BOUND = Input(
    name="reading-bound",
    kind="number",
    unit="deg",
    low=0.01,
    high=FAN_RANGE_DEG,
    default=f"{READING_BOUND_DEG:g}",
    help="How far off a reading of the fan may be.",
    remedy="say how far off a reading may be at most",
)
OVERHANG = Input(
    name="overhang",
    kind="length",
    unit="mm",
    low=-60.0,
    high=60.0,
    help="What the overhang scale shows, if you read it too.",
    remedy="give what the scale shows where the tip touches the line",
)
OVERHANG_BOUND = Input(
    name="overhang-bound",
    kind="length",
    unit="mm",
    low=0.01,
    high=5.0,
    default=f"{OVERHANG_BOUND_MM:g}",
    help="How far off that reading may be.",
    remedy="say how far off the reading may be at most",
)
PIVOT_TO_SPINDLE_BOUND = Input(
    name="pivot-to-spindle-bound",
    kind="length",
    unit="mm",
    low=0.0,
    high=SETUP_BOUNDS["pivot_to_spindle_mm"][1],
    default=f"{PIVOT_TO_SPINDLE_BOUND_MM:g}",
    help="How far off the measured pivot to spindle may be.",
    remedy="say how far off the distance may be at most",
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
SLOT_ANGLE = Input(
    name="slot-angle",
    kind="number",
    unit="deg",
    low=-45.0,
    high=45.0,
    help="Angle of the slots to the line stylus to pivot; default the target's offset angle.",
    remedy="give degrees from the line stylus to pivot",
)
SLOT_ROOM = Input(
    name="slot-room",
    kind="length",
    unit="mm",
    low=0.0,
    high=40.0,
    count=2,
    help="How far the cartridge can still slide back, toward the pivot, and to the front.",
    remedy="measure what is left of the slots behind and before the screws",
)
TURN_ABOUT = Input(
    name="turn-about",
    kind="choice",
    choices=("stylus", "screws"),
    default="stylus",
    help="What stays in place while you turn the cartridge.",
)
STYLUS_TO_SCREWS = Input(
    name="stylus-to-screws",
    kind="length",
    unit="mm",
    low=0.0,
    high=30.0,
    default=f"{STYLUS_TO_SCREWS_MM:g}",
    help="Stylus tip ahead of the line through the screws, for --turn-about screws.",
    remedy="take it from the cartridge maker's drawing",
)
PIVOT_HEIGHT = Input(
    name="pivot-height",
    kind="length",
    unit="mm",
    low=0.0,
    high=100.0,
    default="0",
    help="Height of the pivot above the stylus.",
    remedy="measure from the record's surface up to the centre of the pivot's bearing",
)
RECORD_ABOVE_SHEET = Input(
    name="record-above-sheet",
    kind="length",
    unit="mm",
    low=0.0,
    high=10.0,
    default="1.8",
    help="How much higher a record's surface lies than the sheet; counts with --pivot-height.",
    remedy="measure a record's thickness less the sheet's",
)
PRINT_SCALE_BOUND, HOLE_PLAY_BOUND, AIM_BOUND, ARC_BOUND, GRID_BOUND, ZENITH_BOUND = (
    Input(
        name=f"{field.rpartition('_')[0].replace('_', '-')}-bound",
        kind="length" if unit == "mm" else "number",
        unit=unit,
        low=0.0,
        high=SETUP_BOUNDS[field][1],
        default=f"{SETUP_BOUNDS[field][0]:g}",
        help=text,
        remedy="say how far off this may be at most",
    )
    for field, unit, text in (
        ("print_scale_percent", "%", "How far off the print's scale may be, along either side."),
        ("hole_play_mm", "mm", "The sheet's hole less the spindle: diameters."),
        ("aim_mm", "mm", "How far beside the pivot's centre the sight line may point."),
        ("arc_mm", "mm", "How far off the stylus may stand when it seems to be on the arc."),
        ("grid_deg", "deg", "How far askew the cartridge may stand when it seems along the grid."),
        ("zenith_deg", "deg", "How far askew the stylus may stand in its cartridge."),
    )
)
DRAWS = Input(
    name="draws",
    kind="number",
    low=DRAWS_RANGE[0],
    high=DRAWS_RANGE[1],
    default=str(DEFAULT_DRAWS),
    help="Number of Monte Carlo draws.",
    remedy=f"{DEFAULT_DRAWS} settle the second digit",
)
SEED_INPUT = Input(
    name="seed",
    kind="number",
    low=0,
    high=2**32 - 1,
    default=str(SEED),
    help="Seed of the draws: the same seed gives the same result.",
    remedy="give a whole number",
)

START = Input(
    name="start",
    kind="length",
    unit="mm",
    low=0.0,
    high=420.0,
    default="0",
    help="Where the gauge's scale starts: 0 for the sheet with the spindle, 100 or more for a "
    "second sheet that is laid on the first.",
    remedy="take 190 for arms that are longer than an A4 or Letter sheet",
)

INPUTS = {
    declared.name: declared
    for declared in (*list(globals().values()), *LINE_INPUTS.values(), *NOMINAL_INPUTS.values())
    if isinstance(declared, Input)
}
"""Every declared input by its name."""
