"""A printer that scales and shears, and a reader with an instrument: for tests of the loop."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from protractor.printing.readings import DIRECTIONS, Instrument, Measured


@dataclass(frozen=True)
class SimulatedPrinter:
    """Prints a point p [mm] at `matrix @ p`: built here from angles, not from the package's model.

    The printed y axis leans toward x by `lean_rad`; the whole print is turned by `turn_rad`, which
    nobody can see in a length.
    """

    scale_x: float
    scale_y: float
    lean_rad: float
    turn_rad: float = 0.0

    @property
    def matrix(self) -> np.ndarray:
        x_axis = self.turn_rad
        y_axis = self.turn_rad + math.pi / 2 - self.lean_rad
        return np.array(
            [
                [self.scale_x * math.cos(x_axis), self.scale_y * math.cos(y_axis)],
                [self.scale_x * math.sin(x_axis), self.scale_y * math.sin(y_axis)],
            ]
        )

    def prints(self, points: np.ndarray, sent_through: np.ndarray | None = None) -> np.ndarray:
        """Where points (n, 2) come out when the sheet was corrected by a matrix."""
        matrix = self.matrix if sent_through is None else self.matrix @ sent_through
        return points @ matrix.T

    def length(self, line: str, nominal: float, sent_through: np.ndarray | None = None) -> float:
        """Length of a line of the calibration sheet on the print [mm]."""
        ends = np.array([[0.0, 0.0], DIRECTIONS[line]]) * nominal
        start, end = self.prints(ends, sent_through)
        return float(np.linalg.norm(end - start))


def draw_printer(random: np.random.Generator) -> SimulatedPrinter:
    """A printer with scale errors to 2 % and a shear to 0.5 %, uniformly spread."""
    return SimulatedPrinter(
        scale_x=1 + random.uniform(-0.02, 0.02),
        scale_y=1 + random.uniform(-0.02, 0.02),
        lean_rad=random.uniform(-0.005, 0.005),
        turn_rad=random.uniform(-0.01, 0.01),
    )


def read(
    printer: SimulatedPrinter,
    instrument: Instrument,
    random: np.random.Generator,
    nominal: dict[str, float],
    repeats: int = 3,
    sent_through: np.ndarray | None = None,
    own_error: str = "rectangular",
) -> list[Measured]:
    """Noisy readings of each line: one error of the instrument, and one more for each reading.

    The instrument's own error is spread evenly up to its accuracy, or normally with the same
    standard deviation.
    """
    own = random.uniform(-instrument.accuracy_mm, instrument.accuracy_mm)
    if own_error == "normal":
        own = random.normal(0, instrument.shared_mm)
    return [
        Measured(
            line=line,
            nominal_mm=length,
            readings_mm=tuple(
                printer.length(line, length, sent_through)
                + own
                + random.normal(0, instrument.reading_mm, repeats)
            ),
        )
        for line, length in nominal.items()
    ]


def residual(printer: SimulatedPrinter, correction: Sequence[Sequence[float]]) -> np.ndarray:
    """Scale errors in x and y, and sine of the angle out of square, of a corrected print."""
    x_axis, y_axis = (printer.matrix @ np.array(correction)).T
    x, y = np.linalg.norm(x_axis), np.linalg.norm(y_axis)
    return np.array([x - 1, y - 1, x_axis @ y_axis / (x * y)])
