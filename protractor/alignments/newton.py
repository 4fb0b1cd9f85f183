"""Roots of many increasing functions at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from protractor.arms.arm import Floats

ValueAndSlope = Callable[[Floats], tuple[Floats, Floats]]


def increasing_root(
    function: ValueAndSlope, low: Floats, high: Floats, start: Floats, steps: int = 80
) -> Floats:
    """Where increasing functions cross zero between two bounds; the nearer bound if they do not.

    Newton's step where it stays between the bounds found so far, else halving them.

    Args:
        function: gives values and slopes at an array of places.
        low: lower bounds, any shape.
        high: upper bounds, the same shape.
        start: first guesses, the same shape.
        steps: most steps taken; halving alone needs about 50.

    Returns:
        the places, the same shape; nan where a function is nan.

    >>> cube = lambda x: (x**3 - 2, 3 * x**2)
    >>> increasing_root(cube, np.array([0.0, 2.0]), np.array([2.0, 3.0]), np.ones(2)).round(6)
    array([1.259921, 2.      ])
    """
    below, above = function(low)[0] >= 0, function(high)[0] <= 0
    bottom, top = low, high
    # a step this small is rounding: the functions here are differences of angles
    least = 1e-14 * np.maximum(np.abs(low), np.abs(high))
    x = np.clip(start, low, high)
    for _ in range(steps):
        value, slope = function(x)
        bottom, top = np.where(value <= 0, x, bottom), np.where(value >= 0, x, top)
        with np.errstate(divide="ignore", invalid="ignore"):
            following = x - value / slope
        inside = (following >= bottom) & (following <= top)
        following = np.where(inside, following, (bottom + top) / 2)
        moved = np.abs(following - x) > least
        x = following
        if not (moved & ~below & ~above).any():
            break
    return np.where(below, low, np.where(above, high, x))
