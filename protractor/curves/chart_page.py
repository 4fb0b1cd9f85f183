"""A page of charts above each other, in the hand of the other curves: charts in, a file out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from protractor import __version__
from protractor.curves.page import SMALLEST_MM, TITLE_PT, figure_bytes
from protractor.curves.panels import (
    ACCENT,
    LINE_MM,
    SAMPLE_MM,
    SMALL_PT,
    TEXT_PT,
    draw_dots,
    panel_axes,
    panel_font,
    set_panel_font,
    style_curve,
    write,
)
from protractor.drawing.chart import Chart, spread_labels
from protractor.drawing.shapes import PLAIN, THINNEST
from protractor.drawing.type import MM_PER_POINT, printable, wrap
from protractor.errors import InputError
from protractor.printing.paper import Paper

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

TICKS_MM, NAMES_MM, NARROW_NAMES_MM, BESIDE_MM = 14.0, 43.0, 34.0, 6.0
"""Room left of a panel for its figures, right of it for names, where panels are side by
side too, and between those."""

BELOW_MM, LABEL_MM, ABOVE_MM = 6.0, 4.5, 3.0
"""Below a panel for its ticks, for its axis's label, and between its caption and itself."""

GAP_MM = 5.0
REGION = "#dcdcdc"
WRAPPED = 0.97
"""Share of a line's room that is filled: the plotting library sets letters a little wider."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartPage:
    """One portrait page of charts, row by row; a notebook shows it.

    `note` says how to read them, at the foot.
    """

    rows: tuple[tuple[Chart, ...], ...]
    paper: Paper
    title: str
    note: str

    @property
    def formats(self) -> tuple[str, ...]:
        """The formats that `file_bytes` knows."""
        return "pdf", "svg", "png"

    def file_bytes(self, file_format: str) -> bytes:
        """The page as a file of one of its `formats`, without dates: same inputs, same bytes."""
        return figure_bytes(self.paper, self.title, self._draw, file_format)

    def _repr_svg_(self) -> str:
        """The page as a notebook shows it."""
        return self.file_bytes("svg").decode("utf-8")

    def _draw(self, figure: Figure) -> None:
        paper = self.paper
        width = paper.right - paper.left
        top = paper.top - 5.0
        for line in wrap(self.title, WRAPPED * width, TITLE_PT, bold=True)[:2]:
            write(figure, (paper.left, top), line, TITLE_PT, bold=True)
            top -= 6.0
        notes = wrap(f"{self.note} protractor {__version__}", WRAPPED * width, TEXT_PT)
        bottom = paper.bottom + LINE_MM * len(notes)
        for number, line in enumerate(notes):
            write(figure, (paper.left, bottom - LINE_MM * (number + 1)), line)
        bottom += GAP_MM
        share = (top - bottom) / max(len(self.rows), 2)
        for row in self.rows:
            _draw_row(figure, row, (paper.left, top - share, width, share - GAP_MM))
            top -= share


def chart_page(
    rows: tuple[tuple[Chart, ...], ...], *, paper: Paper, title: str, note: str
) -> ChartPage:
    """The page of some rows of charts.

    Raises `InputError` for a paper on which they cannot be read.
    """
    if paper.width_mm < SMALLEST_MM[0] or paper.height_mm < SMALLEST_MM[1]:
        raise InputError(
            "paper",
            paper.label,
            f"a sheet of at least {SMALLEST_MM[0]:g} x {SMALLEST_MM[1]:g} mm for the curves",
            "take A4 or Letter",
        )
    return ChartPage(rows=rows, paper=paper, title=printable(title), note=note)


def _draw_row(
    figure: Figure, row: tuple[Chart, ...], box: tuple[float, float, float, float]
) -> None:
    """The charts of a row side by side in a box: left, bottom, width, height [mm]."""
    left, bottom, width, height = box
    width = (width - BESIDE_MM * (len(row) - 1)) / len(row)
    captions = [wrap(printable(chart.caption), WRAPPED * width, TEXT_PT) for chart in row]
    titles = [wrap(printable(chart.title), WRAPPED * width, TEXT_PT, bold=True) for chart in row]
    lines = max(len(title) + len(caption) for title, caption in zip(titles, captions, strict=True))
    below = BELOW_MM + (LABEL_MM if any(chart.x.label for chart in row) else 0.0)
    panel = height - LINE_MM * lines - ABOVE_MM - below
    names = NAMES_MM if len(row) == 1 else NARROW_NAMES_MM
    for number, chart in enumerate(row):
        x = left + number * (width + BESIDE_MM)
        y = bottom + height
        for bold, text in [(True, t) for t in titles[number]] + [
            (False, c) for c in captions[number]
        ]:
            write(figure, (x, y - 3.0), text, bold=bold)
            y -= LINE_MM
        _draw_chart(figure, chart, (x + TICKS_MM, bottom + below, width - TICKS_MM - names, panel))


def _draw_chart(figure: Figure, chart: Chart, box: tuple[float, float, float, float]) -> None:
    left, bottom, width, height = box
    axes = panel_axes(figure, left, bottom, width, height)
    for each, axis, bounds in (
        (axes.xaxis, chart.x, axes.set_xlim),
        (axes.yaxis, chart.y, axes.set_ylim),
    ):
        if axis.log:
            (axes.set_xscale if each is axes.xaxis else axes.set_yscale)("log")
        bounds(axis.low, axis.high)
        each.set_ticks([place for place, _ in axis.ticks], [text for _, text in axis.ticks])
        each.set_ticks([], minor=True)
    axes.tick_params(labelbottom=True)
    set_panel_font([*axes.get_xticklabels(), *axes.get_yticklabels()])
    if chart.x.label:
        axes.set_xlabel(chart.x.label, fontproperties=panel_font(TEXT_PT), labelpad=1.5)
    for region in chart.regions:
        axes.fill_between(region.x, region.low, region.high, color=REGION, linewidth=0.0, zorder=1)
    for curve in chart.curves:
        (line,) = axes.plot(curve.x, curve.y)
        style_curve(line, curve)
        draw_dots(axes, curve)
    for mark in chart.marks:
        colour = ACCENT if mark.accent else "black"
        if mark.ring:
            axes.plot(
                [mark.x],
                [mark.y],
                linestyle="none",
                marker="o",
                markersize=4.5,
                markerfacecolor="white",
                markeredgecolor=colour,
                markeredgewidth=PLAIN / MM_PER_POINT,
                zorder=5,
            )
        axes.annotate(
            mark.text,
            (mark.x, mark.y),
            xytext=(2.0, 4.5),
            textcoords="offset points",
            fontproperties=panel_font(SMALL_PT),
            color=colour,
            zorder=6,
        )
    _names(figure, axes, chart, box)


def _names(
    figure: Figure, axes: Axes, chart: Chart, box: tuple[float, float, float, float]
) -> None:
    """The curves' names right of the panel, kept apart, each with a fine line from its curve."""
    from matplotlib.lines import Line2D

    left, bottom, width, height = box
    right = left + width
    page = figure.get_size_inches() * 25.4
    named = [curve for curve in chart.curves if curve.name and curve.x]
    # from data to pixels to mm, whatever the axes' scales
    at = [
        axes.transData.transform((curve.x[-1], curve.y[-1])) / figure.dpi * 25.4 for curve in named
    ]
    ends = [(float(x), float(y)) for x, y in at]
    heights = spread_labels([y for _, y in ends], LINE_MM, bottom, bottom + height)
    for curve, (end_x, end_y), y in zip(named, ends, heights, strict=True):
        sample = right + 2.6
        xs = [end_x + 0.4, max(right + 0.6, end_x + 0.4), sample]
        figure.add_artist(
            Line2D(
                [x / page[0] for x in xs],
                [end_y / page[1], end_y / page[1], y / page[1]],
                color="black",
                linewidth=THINNEST / MM_PER_POINT,
            )
        )
        short = 0.6 * SAMPLE_MM
        piece = Line2D([sample / page[0], (sample + short) / page[0]], [y / page[1]] * 2)
        style_curve(piece, curve)
        figure.add_artist(piece)
        write(figure, (sample + short + 0.8, y - 1.0), printable(curve.name), bold=curve.accent)
