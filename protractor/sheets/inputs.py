"""What a user can give of a sheet beside its deck: its kind, where a gauge starts, a board."""

from __future__ import annotations

from protractor.inputs.declaration import Input

SLOTS = Input(
    name="slots",
    group="Board",
    kind="length",
    unit="mm",
    low=0.0,
    high=40.0,
    default="6",
    help="Travel of the cartridge's screws in the headshell's slots, end to end; 0 for holes.",
    remedy="measure how far a screw slides from one end of its slot to the other",
)
MOUNT = Input(
    name="mount",
    group="Board",
    kind="length",
    unit="mm",
    low=2.0,
    high=120.0,
    help="Diameter of the hole for the arm's base, from the arm maker's drawing.",
    remedy="take it from the arm maker's drawing",
)
KIND = Input(
    name="kind",
    group="Sheet",
    kind="choice",
    choices=("arc", "two-null"),
    default="arc",
    help="Sheet for one deck with its stylus arc, or the two null points alone, which fit any deck "
    "and need no measurement.",
)
START = Input(
    name="start",
    group="Sheet",
    kind="length",
    unit="mm",
    low=0.0,
    high=420.0,
    default="0",
    help="Where the gauge's scale starts: 0 for the sheet with the spindle, 100 or more for a "
    "second sheet that is laid on the first.",
    remedy="take 190 for an arm that is longer than an A4 or Letter sheet reads",
)
