"""The page of answers: every answer is on it, nothing collides, nothing leaves the paper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from protractor.alignments.deck import Deck
from protractor.bench.deck_fit import answers_page, spoken
from protractor.chain.question import CAUTIONS, fit
from protractor.drawing.shapes import Label, Page
from protractor.errors import InputError
from protractor.printing.paper import PAPERS
from tests.chain.test_answers import ARM, COIL, COIL_INPUT, MAGNET, MAGNET_INPUT
from tests.collisions import collisions
from tests.conftest import Ran

COMPLETE = fit(
    replace(COIL, vertical_angle_deg=28.0),
    replace(ARM, higher_mm=3.0),
    [replace(MAGNET_INPUT, capacitance_pf=100.0), COIL_INPUT],
)


def words(page: Page) -> str:
    """All words of a page in one line."""
    return " ".join(shape.text for shape in page.shapes if isinstance(shape, Label))


@pytest.mark.parametrize("paper", ["a4", "letter", "a3"])
def test_every_answer_is_on_the_page(paper: str) -> None:
    """Name, value, verdict and change of each, the cautions, in the clear area."""
    page = answers_page(Deck(name="Bench deck ♫ 1"), COMPLETE, PAPERS[paper])
    assert collisions(page) == []
    text = words(page)
    for one in COMPLETE:
        assert spoken(one.name) in text
        assert one.value_text in text
        assert (one.verdict or "") in text
    for caution in CAUTIONS:
        assert all(word in text for word in caution.split())
    assert "Not answered" not in text


def test_what_is_open_is_listed() -> None:
    """What could not be answered names the inputs to give, as they are called."""
    text = words(answers_page(Deck(), fit(MAGNET), PAPERS["a4"]))
    assert "Not answered" in text
    assert "capacitance: give arm-wire, arm-cable, stage-capacitance" in text


def test_a_small_paper_is_refused() -> None:
    """A5 has no room for every answer about two inputs; nothing is left out silently."""
    with pytest.raises(InputError, match="room for every answer"):
        answers_page(Deck(), COMPLETE, PAPERS["a5"])


def test_the_command_writes_it(run: Callable[..., Ran]) -> None:
    """`--sheet` beside the answers; another ending is refused before anything is written."""
    figures = ("fit", "--arm-force", "1.8", "--cartridge-force", "1.5", "2")
    ran = run(*figures, "--title", "Bench deck 1", "--sheet", "fit.svg")
    assert (ran.status, ran.files) == (0, ["fit.svg"])
    assert ran.out.endswith("\n\nfit.svg\n")
    assert b"tracking force" in Path("fit.svg").read_bytes()
    refused = run(*figures, "--sheet", "fit.png")
    assert (refused.status, refused.files) == (2, ["fit.svg"])
    assert "--sheet: got fit.png" in refused.err
