"""The sheet taken at its word: which arm results when measuring, printing and seeing are off.

The sheet was drawn for a measured pivot to spindle, printed a little too large or small, put over
the spindle with some play, and aimed at the pivot; the stylus is set on the arc at its null points
and the cartridge along their grids, each half; the stylus may stand askew in its cartridge.
"""

from __future__ import annotations

import math

import numpy as np

from protractor.alignments.alignment import Alignment
from protractor.arms.arm import Floats
from protractor.setup.bounds import SetupBounds

Arms = tuple[Floats, Floats, Floats]
"""d, L and beta of many arms [mm, mm, rad]."""


CAUSES = (
    "pivot_to_spindle_mm",
    *("print_scale_percent", "print_scale_percent"),
    *("hole_play_mm", "hole_play_mm"),
    *("aim_mm", "arc_mm", "grid_deg", "zenith_deg"),
)
"""The independent causes, one a row: print scale along x and y, hole play along x and y."""


def name_and_unit(field: str) -> tuple[str, str]:
    """A bound's name and unit as they are shown, by its field."""
    name, _, unit = field.rpartition("_")
    return name.replace("_", "-"), {"percent": "%"}.get(unit, unit)


def standard_uncertainties(bounds: SetupBounds) -> Floats:
    """Standard uncertainty of every cause, shape (len(CAUSES),) [mm, 1 or rad].

    bound / sqrt(3) of a rectangular distribution; half the radius for one axis of an even disc.
    Source: JCGM 100:2008, 4.3.7.
    """
    return np.array(
        [
            bounds.hole_play_mm / 4
            if name == "hole_play_mm"
            else getattr(bounds, name) * _inside(name) / math.sqrt(3)
            for name in CAUSES
        ]
    )


def _inside(field: str) -> float:
    """Factor from a bound's own unit to mm, 1 or rad."""
    return {"percent": 0.01, "deg": math.pi / 180}.get(field.rpartition("_")[2], 1.0)


def generator(seed: int) -> np.random.Generator:
    """The stream of random numbers of a seed."""
    return np.random.Generator(np.random.SFC64(seed))


def draw(bounds: SetupBounds, count: int, rng: np.random.Generator) -> Floats:
    """Errors of all causes, shape (len(CAUSES), count) [mm, 1 or rad]."""
    errors = rng.random((len(CAUSES), count))
    play = CAUSES.index("hole_play_mm")
    away = bounds.hole_play_mm / 2 * np.sqrt(errors[play])
    turn = 2 * math.pi * errors[play + 1]
    most = np.array([[getattr(bounds, name) * _inside(name)] for name in CAUSES])
    errors -= 0.5
    errors *= 2 * most
    np.multiply(away, np.cos(turn), out=errors[play])
    np.multiply(away, np.sin(turn), out=errors[play + 1])
    return errors


def resulting_arms(alignment: Alignment, errors: Floats) -> Arms:
    """The arms that errors of the causes end in.

    Args:
        alignment: what the sheet was drawn for.
        errors: by the rows of `CAUSES`, shape (len(CAUSES), n) [mm, 1 or rad].

    Returns:
        (d, L, beta), each of shape (n,) [mm, mm, rad].

    The null points N of the sheet are stretched, turned about the spindle and shifted; L is the
    mean of their distances from the true pivot plus the error in reading the arc, beta the mean
    of the angles between those lines and the printed grids plus the errors of grid and stylus.
    """
    off_d, scale_x, scale_y, shift_x, shift_y, aim, arc, grid, zenith = errors
    arm, nominal_d = alignment.arm, alignment.arm.pivot_to_spindle_mm
    d = nominal_d + off_d
    turn = aim / nominal_d
    # the sheet turns by under 0.1 rad: the series are exact to 1e-9
    square = turn * turn
    cosine = 1 - square / 2 * (1 - square / 12)
    sine = turn * (1 - square / 6 * (1 - square / 20))
    along_x, along_y = 1 + scale_x, 1 + scale_y
    radii = [r for r in arm.null_radii_mm if math.isfinite(r) and r > 0]
    length: Floats | float = 0.0
    real: Floats | float = 1.0
    imaginary: Floats | float = 0.0
    for x0, y0 in arm.stylus(radii).tolist():
        r = math.hypot(x0, y0)
        x1, y1 = x0 * along_x, y0 * along_y
        # from the true pivot to the printed null point
        x = cosine * x1 - sine * y1 + shift_x
        y = cosine * y1 + sine * x1 + shift_y - d
        length = length + np.sqrt(x * x + y * y) / len(radii)
        # the printed grid, toward the front
        gx1, gy1 = y0 / r * along_x, -x0 / r * along_y
        gx, gy = cosine * gx1 - sine * gy1, cosine * gy1 + sine * gx1
        # angle from grid to line, counter-clockwise, which is the offset angle
        along, across = gx * x + gy * y, gx * y - gy * x
        real, imaginary = real * along - imaginary * across, real * across + imaginary * along
    beta = np.arctan2(imaginary, real) / len(radii) + grid + zenith
    return d, length + arc, beta
