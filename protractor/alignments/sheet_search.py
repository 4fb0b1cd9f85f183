"""Which sheet was read: the one whose code or whose targets a user reports."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import Any

from protractor.alignments.align import align
from protractor.alignments.alignment import Alignment, to_hundredth
from protractor.alignments.deck import Deck
from protractor.alignments.sheet_code import bears, sheet_code
from protractor.arms.records import RECORD_PRESETS
from protractor.arms.schemes import SCHEMES
from protractor.errors import InputError, shown

ON_TARGET_MM = 1.5
"""Farther than this from every target a reading was taken somewhere else."""

NEARBY_MM = 5.0
"""How far a length may have been measured anew since a sheet was printed."""

LENGTH_STEP_MM = 0.1


def check_code(
    code: str | None, deck: Deck, alignment: Alignment, others: Iterable[Deck] = ()
) -> None:
    """Raise `InputError` when a code is not that of the deck's sheet, with whose it is.

    `others` are further decks that it may be of. Nothing is checked when there is no code.
    """
    askew = deck.zenith_rad
    if code is None or bears(code, alignment, askew):
        return
    own = f"{sheet_code(alignment, askew)}, the code of this deck's sheet"
    raise InputError("code", code, own, _whose(code, deck, others))


def check_on_target(radii_mm: Sequence[float], deck: Deck, alignment: Alignment) -> None:
    """Raise `InputError` for readings that were taken at no target of the deck's sheet.

    It names the schemes whose targets they would fit.
    """
    targets = targets_of(alignment)
    stray = [radius for radius in radii_mm if not _near(radius, targets)]
    if not stray or not targets:
        return
    fitting = [words for words, other in _other_sheets(deck) if _all_near(radii_mm, other)]
    remedy = "give the radius that is printed beside the target"
    if fitting:
        many = len(fitting) > 1
        remedy = (
            f"the sheet of {' or '.join(fitting[:2])} has {'such' if many else 'these'} targets"
        )
        remedy += f": give {fitting[0]}"
    raise InputError(
        "reading",
        " and ".join(f"{radius:g} mm" for radius in stray),
        f"a target of {alignment.label}, {' or '.join(f'{each:.1f}' for each in targets)} mm",
        f"{remedy}, or say `anywhere` if it was read elsewhere",
    )


def targets_of(alignment: Alignment) -> list[float]:
    """The radii of the targets on a sheet [mm]."""
    return [radius for radius in alignment.arm.null_radii_mm if radius > 0]


def _near(radius_mm: float, targets: Sequence[float]) -> bool:
    return any(abs(radius_mm - target) <= ON_TARGET_MM for target in targets)


def _all_near(radii_mm: Sequence[float], other: Alignment) -> bool:
    return all(_near(radius, targets_of(other)) for radius in radii_mm)


def _other_sheets(deck: Deck) -> Iterator[tuple[str, Alignment]]:
    """Sheets of the same deck: every scheme on its record, then on other records; in words."""
    own = deck.side
    for words, given in (
        ("", {}),
        *(
            (f" with `record` {name}", {"record": name, "play": ()})
            for name, preset in RECORD_PRESETS.items()
            if preset.inner_radius_mm is not None
            and (preset.inner_radius_mm, preset.outer_radius_mm)
            != (own.inner_radius_mm, own.outer_radius_mm)
        ),
    ):
        plain: dict[str, Any] = dict.fromkeys(("null_radii_mm", "norm", "weight", "null_at_mm"))
        if given:
            plain |= dict.fromkeys(("inner_radius_mm", "outer_radius_mm", "rpm"))
        for scheme in SCHEMES:
            with suppress(InputError):
                other = replace(deck, **{**plain, **given, "scheme": scheme})
                yield f"`scheme` {scheme}{words}", align(other)


def _whose(code: str, deck: Deck, others: Iterable[Deck]) -> str:
    """Which sheet has a code, and what to say for it."""
    askew = deck.zenith_rad
    with suppress(InputError):
        if askew and bears(code, align(deck)):
            return "it is that of its sheet without `zenith`: give `zenith` 0"
    for words, other in _other_sheets(deck):
        if bears(code, other, askew):
            return f"it is that of another sheet of this deck: give {words}"
    for other_deck in others:
        name = f"`deck` '{shown(other_deck.name, 30)}'"
        turned = other_deck.zenith_rad
        for words, other in (("", align(other_deck)), *_other_sheets(other_deck)):
            if bears(code, other, turned):
                return f"it is that of another deck: give {name} {words}".rstrip()
    for words, other in _nearby(deck):
        if bears(code, other, askew):
            return f"it is that of a sheet for {words}: print the sheet of this deck anew"
    return "it is that of another deck's sheet: read the sheet of this one"


def _nearby(deck: Deck) -> Iterator[tuple[str, Alignment]]:
    """Sheets of the deck as it may have been measured before, nearest first; in words."""
    held = "effective_length_mm" if deck.pivot_to_spindle_mm is None else "pivot_to_spindle_mm"
    if deck.exact:
        return  # each would be sought anew
    middle = round(getattr(deck, held) / LENGTH_STEP_MM)
    name = held.removesuffix("_mm").replace("_", " ")
    plain: dict[str, Any] = dict.fromkeys(("null_radii_mm", "norm", "weight", "null_at_mm"))
    for away in range(round(NEARBY_MM / LENGTH_STEP_MM) + 1):
        for at in {middle - away, middle + away}:
            length = at * LENGTH_STEP_MM
            with suppress(InputError):
                before = replace(deck, **{held: length})
                yield f"{name} {to_hundredth(length)} mm", align(before)
                for scheme in SCHEMES:
                    other = replace(before, **{**plain, "scheme": scheme})
                    yield f"{name} {to_hundredth(length)} mm and {scheme}", align(other)
