"""The exact optimum against scipy's constrained minimisers, over 500 random arms and limits.

The suite tries a quarter of them (`tests/tries.py`).

scipy knows nothing of equal peaks here: it sees a dense grid of radii and the formula of the
tracking angle. Agreement asked for: 1e-7 mm and 1e-8 rad, and never a worse objective.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import pytest
from scipy import integrate, optimize

from protractor.alignments.objective import Objective, Span
from protractor.alignments.optimum import best_arm
from protractor.arms.arm import Floats, tracking_angle
from tests.tries import tries

TOLERANCE_MM, TOLERANCE_RAD = 1e-7, 1e-8
NUDGES = ((0.3, 0.01, 0.1), (-0.4, -0.01, 0.2), (1.0, 0.02, 1.0))
WIDE = (-math.radians(80), math.radians(80))


@dataclass(frozen=True, kw_only=True)
class Case:
    """One random arm, its record and its limits."""

    spans: tuple[tuple[float, float], ...]
    held: str
    length: float
    weighted: bool
    overhangs: tuple[float, float] | None
    offsets: tuple[float, float] | None
    factors: tuple[float, ...] = (1.0,)
    shares: tuple[float, ...] = (1.0,)

    @property
    def edges(self) -> tuple[float, float]:
        """Innermost and outermost radius."""
        return min(a for a, _ in self.spans), max(b for _, b in self.spans)

    def lengths(self, overhang: float) -> tuple[float, float]:
        """Pivot to spindle and effective length at an overhang."""
        if self.held == "pivot-to-spindle":
            return self.length, self.length + overhang
        return self.length - overhang, self.length

    def error(self, radius: Floats, overhang: float, offset: float) -> Floats:
        """Tracking error, divided by radius / 100 mm when weighted."""
        error = tracking_angle(radius, *self.lengths(overhang)) - offset
        return 100 * error / radius if self.weighted else error

    def solved(self, objective: Objective, held_rad: float | None = None) -> tuple[Floats, float]:
        """Overhang and offset angle of ours, and its objective."""
        best = best_arm(
            objective,
            [
                Span(inner_mm=a, outer_mm=b, share=s, factor=f)
                for (a, b), s, f in zip(self.spans, self.shares, self.factors, strict=True)
            ],
            overhang_range_mm=self.overhangs,
            offset_range_rad=self.offsets,
            offset_angle_rad=held_rad,
            **{f"{self.held.replace('-', '_')}_mm": self.length},
        )
        assert best is not None
        scale = 100 if self.weighted else 1
        return np.array([best.overhang_mm, best.offset_angle_rad]), best.level * scale


def random_case(rng: np.random.Generator, spans: int = 1) -> Case:
    """A random arm from a child's player to a broadcast arm, limited in two cases of three."""
    edges = []
    for _ in range(spans):
        inner = rng.uniform(45, 75)
        edges.append((inner, inner + rng.uniform(25, 85)))
    limited = rng.integers(3, size=2)
    shares = rng.dirichlet(np.ones(spans))
    return Case(
        spans=tuple(edges),
        held=str(rng.choice(["pivot-to-spindle", "effective-length"])),
        length=rng.uniform(170, 360),
        weighted=bool(rng.integers(2)),
        overhangs=tuple(np.sort(rng.uniform(-5, 30, 2))) if limited[0] else None,
        offsets=tuple(np.radians(np.sort(rng.uniform(5, 30, 2)))) if limited[1] else None,
        shares=tuple(shares),
        factors=tuple(rng.choice([1.0, 33.3 / 45, 33.3 / 78], spans)) if spans > 1 else (1.0,),
    )


def close(ours: Floats, theirs: Floats) -> None:
    """Assert agreement of overhang and offset angle."""
    assert abs(ours[0] - theirs[0]) <= TOLERANCE_MM
    assert abs(ours[1] - theirs[1]) <= TOLERANCE_RAD


def factors_at(case: Case, radius: Floats) -> Floats:
    """Greatest factor of the spans that hold each radius; 0 in a gap."""
    factor = np.zeros_like(radius)
    for (a, b), f in zip(case.spans, case.factors, strict=True):
        here = f if case.weighted else 1.0
        factor = np.where((radius >= a) & (radius <= b), np.maximum(factor, here), factor)
    return factor


def grid(case: Case, around: Floats, width: float) -> Floats:
    """Radii of every span, and finely around some of them."""
    fine = (around[:, None] + np.linspace(-width, width, 11)).ravel()
    coarse = [np.linspace(a, b, 61) for a, b in case.spans]
    radius = np.unique(np.concatenate([*coarse, fine]))
    return radius[factors_at(case, radius) > 0]


def highest(case: Case, x: Floats) -> tuple[Floats, float]:
    """Radii of the local maxima of the error on 2001 points a span, refined; and the greatest."""
    found, peaks = [], []
    for a, b in case.spans:
        radius = np.linspace(a, b, 2001)
        height = np.abs(case.error(radius, *x)) * factors_at(case, radius)
        k = np.flatnonzero((height[1:-1] >= height[:-2]) & (height[1:-1] >= height[2:])) + 1
        before, here, after = height[k - 1], height[k], height[k + 1]
        bend = before - 2 * here + after
        shift = (before - after) / np.where(bend == 0, 1, bend) / 2
        spot = radius[k] + np.clip(shift, -1, 1) * (radius[1] - radius[0])
        spot = np.concatenate([[a, b], spot])
        found.append(spot)
        peaks.append(np.abs(case.error(spot, *x)) * factors_at(case, spot))
    return np.concatenate(found), float(np.concatenate(peaks).max())


def least_peak(case: Case) -> Floats:
    """Overhang, offset angle and peak by SLSQP: least t with |error| <= t on the grid."""
    inner = case.edges[0]
    bounds = [case.overhangs or (-0.9 * inner, 0.9 * inner), case.offsets or WIDE, (0, None)]
    x = np.array([np.clip(17.0, *bounds[0]), np.clip(0.4, *bounds[1]), 0.1])
    radius = grid(case, np.array(case.edges), 0.0)
    for width in (0.5, 0.02, 0.001, 0.0):
        factor = factors_at(case, radius)

        def room(v: Floats, radius: Floats = radius, factor: Floats = factor) -> Floats:
            error = case.error(radius, v[0], v[1]) * factor
            return 20 * np.concatenate([v[2] - error, v[2] + error])

        # starts off the spot: SLSQP gives up where it stands if it can hardly better it
        found = [
            optimize.minimize(
                lambda v: 20 * v[2],
                np.clip(x + np.array(nudge), *np.transpose([*bounds[:2], (0, 10)])),
                jac=lambda v: np.array([0, 0, 20.0]),
                method="SLSQP",
                bounds=bounds,
                constraints=[{"type": "ineq", "fun": room}],
                options={"ftol": 1e-16, "maxiter": 300},
            ).x
            for nudge in NUDGES[: None if width == 0 else 1]
        ]
        x = min(found, key=lambda v: highest(case, v[:2])[1])
        radius = grid(case, highest(case, x[:2])[0], width)
    return x


@pytest.mark.parametrize("seed", range(4))
def test_the_least_peak_is_what_slsqp_finds(seed: int) -> None:
    """Both free or limited, either length held, weighted or not: 4 x 45 arms."""
    rng = np.random.default_rng(seed)
    for _ in range(tries(45)):
        case = random_case(rng)
        ours, level = case.solved(Objective(norm="peak", weighted=case.weighted))
        theirs = least_peak(case)
        close(ours, theirs)
        assert highest(case, ours)[1] <= highest(case, theirs[:2])[1] * (1 + 1e-9)
        assert level == pytest.approx(highest(case, ours)[1], rel=1e-8)


@pytest.mark.parametrize("seed", range(2))
def test_the_least_peak_over_several_records_is_what_slsqp_finds(seed: int) -> None:
    """Two or three spans at different speeds: 2 x 20 arms."""
    rng = np.random.default_rng(100 + seed)
    for _ in range(tries(20)):
        case = random_case(rng, spans=int(rng.integers(2, 4)))
        ours, level = case.solved(Objective(norm="peak", weighted=case.weighted))
        theirs = least_peak(case)
        close(ours, theirs)
        assert level <= highest(case, theirs[:2])[1] * (1 + 1e-9)


def squares(case: Case, overhang: float, offset: float) -> Floats:
    """Weighted residuals whose sum of squares is the mean square, by Simpson's rule."""
    parts = []
    for (a, b), share, factor in zip(case.spans, case.shares, case.factors, strict=True):
        radius = np.linspace(a, b, 2001)
        rule = integrate.simpson(np.eye(5), dx=1.0)  # 1 4 2 4 1 over 3
        weight = np.tile([rule[2], rule[1]], 1001)[:2001]
        weight[[0, -1]] = rule[0]
        weight *= share * (factor if case.weighted else 1) ** 2 / weight.sum()
        parts.append(np.sqrt(weight) * case.error(radius, overhang, offset))
    return np.concatenate(parts)


def least_squares(case: Case) -> Floats:
    """Overhang and offset angle by scipy.optimize.least_squares within the limits."""
    inner = case.edges[0]
    low, high = np.transpose([case.overhangs or (-0.9 * inner, 0.9 * inner), case.offsets or WIDE])
    return optimize.least_squares(
        lambda v: squares(case, *v),
        np.clip([17.0, 0.4], low, high),
        bounds=(low, high),
        method="dogbox",
        x_scale=[10.0, 0.1],
        jac="3-point",
        xtol=1e-15,
        ftol=1e-15,
        gtol=1e-15,
    ).x


@pytest.mark.parametrize("seed", range(2))
def test_the_least_rms_is_what_least_squares_finds(seed: int) -> None:
    """One to three spans with their shares of time, limited or not: 2 x 70 arms."""
    rng = np.random.default_rng(200 + seed)
    for _ in range(tries(70)):
        case = random_case(rng, spans=int(rng.integers(1, 4)))
        ours, level = case.solved(Objective(norm="rms", weighted=case.weighted))
        theirs = least_squares(case)
        close(ours, theirs)
        assert level == pytest.approx(math.sqrt((squares(case, *ours) ** 2).sum()), rel=1e-10)
        assert level**2 <= (squares(case, *theirs) ** 2).sum() * (1 + 1e-12)


@dataclass(frozen=True)
class Path:
    """A case whose offset angle follows from its overhang."""

    case: Case
    kept: str
    value: float

    def offset(self, overhang: float) -> float:
        """Offset angle at an overhang: as held, with a null at the inner edge, or L sin(beta)."""
        d, length = self.case.lengths(overhang)
        if self.kept == "offset":
            return self.value
        if self.kept == "linear offset":
            return math.asin(self.value / length)
        return float(tracking_angle(self.case.edges[0], d, length))

    def worst(self, overhang: float) -> float:
        """Greatest error."""
        return highest(self.case, np.array([overhang, self.offset(overhang)]))[1]

    def residuals(self, overhang: Floats) -> Floats:
        """As `squares`."""
        return squares(self.case, overhang[0], self.offset(overhang[0]))

    def least_peak(self, low: float, high: float) -> float:
        """Overhang by a bounded line search, the second time about its first answer."""
        found = 0.0
        for width in (1e9, 1e-3):
            bounds = (max(low, found - width) - found, min(high, found + width) - found)
            found += optimize.minimize_scalar(
                lambda y, about=found: self.worst(about + y),
                bounds=bounds,
                method="bounded",
                options={"xatol": 1e-12},
            ).x
        return found

    def least_rms(self, low: float, high: float) -> float:
        """Overhang by least squares."""
        return optimize.least_squares(
            self.residuals,
            np.clip(17.0, low, high),
            bounds=(low, high),
            method="dogbox",
            jac="3-point",
            xtol=1e-15,
            ftol=1e-15,
            gtol=1e-15,
        ).x[0]


@pytest.mark.parametrize(
    ("norm", "kept"),
    [
        ("peak", "null"),
        ("rms", "null"),
        ("peak", "offset"),
        ("rms", "offset"),
        ("rms", "linear offset"),
    ],
)
def test_with_something_kept_a_line_search_finds_the_same(norm: str, kept: str) -> None:
    """A null at the inner edge, an offset angle or a linear offset is kept: 5 x 28 arms."""
    rng = np.random.default_rng(300)
    for _ in range(tries(28)):
        case = replace(random_case(rng), offsets=None)
        inner, _ = case.edges
        low, high = case.overhangs or (-0.9 * inner, 0.9 * inner)
        value = rng.uniform(0.0, 0.5)
        if kept == "linear offset":
            (x, beta), _ = replace(case, overhangs=None, weighted=True).solved(Objective())
            value = case.lengths(x)[1] * math.sin(beta)
        path = Path(case, kept, value)
        objective = Objective(
            norm=norm,
            weighted=case.weighted,
            null_at_mm="inner" if kept == "null" else None,
            as_lofgren_a=kept == "linear offset",
        )
        ours, level = case.solved(objective, value if kept == "offset" else None)
        assert ours[1] == pytest.approx(path.offset(ours[0]), abs=1e-13)
        if norm == "peak":
            found = path.least_peak(low, high)
            theirs = path.worst(found)
        else:
            found = path.least_rms(low, high)
            theirs = math.sqrt((path.residuals(np.array([found])) ** 2).sum())
        # the line search stops a hair's breadth before a limit
        end = min((low, high), key=lambda v: abs(v - found))
        found = (
            end if ours[0] == pytest.approx(end, abs=1e-9) and abs(end - found) < 1e-6 else found
        )
        close(ours, np.array([found, path.offset(found)]))
        assert level <= theirs * (1 + 1e-9)
