"""A figure that is known within limits: its nominal value, the least and the greatest.

A data sheet leaves several things open at once, and the same doubtful number often enters a formula
twice. So a formula is evaluated as a whole at the corners of what is doubtful, and never step by
step with intervals in place of numbers, which would count a shared doubt twice. Corners are exact
where the formula is monotone in each doubtful number; where it is not, more `points` are taken
between the corners, and the limits are as good as that sampling.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """A nominal value with the least and the greatest value it may have, all in one unit.

    Raises `ValueError` when the nominal value is not between the two or one is not finite.
    """

    nominal: float
    low: float
    high: float

    def __post_init__(self) -> None:
        if not -math.inf < self.low <= self.nominal <= self.high < math.inf:
            raise ValueError(f"no interval: {self.low!r}, {self.nominal!r}, {self.high!r}")

    @classmethod
    def exactly(cls, value: float) -> Interval:
        """A value without doubt."""
        return cls(nominal=value, low=value, high=value)

    @classmethod
    def about(cls, value: float, doubt: float) -> Interval:
        """A value and a share of it, such as 0.1 for ± 10 %.

        >>> Interval.about(200.0, 0.25)
        Interval(nominal=200.0, low=150.0, high=250.0)
        """
        edges = value * (1 - doubt), value * (1 + doubt)
        return cls(nominal=value, low=min(edges), high=max(edges))

    @classmethod
    def within_factor(cls, value: float, factor: float) -> Interval:
        """A positive value that may be `factor` times as small or as great.

        >>> Interval.within_factor(12.0, 2.0)
        Interval(nominal=12.0, low=6.0, high=24.0)
        """
        return cls(nominal=value, low=value / factor, high=value * factor)

    @classmethod
    def covering(cls, *intervals: Interval) -> Interval:
        """The narrowest interval around all of them; the nominal value is the first one's."""
        return cls(
            nominal=intervals[0].nominal,
            low=min(one.low for one in intervals),
            high=max(one.high for one in intervals),
        )

    def covers(self, other: Interval) -> bool:
        """Whether the other interval lies in this one, edges included."""
        return self.low <= other.low and other.high <= self.high

    @property
    def decimals(self) -> int:
        """Decimals that mean something, up to two: two digits of the width, three of a sure value.

        Negative where the last digits before the point mean nothing either.

        >>> Interval.about(19_650.0, 0.1).decimals, Interval.exactly(4.176).decimals
        (-2, 2)
        """
        width = self.high - self.low
        size = width or abs(self.nominal) / 10
        return min(1 - math.floor(math.log10(size)), 2) if size > 0 else 0

    def text(self, decimals: int = 1) -> str:
        """The interval as a sentence shows it.

        >>> Interval(nominal=9.7, low=7.8, high=12.1).text()
        '7.8 to 12.1'
        >>> Interval.exactly(3.0).text(0)
        '3'
        """
        low, high = rounded(self.low, decimals), rounded(self.high, decimals)
        return low if low == high else f"{low} to {high}"


def rounded(value: float, decimals: int) -> str:
    """A number at so many decimals, never as minus nought.

    >>> rounded(-0.01, 1), rounded(19_650.0, -2)
    ('0.0', '19600')
    """
    return f"{round(value, decimals) + 0.0:.{max(decimals, 0)}f}"


def spread(function: Callable[..., float], *doubtful: Interval, points: int = 2) -> Interval:
    """What a formula gives when its arguments are known within limits.

    Args:
        function: takes as many numbers as there are intervals, gives one.
        doubtful: the arguments.
        points: how many values of each argument are tried, evenly from edge to edge.

    Returns:
        the function of the nominal values, with the least and the greatest that was found.

    >>> spread(lambda mass, length: mass / length, Interval.about(10.0, 0.1), Interval.exactly(5.0))
    Interval(nominal=2.0, low=1.8, high=2.2)
    """
    grids = [
        [one.low] if one.low == one.high else np.linspace(one.low, one.high, points).tolist()
        for one in doubtful
    ]
    nominal = float(function(*(one.nominal for one in doubtful)))
    values = [nominal, *(float(function(*corner)) for corner in itertools.product(*grids))]
    return Interval(nominal=nominal, low=min(values), high=max(values))
