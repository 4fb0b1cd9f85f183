"""The panels of a page of curves, one above the other along one radius or time axis."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import numpy as np

from protractor.alignments.comparison import Comparison
from protractor.arms.records import Record
from protractor.curves.side import SideAxis, shown_records, side_charts
from protractor.drawing.chart import Chart, Curve, names_left, spread_labels
from protractor.drawing.shapes import FINE, HEAVY, PLAIN, THINNEST
from protractor.drawing.type import MM_PER_POINT, TYPEFACE_FILES, width_mm
from protractor.printing.paper import Paper

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D

    from protractor.arms.arm import Floats

ACCENT = "#b3401a"
"""For the present setting, which its width and its dots tell apart in grey too."""

DOT_MM = 1.7
"""Dots on the curve of the present setting."""

SMALL_PT, TEXT_PT = 7.5, 8.5
POINTS = 600
TICK_PT = 3.0
BAR_MM, BAR_ROW_MM = 4.0, 5.0
"""Height of a record's bar, and from one to the next."""

LINE_MM, PANEL_GAP_MM, BEYOND_MM = 4.2, 9.0, 2.0
LABELS_MM, FIGURES_MM, SAMPLE_MM = 38.0, 14.0, 9.0
"""Room beside the panels for the names of the curves and for the figures of their axes, and the
piece of line beside a name."""


def panel_font(size_pt: float, bold: bool = False) -> Any:
    """The typeface of the curves, from its file."""
    from matplotlib.font_manager import FontProperties

    return FontProperties(fname=str(TYPEFACE_FILES[bold]), size=size_pt)


def set_panel_font(labels: Iterable[Any]) -> None:
    """Sets the figures of an axis in the house's typeface."""
    for label in labels:
        label.set_fontproperties(panel_font(TEXT_PT))


def write(
    figure: Figure,
    at_mm: tuple[float, float],
    text: str,
    size_pt: float = TEXT_PT,
    *,
    bold: bool = False,
    anchor: str = "left",
) -> None:
    """A line of text on its baseline, in mm from the lower left corner."""
    width, height = figure.get_size_inches() * 25.4
    figure.text(
        at_mm[0] / width,
        at_mm[1] / height,
        text,
        fontproperties=panel_font(size_pt, bold),
        horizontalalignment=anchor,
        verticalalignment="baseline",
    )


def draw_panels(
    figure: Figure,
    comparison: Comparison,
    paper: Paper,
    axis: SideAxis,
    bottom: float,
    top: float,
) -> None:
    """Three panels above each other, and the recorded areas as bars below them."""
    records = shown_records(comparison, axis)
    single = len(records) == 1
    strip = bottom + (23.5 if single else 11.0)
    strip_height = BAR_ROW_MM * len(records) + 1.0
    height = (top - strip - strip_height) / 3 - PANEL_GAP_MM
    inner = min(side.inner_radius_mm for side in records)
    outer = max(side.outer_radius_mm for side in records)
    ends = axis.place(np.array([inner - BEYOND_MM, outer + BEYOND_MM]))
    charts = side_charts(comparison, axis, points=POINTS)
    at_left = names_left(charts, height, LINE_MM)
    left, right = paper.left + FIGURES_MM, paper.right - LABELS_MM
    if at_left:
        left, right = paper.left + LABELS_MM, paper.right - FIGURES_MM
    for number, chart in enumerate(charts):
        y = strip + strip_height + (2 - number) * (height + PANEL_GAP_MM) + 1.0
        axes = panel_axes(figure, left, y, right - left, height)
        if at_left:
            axes.yaxis.tick_right()
            axes.spines["left"].set_visible(False)
            axes.spines["right"].set_visible(True)
            set_panel_font(axes.get_yticklabels())
        axes.set_xlim(float(ends.min()), float(ends.max()))
        write(figure, (left, y + height + 1.6), chart.title, bold=True)
        for curve in chart.curves:
            (line,) = axes.plot(curve.x, curve.y)
            style_curve(line, curve)
            draw_dots(axes, curve)
        if number < 2:
            axes.axhline(0.0, color="black", linewidth=FINE / MM_PER_POINT)
        else:
            axes.set_ylim(bottom=0.0)
        if number == 0:
            _nulls(axes, chart)
        for edge in {e for s in records for e in (s.inner_radius_mm, s.outer_radius_mm)}:
            axes.axvline(
                float(axis.place(np.array(edge))),
                color="black",
                linewidth=THINNEST / MM_PER_POINT,
                dashes=(12.0, 6.0),
            )
        _end_labels(figure, axes, axis, chart.curves, (left, right, y, height), at_left)
    _records(figure, comparison, axis, records, (left, strip, right - left, strip_height), ends)


def panel_axes(figure: Figure, left: float, bottom: float, width: float, height: float) -> Axes:
    """Axes in mm, in the house's look."""
    page = figure.get_size_inches() * 25.4
    axes = figure.add_axes((left / page[0], bottom / page[1], width / page[0], height / page[1]))
    axes.spines[["top", "right"]].set_visible(False)
    for spine in axes.spines.values():
        spine.set_linewidth(FINE / MM_PER_POINT)
    axes.tick_params(width=FINE / MM_PER_POINT, length=TICK_PT, labelbottom=False)
    axes.grid(color="#cccccc", linewidth=THINNEST / MM_PER_POINT)
    axes.set_axisbelow(True)
    set_panel_font(axes.get_yticklabels())
    return axes


def draw_dots(axes: Axes, curve: Curve) -> None:
    """The dots on a curve, where it bears any."""
    if curve.dots:
        x, y = zip(*curve.dots, strict=True)
        axes.plot(x, y, linestyle="none", zorder=4.5, **_dots())


def _dots() -> dict[str, Any]:
    """How the dots on a curve look."""
    return {
        "marker": "o",
        "markersize": DOT_MM / MM_PER_POINT,
        "markerfacecolor": ACCENT,
        "markeredgewidth": 0.0,
    }


def style_curve(line: Line2D, curve: Curve) -> None:
    """Gives a line the style of a curve: black, told apart by dashes, or the accent."""
    line.set_color(ACCENT if curve.accent else "black")
    line.set_linewidth(curve.width_mm / MM_PER_POINT)
    line.set_zorder(4 if curve.accent else 3.5 if curve.width_mm >= HEAVY else 3)
    line.set_solid_capstyle("butt")
    line.set_dash_capstyle("butt")
    if curve.dashes:
        line.set_dashes(curve.dashes)


def _nulls(axes: Axes, chart: Chart) -> None:
    """A ring at every null radius within the recorded area."""
    axes.plot(
        [mark.x for mark in chart.marks],
        [mark.y for mark in chart.marks],
        linestyle="none",
        marker="o",
        markersize=4.0,
        markerfacecolor="white",
        markeredgecolor="black",
        markeredgewidth=PLAIN / MM_PER_POINT,
        zorder=5,
    )


def _end_labels(
    figure: Figure,
    axes: Axes,
    axis: SideAxis,
    curves: tuple[Curve, ...],
    box: tuple[float, float, float, float],
    at_left: bool,
) -> None:
    """The curves' names at one end, kept apart, each with a fine line from its curve."""
    left, right, bottom, height = box
    low, high = axes.get_ylim()
    way, side = (-1.0, left) if at_left else (1.0, right)
    ends = [bottom + height * (curve.end(at_left)[1] - low) / (high - low) for curve in curves]
    heights = spread_labels(ends, LINE_MM, bottom + 1.0, bottom + height + 1.0)
    edge = side - way * (right - left) * _margin(axes, axis, at_left)
    page = figure.get_size_inches() * 25.4
    from matplotlib.lines import Line2D

    for curve, end, y in zip(curves, ends, heights, strict=True):
        sample, end_of_sample = side + way * 2.6, side + way * (2.6 + SAMPLE_MM)
        figure.add_artist(
            Line2D(
                [(edge + way * 0.6) / page[0], (side + way * 0.6) / page[0], sample / page[0]],
                [end / page[1], end / page[1], y / page[1]],
                color="black",
                linewidth=THINNEST / MM_PER_POINT,
            )
        )
        piece = Line2D(
            [sample / page[0], end_of_sample / page[0]], [y / page[1]] * 2, color="black"
        )
        style_curve(piece, curve)
        figure.add_artist(piece)
        if curve.dots:
            middle = (sample + end_of_sample) / 2
            figure.add_artist(Line2D([middle / page[0]], [y / page[1]], **_dots()))
        write(
            figure,
            (end_of_sample + way * 0.8, y - 1.0),
            curve.name,
            bold=curve.accent or curve.width_mm >= HEAVY,
            anchor="right" if at_left else "left",
        )


def _margin(axes: Axes, axis: SideAxis, at_left: bool) -> float:
    """How much of the panel's width lies beyond the curves' ends on the side of the names."""
    low, high = axes.get_xlim()
    if not axis.by_time:
        return BEYOND_MM / (high - low)
    side = axis.record
    edge = side.outer_radius_mm if at_left else side.inner_radius_mm
    return abs((low if at_left else high) - float(axis.place(np.array(edge)))) / (high - low)


def _other_axis(axes: Axes, axis: SideAxis, height: float) -> None:
    """Minutes below the radius, or radius below the minutes."""
    functions: Any = (axis.minute, axis.radius)
    lower: Any = axes.secondary_xaxis(
        -12.5 / height, functions=functions[::-1] if axis.by_time else functions
    )
    lower.set_xlabel(
        "radius, mm" if axis.by_time else axis.minutes_label,
        fontproperties=panel_font(TEXT_PT),
        labelpad=1.5,
    )
    lower.tick_params(width=FINE / MM_PER_POINT, length=TICK_PT)
    for spine in lower.spines.values():
        spine.set_linewidth(FINE / MM_PER_POINT)
    set_panel_font(lower.get_xticklabels())


def _records(
    figure: Figure,
    comparison: Comparison,
    axis: SideAxis,
    records: tuple[Record, ...],
    box: tuple[float, float, float, float],
    ends: Floats,
) -> None:
    """A bar for the recorded area of every record, on the axis that all panels share."""
    left, bottom, width, height = box
    axes = panel_axes(figure, left, bottom, width, height)
    axes.set_xlim(float(ends.min()), float(ends.max()))
    axes.set_ylim(0.0, height)
    axes.grid(False)
    axes.spines["left"].set_visible(False)
    axes.tick_params(left=False, labelleft=False, labelbottom=True)
    axes.set_xlabel(
        axis.label,
        fontproperties=panel_font(TEXT_PT),
        labelpad=1.5,
    )
    if len(records) == 1:
        _other_axis(axes, axis, height)
    set_panel_font(axes.get_xticklabels())
    play = comparison.rows[0].play
    scale = width / float(ends.max() - ends.min())
    for number, side in enumerate(records):
        edges = axis.place(np.array([side.inner_radius_mm, side.outer_radius_mm]))
        low, high = float(edges.min()), float(edges.max())
        share = f"{100 * play.shares[number]:.3g} % " if play and not axis.by_time else ""
        text = (
            f"{share}{side.name}: recorded from {side.inner_radius_mm:g} "
            f"to {side.outer_radius_mm:g} mm"
        )
        y = height - BAR_ROW_MM * (number + 1)
        axes.plot(
            [low, high, high, low, low],
            [y, y, y + BAR_MM, y + BAR_MM, y],
            color="black",
            linewidth=FINE / MM_PER_POINT,
        )
        fits = width_mm(text, SMALL_PT) < (high - low) * scale - 2.0
        axes.text(
            (low + high) / 2 if fits else high + 1.5 / scale,
            y + 1.2,
            text,
            fontproperties=panel_font(SMALL_PT),
            horizontalalignment="center" if fits else "left",
            verticalalignment="baseline",
        )
