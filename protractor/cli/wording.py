"""An alignment in words, for every command that prints one."""

from __future__ import annotations

from textwrap import wrap

from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.arms.arm import Arm
from protractor.arms.schemes import SCHEMES


def speed(rpm: float) -> str:
    """A speed as the trade writes it: 33 1/3, 45, 78."""
    return "33 1/3" if abs(rpm - 100 / 3) < 1e-6 else f"{rpm:g}"


def prose(*texts: str) -> list[str]:
    """Texts as lines of at most 80 columns."""
    return [line for text in texts for line in wrap(text, 80)]


def nulls(arm: Arm) -> str:
    """The null radii of an arm, of which a straight or limited one may lack one or both."""
    inner, outer = arm.null_radii_mm
    if not outer > 0:
        return "    none"
    if not inner > 0:
        return f"{to_hundredth(outer):>8} mm alone"
    return f"{to_hundredth(inner):>8} and {to_hundredth(outer)} mm"


def sides(alignment: Alignment) -> list[str]:
    """What is played, a line a record; and the record of a closed form, which serves one alone."""
    shares = alignment.play and alignment.play.shares
    closed = shares and alignment.terms is None and alignment.scheme in SCHEMES
    aim = f"aligned for {alignment.record.name} alone; --exact aligns for all" if closed else ""
    return [
        f"{f'{100 * shares[number]:.3g} % ' if shares else ''}record {side.name}: "
        f"{side.inner_radius_mm:g} to {side.outer_radius_mm:g} mm at {speed(side.rpm)} rpm"
        for number, side in enumerate(alignment.played.records)
    ] + ([aim] if aim else [])
