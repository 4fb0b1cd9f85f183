"""What a comparison looks like along a side: charts in plain numbers, no plotting library.

The page of curves draws them on paper, the page in the browser as they are asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from protractor.alignments.alignment import Alignment
from protractor.alignments.comparison import NOW, Comparison, harmonic_curve
from protractor.alignments.objective import OWN_OBJECTIVE
from protractor.arms.arm import Floats
from protractor.arms.play import side_minutes
from protractor.arms.records import Record
from protractor.arms.schemes import OWN_NULLS
from protractor.drawing.chart import (
    Axis,
    Chart,
    Curve,
    Mark,
    rounded_axis,
    rounded_step,
    tick_text,
)
from protractor.drawing.shapes import HEAVY, PLAIN

NOW_MM, CHOSEN_MM, OTHER_MM = 0.7, HEAVY, PLAIN
"""Widths of the curves: the present setting, the one to compare it with, and the others."""

DOT_EVERY_MM = 10.0
"""Step of radius from one dot of the present setting's curve to the next."""

DASHES: dict[str, tuple[float, ...]] = {
    "lofgren-b": (4.5, 1.8),
    "lofgren-c": (1.2, 1.4),
    "stevenson": (7.0, 1.6, 1.2, 1.6),
    "equal-angle": (16.0, 3.0),
    OWN_NULLS: (3.0, 1.4, 1.2, 1.4, 1.2, 1.4),
    OWN_OBJECTIVE: (9.0, 1.4, 1.2, 1.4, 1.2, 1.4, 1.2, 1.4),
}
"""Line styles by scheme, lengths on and off in line widths; lofgren-a and now are solid."""

Quantity = Callable[[Alignment, Record, Floats], Floats]

QUANTITIES: tuple[tuple[str, str, Quantity], ...] = (
    (
        "Tracking error, degrees (+ is counter-clockwise of the groove, seen from above)",
        "Rings: null radii, where the cartridge points exactly along the groove.",
        lambda row, _, radius: np.degrees(row.arm.tracking_error(radius)),
    ),
    (
        "Tracking error over radius, degrees per 100 mm",
        "Distortion follows it: the same error costs more further in.",
        lambda row, _, radius: 100 * np.degrees(row.arm.tracking_error(radius)) / radius,
    ),
    (
        "Second harmonic, percent",
        "The lower a curve stays, the less second harmonic its scheme leaves.",
        harmonic_curve,
    ),
)
"""What is drawn, from top to bottom: its name, how to read it, and its figures at radii [mm]."""

TICKS, NEAREST_TICK = 5, 0.09
"""Most steps of the axis along the side, and how near, as a share of it, a figure may stand to
that of an edge."""


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

    def place(self, radius_mm: Floats) -> Floats:
        """Where a radius stands on the axis."""
        return self.minute(radius_mm) if self.by_time else radius_mm

    @property
    def minutes_label(self) -> str:
        """The axis of minutes in words."""
        how = "estimated from the usual groove pitch" if self.estimated else "as given"
        return f"minutes through the side ({self.minutes:.3g} min, {how})"

    @property
    def label(self) -> str:
        """The axis in words."""
        return self.minutes_label if self.by_time else "radius, mm"


def side_axis(comparison: Comparison, by_time: bool, minutes: float | None) -> SideAxis:
    """The axis of a comparison; `minutes` takes the place of an estimate of the side's length."""
    side = comparison.rows[0].record
    return SideAxis(
        record=side,
        by_time=by_time,
        minutes=minutes or side_minutes(side),
        estimated=minutes is None,
    )


def shown_records(comparison: Comparison, axis: SideAxis) -> tuple[Record, ...]:
    """The records whose recorded areas the axis spans; minutes are those of one record alone."""
    return (axis.record,) if axis.by_time else comparison.rows[0].played.records


def chosen_row(comparison: Comparison) -> Alignment:
    """What the present setting is to be compared with: the user's own radii or objective.

    Where there is neither, the alignment with the least peak of second harmonic.
    """
    own = [row for row in comparison.alignments if row.scheme in (OWN_NULLS, OWN_OBJECTIVE)]
    if own:
        return own[-1]
    return min(comparison.alignments, key=lambda row: row.peak_second_harmonic_percent)


def side_charts(
    comparison: Comparison,
    axis: SideAxis,
    *,
    points: int,
    names: Mapping[str, str] | None = None,
) -> tuple[Chart, ...]:
    """Tracking error, tracking error over radius and second harmonic along a side.

    Args:
        comparison: whose rows are drawn; the present setting bears the accent and dots.
        axis: what the curves run along.
        points: of each curve, evenly spaced in radius from the innermost recorded radius of the
            records shown to the outermost.
        names: of the curves by scheme; a scheme that it lacks is named as inputs name it.

    Returns:
        a chart a quantity, in the order of `QUANTITIES`, with the null radii as rings of the first.
    """
    records = shown_records(comparison, axis)
    inner = min(side.inner_radius_mm for side in records)
    outer = max(side.outer_radius_mm for side in records)
    radius = np.linspace(inner, outer, points)
    place = axis.place(radius)
    chosen = chosen_row(comparison)
    along = _along(axis, (inner, outer))
    nulls = np.array(
        [
            null
            for row in comparison.rows
            for null in row.arm.null_radii_mm
            if inner - 1e-6 <= null <= outer + 1e-6
        ]
    )
    rings = tuple(Mark(x=x, y=0.0, ring=True) for x in axis.place(nulls).tolist())
    charts = []
    for number, (title, caption, quantity) in enumerate(QUANTITIES):
        values = [quantity(row, axis.record, radius) for row in comparison.rows]
        curves = []
        for row, value in zip(comparison.rows, values, strict=True):
            width = NOW_MM if row.scheme == NOW else CHOSEN_MM if row is chosen else OTHER_MM
            curves.append(
                Curve(
                    x=tuple(place.tolist()),
                    y=tuple(value.tolist()),
                    name=(names or {}).get(row.scheme, row.scheme),
                    dashes=DASHES.get(row.scheme, ()),
                    width_mm=width,
                    accent=row.scheme == NOW,
                    dots=_dots(radius, place, value) if row.scheme == NOW else (),
                )
            )
        last = number == len(QUANTITIES) - 1
        low = 0.0 if last else min(float(value.min()) for value in values)
        high = max(float(value.max()) for value in values)
        upright = rounded_axis(min(low, 0.0), max(high, 0.0))
        charts.append(
            Chart(
                title=title,
                caption=caption,
                x=along,
                y=upright,
                curves=tuple(curves),
                marks=() if number else rings,
            )
        )
    return tuple(charts)


def _dots(radius: Floats, place: Floats, value: Floats) -> tuple[tuple[float, float], ...]:
    """The points of a curve at every whole step of radius."""
    step = DOT_EVERY_MM
    at = np.arange(np.ceil(radius[0] / step) * step, radius[-1] + 1e-9, step)
    x, y = np.interp(at, radius, place), np.interp(at, radius, value)
    return tuple(zip(x.tolist(), y.tolist(), strict=True))


def _along(axis: SideAxis, edges: tuple[float, float]) -> Axis:
    """The axis along the side from edge to edge, with figures at both and round ones between."""
    low, high = sorted(axis.place(np.array(edges)).tolist())
    step, digits = rounded_step(high - low, TICKS)
    apart = NEAREST_TICK * (high - low)
    between = (step * number for number in range(int(low / step), int(high / step) + 2))
    ticks = [(at, tick_text(at, digits)) for at in between if low + apart < at < high - apart]
    ends = [(at, f"{at:.3g}" if axis.by_time else f"{at:.6g}") for at in (low, high)]
    return Axis(label=axis.label, low=low, high=high, ticks=(ends[0], *ticks, ends[1]))
