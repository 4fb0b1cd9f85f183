"""Each closed form against a second derivation and against a general minimiser."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.polynomial.chebyshev import chebpts1
from scipy import optimize

from protractor.arms.schemes import SCHEMES, scheme_null_radii
from protractor.errors import InputError

AREAS = [(60.325, 146.05), (57.5, 146.05), (56.0, 146.3), (53.0, 84.0), (57.6, 121.0)]

sides = st.tuples(st.floats(40, 100), st.floats(8, 100)).map(lambda t: (t[0], t[0] + t[1]))


@given(sides)
def test_lofgren_a_is_chebyshev(side: tuple[float, float]) -> None:
    """In u = 1/r, Löfgren A's nulls are numpy's Chebyshev points of the first kind."""
    low, high = 1 / side[1], 1 / side[0]
    points = (low + high) / 2 + (high - low) / 2 * chebpts1(2)
    assert np.sort(1 / points) == pytest.approx(
        [float(r) for r in scheme_null_radii("lofgren-a", *side)], rel=1e-12
    )


@given(sides)
def test_nulls_are_real_and_in_order(side: tuple[float, float]) -> None:
    """Every scheme has two nulls in the recorded area, the inner one first."""
    for name in SCHEMES:
        inner, outer = (float(r) for r in scheme_null_radii(name, *side))
        assert side[0] * (1 - 1e-12) <= inner < outer <= side[1]


@given(sides, st.floats(0.1, 10))
def test_scaling(side: tuple[float, float], factor: float) -> None:
    """Scaling the recorded area scales the null radii."""
    for name in SCHEMES:
        plain = np.array(scheme_null_radii(name, *side))
        scaled = np.array(scheme_null_radii(name, side[0] * factor, side[1] * factor))
        assert scaled == pytest.approx(plain * factor, rel=1e-9)


def test_arrays_broadcast() -> None:
    """Arrays of areas give arrays of nulls, each what the scalar gives."""
    inner, outer = scheme_null_radii(
        "lofgren-c", np.array([[60.325], [57.5]]), np.array([121.0, 146.05])
    )
    assert inner.shape == outer.shape == (2, 2)
    assert float(outer[1, 1]) == float(scheme_null_radii("lofgren-c", 57.5, 146.05)[1])


def _u_nodes(ri: float, ro: float) -> tuple[np.ndarray, np.ndarray]:
    nodes, weights = np.polynomial.legendre.leggauss(80)
    return (ri + ro) / 2 + (ro - ri) / 2 * nodes, weights * (ro - ri) / 2


def _peak(error: np.ndarray) -> float:
    return float(np.max(np.abs(error)))


def _minimax(weight: np.ndarray, r: np.ndarray, pin: float | None = None) -> tuple[float, float]:
    """Sum and product of the nulls with least peak error of sines, by linear programming.

    weight (r - s + p / r) is linear in s and p, so the least bound on it is a linear programme.
    """
    ones = np.ones_like(r)
    plus = np.column_stack([-weight, weight / r, -ones])
    minus = np.column_stack([weight, -weight / r, -ones])
    bound = np.concatenate([-weight * r, weight * r])
    pinned = {"A_eq": [[-1.0, 1 / pin, 0.0]], "b_eq": [-pin]} if pin is not None else {}
    found = optimize.linprog(
        [0, 0, 1],
        A_ub=np.vstack([plus, minus]),
        b_ub=bound,
        bounds=[(None, None)] * 3,
        method="highs-ds",
        options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
        **pinned,
    )
    return float(found.x[0]), float(found.x[1])


def _refined_minimax(
    ri: float, ro: float, weight_power: int, pin: float | None = None
) -> tuple[float, float]:
    """The same on a grid that is refined where the error peaks, until it stands still."""
    grid = np.linspace(ri, ro, 401)
    s, p = 0.0, 0.0
    for _ in range(8):
        s, p = _minimax(grid**-weight_power, grid, pin)
        dense = np.linspace(ri, ro, 200_001)
        error = dense**-weight_power * (dense - s + p / dense)
        slope = np.diff(error)
        turns = dense[1:-1][slope[1:] * slope[:-1] <= 0]
        around = np.concatenate([t + np.linspace(-1, 1, 41) * 1e-3 for t in turns])
        grid = np.unique(np.clip(np.concatenate([grid, turns, around]), ri, ro))
    return s, p


def _nulls(s: float, p: float) -> list[float]:
    half = np.sqrt(s * s / 4 - p)
    return [s / 2 - half, s / 2 + half]


@pytest.mark.parametrize(("ri", "ro"), AREAS)
@pytest.mark.parametrize(
    ("scheme", "power"), [("lofgren-a", 1), ("equal-angle", 0), ("stevenson", 1)]
)
def test_peak_schemes_against_a_linear_programme(
    scheme: str, power: int, ri: float, ro: float
) -> None:
    """scipy's linear programming finds the same nulls of the error of sines to 1e-6 mm."""
    pin = ri if scheme == "stevenson" else None
    found = _nulls(*_refined_minimax(ri, ro, power, pin))
    assert found == pytest.approx([float(r) for r in scheme_null_radii(scheme, ri, ro)], abs=1e-6)


@pytest.mark.parametrize(("ri", "ro"), AREAS)
def test_lofgren_c_against_least_squares(ri: float, ro: float) -> None:
    """numpy's least squares on the weighted error of sines finds Löfgren C to 1e-6 mm."""
    r, weight = _u_nodes(ri, ro)
    root = np.sqrt(weight)
    (s, p), *_ = np.linalg.lstsq(
        np.column_stack([-1 / r, 1 / r**2]) * root[:, None], -root, rcond=None
    )
    expected = [float(v) for v in scheme_null_radii("lofgren-c", ri, ro)]
    assert _nulls(s, p) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(("ri", "ro"), AREAS)
def test_lofgren_b_against_a_minimiser(ri: float, ro: float) -> None:
    """scipy's scalar minimiser over the product, at Löfgren A's sum, finds Löfgren B to 1e-6 mm.

    The root of the derivative is sought, since a minimum alone is flat to 1e-8.
    """
    r, weight = _u_nodes(ri, ro)
    s = sum(float(v) for v in scheme_null_radii("lofgren-a", ri, ro))

    def slope(p: float) -> float:
        return float(weight @ ((1 - s / r + p / r**2) / r**2))

    p = optimize.brentq(slope, 1.0, s * s / 4, xtol=1e-10)
    coarse = optimize.minimize_scalar(
        lambda q: float(weight @ (1 - s / r + q / r**2) ** 2), bounds=(1.0, s * s / 4)
    )
    assert coarse.x == pytest.approx(p, rel=1e-4)
    expected = [float(v) for v in scheme_null_radii("lofgren-b", ri, ro)]
    assert _nulls(s, p) == pytest.approx(expected, abs=1e-6)


def test_unknown_scheme() -> None:
    """A name that is no scheme is refused with those that are."""
    with pytest.raises(InputError, match="scheme: got lofgren; allowed: lofgren-a, lofgren-b"):
        scheme_null_radii("lofgren", 60.0, 146.0)
