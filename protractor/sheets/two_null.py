"""The two-null sheet: two targets and no arc, for any deck and for small paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from protractor.alignments.alignment import to_hundredth
from protractor.alignments.sheet_code import nulls_code
from protractor.arms.records import Record
from protractor.drawing.movement import from_the_front
from protractor.drawing.shapes import FINE, Line, Page, Point, Shape, Stroke
from protractor.errors import InputError
from protractor.printing.paper import Paper
from protractor.sheets import marks, names
from protractor.sheets.grid import Group
from protractor.sheets.piece import RINGS_MM, Piece
from protractor.sheets.setup_card import SetupCard
from protractor.sheets.steps import CAUTIONS, two_null_steps
from protractor.sheets.target import GAP_MM
from protractor.sheets.tool_sheet import ToolSheet

LEAST_GAP_MM, INNERMOST_NULL_MM = 17.0, 30.0
"""Nulls that lie closer, to each other or to the spindle, leave no room for two targets."""


def two_null_pages(
    nulls_mm: tuple[float, float],
    scheme: str,
    record: Record,
    paper: Paper,
    title: str = "",
    zenith_rad: float = 0.0,
    note: str = "",
    command: str = "",
) -> tuple[Page, ...]:
    """The sheet that sets a cartridge tangent to the groove at two null radii, on any deck.

    Drawn as one sees it from the front of the deck: both null points lie on a line from the spindle
    toward the viewer. `scheme` and `record` say where the radii come from, `note` what is reported
    of a printer's correction; `command` is the one that continues with readings. Targets are turned
    for a stylus that stands `zenith_rad` clockwise of its cartridge. Raises `InputError` when the
    radii leave no room for two targets, or when they do not fit on the paper.
    """
    inner, outer = (to_hundredth(radius) for radius in nulls_mm)
    # written so that a radius that is not there (nan) is refused too
    gap, near = nulls_mm[1] - nulls_mm[0], nulls_mm[0]
    if not (gap > LEAST_GAP_MM - 1e-9 and near > INNERMOST_NULL_MM - 1e-9):
        raise InputError(
            "null-radii",
            f"nulls at {inner} and {outer} mm",
            f"radii over {INNERMOST_NULL_MM:g} mm, at least {LEAST_GAP_MM:g} mm apart",
            "choose other radii or another scheme",
        )
    title, code = title or "Two-null sheet", nulls_code(nulls_mm, zenith_rad)
    exact, key = scheme.endswith(", exact"), scheme.removesuffix(", exact")
    made_from = f"{names.scheme_name(key, exact=exact)} · {names.record_name(record)}"
    radii = f"{to_hundredth(record.inner_radius_mm)} to {to_hundredth(record.outer_radius_mm)} mm"
    to_set = [("null radii", f"{inner} and {outer} mm")]
    if zenith_rad:
        to_set.append(("stylus askew", f"{marks.signed_degrees(zenith_rad)}, + is clockwise"))

    def card(bars: str) -> SetupCard:
        return SetupCard(
            title=title,
            lines=(made_from, note),
            groups=(
                Group(heading="measured", rows=(("recorded radii", radii),)),
                Group(heading="set", rows=tuple(to_set)),
                Group(heading="expect", rows=(("at both nulls", "zero, on any deck"),)),
            ),
            steps=two_null_steps(bars, askew=bool(zenith_rad)),
            readings=(f"inner null {inner}", f"outer null {outer}"),
            code=code,
            command=command,
            cautions=CAUTIONS,
        )

    return ToolSheet(
        title=title,
        subject=f"Two-null sheet, {inner} and {outer} mm, {scheme}",
        made_from=made_from,
        note=note,
        code=code,
        needs=f"a null at {outer} mm",
        tool=lambda spindle, _: _TwoNulls(
            spindle=spindle, radii=nulls_mm, record=record, zenith_rad=zenith_rad
        ),
        card=card,
    ).pages(paper)


@dataclass(frozen=True, slots=True, kw_only=True)
class _TwoNulls:
    """Two targets on a line from the spindle toward the viewer [mm]."""

    spindle: Point
    radii: tuple[float, float]
    record: Record
    zenith_rad: float

    @property
    def nulls(self) -> tuple[Point, ...]:
        """The null points, inner first."""
        x, y = self.spindle
        turned = [from_the_front((radius, 0.0)) for radius in self.radii]
        return tuple((x + right, y + up) for right, up in turned)

    @property
    def piece(self) -> Piece:
        """The piece of paper with its targets."""
        return Piece(
            spindle=self.spindle,
            nulls=self.nulls,
            record_mm=self.record.outer_radius_mm,
            zenith_rad=self.zenith_rad,
        )

    def _strip(self) -> list[Shape]:
        """The line from the spindle's rings through the null points, open at them."""
        x, y = self.spindle
        (_, inner), (_, outer) = self.nulls
        ends = (y - RINGS_MM[-1] - 1.5, inner + GAP_MM, inner - GAP_MM, outer + GAP_MM)
        return [
            Line((x, start), (x, end), Stroke(FINE))
            for start, end in zip(ends[::2], ends[1::2], strict=True)
        ]

    @property
    def reach_mm(self) -> tuple[float, float, float, float]:
        """How far the piece reaches left, below, right of and above the spindle [mm]."""
        return self.piece.reach_mm(self._strip())

    @property
    def features(self) -> dict[str, Any]:
        """Spindle and nulls."""
        inner, outer = self.nulls
        return {
            "spindle": list(self.spindle),
            "null_inner": list(inner),
            "null_outer": list(outer),
            "pivot": None,
        }

    @property
    def sight_mm(self) -> float:
        """There is no sight line."""
        return 0.0

    @property
    def scissors(self) -> Point:
        """Where the sign stands: above the leg of the inner fan."""
        return self.spindle[0] - 45.0, self.nulls[0][1] + 15.2

    def shapes(self) -> list[Shape]:
        """All that is drawn within the cut line, and the cut line."""
        return self.piece.shapes(self._strip())
