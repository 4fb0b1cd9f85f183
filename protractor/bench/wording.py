"""An alignment in words, for every face that shows one."""

from __future__ import annotations

from protractor.alignments.alignment import Alignment
from protractor.arms.schemes import SCHEMES


def terms(alignment: Alignment) -> list[str]:
    """How an exact optimum was found, and what limits cost; nothing for a closed form."""
    if alignment.terms is None:
        return []
    lines = [f"Exact for this arm at a fixed {alignment.held}: {alignment.terms.objective}."]
    if alignment.terms.binding:
        lines.append(
            f"Stopped by the {' and the '.join(alignment.terms.binding)}, {alignment.terms.cost}."
        )
    return lines


def stated(alignment: Alignment) -> str:
    """What the distortion is stated for."""
    return (
        f"Distortion of a sine at {alignment.velocity_cm_s:g} cm/s {alignment.velocity_is}, "
        f"{alignment.equalisation}."
    )


def summary(alignment: Alignment) -> str:
    """The scheme in a line."""
    scheme = SCHEMES.get(alignment.scheme)
    if scheme is not None:
        return f"{alignment.label}: {scheme.summary}"
    return alignment.label if alignment.terms else f"{alignment.label}: your own two null radii"
