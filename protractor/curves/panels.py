"""The panels of a page of curves, one above the other along one radius or time axis."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from protractor.alignments.alignment import Alignment
from protractor.alignments.comparison import NOW, Comparison, harmonic_curve
from protractor.alignments.objective import OWN_OBJECTIVE
from protractor.arms.records import Record
from protractor.arms.schemes import OWN_NULLS
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

NOW_MM, CHOSEN_MM, OTHER_MM = 0.7, HEAVY, PLAIN
"""Widths of the curves: the present setting, the one to compare it with, and the others."""

DOT_MM, DOT_EVERY_MM = 1.7, 10.0
"""Dots on the present setting's curve, and the step of radius from one to the next."""

DASHES: dict[str, tuple[float, ...]] = {
    "lofgren-b": (4.5, 1.8),
    "lofgren-c": (1.2, 1.4),
    "stevenson": (7.0, 1.6, 1.2, 1.6),
    "equal-angle": (16.0, 3.0),
    OWN_NULLS: (3.0, 1.4, 1.2, 1.4, 1.2, 1.4),
    OWN_OBJECTIVE: (9.0, 1.4, 1.2, 1.4, 1.2, 1.4, 1.2, 1.4),
}
"""Line styles by scheme, lengths on and off in line widths; lofgren-a and now are solid."""

SMALL_PT, TEXT_PT = 7.5, 8.5
POINTS = 600
TICK_PT = 3.0
BAR_MM, BAR_ROW_MM = 4.0, 5.0
"""Height of a record's bar, and from one to the next."""

LINE_MM, PANEL_GAP_MM, BEYOND_MM = 4.2, 9.0, 2.0
LABELS_MM, FIGURES_MM, SAMPLE_MM = 38.0, 14.0, 9.0
"""Room beside the panels for the names of the curves and for the figures of their axes, and the
piece of line beside a name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SideAxis:
    """What the curves run along: radius, or minutes of the side of one record.

    `minutes` is the side's playing time, `estimated` tells that nobody gave it.
    """

    record: Record
    by_time: bool
    minutes: float
    estimated: bool

    def minute(self, radius_mm: Floats) -> Floats:
        """Minutes since the outer edge at a radius."""
        outer, inner = self.record.outer_radius_mm, self.record.inner_radius_mm
        return self.minutes * (outer - radius_mm) / (outer - inner)

    def radius(self, minute: Floats) -> Floats:
        """Radius at a minute."""
        outer, inner = self.record.outer_radius_mm, self.record.inner_radius_mm
        return outer - minute * (outer - inner) / self.minutes

    @property
    def left(self) -> int:
        """Index of the radius at the left edge, of radii that rise: -1 where minutes rise."""
        return -1 if self.by_time else 0

    def place(self, radius_mm: Floats) -> Floats:
        """Where a radius stands on the axis."""
        return self.minute(radius_mm) if self.by_time else radius_mm

    @property
    def minutes_label(self) -> str:
        """The axis of minutes in words."""
        how = "estimated from the usual groove pitch" if self.estimated else "as given"
        return f"minutes through the side ({self.minutes:.3g} min, {how})"


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
    records = (axis.record,) if axis.by_time else comparison.rows[0].played.records
    single = len(records) == 1
    strip = bottom + (23.5 if single else 11.0)
    strip_height = BAR_ROW_MM * len(records) + 1.0
    height = (top - strip - strip_height) / 3 - PANEL_GAP_MM
    inner = min(side.inner_radius_mm for side in records)
    outer = max(side.outer_radius_mm for side in records)
    radius = np.linspace(inner, outer, POINTS)
    ends = axis.place(np.array([inner - BEYOND_MM, outer + BEYOND_MM]))
    quantities: tuple[tuple[str, Callable[[Alignment], Floats]], ...] = (
        (
            "Tracking error, degrees (+ is counter-clockwise of the groove, seen from above)",
            lambda row: np.degrees(row.arm.tracking_error(radius)),
        ),
        (
            "Tracking error over radius, degrees per 100 mm",
            lambda row: 100 * np.degrees(row.arm.tracking_error(radius)) / radius,
        ),
        ("Second harmonic, percent", lambda row: harmonic_curve(row, axis.record, radius)),
    )
    panels = [[quantity(row) for row in comparison.rows] for _, quantity in quantities]
    names_left = _names_left(panels, axis, height)
    left, right = paper.left + FIGURES_MM, paper.right - LABELS_MM
    if names_left:
        left, right = paper.left + LABELS_MM, paper.right - FIGURES_MM
    chosen = chosen_row(comparison)
    for number, (name, _) in enumerate(quantities):
        y = strip + strip_height + (2 - number) * (height + PANEL_GAP_MM) + 1.0
        axes = panel_axes(figure, left, y, right - left, height)
        if names_left:
            axes.yaxis.tick_right()
            axes.spines["left"].set_visible(False)
            axes.spines["right"].set_visible(True)
            set_panel_font(axes.get_yticklabels())
        axes.set_xlim(float(ends.min()), float(ends.max()))
        write(figure, (left, y + height + 1.6), name, bold=True)
        drawn = list(zip(comparison.rows, panels[number], strict=True))
        _curves(axes, axis.place(radius), radius, drawn, chosen)
        if number < 2:
            axes.axhline(0.0, color="black", linewidth=FINE / MM_PER_POINT)
        else:
            axes.set_ylim(bottom=0.0)
        if number == 0:
            _nulls(axes, comparison, axis, (inner, outer))
        for edge in {e for s in records for e in (s.inner_radius_mm, s.outer_radius_mm)}:
            axes.axvline(
                float(axis.place(np.array(edge))),
                color="black",
                linewidth=THINNEST / MM_PER_POINT,
                dashes=(12.0, 6.0),
            )
        _end_labels(figure, axes, axis, drawn, (left, right, y, height), chosen, names_left)
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


def chosen_row(comparison: Comparison) -> Alignment:
    """What the present setting is to be compared with: the user's own radii or objective.

    Where there is neither, the alignment with the least peak of second harmonic.
    """
    own = [row for row in comparison.alignments if row.scheme in (OWN_NULLS, OWN_OBJECTIVE)]
    if own:
        return own[-1]
    return min(comparison.alignments, key=lambda row: row.peak_second_harmonic_percent)


def _names_left(panels: list[list[Floats]], axis: SideAxis, height: float) -> bool:
    """Whether the names of the curves are less crowded at the left edge than at the right."""

    def moved(end: int) -> float:
        total = 0.0
        for values in panels:
            low = min(float(value.min()) for value in values)
            high = max(float(value.max()) for value in values)
            ends = [height * (float(value[end]) - low) / (high - low or 1.0) for value in values]
            spread = spread_labels(ends, LINE_MM, 0.0, height)
            total += sum(abs(one - other) for one, other in zip(ends, spread, strict=True))
        return total

    at_left = axis.left
    return moved(at_left) < moved(-1 - at_left)


def _curves(
    axes: Axes,
    place: Floats,
    radius: Floats,
    drawn: list[tuple[Alignment, Floats]],
    chosen: Alignment,
) -> None:
    """The curves of one panel; the present setting bears dots."""
    for row, value in drawn:
        (line,) = axes.plot(place, value)
        _style(line, row, chosen)
        if row.scheme == NOW:
            low, high = float(radius[0]), float(radius[-1])
            step = DOT_EVERY_MM
            dots = np.arange(np.ceil(low / step) * step, high + 1e-9, step)
            axes.plot(
                np.interp(dots, radius, place),
                np.interp(dots, radius, value),
                linestyle="none",
                zorder=4.5,
                **_dots(),
            )


def _dots() -> dict[str, Any]:
    """How the dots of the present setting look."""
    return {
        "marker": "o",
        "markersize": DOT_MM / MM_PER_POINT,
        "markerfacecolor": ACCENT,
        "markeredgewidth": 0.0,
    }


def _style(line: Line2D, row: Alignment, chosen: Alignment) -> None:
    """Gives a line the style of a row: black by dashes, the present setting in the accent."""
    now = row.scheme == NOW
    line.set_color(ACCENT if now else "black")
    width = NOW_MM if now else CHOSEN_MM if row is chosen else OTHER_MM
    line.set_linewidth(width / MM_PER_POINT)
    line.set_zorder(4 if now else 3.5 if row is chosen else 3)
    line.set_solid_capstyle("butt")
    line.set_dash_capstyle("butt")
    if row.scheme in DASHES:
        line.set_dashes(DASHES[row.scheme])


def _nulls(axes: Axes, comparison: Comparison, axis: SideAxis, edges: tuple[float, float]) -> None:
    """A ring at every null radius within the recorded area."""
    radii = [r for row in comparison.rows for r in row.arm.null_radii_mm]
    inside = np.array([r for r in radii if edges[0] - 1e-6 <= r <= edges[1] + 1e-6])
    axes.plot(
        axis.place(inside),
        np.zeros_like(inside),
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
    drawn: list[tuple[Alignment, Floats]],
    box: tuple[float, float, float, float],
    chosen: Alignment,
    names_left: bool,
) -> None:
    """The curves' names at one end, kept apart, each with a fine line from its curve."""
    left, right, bottom, height = box
    low, high = axes.get_ylim()
    end_index = axis.left if names_left else -1 - axis.left
    way, side = (-1.0, left) if names_left else (1.0, right)
    ends = [bottom + height * (float(value[end_index]) - low) / (high - low) for _, value in drawn]
    heights = spread_labels(ends, LINE_MM, bottom + 1.0, bottom + height + 1.0)
    edge = side - way * (right - left) * _margin(axes, axis, names_left)
    page = figure.get_size_inches() * 25.4
    from matplotlib.lines import Line2D

    for (row, _), end, y in zip(drawn, ends, heights, strict=True):
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
        _style(piece, row, chosen)
        figure.add_artist(piece)
        if row.scheme == NOW:
            middle = (sample + end_of_sample) / 2
            figure.add_artist(Line2D([middle / page[0]], [y / page[1]], **_dots()))
        write(
            figure,
            (end_of_sample + way * 0.8, y - 1.0),
            row.scheme,
            bold=row.scheme == NOW or row is chosen,
            anchor="right" if names_left else "left",
        )


def _margin(axes: Axes, axis: SideAxis, names_left: bool) -> float:
    """How much of the panel's width lies beyond the curves' ends on the side of the names."""
    low, high = axes.get_xlim()
    if not axis.by_time:
        return BEYOND_MM / (high - low)
    side = axis.record
    edge = side.outer_radius_mm if names_left else side.inner_radius_mm
    return abs((low if names_left else high) - float(axis.place(np.array(edge)))) / (high - low)


def spread_labels(places: list[float], gap: float, low: float, high: float) -> list[float]:
    """Places moved as little as need be to stand `gap` apart between two bounds, order kept."""
    order = sorted(range(len(places)), key=lambda i: places[i])
    # least squares under order: blocks of equal spacing, merged while they overlap
    blocks: list[list[float]] = []  # sum of (place - its offset), count
    for rank, index in enumerate(order):
        blocks.append([places[index] - rank * gap, 1.0])
        while len(blocks) > 1 and blocks[-2][0] / blocks[-2][1] >= blocks[-1][0] / blocks[-1][1]:
            total, count = blocks.pop()
            blocks[-1][0] += total
            blocks[-1][1] += count
    moved = list(places)
    rank = 0
    most = high - gap * (len(places) - 1)
    for total, count in blocks:
        base = min(max(total / count, low), max(most, low))
        for _ in range(int(count)):
            moved[order[rank]] = base + rank * gap
            rank += 1
    return moved


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
        axis.minutes_label if axis.by_time else "radius, mm",
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
