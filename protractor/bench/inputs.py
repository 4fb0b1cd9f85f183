"""What a user can give of files of decks: a deck by its name, the sheets and pace of a batch."""

from __future__ import annotations

from protractor.inputs.declaration import Input

SHEET = Input(
    name="sheet",
    kind="choice",
    choices=("template", "plate", "board"),
    many=True,
    help="A sheet to draw for every deck; may be given again. Default template and plate.",
)
PROCESSES = Input(
    name="processes",
    kind="number",
    low=1,
    high=64,
    help="How many decks are drawn at once. Default one a processor.",
    remedy="give a whole number",
)
DECK = Input(
    name="deck",
    group="Deck",
    kind="text",
    longest=80,
    metavar="NAME",
    help="A remembered deck, by its name (see protractor decks list). Options given besides take "
    "the place of its own figures, for this call.",
)
