"""A vernier that reads tenths of a millimetre off a scale in millimetres.

Ten lines behind the index, 2.1 mm apart: with the index a whole number of tenths past a mark, the
line of that number meets a mark, and no other does.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from protractor.arms.arm import Floats

VERNIER_LINES = 10
VERNIER_STEP_MM = 2.1
"""One tenth more than two divisions: wide enough for paper, and counting backwards."""


def vernier_places(index_mm: ArrayLike) -> Floats:
    """Where the vernier's lines stand on the scale.

    Args:
        index_mm: reading of the index, any shape [mm].

    Returns:
        places of the lines 0 to 10, in a new last axis [mm].

    >>> [round(float(p), 1) for p in vernier_places(222.4)[:5]]
    [222.4, 220.3, 218.2, 216.1, 214.0]

    Source: after P. Vernier, 1631 (from memory); the numbers are checked by the tests.
    """
    lines = np.arange(VERNIER_LINES + 1)
    places: Floats = np.asarray(index_mm, float)[..., None] - VERNIER_STEP_MM * lines
    return places


def vernier_reads(index_mm: ArrayLike) -> NDArray[np.int64]:
    """The line, 0 to 9, that comes nearest to a millimetre mark: the tenths of the reading.

    Args:
        index_mm: reading of the index, any shape [mm].

    Returns:
        number of the line, the same shape.

    >>> int(vernier_reads(222.4)), int(vernier_reads(222.43))
    (4, 4)

    Source: `vernier_places`.
    """
    places = vernier_places(index_mm)[..., :VERNIER_LINES]
    line: NDArray[np.int64] = np.argmin(np.abs(places - np.round(places)), axis=-1)
    return line
