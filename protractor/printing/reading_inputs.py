"""What a user can give of a printed sheet: readings, instrument, budget."""

from __future__ import annotations

from dataclasses import replace

from protractor.inputs.declaration import Input
from protractor.printing.inputs import PAPER
from protractor.printing.readings import DIRECTIONS, INSTRUMENTS, READING_RANGE_MM

PROFILE_PAPER = replace(
    PAPER, default=None, help="Paper of the profile, when the printer has several."
)
INSTRUMENT = Input(
    name="instrument",
    kind="choice",
    choices=tuple(INSTRUMENTS),
    means={
        "vernier calipers": "calipers",
        "vernier caliper": "calipers",
        "rule": "steel-rule",
    },
    asks={
        "vernier": "for vernier calipers write calipers, for an ordinary ruler with the vernier "
        "printed on the sheet printed-vernier"
    },
    help="What you measured with; printed-vernier is an ordinary ruler read by the sheet's own "
    "vernier.",
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
    remedy="take it from its data sheet or certificate",
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
        many=True,
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
