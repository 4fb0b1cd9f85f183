"""What a user can give about a used deck: readings, slots, heights and how sure each step is."""

from __future__ import annotations

from protractor.inputs.declaration import Input
from protractor.setup.bounds import (
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
    whole=True,
    low=DRAWS_RANGE[0],
    high=DRAWS_RANGE[1],
    default=str(DEFAULT_DRAWS),
    help="Number of Monte Carlo draws.",
    remedy=f"{DEFAULT_DRAWS} settle the second digit",
)
SEED_INPUT = Input(
    name="seed",
    kind="number",
    whole=True,
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
