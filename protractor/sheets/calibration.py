"""The calibration sheet: four long lines to measure, and the same sheet to verify a correction."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from shlex import quote

from protractor.drawing.shapes import (
    FINE,
    PLAIN,
    THINNEST,
    Label,
    Line,
    Page,
    Point,
    Shape,
    Stroke,
)
from protractor.drawing.type import SMALLEST_PT
from protractor.errors import InputError
from protractor.printing.fit import COVERAGE_FACTOR
from protractor.printing.paper import Paper, larger
from protractor.printing.readings import DIRECTIONS, INSTRUMENTS, Measured
from protractor.sheets import frame
from protractor.sheets.frame import Card, Paragraph, Region

NEAR_MM = 150.0
"""Second mark of each longer line: what ordinary calipers reach."""

LONGEST_BAR_MM = 290.0
LARGEST_UNIT_MM = 55
"""The diagonals are those of a rectangle of 3 by 4 units: with a vernier within a 300 mm rule."""

WIDE_MM = 250.0
"""Diagonals of this length leave room for a card between them and for two columns of text."""

VERNIER_PITCH_MM = 0.9
"""Ten spaces over nine millimetres: a ruler's line meets the vernier's n-th at n tenths."""

LETTERS_REACH_MM = 9.6
"""How far the letters of a bar's marks reach to its left."""

NAMES = {"x": "X", "y": "Y", "rising": "Rising", "falling": "Falling"}

LETTER_PT = 9.0
"""Size of the letters of marks and of the names of lines."""

TABLE_ROW_MM, TABLE_NAMES_MM, TABLE_CELL_MM = 6.0, 15.0, 18.0
"""The table: height of a row, width of the column of names, and of a reading at the most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _MeasuredLine:
    """One line to be measured: where it starts, its direction, and how long it is [mm]."""

    start: Point
    along: Point
    length: float

    def at(self, s: float, t: float = 0.0) -> Point:
        """The point `s` along the line and `t` to its left [mm]."""
        (x, y), (a, b) = self.start, self.along
        return x + s * a - t * b, y + s * b + t * a

    @property
    def angle_rad(self) -> float:
        """Direction of the line [rad]."""
        return math.atan2(self.along[1], self.along[0])

    @property
    def ends(self) -> list[list[float]]:
        """Both ends [mm]."""
        return [list(self.start), list(self.at(self.length))]


def calibration_lengths(paper: Paper) -> dict[str, tuple[float, ...]]:
    """Nominal lengths of each line on the sheet for a paper, first mark to the last [mm].

    Each is (150, whole length), or the whole length alone where that is not over 150 mm. Raises
    `InputError` when the paper is too small.

    >>> from protractor.printing.paper import PAPERS
    >>> calibration_lengths(PAPERS["a4"])["rising"]
    (150.0, 265.0)
    """
    return {
        name: (NEAR_MM, line.length) if line.length > NEAR_MM else (line.length,)
        for name, line in _lines(paper).items()
    }


def read_lines(
    paper: Paper,
    marks_measured: str,
    readings_mm: Mapping[str, Sequence[float]],
    nominal_mm: Mapping[str, float | None],
) -> list[Measured]:
    """The readings of each line beside its nominal length, for `printing.fit.fit`.

    Args:
        paper: what the sheet is printed on.
        marks_measured: `ends` for the whole lines, `150` for the mark at 150 mm where there is one.
        readings_mm: what was read, by line; lines without readings are left out [mm].
        nominal_mm: lengths that differ from the sheet's, by line; None where they do not [mm].

    Raises:
        InputError: when the paper is too small for the sheet and a nominal length is missing.
    """
    measured = []
    for line in DIRECTIONS:
        if not readings_mm.get(line):
            continue
        nominal = nominal_mm.get(line)
        if nominal is None:
            nominal = calibration_lengths(paper)[line][0 if marks_measured == "150" else -1]
        measured.append(
            Measured(line=line, nominal_mm=nominal, readings_mm=tuple(readings_mm[line]))
        )
    return measured


def _lines(paper: Paper) -> dict[str, _MeasuredLine]:
    """The four lines on the page."""
    wide, high = paper.right - paper.left, paper.top - paper.bottom
    x = min(LONGEST_BAR_MM, math.floor((wide - 30) / 10) * 10)
    y = min(LONGEST_BAR_MM, math.floor((high - 31.4) / 10) * 10)
    unit = min(LARGEST_UNIT_MM, math.floor(min((wide - 30.6) / 3, (high - 36.2) / 4) + 1e-9))
    if unit < 50:
        unit -= unit % 5
    if unit < 30:
        wide, high = paper.width_mm - wide + 120.6, paper.height_mm - high + 156.2
        raise InputError(
            "paper",
            paper.label,
            f"a sheet of at least {math.ceil(wide)} x {math.ceil(high)} mm, with these margins, "
            "for the lines to be measured",
            larger(lambda known: known.width_mm >= wide and known.height_mm >= high),
        )
    left, right = paper.left + 18.7, paper.right - 11.9
    centre = (left + right) / 2
    low, high = paper.bottom + 23.5, paper.bottom + 23.5 + 4 * unit
    bar_y = paper.bottom + frame.BAR_REACH_MM
    starts = {
        "x": (paper.left + 16, bar_y),
        "y": (paper.left + LETTERS_REACH_MM, bar_y + 12),
        "rising": (centre - 1.5 * unit, low),
        "falling": (centre - 1.5 * unit, high),
    }
    lengths = {"x": x, "y": y, "rising": 5 * unit, "falling": 5 * unit}
    return {
        name: _MeasuredLine(start=starts[name], along=DIRECTIONS[name], length=float(lengths[name]))
        for name in DIRECTIONS
    }


def calibration_page(paper: Paper, printer: str = "", note: str = "") -> Page:
    """The sheet whose four lines are measured: to record a printer, or to verify its correction.

    `printer` is the name of the profile that is to be verified, `note` what is said about its
    correction; both empty on the sheet for recording. Raises `InputError` for too small a paper.
    """
    lines = _lines(paper)
    title = "Verification sheet" if printer else "Calibration sheet"
    head = _head(lines, paper, title, note)
    text, card = _text(lines, paper, printer, head)
    return frame.page_on(
        paper,
        title=title,
        subject=f"{title}, {paper.label}" + (f", printer {printer}" if printer else ""),
        shapes=(
            *frame.bar(lines["x"].start, lines["x"].length, 0.0, ""),
            *frame.bar(lines["y"].start, lines["y"].length, math.pi / 2, ""),
            *(shape for name, line in lines.items() for shape in _marks(name, line)),
            *head,
            *text,
        ),
        features={
            "x_bar": lines["x"].ends,
            "y_bar": lines["y"].ends,
            "rising": lines["rising"].ends,
            "falling": lines["falling"].ends,
            "card": card.feature if card else None,
        },
    )


def _marks(name: str, line: _MeasuredLine) -> Iterator[Shape]:
    """The marks A, B and C of a line with its name, a vernier beyond the last, and guides."""
    places = [0.0, NEAR_MM, line.length] if line.length > NEAR_MM else [0.0, line.length]
    letters = "ABC" if len(places) == 3 else "AC"
    is_bar = name in ("x", "y")
    for letter, s in zip(letters, places, strict=True):
        lift = 7.0 if is_bar else 4.6
        yield Label(
            letter, line.at(s, lift), LETTER_PT, "middle", bold=True, angle_rad=line.angle_rad
        )
        if is_bar:
            # the bar has marks at its ends already
            if letter == "B":
                yield Line(line.at(s, 0), line.at(s, frame.BAR_END_MM), Stroke(PLAIN))
            continue
        yield Line(line.at(s, -2.8), line.at(s, 2.8), Stroke(FINE))
        reach = 22.0 if s in (0.0, line.length) else 10.0
        before, after = max(0.0, s - reach), min(line.length, s + reach)
        yield Line(line.at(before), line.at(after), Stroke(THINNEST))
    yield from _vernier(line)
    if is_bar:
        yield Label(
            "mm", line.at(-2.5, frame.FIGURES_MM), SMALLEST_PT, "end", angle_rad=line.angle_rad
        )
        yield Label("inch", line.at(line.length + 2, -3), SMALLEST_PT, angle_rad=line.angle_rad)
        name_at = line.at(line.length + 11, -1)
    else:
        near = f"A to B {NEAR_MM:g}, " if line.length >= WIDE_MM else ""
        whole = f"{near}A to C {line.length:g} mm"
        yield Label(whole, line.at(4.5, -3.8), SMALLEST_PT, angle_rad=line.angle_rad)
        name_at = line.at(4.5, 1.4)
    yield Label(NAMES[name], name_at, LETTER_PT, bold=True, angle_rad=line.angle_rad)


def _vernier(line: _MeasuredLine) -> Iterator[Shape]:
    """Ten spaces beyond the last mark, on the left of the line: the ruler lies on the right."""
    for n in range(11):
        s = line.length + n * VERNIER_PITCH_MM
        tick = frame.BAR_END_MM if n == 0 else 4.4 if n % 5 == 0 else 3.0
        if n:
            yield Line(line.at(s), line.at(s, tick), Stroke(THINNEST))
        if n in (5, 10):
            yield Label(str(n), line.at(s, 5.5), SMALLEST_PT, "middle", angle_rad=line.angle_rad)


def _text(
    lines: dict[str, _MeasuredLine], paper: Paper, printer: str, head: list[Label]
) -> tuple[list[Shape], Card | None]:
    """Steps, table of readings and card; and the card, None when left out."""
    left, low = lines["rising"].start
    table, table_top = _table(left + 30, left + 0.6 * lines["rising"].length - 15, low + 1)
    below_head = min(label.at[1] for label in head) - 3.5
    regions = _regions(lines, paper, below_head, table_top)
    texts = [list(_steps(paper, printer, proof)) for proof in (True, False)]
    text = frame.flow_largest(texts, regions, frame.SMALL_SIZES_PT)
    if text is None:
        raise frame.no_room(paper)
    if lines["rising"].length < WIDE_MM:
        return [*table, *text], None
    card = Card.standing_on((left + 2, low + 33))
    return [*table, *text, *card.outline(), *card.note()], card


def _regions(
    lines: dict[str, _MeasuredLine], paper: Paper, below_head: float, table_top: float
) -> list[Region]:
    """The free boxes over, between and beside the diagonals, in the order of reading."""
    rising = lines["rising"]
    (left, low), top = rising.start, lines["falling"].start[1]
    right = left + 0.6 * rising.length
    inner = rising.at(NEAR_MM)[0] if rising.length > NEAR_MM else math.inf
    if rising.length >= WIDE_MM:
        boxes = (
            (left + 26, right - 18, top - 31, below_head),
            (left + 3, inner - 14, low + 44 + frame.CARD_HEIGHT_MM, top - 33),
            (inner + 15, right - 2, low + 26, top - 33),
        )
    else:
        boxes = (
            (left + 1, paper.right, top + 14, below_head),
            (left + 18, min(right - 15, inner - 9), top - 20, min(top - 1, below_head)),
            (left + 1, min(right, inner - 14), table_top + 4, top - 22),
        )
    return [
        Region(left=left, right=right, bottom=bottom, top=top) for left, right, bottom, top in boxes
    ]


def _head(lines: dict[str, _MeasuredLine], paper: Paper, title: str, note: str) -> list[Label]:
    """Title, paper and what is said about a correction: over the diagonals where there is room."""
    (left, top), length = lines["falling"].start, lines["falling"].length
    right = left + 0.6 * length
    y = paper.top
    if paper.top - top < 30 or length >= WIDE_MM:
        left, right, y = left + 26, right - 18, min(paper.top, top + 12)
    heading, y = frame.set_lines([title], (left, y), frame.TITLE_PT, bold=True)
    about = [frame.print_line(paper), note]
    labels, _ = frame.set_lines(about, (left, y), frame.NOTE_PT, width=right - left)
    return [*heading, *labels]


def _table(left: float, right: float, low: float) -> tuple[list[Shape], float]:
    """A blank table for three readings of each line; and the y of its upper edge."""
    cell = min(TABLE_CELL_MM, (right - left - TABLE_NAMES_MM) / 3)
    columns = [left, *(left + TABLE_NAMES_MM + n * cell for n in range(4))]
    rows = [low + TABLE_ROW_MM * n for n in range(6)]
    shapes: list[Shape] = [Line((columns[0], y), (columns[-1], y), Stroke(THINNEST)) for y in rows]
    shapes += [Line((x, rows[0]), (x, rows[-1]), Stroke(THINNEST)) for x in columns]
    for n, name in enumerate(("Falling", "Rising", "Y", "X", "mm")):
        shapes.append(Label(name, (left + 1, rows[n] + 1.9), frame.NOTE_PT, bold=name != "mm"))
    for n in range(3):
        x = (columns[n + 1] + columns[n + 2]) / 2
        shapes.append(Label(str(n + 1), (x, rows[4] + 1.9), frame.NOTE_PT, "middle"))
    return shapes, rows[-1]


def _steps(paper: Paper, printer: str, proof: bool) -> Iterator[Paragraph]:
    """The steps in the order of doing; with `proof`, what each instrument can prove."""
    lengths = calibration_lengths(paper)
    first = lengths["x"][0]
    readings = f"--paper {paper.name} --instrument calipers" + "".join(
        f" --x {first - off:.1f}" for off in (0.2, 0.1, 0.2)
    )
    where = (
        "with a rule from mark A to C, with calipers from A to B where there is a B"
        if any(len(marked) > 1 for marked in lengths.values())
        else "from mark A to C"
    )
    texts = [
        "Print at 100 % (actual size), borderless off, on one side. Let the sheet lie open for an "
        "hour: fresh from the printer, paper is not yet its own size.",
        f"On a flat, hard table measure the four lines X, Y, Rising and Falling: {where}. Go from "
        "one edge of a mark to the same edge of the other: then their width does not count.",
        "An ordinary ruler: lay it along the line, on the side without the vernier, a whole "
        "centimetre on A. Count the millimetres to C. The vernier's line that meets a line of the "
        "ruler gives the tenths.",
        "Read each line three times, laid on afresh each time, and write it in the table.",
    ]
    if printer:
        texts.append(
            f"Type: protractor printer verify {quote(printer)} {readings}, then --y, --rising and "
            "--falling in the same way. It tells whether sheets for this printer are true."
        )
    else:
        texts += [
            f"Type: protractor printer record NAME {readings}, then --y, --rising and --falling "
            "in the same way. NAME is yours to choose.",
            f"Prove it: protractor printer sheet --printer NAME --paper {paper.name}. From then on "
            "give --printer NAME with every sheet.",
        ]
    yield from frame.in_order(texts)
    if not proof:
        return
    proofs = []
    for instrument in INSTRUMENTS.values():
        mean = math.hypot(instrument.reading_mm / math.sqrt(3), instrument.shared_mm)
        proofs.append(f"{instrument.label} ±{COVERAGE_FACTOR * mean:.2f} mm")
    yield Paragraph(
        heading="What an instrument can prove",
        text=f"Three readings of one line, in about 95 of 100 cases: {', '.join(proofs)}. "
        "The longer the line, the less that matters. Another paper or tray runs differently: a "
        "sheet for each.",
    )
