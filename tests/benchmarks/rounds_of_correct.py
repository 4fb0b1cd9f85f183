"""How many rounds `correct` asks for, and whether a set-up ends better than it began.

Run by hand: python -m tests.benchmarks.rounds_of_correct [--runs N] [--seed N]

Set-ups within 3 mm and 2 degrees of Löfgren A on a deck of 222 mm; pivot to spindle misread by up
to 0.5 mm, slots up to 2 degrees from the offset angle, readings off by up to their bound, moves by
up to 0.2 mm and 0.25 degrees; each evenly spread. The vectors of `tests.benchmarks.hands` move the
stylus. Baseline: a move whenever a reading lies beyond its bound of what the target shows, the rule
before verdicts. A round is one answer of `correct` that asks for a move or says to stop; reading
again counts as part of its round. Prints a table and decides no test.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass

import click
import numpy as np

from protractor import Deck, Seen, correct
from tests.benchmarks.hands import Headshell, lofgren_a, turned_deg

D = 222.0
PIVOT_TO_SPINDLE_MM, OVERHANG_MM = 0.5, 0.25
START_MM, START_DEG, SLOTS_DEG = 3.0, 2.0, 2.0
HAND_MM, HAND_DEG = 0.2, 0.25
MOST_ROUNDS = 12


@dataclass(frozen=True)
class Case:
    """How the sheet is read: the bound, to what step, and whether the overhang is read too."""

    name: str
    bound_deg: float
    step_deg: float = 0.0
    overhang: bool = False


CASES = (
    Case("fans, ± 0.25 deg", 0.25),
    Case("fans and overhang", 0.25, overhang=True),
    Case("fans in half degrees, ± 0.5 deg", 0.5, 0.5),
    Case("the same, and overhang", 0.5, 0.5, overhang=True),
)


@dataclass(frozen=True)
class Ended:
    """Rounds until the program said stop, moves among them, and the peak harmonic [%]."""

    rounds: int
    moves: int
    began: float
    ended: float
    vain: int


def read(rng: np.random.Generator, arm: Headshell, radius: float, case: Case) -> float:
    """A fan's reading: seen within its bound, less what rounding to the step takes of it."""
    tip, body = arm.at(radius)
    seen = turned_deg(tip * -1j, body) + rng.uniform(-1, 1) * (case.bound_deg - case.step_deg / 2)
    return round(seen / case.step_deg) * case.step_deg if case.step_deg else seen


def plays(rng: np.random.Generator, case: Case, baseline: bool) -> Ended:
    """One set-up, until the program says stop."""
    d = D + rng.uniform(-1, 1) * PIVOT_TO_SPINDLE_MM
    length, offset, _ = lofgren_a(D)
    _, _, nulls = lofgren_a(D)
    arm = Headshell.standing(
        d,
        length + rng.uniform(-1, 1) * START_MM,
        offset + rng.uniform(-1, 1) * START_DEG,
        offset + rng.uniform(-1, 1) * SLOTS_DEG,
    )
    began, moves, vain, deck = arm.peak_harmonic(), 0, 0, Deck(pivot_to_spindle_mm=D)
    for round_ in range(1, MOST_ROUNDS + 1):
        readings: list[str] = []
        verdict = "read-again"
        overhang = arm.overhang() + rng.uniform(-1, 1) * OVERHANG_MM if case.overhang else None
        while verdict == "read-again":
            shown = [np.clip(read(rng, arm, radius, case), -4, 4) for radius in nulls]
            readings += [f"{r:.2f}:{a:.4f}" for r, a in zip(nulls, shown, strict=True)]
            answer = correct(
                deck,
                Seen(reading=readings, overhang_mm=overhang, reading_bound_deg=case.bound_deg),
            )
            verdict = answer.verdict
            if baseline:
                right = all(abs(a) <= case.bound_deg for a in shown)
                if overhang is not None:
                    right = right and abs(overhang - (length - D)) <= OVERHANG_MM
                verdict = "matches" if right else "move"
        if verdict != "move":
            return Ended(round_, moves, began, arm.peak_harmonic(), vain)
        both = answer.slide_interval_mm[0] < 0 < answer.slide_interval_mm[1]
        vain += both and answer.turn_interval_deg[0] < 0 < answer.turn_interval_deg[1]
        arm = arm.moved(
            answer.slide_mm + rng.uniform(-1, 1) * HAND_MM,
            answer.turn_deg + rng.uniform(-1, 1) * HAND_DEG,
        )
        moves += 1
    return Ended(MOST_ROUNDS + 1, moves, began, arm.peak_harmonic(), vain)


def row(name: str, ends: list[Ended]) -> str:
    """One line of the table."""
    rounds, ended = np.array([e.rounds for e in ends]), np.array([e.ended for e in ends])
    worse = sum(e.ended > e.began for e in ends)
    by = max(e.ended - e.began for e in ends)
    moves, vain = sum(e.moves for e in ends), sum(e.vain for e in ends)
    middle, most = np.quantile(ended, [0.5, 0.95])
    return (
        f"{name:<42}{rounds.mean():>7.2f}{100 * np.mean(rounds >= 4):>8.1f}"
        f"{100 * vain / max(moves, 1):>8.1f}{middle:>8.2f}{most:>7.2f}"
        f"{worse:>7d}" + (f" (by {by:.2f})" if worse else "")
    )


def main() -> None:
    """Play and print."""
    asked = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    asked.add_argument("--runs", type=int, default=1000)
    asked.add_argument("--seed", type=int, default=1938)
    given = asked.parse_args()
    print(f"{'':<42}{'rounds':>7}{'> 3, %':>8}{'vain, %':>8}{'median':>8}{'95 %':>7}{'worse':>7}")
    for case in CASES:
        for baseline in (True, False):
            name = f"{case.name}{', before' if baseline else ''}"
            with click.progressbar(range(given.runs), label=name[:30], file=sys.stderr) as bar:
                ends = [plays(np.random.default_rng([given.seed, i]), case, baseline) for i in bar]
            print(row(name, ends), flush=True)
    print("vain: share of moves whose slide and turn may both be nothing at 95 %; peak second")
    print(f"harmonic in %; worse: set-ups of {given.runs} that ended with more of it.")


if __name__ == "__main__":
    main()
