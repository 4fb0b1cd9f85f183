"""What the exact alignment costs: against a general minimiser, by question, and as a process.

Run by hand: python -m tests.benchmarks.exact_optimum

Baseline: scipy.optimize.minimize on a grid of 2001 radii, started from Löfgren A's closed form, by
the quickest of the methods below that reaches the agreement (1e-7 mm, 1e-8 rad). 1001 points are
even, 1000 lie about the lowest point of the curve: an even grid alone misses the peak by more than
the agreement asked for. The process: `solve --exact` against plain
`solve`, in turns, by their medians. Prints ratios and asserts the agreement; decides no test.
"""

from __future__ import annotations

import math
import statistics
import subprocess
import sys
import time
import timeit

import numpy as np
from scipy import optimize

from protractor.alignments.objective import Objective, Span
from protractor.alignments.optimum import best_arm
from protractor.arms.arm import tracking_angle
from protractor.arms.schemes import scheme_null_radii

INNER, OUTER, PIVOT_TO_SPINDLE = 60.325, 146.05, 222.0
AGREEMENT_MM, AGREEMENT_RAD = 1e-7, 1e-8
RUNS = 15


def best_of(times: int, number: int, call: object) -> float:
    """Seconds of one call, the least over several rounds."""
    return min(timeit.repeat(call, repeat=times, number=number)) / number  # type: ignore[arg-type]


def main() -> None:
    """Measure and print."""
    span = [Span(inner_mm=INNER, outer_mm=OUTER)]
    aim = Objective()
    ours = best_arm(aim, span, pivot_to_spindle_mm=PIVOT_TO_SPINDLE)
    assert ours is not None
    answer = np.array([ours.overhang_mm, ours.offset_angle_rad])

    r1, r2 = (float(r) for r in scheme_null_radii("lofgren-a", INNER, OUTER))
    length = math.sqrt(PIVOT_TO_SPINDLE**2 + r1 * r2)
    start = np.array([length - PIVOT_TO_SPINDLE, math.asin((r1 + r2) / (2 * length))])
    lowest = 2 * r1 * r2 / (r1 + r2)
    grid = np.union1d(np.linspace(INNER, OUTER, 1001), lowest + np.linspace(-1, 1, 1000))
    print(f"grid of {len(grid)} radii")
    unit = np.array([1.0, 0.02])  # mm, rad: both parameters of one size

    def weighted(x: np.ndarray) -> np.ndarray:
        angle = tracking_angle(grid, PIVOT_TO_SPINDLE, PIVOT_TO_SPINDLE + x[0])
        return 1e4 * (angle - x[1]) / grid

    def highest(x: np.ndarray) -> float:
        return float(np.abs(weighted(x * unit)).max())

    def nelder_mead() -> np.ndarray:
        found = optimize.minimize(
            highest,
            start / unit,
            method="Nelder-Mead",
            options={"xatol": 1e-9, "fatol": 1e-12, "maxiter": 2000, "maxfev": 4000},
        )
        return found.x * unit

    def powell() -> np.ndarray:
        found = optimize.minimize(
            highest, start / unit, method="Powell", options={"xtol": 1e-10, "ftol": 1e-14}
        )
        return found.x * unit

    def slsqp() -> np.ndarray:
        def room(v: np.ndarray) -> np.ndarray:
            error = weighted(v[:2] * unit)
            return np.concatenate([v[2] - error, v[2] + error])

        found = optimize.minimize(
            lambda v: v[2],
            np.append(start / unit, highest(start / unit)),
            method="SLSQP",
            jac=lambda v: np.array([0.0, 0.0, 1.0]),
            constraints=[{"type": "ineq", "fun": room}],
            options={"ftol": 1e-14},
        )
        return found.x[:2] * unit

    seconds = best_of(5, 2000, lambda: best_arm(aim, span, pivot_to_spindle_mm=PIVOT_TO_SPINDLE))
    print(f"exact, one arm: {1e6 * seconds:.1f} us")
    agreeing = []
    for method in (nelder_mead, powell, slsqp):
        off = np.abs(method() - answer)
        agrees = off[0] <= AGREEMENT_MM and off[1] <= AGREEMENT_RAD
        theirs = best_of(3, 3, method)
        if agrees:
            agreeing.append(theirs)
        print(
            f"minimize, {method.__name__}: {1e3 * theirs:.2f} ms, {theirs / seconds:.0f} times; "
            f"off by {off[0]:.1e} mm, {off[1]:.1e} rad{'' if agrees else ': does not agree'}"
        )
    assert agreeing, "no baseline agrees"
    print(f"ratio to the quickest that agrees: {min(agreeing) / seconds:.0f} (wanted: 300 or more)")

    limits = {"overhang_range_mm": (10.0, 17.0), "offset_range_rad": (0.3, 0.39)}
    records = [
        Span(inner_mm=INNER, outer_mm=OUTER, share=0.6),
        Span(inner_mm=53.0, outer_mm=84.0, share=0.2, factor=0.74),
        Span(inner_mm=50.0, outer_mm=120.0, share=0.2, factor=0.43),
    ]
    for name, objective, spans, more in (
        ("least peak within limits", aim, span, limits),
        ("least peak with a null kept", Objective(null_at_mm="inner"), span, {}),
        ("least peak, three records", aim, records, {}),
        ("least rms", Objective(norm="rms"), span, {}),
        ("least rms within limits", Objective(norm="rms"), span, limits),
        ("least rms, three records", Objective(norm="rms"), records, {}),
    ):
        each = best_of(
            3,
            3,
            lambda o=objective, s=spans, m=more: best_arm(
                o, s, pivot_to_spindle_mm=PIVOT_TO_SPINDLE, **m
            ),
        )
        print(f"{name}: {1e3 * each:.1f} ms an arm")
    print(f"process, solve --exact to solve: {process_ratio([]):.2f} (wanted: under 1.5)")
    slowest = process_ratio(["--scheme", "lofgren-c", "--play", "12:60", "--play", "7:40"])
    print(f"process, least rms over two records: {slowest:.2f} (wanted: under 1.5)")


def process_ratio(more: list[str]) -> float:
    """Median time of `solve --exact` over that of `solve`, run in turns."""
    plain = [sys.executable, "-m", "protractor", "solve", "--pivot-to-spindle", "222"]
    seconds: tuple[list[float], list[float]] = ([], [])
    for _ in range(RUNS):
        for command, times in zip((plain, [*plain, "--exact", *more]), seconds, strict=True):
            began = time.perf_counter()
            subprocess.run(command, check=True, capture_output=True)
            times.append(time.perf_counter() - began)
    return statistics.median(seconds[1]) / statistics.median(seconds[0])


if __name__ == "__main__":
    main()
