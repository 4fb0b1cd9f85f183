"""Does it fit: every answer that the given figures allow, and what the rest would take."""

from __future__ import annotations

from collections.abc import Sequence

from protractor.chain.answer import Answer
from protractor.chain.balance import FORCE_CAUTION, balance_answers
from protractor.chain.cartridge import Cartridge
from protractor.chain.level import better_input, level_answers
from protractor.chain.load import load_answers
from protractor.chain.resonance import resonance_answers
from protractor.chain.side import (
    RECORDED_RADII_MM,
    groove_speed_cm_s,
    height_answers,
    skating_answers,
)
from protractor.chain.stage import Stage, conflicts
from protractor.chain.tonearm import Tonearm

CAUTIONS = (
    f"{FORCE_CAUTION} Set the force with a scale, inside the maker's range (common practice).",
    "Mute the amplifier or switch it off before a plug is pulled or a setting changed.",
    "Leave all work at the mains to licensed people.",
    "Guard on the stylus, arm on its rest, while weights and screws are moved.",
)


def fit(
    cartridge: Cartridge | None = None,
    arm: Tonearm | None = None,
    stages: Sequence[Stage] = (),
    *,
    radii_mm: tuple[float, float] = RECORDED_RADII_MM,
    rpm: float = 100 / 3,
) -> list[Answer]:
    """Every answer about a cartridge, an arm and the inputs of a phono stage.

    Args:
        cartridge: its data sheet.
        arm: the arm, its counterweight and its cable.
        stages: the inputs to choose from, the present one first.
        radii_mm: inner and outer recorded radius [mm].
        rpm: speed of the record [rpm].

    Returns:
        answers in the order of the chain: level and load of each input, the better input, balance,
        resonance, along the side. A part or a figure that is left out leaves out what depends on
        it alone, and makes an answer that says what it would take.

    Raises `InputError` when the figures of two parts contradict each other or two inputs share a
    name.

    >>> sheet = Cartridge(mass_g=6.0, compliance_um_mn=15.0, compliance_is="10hz")
    >>> arm = Tonearm(effective_mass_g=12.0, effective_mass_is="with-headshell")
    >>> next(one.value.text() for one in fit(sheet, arm) if one.name == "resonance")
    '7.8 to 12.1'
    """
    cartridge, arm, stages = cartridge or Cartridge(), arm or Tonearm(), stages or [Stage()]
    for _, error in conflicts(cartridge, stages):
        raise error
    answers: list[Answer] = []
    for stage in stages:
        answers += level_answers(cartridge, arm, stage)
        answers += load_answers(cartridge, arm, stage)
    if len(stages) > 1:
        answers.append(better_input(answers))
    return [
        *answers,
        *balance_answers(cartridge, arm),
        *resonance_answers(cartridge, arm),
        *skating_answers(arm, radii_mm),
        *height_answers(cartridge, arm, groove_speed_cm_s(radii_mm[0], rpm)),
    ]
