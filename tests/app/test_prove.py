"""What is left of a deck, what it costs, and its worksheet."""

from __future__ import annotations

import json
import shlex
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.app.conftest import Site
from tests.conftest import Ran


def keep(site: Site, readings: str, number: int) -> None:
    """Keeps a round of the bench deck."""
    kept = site.post(f"/read/keep?deck=Bench+deck&{readings}", {"round": str(number)})
    assert kept.status_code == 303


def commands(site: Site, page: str) -> list[list[str]]:
    """The commands that the page shows."""
    found = site.get(page).get_json()["command"]
    return [shlex.split(line)[1:] for line in found.splitlines()]


def test_the_figures_are_the_commands(site: Site, run: Callable[..., Ran], tmp_path: Path) -> None:
    """Tolerance and worksheet as JSON, and the PDF byte for byte."""
    keep(site, "reading=66.0:2.5&reading=120.9:1.5", 1)
    answer = site.get("/prove.json?deck=Bench+deck").get_json()["answer"]
    sure, show, sheet = commands(site, "/prove.json?deck=Bench+deck")
    assert json.loads(run(*sure, "--json").out) == answer["tolerance"]
    assert json.loads(run(*show, "--json").out) == answer["worksheet"]
    assert run(*sheet, "-o", "worksheet-here.pdf").status == 0
    found = site.get("/prove/worksheet.pdf?deck=Bench+deck")
    assert found.data == (tmp_path / "worksheet-here.pdf").read_bytes()
    assert "worksheet" in found.headers["Content-Disposition"]


def test_the_lines_of_python_find_the_same(site: Site) -> None:
    """Also for a deck that is given by its figures; it has no worksheet."""
    for query in ("deck=Bench+deck", "pivot-to-spindle=222&scheme=stevenson"):
        found = site.get(f"/prove.json?{query}").get_json()
        here: dict[str, Any] = {}
        exec(found["python"], here)
        assert here["sure"].as_dict() == found["answer"]["tolerance"]
    assert found["answer"]["worksheet"] is None
    assert site.get("/prove/worksheet.pdf?pivot-to-spindle=222").status_code == 400


@pytest.mark.parametrize(
    ("readings", "says", "back"),
    [
        ("", "Not proven yet: no round is kept", "/align?deck=Bench+deck"),
        ("reading=66.0:2.5&reading=120.9:1.5", "the last round asked for a move", "/read?deck="),
        ("reading=66.0:0.3&reading=120.9:-0.3", "Not settled: read again", "/read?deck="),
        ("&".join(["reading=66.0:0&reading=120.9:0"] * 3), "The alignment is done", ""),
    ],
)
def test_the_end_is_honest(site: Site, readings: str, says: str, back: str) -> None:
    """Done, or the station to go back to, by the last round."""
    if readings:
        keep(site, readings, 1)
    page = site.get("/prove?deck=Bench+deck").text
    assert says in page
    assert f'<a class="button" href="{back}' in page if back else "Do the last things" in page
    assert ("scheme&#39;s" in page or "The scheme's own" in page) == bool(readings)
    assert "zenith" in page, "what no reading shows"
    assert "A scale confirms the force." in page


def test_a_damaged_log_is_said_and_nothing_is_lost(site: Site) -> None:
    """One clear line; the log stays as it is."""
    log = site.house.decks().log("Bench deck")
    log.parent.mkdir()
    log.write_text("no log\n", "utf-8")
    for page in ("/prove?deck=Bench+deck", "/read?deck=Bench+deck&reading=66:1&reading=120.9:1"):
        found = site.get(page)
        assert found.status_code == 400
        assert "a log that this command began" in found.text
    assert log.read_text("utf-8") == "no log\n"
