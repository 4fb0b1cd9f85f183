"""How often `printer verify` is wrong: prints of a known error, read with every instrument.

Run: python -m tests.benchmarks.verdicts_on_prints [--count 1000]

Prints are off by one length error over the distance of the null points, spread over scale and shear
in five ways. Hands and instruments are simulated here: an error of the instrument's own within its
accuracy, a hand that is a little unsteady, and the step that the instrument is read to. Asserted:
of prints that keep the budget at most 5 % are failed, of prints that do not at most 5 % are passed,
and the stated uncertainty holds the truth in 95 % or more.
"""

from __future__ import annotations

import argparse
import math

import numpy as np

from protractor.printing.fit import fit
from protractor.printing.readings import INSTRUMENTS, STEPS_MM, Instrument, Measured
from protractor.printing.verification import default_over_mm, greatest_strain, verify
from tests.simulated_printer import SimulatedPrinter

A4 = {"x": 160.0, "y": 240.0, "rising": 265.0, "falling": 265.0}
NEAR = dict.fromkeys(A4, 150.0)
ERRORS_MM = (0.0, 0.05, 0.08, 0.095, 0.105, 0.15, 0.3)
SHAPES = {
    "x": (1.0, 0.0, 0.0),
    "both": (1.0, 1.0, 0.0),
    "smaller": (-1.0, -1.0, 0.0),
    "opposite": (1.0, -1.0, 0.0),
    "square": (0.0, 0.0, 2.0),
}
HAND = 0.6
"""The hand's part of the standard deviation of a reading; the rest is rounding."""


def hand_reads(
    printer: SimulatedPrinter,
    tool: Instrument,
    rng: np.random.Generator,
    lines: dict[str, float],
    hand_mm: float | None = None,
) -> list[Measured]:
    """Three readings of each line, rounded to the instrument's step."""
    own = rng.uniform(-tool.accuracy_mm, tool.accuracy_mm)
    hand = HAND * tool.reading_mm if hand_mm is None else hand_mm
    step = STEPS_MM[tool.name]
    found = []
    for line, nominal in lines.items():
        seen = printer.length(line, nominal) + own + rng.normal(0, hand, 3)
        found.append(
            Measured(line=line, nominal_mm=nominal, readings_mm=tuple(np.round(seen / step) * step))
        )
    return found


def print_with(error_mm: float, shape: tuple[float, float, float]) -> SimulatedPrinter:
    """A printer whose greatest error over the distance of the null points is `error_mm`."""
    x, y, s = (v * error_mm / default_over_mm() for v in shape)
    return SimulatedPrinter(1 + x, 1 + y, math.asin(s))


def verdicts(
    tool: Instrument, error_mm: float, count: int, rng: np.random.Generator
) -> dict[str, float]:
    """Shares of `pass`, `fail` and `cannot tell` over prints of an error in all shapes."""
    lines = NEAR if tool.name == "calipers" else A4
    came = {"pass": 0, "fail": 0, "cannot tell": 0}
    for i in range(count):
        printer = print_with(error_mm, list(SHAPES.values())[i % len(SHAPES)])
        came[verify(fit(hand_reads(printer, tool, rng, lines), tool)).verdict] += 1
    return {verdict: n / count for verdict, n in came.items()}


def coverage(tool: Instrument, hand_mm: float, count: int, rng: np.random.Generator) -> float:
    """The least share, over X, Y and shear, of truths within the stated uncertainty at k = 2."""
    lines = NEAR if tool.name == "calipers" else A4
    held = np.zeros(3)
    for _ in range(count):
        x, y, s = rng.uniform(-0.01, 0.01), rng.uniform(-0.01, 0.01), rng.uniform(-0.003, 0.003)
        found = fit(
            hand_reads(SimulatedPrinter(1 + x, 1 + y, math.asin(s)), tool, rng, lines, hand_mm),
            tool,
        )
        off = np.abs([found.scale_x - 1 - x, found.scale_y - 1 - y, found.shear - s])
        held += off <= 2 * np.array(found.uncertainties)
    return float(held.min() / count)


def main() -> None:
    """Measures, prints and asserts."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--count", type=int, default=1000)
    count = parser.parse_args().count
    rng = np.random.default_rng(106)
    assert float(greatest_strain(1.0, 1.0, 0.002)) > 0.00099
    slack = 3 * math.sqrt(0.05 * 0.95 / count)
    print(f"{'':<18}" + "".join(f"{e:>12g}" for e in ERRORS_MM) + "   true error, mm")
    for tool in INSTRUMENTS.values():
        shares = {e: verdicts(tool, e, count, rng) for e in ERRORS_MM}
        cells = "".join(f"{100 * s['pass']:>7.1f}{100 * s['fail']:>5.1f}" for s in shares.values())
        print(f"{tool.name:<18}{cells}   % pass, fail")
        for error, share in shares.items():
            assert error > 0.1 or share["fail"] <= 0.05 + slack, (tool.name, error, share)
            assert error < 0.1 or share["pass"] <= 0.05 + slack, (tool.name, error, share)
    for tool in INSTRUMENTS.values():
        shares_held = [
            coverage(tool, hand, count, rng)
            for hand in (0.1 * tool.reading_mm, 0.3 * tool.reading_mm, 0.7 * tool.reading_mm)
        ]
        print(f"{tool.name:<18}" + "".join(f"{100 * s:>8.1f}" for s in shares_held) + "   % held")
        assert min(shares_held) >= 0.95 - slack, (tool.name, shares_held)


if __name__ == "__main__":
    main()
