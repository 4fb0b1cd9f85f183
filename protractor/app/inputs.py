"""What a user can give of the page's server."""

from __future__ import annotations

from protractor.inputs.declaration import Input

PORT = Input(
    name="port",
    kind="number",
    whole=True,
    low=1024,
    high=65535,
    help="Port of the page's address on this machine. Default the same one each time, or a free "
    "one where that is taken.",
    remedy="name another port, or leave it out",
)

STEP = Input(
    name="step",
    kind="number",
    whole=True,
    low=1,
    high=99,
    help="Number of a step on the sheet's card.",
    remedy="go by the list of steps",
)
"""Which step a page is about."""

ADDRESS = Input(
    name="address",
    kind="text",
    longest=40,
    help="Which of this machine's addresses in local networks the phone or tablet can reach.",
)
"""Where the steps are shown to another device."""
FIND = Input(
    name="find",
    kind="text",
    longest=80,
    help="Part of a deck's name, scheme, paper, printer or notes.",
)
FROM = Input(
    name="from",
    kind="number",
    whole=True,
    low=1,
    high=1_000_000,
    default="1",
    help="The first deck of the page, counted from 1.",
    remedy="take 1 for the first",
)
PASTED = Input(
    name="decks",
    kind="text",
    longest=200_000,
    help="The text of a file of decks: TOML with [[deck]] over each deck, or CSV with a line of "
    "field names and one line a deck.",
)
SEMICOLONS = Input(
    name="semicolons",
    kind="flag",
    help="CSV with semicolons and decimal commas, for spreadsheets.",
)
