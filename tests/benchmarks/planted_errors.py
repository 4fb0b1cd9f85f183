"""1,000 arms of no scheme with one wrong statement each: how often `reconcile` names the right one.

Run: python -m tests.benchmarks.planted_errors [--count 1000] [--seed 1]

Arms, roundings and errors are made here, as data sheets, sellers and rulers give them: lengths in
whole or tenths of a millimetre, offsets in half degrees, a pivot to spindle from a ruler. The error
is planted in one of the statements; each null radius of a pair is one. A wrong unit, a turned sign
and one length given for another are planted as well. Where the statements still agree the error
cannot be seen by anybody, and the case counts as not noticed.
"""

from __future__ import annotations

import argparse
import math
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from protractor.alignments.closest import closest_scheme
from protractor.arms.arm import Arm
from protractor.arms.records import record
from protractor.errors import InputError
from protractor.setup.consistency import Statement
from protractor.setup.reconcile import reconcile_statements

SIDE = record()
RIGHT_AT_LEAST = 0.95

BOUNDS = {
    "pivot-to-spindle": (0.5, 0.5, 0.3, 0.05),
    "effective-length": (0.5, 0.5, 0.05),
    "overhang": (0.5, 0.25, 0.05),
    "offset-angle": (0.25, 0.25, 0.5, 0.05),
    "linear-offset": (0.5, 0.05),
    "null-radii": (0.5, 0.05),
}
"""Half the step that a number is rounded to, and how often: whole, halves, tenths."""

GIVEN = {
    "pivot-to-spindle": 0.95,
    "effective-length": 0.8,
    "overhang": 0.85,
    "offset-angle": 0.85,
    "linear-offset": 0.4,
    "null-radii": 0.5,
}
"""How often a number is stated at all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One arm, what is stated about it, and which statement is wrong in what way.

    `wrong` is the index in `statements`; `kind` is `off` or the name of the mistake.
    """

    arm: Arm
    statements: list[Statement]
    wrong: int
    kind: str

    @property
    def label(self) -> str:
        """What `reconcile` calls the wrong statement."""
        name = self.statements[self.wrong].name
        if name != "null-radii":
            return name
        place = sum(s.name == name for s in self.statements[: self.wrong])
        return f"{name} {('inner', 'outer')[place]}"


def no_scheme(rng: np.random.Generator) -> Arm:
    """An arm that looks like one, half a degree or more from each scheme somewhere on the side."""
    while True:
        arm = Arm.through_nulls(
            (rng.uniform(54, 76), rng.uniform(104, 130)),
            pivot_to_spindle_mm=float(rng.choice([rng.uniform(198, 225), rng.uniform(225, 310)])),
        )
        if closest_scheme(arm, SIDE)[1] > math.radians(0.5):
            return arm


def stated(arm: Arm, rng: np.random.Generator) -> list[Statement]:
    """What somebody states of an arm, rounded: at least four numbers, so that some can be checked.

    What was measured by a ruler is wrong by anything within its bound; the rest is rounded.
    """
    values = {
        "pivot-to-spindle": (arm.pivot_to_spindle_mm,),
        "effective-length": (arm.effective_length_mm,),
        "overhang": (arm.overhang_mm,),
        "offset-angle": (arm.offset_angle_deg,),
        "linear-offset": (arm.linear_offset_mm,),
        "null-radii": arm.null_radii_mm,
    }
    while True:
        found = []
        for name, share in GIVEN.items():
            if rng.random() > share:
                continue
            bound = float(rng.choice(BOUNDS[name]))
            for true in values[name]:
                step = 2 * bound
                value = round(true / step) * step
                if name == "pivot-to-spindle":
                    value = round(true + rng.uniform(-bound, bound), 2)
                found.append(Statement(name=name, value=value, bound=bound))
        if len(found) >= 4 and {"pivot-to-spindle", "effective-length"} & {s.name for s in found}:
            return found


MISTAKES: dict[str, tuple[str, Callable[[Statement, Arm], float]]] = {
    "sign": ("overhang", lambda s, arm: -s.value),
    "distance for length": ("effective-length", lambda s, arm: arm.pivot_to_spindle_mm),
    "length for distance": ("pivot-to-spindle", lambda s, arm: arm.effective_length_mm),
    "inch for cm": ("overhang", lambda s, arm: s.value * 2.54),
    "cm for inch": ("overhang", lambda s, arm: s.value / 2.54),
    "cm for inch, linear": ("linear-offset", lambda s, arm: s.value / 2.54),
    "cm for mm": ("overhang", lambda s, arm: s.value / 10),
}


def planted(rng: np.random.Generator, mistake: str = "") -> Case:
    """A case with one error of 1.5 to 10 mm (or 0.4 to 3 degrees), or with a mistake by name."""
    while True:
        arm = no_scheme(rng)
        statements = stated(arm, rng)
        names = [s.name for s in statements]
        if mistake:
            name, made = MISTAKES[mistake]
            if name not in names:
                continue
            wrong = names.index(name)
            value = made(statements[wrong], arm)
        else:
            wrong = int(rng.integers(len(statements)))
            size = rng.uniform(0.4, 3) if names[wrong] == "offset-angle" else rng.uniform(1.5, 10)
            value = statements[wrong].value + rng.choice([-1, 1]) * size
        statements[wrong] = replace(statements[wrong], value=float(value))
        return Case(arm=arm, statements=statements, wrong=wrong, kind=mistake or "off")


def outcome(case: Case) -> str:
    """What `reconcile` makes of a case."""
    try:
        found = reconcile_statements(case.statements, SIDE)
    except InputError:
        return "refused"
    if found.agrees:
        return "not noticed"
    if found.suspect is not None:
        return "right" if found.suspect == case.label else "WRONG"
    return "listed" if case.label in found.candidates else "not listed"


def main() -> None:
    """Measures, prints and asserts."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    words = parser.parse_args()
    rng = np.random.default_rng(words.seed)
    by_name: dict[str, Counter[str]] = {}
    for _ in range(words.count):
        case = planted(rng)
        by_name.setdefault(case.label, Counter())[outcome(case)] += 1
    total = sum(by_name.values(), Counter())
    mistakes = {name: Counter(outcome(planted(rng, name)) for _ in range(50)) for name in MISTAKES}
    columns = ("right", "WRONG", "listed", "not listed", "not noticed", "refused")
    print(f"{'wrong statement':<24}" + "".join(f"{c:>12}" for c in columns))
    for name, counts in [*sorted(by_name.items()), ("all of these", total), *mistakes.items()]:
        print(f"{name:<24}" + "".join(f"{counts[c]:>12}" for c in columns))
    named = total["right"] + total["WRONG"]
    share = total["right"] / max(1, named)
    print(f"A statement that is named is the wrong one in {100 * share:.1f} % of {named}.")
    assert share >= RIGHT_AT_LEAST
    assert total["not listed"] <= 0.01 * total.total()


if __name__ == "__main__":
    main()
