"""The simulated novice: the whole job, a thousand times, judged by vectors of its own.

Run by hand: python -m tests.benchmarks.novice [--runs N] [--seed N] [--bound DEGREES]

A deck of 222 mm or so with a data sheet that misstates its overhang by up to 4 mm; the cartridge
stands as that sheet says, to a degree or two. The novice prints the pivot gauge and reads it by
eye, prints the sheet, lays it on with play, puts the tip on each null point, reads the fans with
the pointer to half a degree and the overhang to half a millimetre, asks `correct`, and moves by
hand what it says, until it says to stop. Three ways: the sheet alone on a printer that nobody
corrected; the printer recorded with an ordinary ruler; and the stylus's own angle known as well.

The package is asked as its user asks it (`align`, `correct`, the fit of a printer); what really
stands on the deck is moved by `tests.benchmarks.hands`. All bounds below are the most that
something is off, evenly spread. Prints a table and decides no test.
"""

from __future__ import annotations

import argparse
import cmath
import math
import sys
from dataclasses import dataclass

import click
import numpy as np

from protractor import Deck, InputError, Seen, align, correct
from protractor.printing.fit import PrintCorrection, fit
from protractor.printing.readings import DIRECTIONS, INSTRUMENTS, Measured
from protractor.setup.bounds import READING_BOUND_DEG
from tests.benchmarks.hands import Headshell, lofgren_a, turned_deg

SCALE, SHEAR = 0.01, 0.003
"""An inkjet's scale along either axis and its shear."""

GAUGE_MM = 0.4
"""The pivot gauge read by eye across the pivot."""

RULER_MM, RULER_STEP_MM, LINES_MM = 0.3, 0.5, {"x": 150.0, "y": 150.0, "rising": 150.0}
LINES_MM["falling"] = LINES_MM["rising"]
"""An ordinary ruler on the calibration sheet's lines: laid on and seen, and what it is read to."""

PLAY_MM, TIP_MM = 0.1, 0.15
"""The sheet beside the spindle, and the tip beside the point that it is set on."""

OVERHANG_EYE_MM, OVERHANG_STEP_MM = 0.15, 0.25
"""The tip on the overhang scale: what the eye misses, and what is read."""

POINTER_DEG = {"edge over the foot": 0.14, "eye aside": 0.21, "bar on the front": 0.48}
SQUARE_DEG, FAN_STEP_DEG, FAN_DEG = 0.25, 0.5, 4.0
"""One reading of a card pointer, what its own corner is off all the time, and the fan."""

HAND_MM, HAND_DEG = 0.2, 0.25
ASKEW_DEG = 1.0
MOST_ROUNDS = 10


@dataclass(frozen=True)
class Way:
    """One way of doing the job."""

    name: str
    calibrated: bool
    zenith_known_deg: float | None = None


WAYS = (
    Way("sheet alone, printer uncorrected", False),
    Way("printer calibrated", True),
    Way("and zenith known to ± 0.5 deg", True, 0.5),
    Way("and zenith known to ± 0.25 deg", True, 0.25),
)


@dataclass(frozen=True)
class Ended:
    """How one job ended: rounds of `correct`, moves among them, errors, distortion [%]."""

    rounds: int
    moves: int
    overhang_mm: float
    angle_deg: float
    began: float
    ended: float
    own: float
    why: str


def rounded(value: float, step: float) -> float:
    """A value as it is read from divisions."""
    return round(value / step) * step


@dataclass
class Novice:
    """One person with one deck, one printer and one pointer; `rng` makes every slip."""

    rng: np.random.Generator
    way: Way
    bound_deg: float

    def off(self, bound: float) -> float:
        """An error evenly within a bound."""
        return float(self.rng.uniform(-bound, bound))

    def plays(self) -> Ended:
        """The whole job."""
        d = 222.0 + self.off(1.0)
        length, offset, nulls = lofgren_a(d)
        self.arm = Headshell.standing(
            d,
            length + self.off(4.0),
            offset + self.off(2.0),
            offset + self.off(2.0),
            self.off(ASKEW_DEG),
        )
        began = self.arm.peak_harmonic()
        self.paper = self.prints()
        self.beside = cmath.rect(PLAY_MM * math.sqrt(self.rng.random()), self.off(math.pi))
        self.square = self.off(SQUARE_DEG)
        # the gauge is read along the sheet's long side
        along = abs(self.printed(1j))
        deck = Deck(
            pivot_to_spindle_mm=rounded(d / along + self.off(GAUGE_MM), 0.1),
            zenith_deg=self.zenith(),
        )
        self.sheet = align(deck).arm
        rounds, moves, why = self.until_it_says_stop(deck)
        tip_error = [self.arm.at(r) for r in nulls]
        ideal_d = lofgren_a(d)
        return Ended(
            rounds,
            moves,
            abs(self.arm.stylus) - ideal_d[0],
            max(abs(turned_deg(tip * -1j, body) + self.arm.zenith_deg) for tip, body in tip_error),
            began,
            self.arm.peak_harmonic(),
            Headshell.standing(d, length, offset, offset).peak_harmonic(),
            why,
        )

    def zenith(self) -> float | None:
        """What the novice knows of the stylus in its cartridge."""
        known = self.way.zenith_known_deg
        return None if known is None else self.arm.zenith_deg + self.off(known)

    def prints(self) -> np.ndarray:
        """What the printer does to the sheet, corrected or not: a matrix."""
        x, y, lean = 1 + self.off(SCALE), 1 + self.off(SCALE), self.off(SHEAR)
        paper = np.array([[x, y * math.sin(lean)], [0.0, y * math.cos(lean)]])
        if not self.way.calibrated:
            return paper
        measured = [
            Measured(
                line=line,
                nominal_mm=nominal,
                readings_mm=tuple(self.ruler(paper, line, nominal) for _ in range(3)),
            )
            for line, nominal in LINES_MM.items()
        ]
        found = fit(measured, INSTRUMENTS["ruler"])
        inverse = PrintCorrection(
            printer="desk",
            date="",
            scale_x=found.scale_x,
            scale_y=found.scale_y,
            shear=found.shear,
        ).matrix
        return paper @ np.array(inverse)

    def ruler(self, paper: np.ndarray, line: str, nominal: float) -> float:
        """One reading of a printed line with an ordinary ruler, from a fresh start."""
        length = float(np.linalg.norm(paper @ np.array(DIRECTIONS[line]) * nominal))
        return rounded(length + self.off(RULER_MM), RULER_STEP_MM)

    def printed(self, point: complex) -> complex:
        """Where a point of the sheet is on the print, from the spindle's printed cross."""
        x, y = self.paper @ np.array([point.real, point.imag])
        return complex(x, y)

    def until_it_says_stop(self, deck: Deck) -> tuple[int, int, str]:
        """Rounds, moves, and what the program said last."""
        moves = 0
        for round_ in range(1, MOST_ROUNDS + 1):
            answer = self.asks(deck)
            if answer is None:  # beyond the fan: turn it roughly square, by eye
                self.arm = self.arm.moved(0.0, -self.fan(self.sheet.null_radii_mm[0]))
            elif answer.verdict == "move":
                self.arm = self.arm.moved(
                    round(answer.slide_mm, 1) + self.off(HAND_MM),
                    round(answer.turn_deg, 1) + self.off(HAND_DEG),
                )
            else:
                return round_, moves, answer.verdict
            moves += 1
        return MOST_ROUNDS + 1, moves, "never"

    def asks(self, deck: Deck):  # type: ignore[no-untyped-def]
        """Reads the sheet, again where that is asked for, and asks the program."""
        readings: list[str] = []
        overhang = self.overhang()
        while True:
            for radius in self.sheet.null_radii_mm:
                seen = self.fan(radius)
                if abs(seen) > FAN_DEG:
                    return None
                readings.append(f"{radius:.1f}:{seen:g}")
            try:
                answer = correct(
                    deck,
                    Seen(reading=readings, overhang_mm=overhang, reading_bound_deg=self.bound_deg),
                )
            except InputError as error:
                print(error, file=sys.stderr)
                return None
            if answer.verdict != "read-again":
                return answer

    def fan(self, radius: float) -> float:
        """What the novice reads at a target [deg]: the sheet is turned under the tip."""
        tip0, _ = Headshell.standing(
            self.sheet.pivot_to_spindle_mm, self.sheet.effective_length_mm, 0.0, 0.0
        ).at(radius)
        slip = cmath.rect(TIP_MM * math.sqrt(self.rng.random()), self.off(math.pi))
        point = self.printed(tip0) + self.beside + slip
        grid = self.printed(tip0 * -1j)
        tip, body = self.arm.at(abs(point))
        shown = turned_deg(grid * tip / point, body) + self.square
        shown += sum(self.off(bound) for bound in POINTER_DEG.values())
        return rounded(shown, FAN_STEP_DEG)

    def overhang(self) -> float:
        """What the novice reads where the tip passes the overhang scale [mm]."""
        scale = abs(self.printed(-1j))
        real = self.arm.overhang() + self.beside.imag
        return rounded(real / scale + self.off(OVERHANG_EYE_MM), OVERHANG_STEP_MM)


def plays(way: Way, runs: int, seed: int, bound_deg: float) -> list[Ended]:
    """Many jobs, each with its own stream of slips."""
    with click.progressbar(range(runs), label=way.name[:24], file=sys.stderr) as bar:
        return [Novice(np.random.default_rng([seed, i]), way, bound_deg).plays() for i in bar]


def table(found: dict[str, list[Ended]]) -> str:
    """The figures of every way."""
    rows = [f"{'':<34}{'rounds':>8}{'<= 3':>7}  overhang mm   angle deg   2nd harmonic %  worse"]
    rows.append(f"{'':<34}{'mean':>8}{'%':>7}  median  95 %  median 95 %  median  95 %      %")
    for name, ends in found.items():
        over = np.abs([e.overhang_mm for e in ends])
        angle = np.abs([e.angle_deg for e in ends])
        ended = np.array([e.ended for e in ends])
        worse = np.mean([e.ended > e.began for e in ends])
        rounds = np.array([e.rounds for e in ends])
        rows.append(
            f"{name:<34}{rounds.mean():>8.2f}{100 * np.mean(rounds <= 3):>7.1f}"
            f"{np.median(over):>8.2f}{np.quantile(over, 0.95):>6.2f}"
            f"{np.median(angle):>8.2f}{np.quantile(angle, 0.95):>5.2f}"
            f"{np.median(ended):>8.2f}{np.quantile(ended, 0.95):>6.2f}{100 * worse:>7.1f}"
        )
    return "\n".join(rows)


def main() -> None:
    """Play and print."""
    asked = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    asked.add_argument("--runs", type=int, default=1000)
    asked.add_argument("--seed", type=int, default=1938)
    asked.add_argument("--bound", type=float, default=READING_BOUND_DEG)
    given = asked.parse_args()
    found = {way.name: plays(way, given.runs, given.seed, given.bound) for way in WAYS}
    print(table(found))
    own = next(iter(found.values()))[0].own
    print(f"{given.runs} runs, seed {given.seed}; the scheme's own peak is {own:.2f} %.")
    for name, ends in found.items():
        whys = [e.why for e in ends]
        print(f"  {name}: " + ", ".join(f"{w} {whys.count(w)}" for w in sorted(set(whys))))


if __name__ == "__main__":
    main()
