"""The calibration sheet: four long lines to measure, and the same sheet to verify a correction."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from shlex import quote

from protractor import __version__
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
from protractor.drawing.type import SMALLEST_PT, wrap
from protractor.errors import InputError
from protractor.printing.fit import COVERAGE_FACTOR
from protractor.printing.paper import Paper, larger
from protractor.printing.readings import DIRECTIONS, INSTRUMENTS, Measured
from protractor.sheets import marks
from protractor.sheets.marks import Paragraph, Region
from protractor.sheets.wording import CARD_TEXT

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

TEXT_SIZES_PT = (9.0, 8.5, 8.0, 7.5, SMALLEST_PT)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ruled:
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


def _lines(paper: Paper) -> dict[str, _Ruled]:
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
    bar_y = paper.bottom + marks.BAR_REACH_MM
    starts = {
        "x": (paper.left + 16, bar_y),
        "y": (paper.left + LETTERS_REACH_MM, bar_y + 12),
        "rising": (centre - 1.5 * unit, low),
        "falling": (centre - 1.5 * unit, high),
    }
    lengths = {"x": x, "y": y, "rising": 5 * unit, "falling": 5 * unit}
    return {
        name: _Ruled(start=starts[name], along=DIRECTIONS[name], length=float(lengths[name]))
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
    return Page(
        title=title,
        subject=f"{title}, {paper.label}" + (f", printer {printer}" if printer else ""),
        paper=paper.name,
        width_mm=paper.width_mm,
        height_mm=paper.height_mm,
        shapes=(
            *marks.bar(lines["x"].start, lines["x"].length, 0.0, ""),
            *marks.bar(lines["y"].start, lines["y"].length, math.pi / 2, ""),
            *(shape for name, line in lines.items() for shape in _marks(name, line)),
            *head,
            *text,
        ),
        features={
            "x_bar": lines["x"].ends,
            "y_bar": lines["y"].ends,
            "rising": lines["rising"].ends,
            "falling": lines["falling"].ends,
            "card": card,
        },
    )


def _marks(name: str, line: _Ruled) -> Iterator[Shape]:
    """The marks A, B and C of a line with its name, a vernier beyond the last, and guides."""
    places = [0.0, NEAR_MM, line.length] if line.length > NEAR_MM else [0.0, line.length]
    letters = "ABC" if len(places) == 3 else "AC"
    bar = name in ("x", "y")
    for letter, s in zip(letters, places, strict=True):
        lift = 7.0 if bar else 4.6
        yield Label(letter, line.at(s, lift), 9, "middle", bold=True, angle_rad=line.angle_rad)
        if bar:
            # the bar has marks at its ends already
            if letter == "B":
                yield Line(line.at(s, 0), line.at(s, 3.2), Stroke(PLAIN))
            continue
        yield Line(line.at(s, -2.8), line.at(s, 2.8), Stroke(FINE))
        reach = 22.0 if s in (0.0, line.length) else 10.0
        before, after = max(0.0, s - reach), min(line.length, s + reach)
        yield Line(line.at(before), line.at(after), Stroke(THINNEST))
    yield from _vernier(line)
    if bar:
        yield Label("mm", line.at(-2.5, 4.1), SMALLEST_PT, "end", angle_rad=line.angle_rad)
        yield Label("inch", line.at(line.length + 2, -3), SMALLEST_PT, angle_rad=line.angle_rad)
        name_at = line.at(line.length + 11, -1)
    else:
        near = f"A to B {NEAR_MM:g}, " if line.length >= WIDE_MM else ""
        whole = f"{near}A to C {line.length:g} mm"
        yield Label(whole, line.at(4.5, -3.8), SMALLEST_PT, angle_rad=line.angle_rad)
        name_at = line.at(4.5, 1.4)
    yield Label(NAMES[name], name_at, 9, bold=True, angle_rad=line.angle_rad)


def _vernier(line: _Ruled) -> Iterator[Shape]:
    """Ten spaces beyond the last mark, on the left of the line: the ruler lies on the right."""
    for n in range(11):
        s = line.length + n * VERNIER_PITCH_MM
        tick = 3.2 if n == 0 else 4.4 if n % 5 == 0 else 3.0
        if n:
            yield Line(line.at(s), line.at(s, tick), Stroke(THINNEST))
        if n in (5, 10):
            yield Label(str(n), line.at(s, 5.5), SMALLEST_PT, "middle", angle_rad=line.angle_rad)


def _text(
    lines: dict[str, _Ruled], paper: Paper, printer: str, head: list[Label]
) -> tuple[list[Shape], list[list[float]] | None]:
    """Steps, table of readings and card outline; and the card's corners, None when left out."""
    (left, low), top = lines["rising"].start, lines["falling"].start[1]
    right = left + 0.6 * lines["rising"].length
    below_head = min(label.at[1] for label in head) - 3.5
    table, table_top = _table(left + 30, right - 15, low + 1)
    wide = lines["rising"].length >= WIDE_MM
    card = (left + 2, low + 33) if wide else None
    inner = lines["rising"].at(NEAR_MM)[0] if lines["rising"].length > NEAR_MM else math.inf
    if wide:
        regions = [
            Region(left=left + 26, right=right - 18, bottom=top - 31, top=below_head),
            Region(
                left=left + 3,
                right=inner - 14,
                bottom=low + 44 + marks.CARD_HEIGHT_MM,
                top=top - 33,
            ),
            Region(left=inner + 15, right=right - 2, bottom=low + 26, top=top - 33),
        ]
    else:
        regions = [
            Region(left=left + 1, right=paper.right, bottom=top + 14, top=below_head),
            Region(
                left=left + 18,
                right=min(right - 15, inner - 9),
                bottom=top - 20,
                top=min(top - 1, below_head),
            ),
            Region(left=left + 1, right=min(right, inner - 14), bottom=table_top + 4, top=top - 22),
        ]
    for size, proof in ((size, proof) for proof in (True, False) for size in TEXT_SIZES_PT):
        text = marks.flow(_steps(paper, printer, proof), regions, size)
        if text is None:
            continue
        if card is None:
            return [*table, *text], None
        x, y = card
        far = (x + marks.CARD_WIDTH_MM, y + marks.CARD_HEIGHT_MM)
        words = marks.flow(
            [Paragraph(text=CARD_TEXT)],
            [Region(left=x + 6, right=far[0] - 6, bottom=y + 20, top=far[1] - 6)],
            8.0,
        )
        return [*table, *text, *marks.card(card), *(words or [])], [list(card), list(far)]
    raise InputError("paper", paper.label, "a sheet with room for the steps", "take a larger one")


def _head(lines: dict[str, _Ruled], paper: Paper, title: str, note: str) -> list[Label]:
    """Title, paper and what is said about a correction: over the diagonals where there is room."""
    (left, top), length = lines["falling"].start, lines["falling"].length
    right = left + 0.6 * length
    y = paper.top
    if paper.top - top < 30 or length >= WIDE_MM:
        left, right, y = left + 26, right - 18, min(paper.top, top + 12)
    rows = [(title, 14.0, True)]
    for text in (
        f"{paper.label}. Print at 100 % (actual size), borderless off. protractor {__version__}",
        note,
    ):
        rows += [(row, 8.0, False) for row in wrap(text, right - left, 8)]
    labels = []
    for text, size, bold in rows:
        y -= marks.leading_mm(size)
        labels.append(Label(text, (left, y), size, bold=bold))
    return labels


def _table(left: float, right: float, low: float) -> tuple[list[Shape], float]:
    """A blank table for three readings of each line; and the y of its upper edge."""
    cell = min(18.0, (right - left - 15) / 3)
    columns = [left, *(left + 15 + n * cell for n in range(4))]
    rows = [low + 6.0 * n for n in range(6)]
    shapes: list[Shape] = [Line((columns[0], y), (columns[-1], y), Stroke(THINNEST)) for y in rows]
    shapes += [Line((x, rows[0]), (x, rows[-1]), Stroke(THINNEST)) for x in columns]
    for n, name in enumerate(("Falling", "Rising", "Y", "X", "mm")):
        shapes.append(Label(name, (columns[0] + 1, rows[n] + 1.9), 8, bold=name != "mm"))
    for n in range(3):
        x = (columns[n + 1] + columns[n + 2]) / 2
        shapes.append(Label(str(n + 1), (x, rows[4] + 1.9), 8, "middle"))
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
    for number, text in enumerate(texts, start=1):
        yield Paragraph(text=text, mark=str(number), heading="In this order" if number == 1 else "")
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
