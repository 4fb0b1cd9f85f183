"""The calibration sheet: four long lines to measure, and the same sheet to verify a correction."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from shlex import quote

from protractor.drawing.shapes import (
    FINE,
    PLAIN,
    Label,
    Line,
    Page,
    Point,
    Shape,
    Stroke,
)
from protractor.drawing.type import SMALLEST_PT, width_mm, wrap
from protractor.errors import InputError
from protractor.printing.fit import COVERAGE_FACTOR
from protractor.printing.paper import Paper, larger
from protractor.printing.readings import DIRECTIONS, INSTRUMENTS, Measured
from protractor.sheets import frame, grid
from protractor.sheets.frame import Region
from protractor.sheets.steps import Step

NEAR_MM = 150.0
"""Second mark of each longer line: what ordinary calipers reach."""

LONGEST_BAR_MM = 290.0
LARGEST_UNIT_MM = 55
"""The diagonals are those of a rectangle of 3 by 4 units: with a vernier within a 300 mm rule."""

VERNIER_PITCH_MM = 0.9
"""Ten spaces over nine millimetres: a ruler's line meets the vernier's n-th at n tenths."""

LETTERS_REACH_MM = 9.6
"""How far the letters of a bar's marks reach to its left."""

NAMES = {"x": "X", "y": "Y", "rising": "rising", "falling": "falling"}
LETTERS = {"x": "X", "y": "Y", "rising": "R", "falling": "F"}
"""Names of the lines; their letters go before those of their marks: XA is where X begins."""

LETTER_PT = 9.0
"""Size of the letters of marks and of the names of lines."""

TABLE_ROW_MM, TABLE_NAMES_MM = 6.0, 15.0
TABLE_CELL_MM = (12.0, 17.0)
"""The table: height of a row, width of the column of names, least and greatest of a reading."""

CLEAR_MM = 5.0
"""Between words and the lines that run slantwise past them."""

COLUMN_WIDTHS_MM = (110.0, 100.0, 90.0, 80.0, 70.0, 60.0, 50.0)
"""Widths of the column of steps, the best first."""

COMMAND_PT, INDENT_MM = 9.0, 4.0
"""Size of commands, and how far their second lines stand in."""

COMMANDS_APART_MM, LEAST_BESIDE_MM = 0.8, 40
"""Between two commands; and the least width of what stands beside the crossing."""

BLANK = "__"
"""Where a command waits for a reading."""


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

    It stands upright, since its lines are those of the paper itself: X along the short edge, Y
    along the long one. `printer` is the name of the profile that is to be verified, `note` what is
    said about its correction; both empty on the sheet for recording. Raises `InputError` for too
    small a paper.
    """
    lines = _lines(paper)
    title = "Verification sheet" if printer else "Calibration sheet"
    return frame.page_on(
        paper,
        title=title,
        subject=f"{title}, {paper.label}" + (f", printer {printer}" if printer else ""),
        shapes=(
            *frame.bar(lines["x"].start, lines["x"].length, 0.0, ""),
            *frame.bar(lines["y"].start, lines["y"].length, math.pi / 2, ""),
            *(shape for name, line in lines.items() for shape in _marks(name, line)),
            *_words(lines, paper, title, printer, note),
        ),
        features={
            "x_bar": lines["x"].ends,
            "y_bar": lines["y"].ends,
            "rising": lines["rising"].ends,
            "falling": lines["falling"].ends,
            "card": None,
        },
    )


def _marks(name: str, line: _MeasuredLine) -> Iterator[Shape]:
    """The whole line with its marks A, B and C, its name, and a vernier beyond the last mark."""
    places = [0.0, NEAR_MM, line.length] if line.length > NEAR_MM else [0.0, line.length]
    letters = "ABC" if len(places) == 3 else "AC"
    is_bar = name in ("x", "y")
    if not is_bar:
        yield Line(line.start, line.at(line.length), Stroke(FINE))
    for letter, s in zip(letters, places, strict=True):
        lift = 7.0 if is_bar else 4.6
        yield Label(
            LETTERS[name] + letter,
            line.at(s, lift),
            LETTER_PT,
            "middle",
            bold=True,
            angle_rad=line.angle_rad,
        )
        if is_bar:
            # the bar has marks at its ends already
            if letter == "B":
                yield Line(line.at(s, 0), line.at(s, frame.BAR_END_MM), Stroke(PLAIN))
            continue
        yield Line(line.at(s, -2.8), line.at(s, 2.8), Stroke(PLAIN))
    yield from _vernier(line)
    if is_bar:
        yield Label(
            "mm", line.at(-2.5, frame.FIGURES_MM), SMALLEST_PT, "end", angle_rad=line.angle_rad
        )
        yield Label("inch", line.at(line.length + 2, -3), SMALLEST_PT, angle_rad=line.angle_rad)
        yield Label(
            NAMES[name],
            line.at(line.length + 11, -1),
            LETTER_PT,
            bold=True,
            angle_rad=line.angle_rad,
        )
        return
    letter = LETTERS[name]
    near = f"{letter}A to {letter}B {NEAR_MM:g}, " if len(places) == 3 else ""
    text = f"{NAMES[name]}: {near}{letter}A to {letter}C {line.length:g} mm"
    # in the triangle at the left; a correction turns a line by up to 1 mm over the label's length
    lift = 2.8 if name == "rising" else -5.4
    yield Label(text, line.at(5.0, lift), frame.NOTE_PT, angle_rad=line.angle_rad)


def _vernier(line: _MeasuredLine) -> Iterator[Shape]:
    """Ten spaces beyond the last mark, on the left of the line: the ruler lies on the right."""
    for n in range(11):
        s = line.length + n * VERNIER_PITCH_MM
        tick = frame.BAR_END_MM if n == 0 else 4.4 if n % 5 == 0 else 3.0
        if n:
            yield Line(line.at(s), line.at(s, tick), Stroke(FINE))
        if n in (5, 10):
            yield Label(str(n), line.at(s, 5.5), SMALLEST_PT, "middle", angle_rad=line.angle_rad)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cross:
    """Where the two slanting lines leave room for words [mm].

    They cross in `middle`; `floor` and `ceiling` bound the words.
    """

    middle: Point
    floor: float
    ceiling: float
    left: float
    right: float

    def half_width(self, y: float) -> float:
        """How far words at a height may reach from the middle: the lines rise 4 on 3."""
        return abs(y - self.middle[1]) * 0.75 - CLEAR_MM

    def height(self, half_width: float) -> float:
        """From the middle to where words of half this width are clear."""
        return (half_width + CLEAR_MM) / 0.75


def _words(
    lines: dict[str, _MeasuredLine], paper: Paper, title: str, printer: str, note: str
) -> list[Shape]:
    """Head and steps over the crossing, commands below it, tables to its left and right."""
    (left, low), length = lines["rising"].start, lines["rising"].length
    cross = _Cross(
        middle=(left + 0.3 * length, low + 0.4 * length),
        floor=lines["x"].start[1] + 12.5,
        ceiling=paper.top,
        left=left,
        right=left + 0.6 * length,
    )
    beside = [*_table(cross), *_beside(cross)]
    about = (frame.print_line(paper), note)
    for brief in (False, True):
        steps, commands = _steps(paper, printer, brief)
        foot = _commands(cross, commands)
        if foot is None:
            continue
        for size in grid.STEP_SIZES_PT:
            for width in COLUMN_WIDTHS_MM:
                placed = _column(cross, (title, about), steps, width, size, foot[1] + 2.5)
                if placed is not None:
                    return [*placed, *foot[0], *beside]
    raise frame.no_room(paper)


def _column(
    cross: _Cross,
    head: tuple[str, Sequence[str]],
    steps: list[Step],
    width: float,
    size_pt: float,
    floor: float,
) -> list[Shape] | None:
    """Head and steps in a column, open where the lines cross; None without room."""
    x, y = cross.middle
    left = x - width / 2
    reach = cross.height(width / 2)
    if width > cross.right - cross.left:
        return None
    shapes, low = grid.head(*head, (left, cross.ceiling), max(width, cross.right - 22.0 - left))
    over = Region(left=left, right=left + width, bottom=y + reach, top=low - 3.5)
    under = replace(over, bottom=floor, top=y - reach)
    count = len(steps)
    while count:
        first = grid.step_columns(steps[:count], over, 1, size_pt)
        if first is not None:
            shapes += first
            break
        count -= 1
    if count < len(steps):
        rest = grid.step_columns(steps[count:], under, 1, size_pt, count + 1)
        if rest is None or count == 0:
            return None
        shapes += rest
    return shapes


def _commands(cross: _Cross, commands: list[tuple[str, ...]]) -> tuple[list[Label], float] | None:
    """The commands at the foot of the sheet, and the y above them; None where there is no room.

    Each is on lines of its own, broken between options alone. They take the fewest lines that stay
    clear of the slanting ones.
    """
    step, (middle, _) = frame.leading_mm(COMMAND_PT), cross.middle
    for width in range(math.floor(cross.right - cross.left), 30, -2):
        rows: list[tuple[float, float, str]] = []
        y = cross.floor
        for command in reversed(commands):
            lines = _broken(command, float(width))
            for at in reversed(range(len(lines))):
                rows.append((y + 1.0, INDENT_MM if at else 0.0, lines[at]))
                y += step
            y += COMMANDS_APART_MM
        left = middle - cross.half_width(y)
        ends = [
            left + indent + width_mm(text, COMMAND_PT) - middle - cross.half_width(low + step)
            for low, indent, text in rows
        ]
        if left > cross.left and max(ends) <= 0:
            labels = [Label(text, (left + x, low), COMMAND_PT) for low, x, text in rows]
            return labels, y
    return None


def _broken(words: tuple[str, ...], width: float) -> list[str]:
    """The lines of a command no wider than this [mm], broken between its words."""
    lines: list[str] = []
    line = words[0]
    for word in words[1:]:
        room = width - (INDENT_MM if lines else 0.0)
        if width_mm(f"{line} {word}", COMMAND_PT) > room:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}"
    return [*lines, line]


def _table(cross: _Cross) -> list[Shape]:
    """A blank table for three readings of each line, left of the crossing; none without room."""
    rows = 1 + len(DIRECTIONS)
    high = rows * TABLE_ROW_MM
    left = cross.left + 2.0
    right = cross.middle[0] - high / 2 * 0.75 - CLEAR_MM
    cell = min(TABLE_CELL_MM[1], (right - left - TABLE_NAMES_MM) / 3)
    if cell < TABLE_CELL_MM[0]:
        return []
    low = cross.middle[1] - high / 2
    xs = [left, *(left + TABLE_NAMES_MM + n * cell for n in range(4))]
    ys = [low + TABLE_ROW_MM * n for n in range(rows + 1)]
    stroke = Stroke(FINE)
    shapes: list[Shape] = [Line((xs[0], y), (xs[-1], y), stroke) for y in ys]
    shapes += [Line((x, ys[0]), (x, ys[-1]), stroke) for x in xs]
    names = [*(NAMES[line] for line in reversed(DIRECTIONS)), "mm"]
    for n, name in enumerate(names):
        shapes.append(Label(name, (left + 1, ys[n] + 1.9), frame.NOTE_PT, bold=name != "mm"))
    for n in range(3):
        x = (xs[n + 1] + xs[n + 2]) / 2
        shapes.append(Label(str(n + 1), (x, ys[-2] + 1.9), frame.NOTE_PT, "middle"))
    return shapes


def _beside(cross: _Cross) -> list[Shape]:
    """How a ruler reads tenths, and what each instrument proves, right of the crossing.

    The first gives way where there is no room for both, then the second.
    """
    size, step = frame.NOTE_PT, frame.leading_mm(frame.NOTE_PT)
    proofs = [("Three readings prove", "± mm")]
    for instrument in INSTRUMENTS.values():
        mean = math.hypot(instrument.reading_mm / math.sqrt(3), instrument.shared_mm)
        proofs.append((instrument.label, f"{COVERAGE_FACTOR * mean:.2f}"))
    right = cross.right - 2.0
    for note in (VERNIER_NOTE, ""):
        for width in range(math.floor(right - cross.middle[0]), LEAST_BESIDE_MM, -1):
            lines = wrap(note, width, size)
            rows = [
                (line, value if at == 0 else "")
                for name, value in proofs
                for at, line in enumerate(wrap(name, width - 11.0, size, bold=True))
            ]
            high = (len(lines) + len(rows) + 2 * bool(lines)) * step
            if right - width >= cross.middle[0] + high / 2 * 0.75 + CLEAR_MM:
                return list(_set_beside(lines, rows, right - width, right, cross.middle[1]))
    return []


def _set_beside(
    lines: list[str], proofs: list[tuple[str, str]], left: float, right: float, middle: float
) -> Iterator[Label]:
    """The note and the list of proofs, about a height."""
    size, step = frame.NOTE_PT, frame.leading_mm(frame.NOTE_PT)
    y = middle + (len(lines) + len(proofs) + 2 * bool(lines)) / 2 * step + 0.8
    if lines:
        y -= step
        yield Label("Tenths with an ordinary ruler", (left, y), size, bold=True)
    for line in lines:
        y -= step
        yield Label(line, (left, y), size)
    y -= step if lines else 0.0
    for n, (name, value) in enumerate(proofs):
        y -= step
        yield Label(name, (left, y), size, bold=n == 0)
        if value:
            yield Label(value, (right, y), size, "end", bold=n == 0)


VERNIER_NOTE = (
    "Lay it along the line, on the side without the vernier, a whole centimetre on A. Count whole "
    "millimetres to C. The vernier line that meets a line of the ruler gives the tenths."
)


def _steps(paper: Paper, printer: str, brief: bool) -> tuple[list[Step], list[tuple[str, ...]]]:
    """The steps in the order of doing, and the commands, word by word as they may be broken.

    On a small paper (`brief`) the steps are fewer and the command's help stands for it.
    """
    near = any(len(marked) > 1 for marked in calibration_lengths(paper).values())
    verb = f"verify {quote(printer)}" if printer else "record NAME"
    afresh = (
        "Read each line three times. Every reading is a fresh start: lift the instrument away and "
        "lay it on again."
    )
    wait = Step(
        "Let the print lie open for an hour: paper fresh from a printer still changes size."
    )
    if brief:
        short = Step(
            "Measure the four lines from A to C, edge to same edge, three times. Lay the ruler on "
            "afresh each time."
        )
        ask = "verify" if printer else "record"
        return [Step("Let the print lie open for an hour."), short], [
            ("Type:", f"protractor printer {ask} --help"),
        ]
    where = "calipers from A to B, a rule or ruler from A to C" if near else "from mark A to mark C"
    steps = [
        wait,
        Step(
            f"Measure X, Y, rising and falling on a hard table: {where}. Go from one edge of a "
            "mark to the same edge of the other.",
        ),
        Step(afresh, "The three may differ: write down what you see, not what you saw."),
        Step(
            "Type the command for your instrument as one line"
            + ("" if printer else "; NAME is yours to choose")
            + ". READINGS stands for the twelve options with your figures."
        ),
    ]
    readings = [" ".join([f"--{line} {BLANK}"] * 3) for line in DIRECTIONS]
    commands = [
        ("READINGS:", *readings),
        *(
            (
                f"protractor printer {verb}",
                f"--paper {paper.name}",
                f"--instrument {instrument.name}",
                "READINGS",
            )
            for instrument in INSTRUMENTS.values()
        ),
    ]
    return steps, commands
