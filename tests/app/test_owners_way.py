"""The way of an owner in a real browser: an invented deck, from the first measurement to proof.

Once as a person goes it with script, once without. Skipped where there is no chromium.
"""

from __future__ import annotations

import json
import urllib.request
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from protractor.app.server import Served
from tests.conftest import Ran

NAME = "An invented deck"

Seen = tuple[tuple[str, ...], tuple[str, ...], str]
"""What the inner and outer fan show, each reading, and the overhang marks."""

FIRST: Seen = (("2.5",), ("1.5",), "-2")
"""At first: a move is worth it."""

LAST: Seen = (("0", "0.5"), ("-0.5", "0"), "0")
"""After it, each fan read twice: as good as a hand gets it."""


def go(page: Any, name: str) -> None:
    """Presses a button or follows a link of the content by its name."""
    button = page.locator("main").get_by_role("button", name=name)
    link = page.locator("main").get_by_role("link", name=name)
    button.or_(link).first.click()
    page.wait_for_load_state()


def download(page: Any, name: str) -> tuple[str, bytes]:
    """The file that a link hands out, with its name."""
    with page.expect_download() as found:
        page.locator("main").get_by_role("link", name=name).click()
    return found.value.suggested_filename, Path(found.value.path()).read_bytes()


def read(page: Any, seen: Seen) -> None:
    """Fills in what fans and marks show, and asks what to move."""
    inner, outer, mark = seen
    for target, shown in (("Inner target, 66.0 mm", inner), ("Outer target, 120.9 mm", outer)):
        for number, text in enumerate(shown, start=1):
            page.get_by_label(f"{target}: the fan shows, reading {number}").fill(text)
    page.get_by_label("Overhang marks show").fill(mark)
    go(page, "Show what to move")


def to_the_sheet(page: Any, address: str, script: bool) -> None:
    """From the first page over measure and printer to the sheet."""
    page.goto(address)
    go(page, "Measure a deck")
    page.get_by_label("Pivot to spindle").last.fill("222.3±0.3")
    page.get_by_label("Name of the deck").fill(NAME)
    if not script:
        go(page, "See what it comes to")
    go(page, "Remember the deck, on to the printer")
    assert page.locator("h1").inner_text() == "Printer"
    page.get_by_label("Paper").select_option("letter")
    go(page, "Keep this, on to the sheet")
    assert page.locator("h1").inner_text() == "The sheet"
    page.wait_for_function("document.querySelector('img.paper').naturalWidth > 0")


def through_the_steps(page: Any, address: str) -> None:
    """All steps at the deck, each with its drawing; he leaves at the last one and comes back."""
    for step in range(1, 16):
        assert page.locator("main .drawing").count() >= 1, step
        assert f"Step {step} of 15" in page.locator("h1").inner_text()
        if step < 15:
            go(page, "Next step")
    page.goto(address)
    go(page, f"Go on with {NAME}: Align, step 15")
    assert "Step 15 of 15" in page.locator("h1").inner_text()
    go(page, "Give the readings")


def two_rounds(page: Any) -> None:
    """A move is advised and drawn; after it the readings are as good as a hand gets them."""
    read(page, FIRST)
    page.get_by_role("heading", name="Move the cartridge").wait_for()
    assert "Slide the cartridge" in page.locator("#result ol").inner_text()
    assert page.locator("#result figure").first.locator(".drawing").count() == 1
    go(page, "Keep this as round 1")
    go(page, "Read anew")
    read(page, LAST)
    page.get_by_role("heading", name="Leave it as it is").wait_for()
    go(page, "Keep this as round 2")
    go(page, "What is left: prove")


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_from_measuring_to_proof(
    browser: Any, served: Served, run: Callable[..., Ran], tmp_path: Path, script: bool
) -> None:
    """Each station leads to the next, what was entered is kept, the files are the commands'."""
    decks = ("--decks", str(served.house.decks_file))
    context = browser.new_context(java_script_enabled=script, accept_downloads=True)
    page = context.new_page()

    to_the_sheet(page, served.address, script)
    name, sheet = download(page, "Download the PDF")
    ran = run("template", "--deck", NAME, *decks)
    assert ran.status == 0, ran.err
    assert Path(tmp_path, "templates_out", name).read_bytes() == sheet

    go(page, "Printed and measured: go on to align")
    through_the_steps(page, served.address)
    two_rounds(page)

    assert page.locator("h1").inner_text() == "Prove"
    _, worksheet = download(page, "Download the worksheet as PDF")
    ran = run("decks", "sheet", NAME, *decks, "-o", "worksheet.pdf")
    assert ran.status == 0, ran.err
    assert Path("worksheet.pdf").read_bytes() == worksheet
    kept = json.loads(run("decks", "show", NAME, *decks, "--json").out)
    assert [each["verdict"] for each in kept["rounds"]] == ["move", "matches"]
    assert kept["leave_it"] is True
    with urllib.request.urlopen(served.address) as found:
        assert "leave it as it is" in found.read().decode()
    context.close()


def tab_to(page: Any, name: str) -> None:
    """Presses Tab until a control of this name has the focus; it must be seen to have it."""
    said = (
        "() => { const e = document.activeElement; const s = getComputedStyle(e);"
        " return [e.id || e.textContent.trim(), s.outlineStyle] }"
    )
    for _ in range(90):
        page.keyboard.press("Tab")
        here, outline = page.evaluate(said)
        if here == name:
            assert outline != "none", f"nobody sees that {name} has the focus"
            return
    pytest.fail(f"{name} is not reached by the keyboard")


def press(page: Any, name: str, heading: str) -> None:
    """Goes to a control by the keyboard and presses it; a page of this heading comes."""
    tab_to(page, name)
    page.keyboard.press("Enter")
    page.locator("h1", has_text=heading).wait_for()
    page.wait_for_load_state()


def write(page: Any, field: str, text: str) -> None:
    """Goes to a field by the keyboard and writes into it."""
    tab_to(page, field)
    page.keyboard.type(text)


def test_by_keyboard_alone(browser: Any, served: Served, run: Callable[..., Ran]) -> None:
    """The same way without a mouse: every control is reached, seen to be reached, and works."""
    page = browser.new_page()
    page.goto(served.address)
    press(page, "Measure a deck", "Measure")
    write(page, "f-pivot-to-spindle", "222.3")
    write(page, "f-name", NAME)
    page.get_by_role("button", name="Remember the deck, on to the printer").wait_for()
    press(page, "Remember the deck, on to the printer", "Printer")
    press(page, "Keep this, on to the sheet", "The sheet")
    press(page, "Printed and measured: go on to align", "Step 1 of 15")
    press(page, "Next step", "Step 2 of 15")
    page.keyboard.press("ArrowRight")
    page.locator("h1", has_text="Step 3 of 15").wait_for()
    press(page, "Read and correct", "Read and correct")
    write(page, "f-inner-fan-1", "2.5")
    write(page, "f-outer-fan-1", "1.5")
    write(page, "f-overhang-mark", "-2")
    page.get_by_role("heading", name="Move the cartridge").wait_for()
    tab_to(page, "Keep this as round 1")
    page.keyboard.press("Enter")
    page.get_by_text("Round 1 is kept.").wait_for()
    press(page, "What is left: prove", "Prove")
    assert page.locator("h1").inner_text() == "Prove"
    shown = run("decks", "show", NAME, "--decks", str(served.house.decks_file), "--json")
    assert [each["round"] for each in json.loads(shown.out)["rounds"]] == [1]
    page.close()
