"""Several statements about one arm: do they agree, which one does not, and what arm is it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from protractor.alignments.alignment import Alignment
from protractor.alignments.closest import (
    best_scheme,
    closest_scheme,
    scheme_nulls,
)
from protractor.arms.distortion import DEFAULT_VELOCITY_CM_S
from protractor.arms.pivot_height import horizontal_length
from protractor.arms.records import Record
from protractor.errors import InputError
from protractor.setup.consistency import (
    AGREED,
    Statement,
    check_enough,
    check_possible,
    fit_statements,
    label_statements,
    no_arm,
)
from protractor.setup.estimate import (
    Estimate,
    estimate,
    null_at,
)
from protractor.setup.reconciled_arm import (
    NO_ALIGNMENT_PERCENT,
    Settled,
    finite,
    remarks,
    settle,
    spread,
)
from protractor.setup.suspects import SURE, Explanation, explain


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """One explanation of a contradiction: what it leaves out, and the arm that follows.

    `off` is by how much each statement that is left out is wrong [mm or deg], `off_u` its standard
    uncertainty, None where the arm has no such number. `reading` is the mistake that would explain
    it, empty when none is known. `probability` is among the explanations that were found.
    `alignment` names the closest scheme; `scheme` is the one whose own arm keeps all the rest, a
    hint where there are several explanations, or None. `assumed` is as in `Settled`; `left_open`
    are the keys of `Alignment.as_dict` that the rest leaves open, filled from the assumed scheme.
    """

    leave_out: tuple[str, ...]
    off: tuple[float | None, ...]
    off_u: tuple[float | None, ...]
    reading: str
    probability: float
    alignment: Alignment
    assumed: str | None
    left_open: tuple[str, ...]
    scheme: str | None

    def as_dict(self) -> dict[str, Any]:
        """Everything under the stable keys of `--json`; the arm's keys are those of `solve`."""
        return {
            "leave_out": list(self.leave_out),
            "off": list(self.off),
            "off_u": list(self.off_u),
            "reading": self.reading,
            "probability": self.probability,
            "assumed": self.assumed,
            "left_open": list(self.left_open),
            "scheme": self.scheme,
            "arm": self.alignment.as_dict(),
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Reconciliation:
    """What the statements amount to.

    `factor` is the least factor by which all bounds would have to grow for one arm to fulfil them:
    up to 1 they agree; it is infinite when the search for one arm leads nowhere. `conflict` are the
    fewest statements that cannot be one arm; `explanations` the ways out, the likeliest first;
    `candidates` the statements of which one alone explains it. `suspect` is the one that is wrong
    with a probability of 95 % or more, None when that is not settled; `suspect_off` is how far it
    is from what the others say. `settled` is the arm, None unless the statements agree or the
    suspect is known: explanations are not averaged.
    """

    agrees: bool
    factor: float
    conflict: tuple[str, ...]
    explanations: tuple[WayOut, ...]
    suspect: str | None
    settled: Settled | None

    @property
    def candidates(self) -> tuple[str, ...]:
        """The statements of which one alone, left out or read otherwise, explains all."""
        return tuple(e.leave_out[0] for e in self.explanations if len(e.leave_out) == 1)

    @property
    def suspect_off(self) -> float | None:
        """How far the suspect is from what the others say [mm or deg]."""
        return None if self.suspect is None else self.explanations[0].off[0]

    def as_dict(self) -> dict[str, Any]:
        """Everything under the stable keys of `--json`; the arm's keys are those of `solve`."""
        arm = self.settled
        return {
            "agrees": self.agrees,
            "suspect": self.suspect,
            "suspect_off": self.suspect_off,
            "conflict": list(self.conflict),
            "candidates": list(self.candidates),
            "explanations": [e.as_dict() for e in self.explanations],
            "factor": finite(self.factor),
            "assumed": arm and arm.assumed,
            "arm": arm and arm.as_dict(),
            "closest_scheme": arm and arm.alignment.scheme,
            "closest_difference_deg": arm and arm.closest_difference_deg,
            "best_scheme": arm and arm.best.scheme,
            "best": arm and arm.best.as_dict(),
            "remarks": list(arm.remarks) if arm else [],
        }


def reconcile_statements(
    statements: Sequence[Statement],
    record: Record,
    *,
    pivot_height_mm: float = 0.0,
    velocity_cm_s: float = DEFAULT_VELOCITY_CM_S,
    velocity_is: str = "peak",
) -> Reconciliation:
    """Whether statements about one arm agree, which is wrong, and the arm that fits the rest.

    Args:
        statements: two or more; null radii count as two, inner before outer.
        record: the record that the arm is judged on.
        pivot_height_mm: pivot above the record; a stated effective length is then the slope from
            pivot to stylus, and its horizontal projection is used [mm].
        velocity_cm_s: as in `solve`.
        velocity_is: as in `solve`.

    Returns:
        the reconciliation.

    Raises:
        InputError: for one statement alone, statements that leave the arm's size open, and
            statements that no arm can fulfil even roughly.

    >>> from protractor.arms.records import record
    >>> from protractor.setup.statements import read_statement as read
    >>> found = reconcile_statements(
    ...     [read("pivot-to-spindle", "222"), read("effective-length", "239"),
    ...      read("overhang", "15"), read("null-radii", "66"), read("null-radii", "121")],
    ...     record(),
    ... )
    >>> found.agrees, found.suspect, found.settled.alignment.scheme
    (False, 'overhang', 'lofgren-a')

    Source: JCGM 100:2008 and 101:2008; E. W. Cheney 1966 for the conflict.
    """
    statements = label_statements([_in_plane(s, pivot_height_mm) for s in statements])
    check_enough(statements)
    like = _Judge(record, velocity_cm_s, velocity_is)
    try:
        check_possible(statements)
    except InputError:
        # unless a mistake by name, such as a turned sign, makes them possible
        found = like.contradiction(statements)
        if not any(e.reading for e in found.explanations):
            raise
        return found
    try:
        return like.judge(statements)
    except InputError as error:
        if error.name in [s.name for s in statements]:
            raise
        # the search left what an arm can be: its numbers are none that the user gave
        raise no_arm(statements) from error


@dataclass(frozen=True, slots=True)
class _Judge:
    """What labelled statements amount to, judged by one record and velocity."""

    record: Record
    velocity_cm_s: float
    velocity_is: str

    def judge(self, statements: Sequence[Statement]) -> Reconciliation:
        """The arm where they agree, else what may be wrong."""
        fit = fit_statements(statements)
        if not fit.converged:
            return self.contradiction(statements)
        factor, conflict = fit.conflict()
        if factor > AGREED:
            return self.contradiction(statements, factor, conflict)
        return Reconciliation(
            agrees=True,
            factor=factor,
            conflict=(),
            explanations=(),
            suspect=None,
            settled=self.settled(fit, statements),
        )

    def contradiction(
        self,
        statements: Sequence[Statement],
        factor: float = math.inf,
        conflict: tuple[str, ...] = (),
    ) -> Reconciliation:
        """The explanations of statements that are no one arm.

        Those that lead to no arm are out, and so are those whose arm is not aligned for the record
        at all, unless all are.
        """
        kept: list[tuple[Explanation, WayOut]] = []
        failed: InputError | None = None
        for explanation in explain(statements):
            try:
                kept.append((explanation, self.way_out(explanation, statements)))
            except InputError as error:
                failed = failed or error
        if failed and not kept:
            raise no_arm(statements) from failed
        plays = [
            each
            for each in kept
            if each[1].alignment.peak_second_harmonic_percent <= NO_ALIGNMENT_PERCENT
        ]
        kept = plays or kept
        if len(kept) > 1:
            kept = [(e, self.with_hint(e, way)) for e, way in kept]
        total = sum(e.probability for e, _ in kept)
        ways = tuple(replace(way, probability=e.probability / total) for e, way in kept)
        suspect = None
        if ways and len(ways[0].leave_out) == 1 and ways[0].probability >= SURE:
            suspect = ways[0].leave_out[0]
        return Reconciliation(
            agrees=False,
            factor=factor,
            conflict=conflict or tuple(s.label for s in statements),
            explanations=ways,
            suspect=suspect,
            settled=None if suspect is None else self.settled(kept[0][0].fit, statements),
        )

    def way_out(self, explanation: Explanation, statements: Sequence[Statement]) -> WayOut:
        """An explanation with its arm. Raises `InputError` when that is none."""
        _, alignment, assumed, _ = self.arm(explanation.fit, statements)
        return WayOut(
            leave_out=explanation.labels,
            off=explanation.off,
            off_u=explanation.off_u,
            reading=explanation.reading,
            probability=explanation.probability,
            alignment=alignment,
            assumed=assumed,
            left_open=_left_open(explanation.fit),
            scheme=None,
        )

    def with_hint(self, explanation: Explanation, way: WayOut) -> WayOut:
        """The same with the scheme whose own arm keeps the rest, if there is one."""
        if way.assumed is not None:
            return way
        return replace(way, scheme=_known_scheme(explanation.fit, self.record))

    def arm(
        self, fit: Estimate, statements: Sequence[Statement]
    ) -> tuple[Estimate, Alignment, str | None, float]:
        """The fit with nothing left open, its alignment, what was assumed, how far from a scheme.

        Raises `InputError` for what is no arm on this record.
        """
        d, length, beta = fit.theta
        # false for nan as well
        if not (d > 0 and length > 0 and abs(beta) < math.radians(60)):
            raise no_arm(statements)
        fit, assumed = settle(fit, self.record, statements)
        near, far = fit.arm.reach_mm
        if not (near < self.record.inner_radius_mm and self.record.outer_radius_mm < far):
            raise no_arm(statements)
        closest, difference = closest_scheme(fit.arm, self.record)
        alignment = Alignment(
            arm=fit.arm,
            scheme=closest,
            record=self.record,
            velocity_cm_s=self.velocity_cm_s,
            velocity_is=self.velocity_is,
        )
        return fit, alignment, assumed, difference

    def settled(self, fit: Estimate, statements: Sequence[Statement]) -> Settled:
        """The arm of a fit with its uncertainties and what is odd about it."""
        fit, alignment, assumed, difference = self.arm(fit, statements)
        uncertainty, intervals = spread(fit, alignment, assumed is None)
        return Settled(
            alignment=alignment,
            assumed=assumed,
            uncertainty=uncertainty,
            intervals=intervals,
            closest_difference_deg=math.degrees(difference),
            best=best_scheme(alignment),
            remarks=tuple(remarks(alignment, intervals)),
        )


def _left_open(fit: Estimate) -> tuple[str, ...]:
    """The keys of an arm's figures that the observations of a fit do not settle."""
    if fit.rank == 3:
        return ()
    # a row for each way in which d, L and beta may move with every observation kept
    free = np.linalg.svd(fit.jacobian)[2][fit.rank :]
    d, length, beta = free.T
    moves = {
        "pivot_to_spindle_mm": d,
        "effective_length_mm": length,
        "overhang_mm": length - d,
        "offset_angle_deg": beta,
    }
    return (*(key for key, by in moves.items() if np.any(np.abs(by) > 1e-9)), "null_radii_mm")


def _known_scheme(fit: Estimate, record: Record) -> str | None:
    """The scheme on this record whose own arm fulfils all observations of a fit; None for none."""
    for scheme, radii in scheme_nulls(record).items():
        nulls = [null_at(r, 1e-5, f"null {r}") for r in radii]
        other = estimate([*fit.observations, *nulls], fit.arm)
        if other.converged and other.conflict()[0] <= 1:
            return scheme
    return None


def _in_plane(statement: Statement, pivot_height_mm: float) -> Statement:
    """An effective length along the slope as its projection; others as they are."""
    if statement.name != "effective-length" or pivot_height_mm == 0:
        return statement
    length = float(horizontal_length(statement.value, pivot_height_mm))
    if not length > statement.value / 2:
        raise InputError(
            "pivot-height",
            f"{pivot_height_mm:g} mm",
            f"well under the effective length of {statement.value:g} mm",
            "give the height of the pivot above the record",
        )
    return replace(statement, value=length)
