"""What a user can give of a batch: which sheets, and how many decks at once."""

from __future__ import annotations

from protractor.inputs.declaration import Input

SHEET = Input(
    name="sheet",
    kind="choice",
    choices=("template", "plate", "board"),
    many=True,
    help="A sheet to draw for every deck; may be said again. Default template and plate.",
)
PROCESSES = Input(
    name="processes",
    kind="number",
    low=1,
    high=64,
    help="How many decks are drawn at once. Default one a processor.",
    remedy="give a whole number",
)
