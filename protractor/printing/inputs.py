"""What a user can give of paper and printer: the sheet, its margin, who prints it."""

from __future__ import annotations

from protractor.inputs.declaration import ESSENTIALS, Input
from protractor.printing.paper import CLEAR_RANGE_MM, PAPERS, PAPERS_ALLOWED, paper
from protractor.printing.queues import QUEUE_ALLOWED, check_queue


def _read_paper(asked: Input, text: str) -> str:
    """A paper's name, or a size of the user's own in the form that `paper` takes."""
    word = asked.meant(text) or text.strip().lower().replace("×", "x")
    if word not in PAPERS and not any(c.isdigit() for c in word.partition("x")[2]):
        raise asked.refuse(text, asked.hint(word))
    return paper(word).name


PAPER = Input(
    name="paper",
    group=ESSENTIALS,
    kind="word",
    metavar="PAPER",
    allows=PAPERS_ALLOWED,
    reads=_read_paper,
    choices=tuple(PAPERS),
    means={"us letter": "letter", "us legal": "legal", "ledger": "tabloid", "din a4": "a4"},
    default="a4",
    help="Paper to print on.",
)
CLEAR_MARGIN = Input(
    name="clear-margin",
    group="Sheet",
    kind="length",
    unit="mm",
    low=CLEAR_RANGE_MM[0],
    high=CLEAR_RANGE_MM[1],
    help="White margin that your printer leaves, instead of 10 mm, and 15 mm at the bottom.",
    remedy="give what your printer leaves white at the edges",
)
QUEUE = Input(
    name="queue",
    kind="form",
    metavar="NAME",
    allows=QUEUE_ALLOWED,
    reads=lambda _, text: check_queue(text.strip()),
    help="Print queue of the system; lpstat -e lists them.",
)
PRINTER = Input(
    name="printer",
    group=ESSENTIALS,
    kind="text",
    longest=40,
    metavar="NAME",
    help="Correct the sheet for a printer that you have recorded; it is accurate on that one only.",
)
