"""What was read on a printed sheet, and what the print is worth: the same for every face."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from protractor.alignments.deck import Deck
from protractor.errors import named
from protractor.printing import reading_inputs
from protractor.printing.diagnosis import Judgement, judge_print
from protractor.printing.paper import paper as paper_of
from protractor.printing.profiles import Profile
from protractor.printing.readings import DIRECTIONS, INSTRUMENTS, Instrument, Measured
from protractor.setup.print_cost import PrintCost, print_cost
from protractor.sheets.calibration import calibration_lengths, read_lines


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintReadings:
    """What was read on a calibration or verification sheet.

    `marks` are those measured between, `ends` or `150`; `lengths_mm` is every length on the sheet,
    by which a reading of the wrong mark is recognised [mm].
    """

    measured: tuple[Measured, ...]
    instrument: Instrument
    marks: str
    lengths_mm: tuple[float, ...]


def print_readings(paper: str, values: Mapping[str, Any]) -> PrintReadings:
    """The readings of a sheet on a paper, from what a user gave.

    `values` by name, with underscores: the lines, `instrument`, and where they differ from the
    usual ones `marks`, `reading_uncertainty`, `accuracy` and nominal lengths (`x_nominal`); None is
    not given. Raises `InputError` without an instrument, and as `read_lines`.
    """
    name = values.get("instrument")
    if name is None:
        asked = reading_inputs.INSTRUMENT
        raise asked.refuse("nothing", "say what you measured with")
    given = {"reading_mm": "reading_uncertainty", "accuracy_mm": "accuracy"}
    own = {field: v for field, key in given.items() if (v := values.get(key)) is not None}
    marks = values.get("marks") or ("150" if name == "calipers" else "ends")
    sheet = paper_of(paper)
    measured = read_lines(
        sheet,
        marks,
        {line: values.get(line) or () for line in DIRECTIONS},
        {line: values.get(f"{line}_nominal") for line in DIRECTIONS},
    )
    return PrintReadings(
        measured=tuple(measured),
        instrument=replace(INSTRUMENTS[name], **own),
        marks=marks,
        lengths_mm=tuple(sorted({mm for at in calibration_lengths(sheet).values() for mm in at})),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """The verdict on the print of a printer's verification sheet, and what it costs on a deck."""

    profile: Profile
    readings: PrintReadings
    judgement: Judgement
    cost: PrintCost | None

    def as_dict(self, mark: str = "") -> dict[str, Any]:
        """Everything under the stable keys of `--json`; `mark` goes before names of inputs."""
        result = self.judgement.result
        return {
            "printer": self.profile.name,
            "paper": self.profile.paper,
            "verdict": result.verdict,
            "probability": result.probability,
            "best_probability": result.best_probability,
            "error_mm": result.error_mm,
            "expanded_uncertainty_mm": result.expanded_mm,
            "rejection_mm": result.rejection_mm,
            "budget_mm": result.budget_mm,
            "over_mm": result.over_mm,
            **self.judgement.printed.as_dict(),
            "cost": self.cost and self.cost.as_dict(),
            "advice": named(self.judgement.advice, mark),
            "findings": [finding.as_dict(mark) for finding in self.judgement.findings],
        }


def proof(
    profile: Profile,
    readings: PrintReadings,
    deck: Deck | None = None,
    *,
    budget_mm: float | None = None,
    over_mm: float | None = None,
) -> Proof:
    """The verdict on a print that was corrected for a printer; arguments as `judge_print`.

    Raises `InputError` for readings that cannot be right, and as `print_cost`.
    """
    judgement = judge_print(
        profile.fit,
        readings.measured,
        readings.instrument,
        paper_of(profile.paper),
        readings.lengths_mm,
        budget_mm=reading_inputs.BUDGET.or_default(budget_mm),
        over_mm=over_mm,
    )
    cost = print_cost(judgement.result, deck)
    return Proof(profile=profile, readings=readings, judgement=judgement, cost=cost)
