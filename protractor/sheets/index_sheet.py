"""The index of a batch: every deck with a small picture of its sheet and its numbers."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, overload

from protractor import __version__
from protractor.alignments.alignment import to_hundredth
from protractor.drawing.shapes import (
    BOLD,
    FINE,
    PLAIN,
    Arc,
    Circle,
    Label,
    Line,
    Page,
    Point,
    Shape,
    Stroke,
    bearing,
    polar,
)
from protractor.drawing.type import SMALLEST_PT, wrap
from protractor.printing.paper import PAPERS
from protractor.sheets import marks
from protractor.sheets.frame import TITLE_PT, clip, leading_mm, page_on
from protractor.sheets.names import RECORD_NAMES, scheme_name
from protractor.sheets.target import (
    FAN_LENGTH_MM,
    FAN_LIMIT_DEG,
    FOOT_MM,
    FRONT_LINE_MM,
    RAIL_REAR_MM,
)

PAPER = PAPERS["a4"]
COLUMNS, ROWS = 2, 4
PICTURE_WIDTH_MM, PICTURE_HEIGHT_MM = 62.0, 41.0
HEADER_MM = 12.0
NAME_PT = 9.0
MOST_LINES = 5
"""Lines of text under a picture, its name left out."""

DeckOutcome = Mapping[str, Any]
"""What became of one deck in a batch."""


class _IndexPages(Sequence[Page]):
    """The pages, each made when it is asked for: a thousand decks are not in memory at once."""

    def __init__(self, records: Sequence[DeckOutcome]) -> None:
        self.records = records

    def __len__(self) -> int:
        return max(1, math.ceil(len(self.records) / (COLUMNS * ROWS)))

    @overload
    def __getitem__(self, at: int) -> Page: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[Page]: ...
    def __getitem__(self, at: int | slice) -> Page | Sequence[Page]:
        if isinstance(at, slice):
            return [self[number] for number in range(*at.indices(len(self)))]
        if not 0 <= at < len(self):
            raise IndexError(at)
        return _page(self.records, at, len(self))


def index_pages(records: Sequence[DeckOutcome]) -> Sequence[Page]:
    """The pages of the index, for the records of a batch in the order given.

    A record holds `name`, `line`, `status`; `error` where it failed; `alignment`, `sheets` and
    `files` where it did not. The pictures are not to scale.
    """
    return _IndexPages(records)


def _page(records: Sequence[DeckOutcome], number: int, count: int) -> Page:
    first = number * COLUMNS * ROWS
    width = (PAPER.right - PAPER.left) / COLUMNS
    height = (PAPER.top - PAPER.bottom - HEADER_MM) / ROWS
    shapes = list(_header(records, number, count))
    for at, record in enumerate(records[first : first + COLUMNS * ROWS]):
        row, column = divmod(at, COLUMNS)
        corner = (PAPER.left + column * width, PAPER.top - HEADER_MM - (row + 1) * height)
        shapes += _cell(record, first + at + 1, corner, (width, height))
    return page_on(
        PAPER,
        title="Index of a batch",
        subject=f"Index of {len(records)} decks",
        shapes=shapes,
        features={},
    )


def _header(records: Sequence[DeckOutcome], number: int, count: int) -> Iterator[Shape]:
    failed = sum(record["status"] == "failed" for record in records)
    left, right, y = PAPER.left, PAPER.right, PAPER.top - 5.0
    yield Label("Index of a batch", (left, y), TITLE_PT, bold=True)
    count_line = f"{len(records)} decks, {failed} failed. Page {number + 1} of {count}"
    yield Label(count_line, (right, y), 9, "end")
    note = (
        "Pictures are not to scale: never measure from them. The arrow points to the pivot. "
        f"protractor {__version__}"
    )
    yield Label(note, (right, PAPER.bottom - 4.0), SMALLEST_PT, "end")
    yield Line((left, y - 3.0), (right, y - 3.0), Stroke(FINE))


def _cell(
    record: DeckOutcome, number: int, corner: Point, size: tuple[float, float]
) -> Iterator[Shape]:
    """One deck: its name, its picture, and its numbers below."""
    left, top = corner[0], corner[1] + size[1] - 1.0
    right = corner[0] + size[0] - 4.0
    title = f"{number}  {record['name'] or 'without a name'}"
    (name,) = clip(wrap(title, right - left, NAME_PT, bold=True), 1)
    y = top - leading_mm(NAME_PT)
    yield Label(name, (left, y + 1.0), NAME_PT, bold=True)
    high = y - 0.8
    sheet = next(iter(record.get("sheets", {}).values()), None)
    if record["status"] == "failed" or sheet is None:
        yield from _missing((left, high - PICTURE_HEIGHT_MM))
    else:
        scale = min(PICTURE_WIDTH_MM / sheet["width_mm"], PICTURE_HEIGHT_MM / sheet["height_mm"])
        corner = (left, high - scale * sheet["height_mm"])
        yield from _picture(record["alignment"], sheet, corner, scale)
    y = high - PICTURE_HEIGHT_MM - 0.8
    lines = [line for text in _lines(record) for line in wrap(text, right - left, SMALLEST_PT)]
    for line in clip(lines, MOST_LINES):
        y -= leading_mm(SMALLEST_PT)
        yield Label(line, (left, y), SMALLEST_PT)


def _lines(record: DeckOutcome) -> list[str]:
    """The numbers of a deck, or what went wrong."""
    if record["status"] == "failed":
        return [f"line {record['line']}: failed", record.get("error", "")]
    a = record["alignment"]
    played = a["record"]["name"]
    nulls = [to_hundredth(radius) for radius in a["null_radii_mm"] if radius is not None]
    papers = dict.fromkeys(
        "stock to cut"
        if sheet["paper"] == "stock"
        else PAPERS[sheet["paper"]].label
        if sheet["paper"] in PAPERS
        else sheet["paper"]
        for sheet in record["sheets"].values()
    )
    formats = dict.fromkeys(entry["format"] for entry in record["files"])
    return [
        f"pivot to spindle {to_hundredth(a['pivot_to_spindle_mm'])}, "
        f"length {to_hundredth(a['effective_length_mm'])}, "
        f"overhang {to_hundredth(a['overhang_mm'])} mm, offset {a['offset_angle_deg']:.2f}°",
        f"nulls {' and '.join(nulls)} mm" if nulls else "nulls none",
        f"{scheme_name(a['scheme'], exact=a['exact'])}, {RECORD_NAMES.get(played, played)}",
        f"{', '.join(record['sheets'])}: {', '.join(formats)}",
        f"{' and '.join(papers)}; line {record['line']}, {record['status']}",
    ]


def _missing(corner: Point) -> Iterator[Shape]:
    """An empty sheet with a diagonal: there is none."""
    far = corner[0] + PICTURE_WIDTH_MM, corner[1] + PICTURE_HEIGHT_MM
    yield from marks.rectangle(corner, far, Stroke(FINE))
    yield Line(corner, far, Stroke(FINE))


def _picture(
    a: Mapping[str, Any], sheet: DeckOutcome, corner: Point, scale: float
) -> Iterator[Shape]:
    """The main lines of a sheet, small: paper, proof of scale, arrow to the pivot, arc, targets."""

    def at(point: Sequence[float]) -> Point:
        return corner[0] + scale * point[0], corner[1] + scale * point[1]

    fine, plain = Stroke(FINE), Stroke(PLAIN)
    yield from marks.rectangle(at((0, 0)), at((sheet["width_mm"], sheet["height_mm"])), fine)
    features = sheet["features"]
    for name in ("x_bar", "y_bar"):
        if features.get(name):
            start, end = features[name]
            yield Line(at(start), at(end), fine)
    for name in ("card", "reference_square"):
        if features.get(name):
            yield from marks.rectangle(at(features[name][0]), at(features[name][1]), fine)
    spindle = features["spindle"]
    yield Circle(at(spindle), 0.8, plain)
    length = a["effective_length_mm"]
    pivot = (spindle[0] + a["pivot_to_spindle_mm"], spindle[1])
    tip = min(pivot[0], sheet["width_mm"] - 6.0), pivot[1]
    yield Line(at((spindle[0] + 8.0, spindle[1])), at(tip), plain)
    for side in (1, -1):
        yield Line(at((tip[0] - 8.0, tip[1] + side * 3.0)), at(tip), plain)
    if "null_inner" not in features:
        yield Circle(at(pivot), 0.8, plain)
        return
    # the sheet of a straight or limited arm has a single target
    nulls = [features[name] for name in ("null_inner", "null_outer") if features[name]]
    end = bearing(pivot, nulls[-1]) % (2 * math.pi) + 20.0 / length
    yield Arc(at(pivot), scale * length, math.pi - 9.0 / length, end, Stroke(BOLD))
    for null in nulls:
        across = bearing(spindle, null)
        front = across - math.pi / 2
        foot = polar(null, FOOT_MM, front)
        for origin, direction, low, high in (
            (null, front, -RAIL_REAR_MM, FOOT_MM),
            (null, across, -FRONT_LINE_MM, FRONT_LINE_MM),
            *(
                (foot, front + math.radians(side), 10.0, FAN_LENGTH_MM)
                for side in (-FAN_LIMIT_DEG, FAN_LIMIT_DEG)
            ),
        ):
            yield Line(at(polar(origin, low, direction)), at(polar(origin, high, direction)), fine)
