"""An arm whose pivot stands above the record: what the height does to its effective length.

Every formula of the alignment is in the plane of the record. The effective length in it is the
horizontal projection of the line pivot to stylus, which is what a ruler laid from the pivot's top
to the stylus does not show.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from protractor.arms.arm import Floats


def horizontal_length(slant_mm: ArrayLike, pivot_height_mm: ArrayLike) -> Floats:
    """Effective length of an arm that was measured along the slope.

    Args:
        slant_mm: pivot's centre to stylus, straight through the air, any shape [mm].
        pivot_height_mm: pivot above the stylus when it plays, broadcast [mm].

    Returns:
        the horizontal projection, the broadcast shape [mm]; nan where the height is the greater.

    >>> round(float(horizontal_length(239.3, 20.0)), 2)
    238.46

    Source: Pythagoras.
    """
    slant, height = np.asarray(slant_mm, float), np.asarray(pivot_height_mm, float)
    with np.errstate(invalid="ignore"):
        length: Floats = np.sqrt((slant - height) * (slant + height))
    return length


def length_on_record(
    length_on_sheet_mm: ArrayLike, pivot_height_mm: ArrayLike, lift_mm: ArrayLike
) -> Floats:
    """Effective length on a record, of an arm that was set on a sheet lying lower.

    The sheet is thinner than a record: on the record the stylus is lifted, comes nearer to the
    pivot's height and moves away from the pivot.

    Args:
        length_on_sheet_mm: horizontal projection with the stylus on the sheet, any shape [mm].
        pivot_height_mm: pivot above the stylus on the sheet, broadcast [mm].
        lift_mm: how much higher the record's surface is than the sheet's, broadcast [mm].

    Returns:
        the horizontal projection with the stylus on the record, the broadcast shape [mm].

    >>> round(float(length_on_record(239.3, 20.0, 1.8)) - 239.3, 2)
    0.14

    Source: Pythagoras, the slant being the same.
    """
    length, height, lift = (
        np.asarray(v, float) for v in (length_on_sheet_mm, pivot_height_mm, lift_mm)
    )
    with np.errstate(invalid="ignore"):
        on_record: Floats = np.sqrt(length * length + lift * (2 * height - lift))
    return on_record
