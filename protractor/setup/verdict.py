"""Whether a correction is worth a move: what is left now, and what a hand would leave."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from protractor.arms.arm import Arm, Floats
from protractor.arms.extrema import peak_weighted_errors
from protractor.arms.records import Record
from protractor.setup.bounds import MOVED_SLIDE_BOUND_MM, MOVED_TURN_BOUND_DEG, SEED
from protractor.setup.estimate import interval, theta_of
from protractor.setup.headshell import slid_and_turned

Verdict = Literal["move", "matches", "costs-little", "no-gain", "read-again"]
"""What readings ask for: a move; nothing, since they match the target, since what is left costs
little, or since a move is not sure to gain anything; or another reading, which may settle it."""

SMALL_SHARE = 0.5
"""What is left is small when, at 95 %, it adds less than this share to the target's own peak
distortion: a choice of this project; a move by hand adds up to as much."""

SURE_OF_GAIN = 0.95
"""A move is advised when it lowers the peak distortion with at least this probability."""

MOST_DRAWN = 2_000
"""Arms that a move is tried on: they settle its gain to half a percent."""

MOST_READINGS = 3
"""After so many readings of each target another one settles little."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """Peak distortion over that of the target, as set up now and after a move by hand [1].

    `now` is that of the best estimate; the intervals hold the truth with 95 % probability. `gain`
    is the probability that a move lowers it.
    """

    now: float
    now_interval: tuple[float, float]
    after_interval: tuple[float, float]
    gain: float


def outlook(
    now: Floats,
    drawn: Floats,
    move: tuple[float, float],
    target: Arm,
    played: Sequence[Record],
    *,
    slot_angle_rad: float,
    turning_point_mm: float,
) -> Outlook:
    """What a move would gain.

    Args:
        now: the estimate (d, L, beta) [mm, mm, rad].
        drawn: arms that the readings allow, shape (3, n) [mm, mm, rad].
        move: the slide and the turn that the estimate asks for [mm, rad].
        target: the arm that is wanted.
        played: the records that the distortion is for.
        slot_angle_rad: of the slots to the line stylus to pivot [rad].
        turning_point_mm: point that the cartridge turns about, behind the stylus [mm].

    The move is made on every arm drawn, each with slips of its own, evenly within the bounds of
    a hand.
    """
    drawn = drawn[:, :MOST_DRAWN]
    # a stream of its own: the arms were drawn by the seed itself
    rng = np.random.default_rng([SEED, 1])
    slips = rng.uniform(-1, 1, (2, drawn.shape[1]))
    slide = move[0] + MOVED_SLIDE_BOUND_MM * slips[0]
    turn = move[1] + np.radians(MOVED_TURN_BOUND_DEG) * slips[1]
    d, length, beta = drawn
    moved = slid_and_turned(
        length, beta, slide, turn, slot_angle_rad=slot_angle_rad, turning_point_mm=turning_point_mm
    )
    own = _peaks(theta_of(target), played)
    left = _peaks(drawn, played) / own
    after = _peaks(np.stack([d, *moved]), played) / own
    return Outlook(
        now=float(_peaks(now, played) / own),
        now_interval=interval(left),
        after_interval=interval(after),
        gain=float(np.mean(after < left)),
    )


def verdict(found: Outlook, *, matches: bool, read: int) -> Verdict:
    """What to do; `matches` when every reading agrees with the target, `read` readings of each."""
    if not matches and found.gain >= SURE_OF_GAIN:
        return "move"
    small = found.now_interval[1] <= 1 + SMALL_SHARE
    if read < MOST_READINGS and not small:
        return "read-again"
    if matches:
        return "matches"
    return "costs-little" if small else "no-gain"


def _peaks(theta: Floats, played: Sequence[Record]) -> Floats:
    """Greatest distortion of arms (3, ...) over all records, in one unit; nan out of reach."""
    d, length, beta = theta
    each = [peak_weighted_errors(d, length, beta, side) / side.rpm for side in played]
    worst: Floats = np.max(each, axis=0)
    return worst
