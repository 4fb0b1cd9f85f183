"""The page of curves: tracking error, weighted error and distortion along a side, scheme by scheme.

Drawn by matplotlib, which loads only here. Curves differ by line style and bear their names at
their ends; the one accent is for the present setting.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from protractor import __version__
from protractor.alignments.alignment import to_hundredth
from protractor.alignments.comparison import Comparison
from protractor.arms.arm import ERROR_SIGN
from protractor.curves.panels import LINE_MM, TEXT_PT, draw_panels, write
from protractor.curves.side import SideAxis, side_axis
from protractor.drawing.surroundings import undisturbed
from protractor.drawing.type import printable, wrap
from protractor.errors import InputError
from protractor.printing.paper import Paper

if TYPE_CHECKING:
    from matplotlib.figure import Figure

TITLE_PT = 14.0

SMALLEST_MM = (190.0, 250.0)
"""On smaller paper the names of the curves run into each other."""

COLUMNS_MM = {
    "overhang": 40.0,
    "offset": 56.0,
    "null radii": 93.0,
    "tracking error: peak": 128.0,
    "second harmonic: peak": 166.0,
    "rms": 184.0,
}
"""The columns of the table, and where each ends from the left edge of the clear area."""

READING = (
    f"How to read it. In these curves {ERROR_SIGN}. Where a curve crosses zero (rings), the "
    "cartridge points exactly along the groove. Distortion follows error over radius: the same "
    "error costs more further in. The lower a curve stays in the lowest panel, the less second "
    "harmonic its scheme leaves; how much of that can be heard, these curves do not say."
)

WRAPPED = 0.97
"""Share of a line's room that is filled: the plotting library sets letters a little wider."""


SETTINGS: dict[Any, Any] = {
    "axes.unicode_minus": False,
    "text.parse_math": False,
    "text.hinting": "none",
    "pdf.fonttype": 42,
    "svg.fonttype": "path",
    "svg.hashsalt": "protractor",
}
"""What the plotting library is set to: the house's typeface, and the same bytes each time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Curves:
    """One portrait page with three panels of curves; a notebook shows it.

    The curves run along `axis`; `title` is the heading.
    """

    comparison: Comparison
    paper: Paper
    axis: SideAxis
    title: str

    @property
    def formats(self) -> tuple[str, ...]:
        """The formats that `file_bytes` knows."""
        return "pdf", "svg", "png"

    def file_bytes(self, file_format: str) -> bytes:
        """The page as a file of one of its `formats`, without dates: same inputs, same bytes."""

        def draw(figure: Figure) -> None:
            top = _heading(figure, self.comparison, self.paper, self.title)
            bottom = _reading(figure, self.comparison, self.paper)
            draw_panels(figure, self.comparison, self.paper, self.axis, bottom, top)

        return figure_bytes(self.paper, self.title, draw, file_format)

    def _repr_svg_(self) -> str:
        """The page as a notebook shows it."""
        return self.file_bytes("svg").decode("utf-8")


def curve_page(
    comparison: Comparison,
    *,
    paper: Paper,
    title: str = "",
    by_time: bool = False,
    minutes: float | None = None,
) -> Curves:
    """The page of curves of a comparison.

    `by_time` lets the curves run along the minutes of the first row's record instead of the
    radius; `minutes` takes the place of the estimate of that side's length [min]. Raises
    `InputError` for a paper on which three panels cannot be read.
    """
    if paper.width_mm < SMALLEST_MM[0] or paper.height_mm < SMALLEST_MM[1]:
        raise InputError(
            "paper",
            paper.label,
            f"a sheet of at least {SMALLEST_MM[0]:g} x {SMALLEST_MM[1]:g} mm for the curves",
            "take A4 or Letter",
        )
    axis = side_axis(comparison, by_time, minutes)
    heading = printable(title) or "Alignment schemes compared"
    return Curves(comparison=comparison, paper=paper, axis=axis, title=heading)


def figure_bytes(
    paper: Paper, title: str, draw: Callable[[Figure], None], file_format: str
) -> bytes:
    """A page that `draw` fills as a file: pdf, svg or png, without dates."""
    with undisturbed("MATPLOTLIBRC"):
        import matplotlib as mpl
        from matplotlib.figure import Figure

    creator = f"protractor {__version__}"
    about: dict[str, dict[str, Any]] = {
        "pdf": {"Creator": creator, "Producer": creator, "CreationDate": None},
        "svg": {"Creator": creator, "Date": None},
        "png": {"Software": creator},
    }
    with undisturbed(), mpl.rc_context(_defaults() | SETTINGS):
        figure = Figure(figsize=(paper.width_mm / 25.4, paper.height_mm / 25.4), dpi=150)
        draw(figure)
        buffer = io.BytesIO()
        metadata = {"Title": title, **about[file_format]}
        figure.savefig(buffer, format=file_format, metadata=metadata)
        return buffer.getvalue()


def _defaults() -> dict[Any, Any]:
    """The library's own look, whatever a program around this one made of it."""
    from matplotlib import rcParamsDefault

    return {name: value for name, value in rcParamsDefault.items() if name != "backend"}


def _heading(figure: Figure, comparison: Comparison, paper: Paper, title: str) -> float:
    """Title, deck and records at the top; returns the y below them [mm]."""
    first = comparison.rows[0]
    y = paper.top - 5.0
    room = WRAPPED * (paper.right - paper.left)
    for line in wrap(title, room, TITLE_PT, bold=True)[:2]:
        write(figure, (paper.left, y), line, TITLE_PT, bold=True)
        y -= 6.0
    arm = first.arm
    held = {
        "effective-length": f"effective length {to_hundredth(arm.effective_length_mm)} mm",
        "offset-angle": f"offset angle {arm.offset_angle_deg:.2f}°",
    }.get(first.held or "", f"pivot to spindle {to_hundredth(arm.pivot_to_spindle_mm)} mm")
    kind = "Exact optima for this arm" if first.terms else "Published closed forms"
    facts = (
        f"{kind}, {held} fixed. Distortion of a sine at {first.velocity_cm_s:g} cm/s "
        f"{first.velocity_is}, {first.record.rpm:.3g} rpm, {first.equalisation}."
    )
    if first.play is not None:
        facts += " The table's errors and harmonics are those of all records by their shares."
    for end, names in comparison.stops().items():
        facts += f" Stopped by the {end}: {', '.join(names)}."
    facts += f" protractor {__version__}"
    for line in wrap(facts, room, TEXT_PT):
        write(figure, (paper.left, y), line)
        y -= LINE_MM
    return y


def _reading(figure: Figure, comparison: Comparison, paper: Paper) -> float:
    """Table and how to read the curves, at the bottom; returns the y above them [mm]."""
    lines = wrap(READING, WRAPPED * (paper.right - paper.left), TEXT_PT)
    y = paper.bottom + LINE_MM * (len(lines) - 1)
    above = y + LINE_MM + 2.0
    for line in lines:
        write(figure, (paper.left, y), line)
        y -= LINE_MM
    y = above + LINE_MM * len(comparison.rows)
    for name, stop in COLUMNS_MM.items():
        write(figure, (paper.left + stop, y), name, bold=True, anchor="right")
    for row in comparison.rows:
        y -= LINE_MM
        nulls = [to_hundredth(radius) for radius in row.arm.null_radii_mm if radius > 0]
        cells = (
            f"{to_hundredth(row.arm.overhang_mm)} mm",
            f"{row.arm.offset_angle_deg:.2f}°",
            f"{' and '.join(nulls)} mm" if nulls else "none",
            f"{row.peak_tracking_error_deg:.2f}°",
            f"{row.peak_second_harmonic_percent:.2f} %",
            f"{row.rms_second_harmonic_percent:.2f} %",
        )
        write(figure, (paper.left, y), row.scheme)
        for stop, cell in zip(COLUMNS_MM.values(), cells, strict=True):
            write(figure, (paper.left + stop, y), cell, anchor="right")
    return above + LINE_MM * (len(comparison.rows) + 1) + 2.0
