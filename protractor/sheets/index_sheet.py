"""The index of a batch: every deck with a small picture of its sheet and its numbers."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, overload

from protractor import __version__
from protractor.alignments.alignment import to_hundredth
from protractor.drawing.shapes import (
    FINE,
    PLAIN,
    THINNEST,
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
from protractor.sheets.frame import TITLE_PT, leading_mm, page_on

PAPER = PAPERS["a4"]
COLUMNS, ROWS = 2, 5
PICTURE_WIDTH_MM, PICTURE_HEIGHT_MM = 33.0, 46.0
HEADER_MM = 12.0
NAME_PT = 9.0
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
    note = f"Pictures are not to scale: never measure from them. protractor {__version__}"
    yield Label(note, (right, PAPER.bottom - 4.0), SMALLEST_PT, "end")
    yield Line((left, y - 3.0), (right, y - 3.0), Stroke(FINE))


def _cell(
    record: DeckOutcome, number: int, corner: Point, size: tuple[float, float]
) -> Iterator[Shape]:
    """One deck: its picture at the left, its name and numbers at the right."""
    left, top = corner[0], corner[1] + size[1] - 3.0
    x, right = left + PICTURE_WIDTH_MM + 3.0, corner[0] + size[0] - 3.0
    sheet = next(iter(record.get("sheets", {}).values()), None)
    if record["status"] == "failed" or sheet is None:
        yield from _missing((left, top - PICTURE_HEIGHT_MM))
    else:
        scale = min(PICTURE_WIDTH_MM / sheet["width_mm"], PICTURE_HEIGHT_MM / sheet["height_mm"])
        corner = (left, top - scale * sheet["height_mm"])
        yield from _picture(record["alignment"], sheet, corner, scale)
    y = top
    title = f"{number}  {record['name'] or 'without a name'}"
    for line in wrap(title, right - x, NAME_PT, bold=True)[:2]:
        y -= leading_mm(NAME_PT)
        yield Label(line, (x, y + 1.0), NAME_PT, bold=True)
    for text in _lines(record):
        for line in wrap(text, right - x, SMALLEST_PT):
            y -= leading_mm(SMALLEST_PT)
            if y < corner[1] - 2.0 and y < top - PICTURE_HEIGHT_MM:
                return
            yield Label(line, (x, y), SMALLEST_PT)


def _lines(record: DeckOutcome) -> list[str]:
    """The numbers of a deck, or what went wrong."""
    if record["status"] == "failed":
        return [f"line {record['line']}: failed", record.get("error", "")]
    a = record["alignment"]
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
        f"length {to_hundredth(a['effective_length_mm'])} mm",
        f"overhang {to_hundredth(a['overhang_mm'])} mm, offset {a['offset_angle_deg']:.2f}°",
        f"nulls {' and '.join(nulls)} mm" if nulls else "nulls none",
        f"{a['scheme']}{', exact' if a['exact'] else ''}, {a['record']['name']}",
        f"{', '.join(record['sheets'])}: {', '.join(formats)}",
        f"{' and '.join(papers)}; line {record['line']}, {record['status']}",
    ]


def _missing(corner: Point) -> Iterator[Shape]:
    """An empty sheet with a diagonal: there is none."""
    far = corner[0] + PICTURE_WIDTH_MM, corner[1] + PICTURE_HEIGHT_MM
    yield from marks.rectangle(corner, far, Stroke(THINNEST))
    yield Line(corner, far, Stroke(THINNEST))


def _picture(
    a: Mapping[str, Any], sheet: DeckOutcome, corner: Point, scale: float
) -> Iterator[Shape]:
    """The main lines of a sheet, small: paper, bars, card, spindle, arc, targets with fans."""

    def at(point: Sequence[float]) -> Point:
        return corner[0] + scale * point[0], corner[1] + scale * point[1]

    fine, plain = Stroke(THINNEST), Stroke(PLAIN)
    yield from marks.rectangle(at((0, 0)), at((sheet["width_mm"], sheet["height_mm"])), fine)
    features = sheet["features"]
    for name in ("x_bar", "y_bar"):
        if features.get(name):
            start, end = features[name]
            yield Line(at(start), at(end), plain)
    for name in ("card", "reference_square"):
        if features.get(name):
            yield from marks.rectangle(at(features[name][0]), at(features[name][1]), fine)
    spindle = features["spindle"]
    yield Circle(at(spindle), 0.8, plain)
    length = a["effective_length_mm"]
    pivot = (spindle[0], spindle[1] + a["pivot_to_spindle_mm"])
    if "null_inner" not in features:
        yield Line(at(spindle), at(pivot), fine)
        yield Circle(at(pivot), 0.8, plain)
        return
    # the sheet of a straight or limited arm has a single target
    nulls = [features[name] for name in ("null_inner", "null_outer") if features[name]]
    end = bearing(pivot, nulls[-1]) + 20.0 / length
    start = -math.pi / 2 - 9.0 / length
    yield Arc(at(pivot), scale * length, start, end, plain)
    for null in nulls:
        across = bearing(spindle, null)
        front = across - math.pi / 2
        for direction, low, high in (
            (front, -marks.GRID_REAR_MM, marks.GRID_FRONT_MM),
            (across, -marks.WIDEST_GRID_MM, marks.WIDEST_GRID_MM),
            *(
                (front + math.radians(side), marks.FAN_FROM_MM, marks.FAN_TO_MM)
                for side in (-marks.FAN_LIMIT_DEG, marks.FAN_LIMIT_DEG)
            ),
        ):
            yield Line(at(polar(null, low, direction)), at(polar(null, high, direction)), fine)
