"""What readings of a printed sheet say went wrong, by name, and what to do about it.

A healthy printer is off by 0.3 to 1 %, at worst by 2 %, its two axes independently (common
practice). What lies beyond, or shrinks both axes alike, has a cause that no correction may hide.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from protractor.errors import InputError, named
from protractor.printing.fit import Fit, fit
from protractor.printing.paper import PAPERS, Paper
from protractor.printing.readings import Instrument, Measured
from protractor.printing.verification import Verification, advice, verify

SCALE_LIMIT, SHEAR_LIMIT = 0.025, 0.0055
"""Largest scale error and shear that a printer is believed to have, beyond the uncertainty [1]."""

SCALES_ALLOWED = f"{100 * (1 - SCALE_LIMIT):g} to {100 * (1 + SCALE_LIMIT):g} %"

GROSS = 0.03
"""From this on a line is off by more than a printer and a poor ruler together [1]."""

ALIKE = 0.015
"""Two axes that are scaled by a print dialog differ by less: what printers add of their own [1]."""

DIALOG_FROM, DIALOG_ALIKE = 0.012, 0.002
"""From this on, both axes off by the same amount, to the other, look like a print dialog [1]."""

OUTLIER = 6.0
"""A reading stands alone when it is this many standard deviations from the nearest other one."""

RULER_START_MM = 10.0
STARTED_LATE = (
    "did the ruler start at its 1 cm line? Then take 10 mm off each reading of that line; if not, "
    "read it again"
)
"""Many rulers are laid with a whole centimetre on the first mark, since their ends are worn."""

UNIT_MISTAKES = {
    1 / 25.4: "it looks like inches read as mm: write the unit, 5.91in",
    25.4: "it looks like mm written as inches: leave out the unit or write mm",
    0.1: "it looks like cm read as mm: write the unit, 15.0cm",
    10.0: "it looks like mm written as cm: leave out the unit or write mm",
    4 / 3: "it looks like a viewer that takes points for pixels (96 / 72): print from another one",
    0.75: "it looks like a viewer that takes pixels for points (72 / 96): print from another one",
}
"""Ratio of reading and nominal length, and what it means."""

PRINT_FAULTS = (
    "fit-to-page",
    "other-paper",
    "borderless",
    "beyond-a-printer",
    "shear-beyond-a-printer",
)
"""Findings about the print rather than the reading of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that readings say: its name, what was seen, what is allowed, what to do.

    `weight` is `refuse` for what no correction may be stored for, `ask` for what may be stored
    once the user has checked the print dialog, `note` for what is worth knowing.
    """

    name: str
    line: str
    seen: str
    allowed: str
    remedy: str
    weight: Literal["refuse", "ask", "note"] = "refuse"

    def error(self) -> InputError:
        """The finding as the error that is raised for it."""
        return InputError(self.line, self.seen, self.allowed, self.remedy)

    def as_dict(self, mark: str = "") -> dict[str, str]:
        """The finding under the stable keys of `--json`; `mark` goes before names of inputs."""
        return {
            "name": self.name,
            "weight": self.weight,
            "line": self.line,
            "seen": self.seen,
            "remedy": named(self.remedy, mark),
        }


def diagnose(
    measured: Sequence[Measured], instrument: Instrument, paper: Paper, marks_mm: Sequence[float]
) -> list[Finding]:
    """What the readings of a calibration sheet say, the weightiest first.

    Args:
        measured: the readings of each line.
        instrument: what they were read with.
        paper: what the sheet was printed on.
        marks_mm: every length that the sheet marks; a reading of the wrong one is recognised.

    Returns:
        the findings; the first of weight `refuse` says why no correction may be stored.

    Raises:
        InputError: when `x` or `y` was not measured at all.
    """
    found = fit(measured, instrument)
    findings = (
        [*_outliers(measured, instrument)]
        or _gross(measured, paper, marks_mm)
        or [*_misread(measured, instrument, found), *_beyond(found)]
        or [*_dialog(found)]
    )
    order = ("refuse", "ask", "note")
    findings += _notes(measured, instrument, found)
    return sorted(findings, key=lambda finding: order.index(finding.weight))


def accept_readings(
    measured: Sequence[Measured],
    instrument: Instrument,
    paper: Paper,
    marks_mm: Sequence[float],
    dialog_checked: bool = False,
) -> list[Finding]:
    """The notes on readings that a correction may be stored for; arguments as `diagnose`.

    Raises `InputError` for the first finding that forbids it, and, unless `dialog_checked`, for
    one that asks for the print dialog.
    """
    findings = diagnose(measured, instrument, paper, marks_mm)
    for finding in findings:
        if finding.weight == "refuse" or (finding.weight == "ask" and not dialog_checked):
            raise finding.error()
    return findings


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """A verification with the fit to the readings, what to do, and what else they say."""

    result: Verification
    printed: Fit
    advice: str
    findings: list[Finding]


def judge_print(
    profile: Fit,
    measured: Sequence[Measured],
    instrument: Instrument,
    paper: Paper,
    marks_mm: Sequence[float],
    *,
    budget_mm: float,
    over_mm: float | None = None,
) -> Judgement:
    """Whether a corrected print keeps the budget, from readings of its verification sheet.

    `profile` is the fit that the sheet was corrected for; the others as `diagnose` and
    `verification.verify`. Raises `InputError` for readings that cannot be right; a print that is
    out of scale is no such reading but fails.
    """
    findings = diagnose(measured, instrument, paper, marks_mm)
    for finding in findings:
        if finding.weight == "refuse" and finding.name not in PRINT_FAULTS:
            raise finding.error()
    printed = fit(measured, instrument)
    result = verify(printed, budget_mm=budget_mm, over_mm=over_mm)
    faults = [f for f in findings if f.weight == "refuse"]
    what = faults[0].remedy if faults else advice(result, printed, profile)
    return Judgement(
        result=result,
        printed=printed,
        advice=what[0].upper() + what[1:] + ("" if what.endswith(".") else "."),
        findings=findings,
    )


def _near(ratio: float, wanted: float) -> bool:
    """Whether a ratio is the wanted one times what a printer may add."""
    return abs(ratio / wanted - 1) <= GROSS


def _outliers(measured: Sequence[Measured], instrument: Instrument) -> Iterator[Finding]:
    """One reading of a line that stands alone among three or more."""
    most = OUTLIER * instrument.reading_mm
    for one in measured:
        values = np.sort(one.readings_mm)
        if len(values) < 3:
            continue
        below, above = values[1] - values[0], values[-1] - values[-2]
        alone, gap = (values[0], below) if below > above else (values[-1], above)
        others = float(values[-1] - values[1] if below > above else values[-2] - values[0])
        if gap > most and gap > 3 * others:
            yield Finding(
                name="outlier",
                line=one.line,
                seen=f"{alone:g} mm among readings that agree",
                allowed=f"readings within {most:.2g} mm of another",
                remedy=f"it stands {gap:.2f} mm from the nearest: read that line again",
            )


def _gross(measured: Sequence[Measured], paper: Paper, marks_mm: Sequence[float]) -> list[Finding]:
    """What puts the readings far off: units, wrong marks, swapped lines, the print dialog."""
    by_line = {one.line: one for one in measured}
    x, y = by_line["x"], by_line["y"]
    mean, alike = (x.ratio + y.ratio) / 2, abs(x.ratio / y.ratio - 1) <= ALIKE
    off = {line: one for line, one in by_line.items() if not _near(one.ratio, 1.0)}
    if not off:
        return [_scaled(mean, paper)] if alike and abs(mean - 1) > SCALE_LIMIT else []
    late = all(_started_late(one) for one in off.values())
    for one in off.values():
        for wanted, meaning in UNIT_MISTAKES.items():
            # 4/3 and 3/4 are also what swapped sides of the sheet give, one each way
            swapped = wanted in (0.75, 4 / 3) and _near(x.ratio * y.ratio, 1.0)
            if _near(one.ratio, wanted) and not swapped:
                return [_refuse("unit", one, meaning)]
    exchanged = _near(x.ratio * x.nominal_mm, y.nominal_mm) and _near(
        y.ratio * y.nominal_mm, x.nominal_mm
    )
    if exchanged and off.keys() & {"x", "y"}:
        meaning = "x and y look swapped: X lies along the sheet's short edge"
        return [_refuse("swapped", x, meaning)]
    # diagonals alone are no matter of the print dialog
    if alike and off.keys() & {"x", "y"} and not late:
        return [_scaled(mean, paper)]
    for one in off.values():
        mark = _wrong_mark(one, marks_mm)
        if mark is not None:
            say = "say which marks you measured with `marks`"
            also = f"; or {STARTED_LATE}" if late else ""
            return [
                _refuse("wrong-marks", one, f"it looks like the mark at {mark:g} mm: {say}{also}")
            ]
    worst = max(off.values(), key=lambda one: abs(math.log(one.ratio)))
    meaning = (
        "no healthy printer is that far out on one axis: read that line again, and check that "
        "the paper did not slip"
    )
    name = "beyond-a-printer"
    if late:
        name, meaning = "started-late", STARTED_LATE
    return [_refuse(name, worst, meaning)]


def _started_late(one: Measured) -> bool:
    """Whether a line reads as from the ruler's 1 cm line, without the centimetre taken off."""
    late = statistics.median(one.readings_mm) - RULER_START_MM
    return abs(late / one.nominal_mm - 1) <= ALIKE


def _wrong_mark(one: Measured, marks_mm: Sequence[float]) -> float | None:
    """The mark of the sheet that a line's reading belongs to, when it is not the line's own."""
    for mark in marks_mm:
        if mark != one.nominal_mm and _near(one.ratio * one.nominal_mm, mark):
            return mark
    return None


def _refuse(name: str, one: Measured, remedy: str) -> Finding:
    """The finding that a line is off by more than a printer is."""
    low, high = (one.nominal_mm * (1 + limit) for limit in (-SCALE_LIMIT, SCALE_LIMIT))
    return Finding(
        name=name,
        line=one.line,
        seen=f"{statistics.median(one.readings_mm):g} mm for {one.nominal_mm:g} mm",
        allowed=f"{low:.4g} to {high:.4g} mm",
        remedy=remedy,
    )


def _fitted_to(paper: Paper, ratio: float) -> str:
    """Which other paper a page of `paper` was shrunk to, as far as the ratio tells; or nothing."""
    for other in PAPERS.values():
        shrunk = min(other.width_mm / paper.width_mm, other.height_mm / paper.height_mm)
        if shrunk < 1 - SCALE_LIMIT and abs(ratio - shrunk) < 0.006:
            return f"{paper.label} page fitted to {other.label} paper"
    return ""


def _scaled(ratio: float, paper: Paper) -> Finding:
    """Both axes scaled alike by more than a printer does: the print dialog."""
    if ratio > 1:
        name, cause = "borderless", "borderless printing, or an enlarging print dialog"
        remedy = "switch borderless off, print at 100 % and measure again; correct nothing for it"
    else:
        fitted = _fitted_to(paper, ratio)
        name = "other-paper" if fitted else "fit-to-page"
        cause = f"fit to page ({fitted})" if fitted else "fit to page"
        remedy = "choose 100 % or 'actual size' and the sheet's own paper in the print dialog"
    return Finding(
        name=name,
        line="x",
        seen=f"{100 * ratio:.2f} % of the size on both axes",
        allowed=SCALES_ALLOWED,
        remedy=f"it looks like {cause}: {remedy}",
    )


def _dialog(found: Fit) -> Iterator[Finding]:
    """Both axes off alike, by little enough for a printer but more than usual."""
    mean = (found.scale_x + found.scale_y) / 2
    if abs(found.scale_x - found.scale_y) <= DIALOG_ALIKE and abs(mean - 1) >= DIALOG_FROM:
        cause = "borderless printing" if mean > 1 else "fit to page with narrow margins"
        yield Finding(
            name="looks-like-the-dialog",
            weight="ask",
            line="x",
            seen=f"{100 * mean:.2f} % of the size on both axes",
            allowed="axes that differ from each other, as those of printers do",
            remedy=f"it looks like {cause}: check the print dialog, and add `dialog-checked` when "
            "it said 100 % and borderless off",
        )


def _beyond(found: Fit) -> Iterator[Finding]:
    """A fit outside of what printers do."""
    scales = {"x": found.scale_x, "y": found.scale_y}
    for (line, scale), sure in zip(scales.items(), found.uncertainties[:2], strict=True):
        if abs(scale - 1) > SCALE_LIMIT + 2 * sure:
            yield Finding(
                name="beyond-a-printer",
                line=line,
                seen=f"{100 * scale:.2f} % of the size",
                allowed=SCALES_ALLOWED,
                remedy="no healthy printer is that far out: measure again, and print again",
            )
    if abs(found.shear) > SHEAR_LIMIT + 2 * found.uncertainties[2]:
        yield Finding(
            name="shear-beyond-a-printer",
            line="rising",
            seen=f"out of square by {100 * found.shear:.2f} mm per 100 mm",
            allowed=f"up to {100 * SHEAR_LIMIT:g} mm per 100 mm",
            remedy="measure both diagonals again; if it stays, the paper is fed askew",
        )


def _misread(measured: Sequence[Measured], instrument: Instrument, found: Fit) -> Iterator[Finding]:
    """Diagonals that do not belong to the sides: x and y swapped, or one line misread."""
    if not abs(found.misfit_mm) > found.misfit_limit_mm:
        return
    by_line = {one.line: one for one in measured}
    x, y = by_line["x"], by_line["y"]
    by_line["x"] = replace(
        x, readings_mm=tuple(r * x.nominal_mm / y.nominal_mm for r in y.readings_mm)
    )
    by_line["y"] = replace(
        y, readings_mm=tuple(r * y.nominal_mm / x.nominal_mm for r in x.readings_mm)
    )
    swapped = fit(list(by_line.values()), instrument)
    remedy = "one of the four lines is misread: measure all four again"
    name = "misread-line"
    if abs(swapped.misfit_mm) <= swapped.misfit_limit_mm:
        name = "swapped"
        remedy = (
            "either X and Y are exchanged (X lies along the short edge), or one of the four lines "
            "is misread: measure all four again"
        )
    elif late := [one for one in measured if _late_explains(one, measured, instrument)]:
        name = "started-late"
        remedy = f"line {' or '.join(one.line.capitalize() for one in late)}: {STARTED_LATE}"
    yield Finding(
        name=name,
        line="rising",
        seen=f"diagonals that miss the sides by {abs(found.misfit_mm):.2f} mm",
        allowed=f"up to {found.misfit_limit_mm:.2f} mm with this instrument",
        remedy=remedy,
    )


def _late_explains(one: Measured, measured: Sequence[Measured], instrument: Instrument) -> bool:
    """Whether the four lines fit once one of them is read 10 mm shorter."""
    shorter = replace(one, readings_mm=tuple(r - RULER_START_MM for r in one.readings_mm))
    if not _near(shorter.ratio, 1.0):
        return False
    found = fit([shorter if each is one else each for each in measured], instrument)
    return abs(found.misfit_mm) <= found.misfit_limit_mm


def _notes(measured: Sequence[Measured], instrument: Instrument, found: Fit) -> Iterator[Finding]:
    """What is worth knowing about readings that can be used."""
    few = [one for one in measured if len(one.readings_mm) < 3]
    if few:
        yield Finding(
            name="few-readings",
            weight="note",
            line=few[0].line,
            seen="fewer than three readings of a line",
            allowed="three of each",
            remedy="three show a slip and lower the uncertainty",
        )
    if len(measured) < 4:
        yield Finding(
            name="no-diagonals",
            weight="note",
            line="rising",
            seen="not both diagonals",
            allowed="rising and falling",
            remedy="without both the shear is hardly known, and cannot be checked",
        )
    if found.degrees_of_freedom and found.scatter_mm > 2 * instrument.reading_mm:
        yield Finding(
            name="scatter",
            weight="note",
            line=max(measured, key=lambda m: max(m.readings_mm) - min(m.readings_mm)).line,
            seen=f"readings that scatter by {found.scatter_mm:.2f} mm",
            allowed=f"about {instrument.reading_mm:g} mm with {instrument.label}",
            remedy="this scatter was used in place of the usual one; a lens and a steady edge help",
        )
