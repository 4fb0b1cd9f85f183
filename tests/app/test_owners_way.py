"""The whole way of an owner in a real browser: an invented deck from the first measurement to proof.

Once as a person goes it with script, once without. Skipped where there is no chromium.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from protractor.app.server import Served
from tests.conftest import Ran

LENGTH = "222.3±0.3"

FIRST = ("2.5", "1.5", "-2")
"""What the fans and the overhang marks show at first: a move is worth it."""

LAST = ("0", "-0.5", "0")
"""What they show after it: as good as a hand gets it."""


def go(page: Any, name: str) -> None:
    """Presses a button or follows a link of this name, the first one in the content."""
    found = page.locator("main").get_by_role("button", name=name)
    if not found.count():
        found = page.locator("main").get_by_role("link", name=name)
    found.first.click()
    page.wait_for_load_state()


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_from_measuring_to_proof(
    browser: Any, served: Served, run: Callable[..., Ran], tmp_path: Path, script: bool
) -> None:
    """Every station leads to the next, what was entered is kept, and the files are the command's."""
    context = browser.new_context(java_script_enabled=script, accept_downloads=True)
    page = context.new_page()
    page.goto(served.address)
    go(page, "Measure a deck")
    page.get_by_label("Pivot to spindle").fill(LENGTH)
    if not script:
        go(page, "Show what it comes to")
    page.get_by_label("Name of the deck").fill("An invented deck")
    go(page, "Remember")
