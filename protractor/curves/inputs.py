"""What a user can give of a page of curves, and of the setting that it stands beside."""

from __future__ import annotations

from dataclasses import replace

from protractor.arms.inputs import OFFSET_ANGLE, OVERHANG, SCHEME
from protractor.inputs.declaration import Input

SCHEMES = replace(
    SCHEME, default=None, many=True, help="A scheme; repeat it for several. Default all."
)
NOW_OVERHANG = replace(
    OVERHANG, name="now-overhang", group="Deck", help="Overhang as the deck is set up now."
)
NOW_OFFSET = replace(
    OFFSET_ANGLE, name="now-offset", group="Deck", help="Offset angle as the deck is set up now."
)
SIDE_MINUTES = Input(
    name="side-minutes",
    group="Curves",
    kind="number",
    unit="min",
    low=0.5,
    high=120.0,
    help="Playing time of a side; default an estimate from the usual groove pitch.",
    remedy="give the minutes that the sleeve prints",
)
X_AXIS = Input(
    name="x-axis",
    group="Curves",
    kind="choice",
    choices=("radius", "time"),
    default="radius",
    help="What the curves run along: the radius, inner grooves at the left, or the time, the start "
    "of the side at the left. The other one is on a second axis below.",
)
