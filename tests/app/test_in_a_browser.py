"""Every page in a real browser: accessible, narrow enough for a phone, quiet on its console.

Skipped where there is no chromium.
"""

from __future__ import annotations

from typing import Any

import pytest

from protractor.app.server import Served

PAGES = (
    "",
    "measure",
    "measure?deck=Bench+deck",
    "printer?deck=Bench+deck",
    "printer/calibrate?deck=Bench+deck",
    "sheet",
    "sheet?deck=Bench+deck",
    "sheet?deck=Bench+deck+2&zenith=1.5",
    "align?deck=Bench+deck&step=1",
    "align?deck=Bench+deck&step=11",
    "read?deck=Bench+deck",
    "read?deck=Bench+deck&reading=66.0:2.5&reading=120.9:1.5",
    "prove?deck=Bench+deck",
    "compare",
    "compare?pivot-to-spindle=222&now-overhang=17&now-offset=22.5",
    "workshop",
    "no-such-page",
)

WRONG = ("sheet?pivot-to-spindle=2", "compare?pivot-to-spindle=2", "sheet?deck=nobody")
"""Questions that cannot be answered: their pages are pages, too."""

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


DARK = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}
"""What the colours can change; everything else is the same in the dark."""

LIGHT = {"runOnly": RULES, "rules": {"target-size": {"enabled": True}}}


def open_page(browser: Any, said: list[str], **settings: Any) -> Any:
    """A page in a fresh profile; what its console complains of is added to `said`."""
    page = browser.new_context(**settings).new_page()
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on(
        "console",
        lambda message: (
            said.append(message.text)
            if message.type in ("error", "warning") and "status of 4" not in message.text
            else None
        ),
    )
    return page


@pytest.mark.parametrize("share", [0, 1, 2])
def test_every_page(browser: Any, served: Served, share: int) -> None:
    """No page breaks a rule of WCAG 2.2 AA that a machine can check, in light and in dark.

    At the width of a small phone nothing scrolls sideways, and what is touched is large enough.
    """
    from axe_playwright_python.sync_playwright import Axe

    axe, broken = Axe(), list[str]()
    page = open_page(browser, broken)
    for address in (*PAGES, *WRONG)[share::3]:
        page.set_viewport_size({"width": 1280, "height": 900})
        page.goto(served.address + address)
        found = axe.run(page, options=LIGHT).response["violations"]
        page.emulate_media(color_scheme="dark")
        found += axe.run(page, options=DARK).response["violations"]
        page.emulate_media(color_scheme="light")
        for rule in found:
            where = ", ".join(node["html"][:80] for node in rule["nodes"][:3])
            broken.append(f"/{address}: {rule['id']}: {where}")
        page.set_viewport_size({"width": 360, "height": 640})
        width = page.evaluate("document.documentElement.scrollWidth")
        broken += [f"/{address} is {width} wide"] if width > 360 else []
        small = page.evaluate(
            """() => [...document.querySelectorAll("button, .button, select, input[type=text]")]
            .filter((e) => e.offsetParent && e.getBoundingClientRect().height < 24)
            .map((e) => e.outerHTML.slice(0, 80))"""
        )
        broken += [f"/{address}: {each} is hard to touch" for each in small]
    page.context.close()
    assert broken == []


def test_by_keyboard_alone(browser: Any, served: Served) -> None:
    """The first key leads to the content, every control is reached and shows where one is."""
    page = open_page(browser, [])
    page.goto(served.address + "sheet")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert page.evaluate("location.hash") == "#main"
    reached = []
    for _ in range(60):
        page.keyboard.press("Tab")
        here = page.evaluate(
            "() => { const e = document.activeElement; const s = getComputedStyle(e);"
            " return [e.id || e.name || e.textContent.trim(), s.outlineStyle] }"
        )
        reached.append(here[0])
        assert here[1] != "none", f"nobody sees that {here[0]} is reached"
        if here[0] == "f-pivot-to-spindle":
            page.keyboard.type("222")
        if here[0] == "Show the sheet":
            page.keyboard.press("Enter")
            break
    assert "f-pivot-to-spindle" in reached
    page.wait_for_selector("img.paper")
    assert "pivot-to-spindle=222" in page.url


def test_nothing_from_elsewhere(browser: Any, served: Served) -> None:
    """A page asks its own address alone, and keeps nothing but the place."""
    page = open_page(browser, [])
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    for address in PAGES:
        page.goto(served.address + address, wait_until="load")
    assert asked
    assert all(each.startswith(served.address) for each in asked)
    names = {cookie["name"] for cookie in page.context.cookies()}
    assert names <= {"place", "protractor"}
