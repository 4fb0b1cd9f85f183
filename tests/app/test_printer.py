"""The second station: paper, a printer calibrated or not, and its proof."""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode

import pytest

from protractor.bench.remembered import mark_of, remembered
from protractor.printing.profiles import load
from tests.app.conftest import DECKS, Site
from tests.conftest import Ran

READ = {
    "instrument": "calipers",
    "x": ["149.23", "149.25", "149.24"],
    "y": ["150.30", "150.32", "150.31"],
    "rising": ["150.10", "150.12", "150.11"],
    "falling": ["149.75", "149.76", "149.77"],
}
"""The README's readings of an invented printer."""

PROVED = {
    "instrument": "calipers",
    "x": ["150.02", "150.01", "150.02"],
    "y": ["149.99", "150.00", "149.98"],
    "rising": ["150.00", "150.01", "150.00"],
    "falling": ["150.01", "150.00", "150.01"],
}


def marks(site: Site, name: str = "Bench deck") -> dict[str, str]:
    """What a form of the page bears of deck and defaults."""
    file = remembered(site.decks)
    return {"deck": name, "seen": mark_of(file.deck(name)), "seen-defaults": mark_of(file.defaults)}


def twin(site: Site, page: str, **query: Any) -> Any:
    """The JSON twin of a page for a query."""
    return site.get(f"/{page}.json?{urlencode(query, doseq=True)}").get_json()


def recorded(site: Site, **more: Any) -> Any:
    """The answer to a form that records the printer."""
    return site.post("/printer/record", {**READ, "paper": "a4", "name": "desk", **more})


def test_skipping_has_its_price(site: Site) -> None:
    """The page says what printers are wrong by and what that costs on this deck, without scare."""
    page = site.get("/printer?deck=Bench+deck").text
    assert "wrong by 0.3 to 1 %" in page
    assert "The printer hardly matters" in page
    found = twin(site, "printer", deck="Bench deck")
    cost = found["answer"]["cost_uncalibrated"]
    assert cost["pivot_to_spindle_mm"] == pytest.approx(222.3)
    assert cost["share_percent"] < 1
    here: dict[str, Any] = {}
    *lines, last = found["python"].splitlines()
    exec("\n".join([*lines, f"cost = {last}"]), here)
    assert here["cost"].as_dict() == cost


def test_paper_is_kept_with_the_deck_as_the_command_does(
    site: Site, run: Callable[..., Ran]
) -> None:
    """The choice is in the file, byte for byte what the command writes; the owner goes on."""
    command = twin(site, "printer", deck="Bench deck", paper="letter")["command"]
    gone_on = site.post("/printer/choose", {**marks(site), "paper": "letter", "printer": ""})
    assert gone_on.headers["Location"] == "/sheet?deck=Bench+deck"
    by_page = site.decks.read_bytes()
    assert b'paper = "letter"' in by_page
    site.decks.write_text(DECKS, "utf-8")
    assert run(*shlex.split(command)[1:]).status == 0
    assert site.decks.read_bytes() == by_page
    assert "paper letter, as it prints" in site.get("/printer?deck=Bench+deck").text


def test_the_usual_paper_is_kept_too(site: Site) -> None:
    """Who leaves the paper as it is has chosen all the same: the station is done."""
    site.post("/printer/choose", {**marks(site), "paper": "", "printer": ""})
    assert remembered(site.decks).deck("Bench deck").paper == "a4"


def test_for_all_decks(site: Site) -> None:
    """With its tick the choice becomes the default, and the deck names none of its own."""
    said = {**marks(site, "Bench deck 2"), "paper": "a4", "printer": "", "everywhere": "yes"}
    assert site.post("/printer/choose", said).status_code == 303
    file = remembered(site.decks)
    assert file.defaults.paper == "a4"
    assert file.deck("Bench deck 2").paper is None


def test_two_tabs_do_not_overwrite_one_another(site: Site) -> None:
    """A choice for a deck or for defaults that are others now keeps nothing."""
    old = {**marks(site), "paper": "a5", "printer": ""}
    site.post("/printer/choose", {**old, "paper": "letter"})
    before = site.decks.read_bytes()
    late = site.post("/printer/choose", old)
    assert late.status_code == 400
    assert "changed meanwhile" in late.text
    assert "what you sent: a5, as it prints" in late.text
    assert site.decks.read_bytes() == before
    defaults = {**marks(site), "everywhere": "yes", "printer": "", "paper": "a4"}
    site.post("/printer/choose", {**defaults, **marks(site, "Bench deck 2"), "paper": "a3"})
    assert site.post("/printer/choose", defaults).status_code == 400
    assert remembered(site.decks).defaults.paper == "a3"
    assert remembered(site.decks).deck("Bench deck").paper == "letter"


def test_the_sheets_are_those_of_the_command(
    site: Site, run: Callable[..., Ran], tmp_path: Any
) -> None:
    """Calibration and verification sheet, byte for byte."""
    first = site.get("/printer/calibration.pdf?paper=a5").data
    command = twin(site, "printer/calibrate", paper="a5")["command"]
    assert run(*shlex.split(command)[1:], "-o", "first.pdf").status == 0
    assert first == (tmp_path / "first.pdf").read_bytes()
    assert site.get("/printer/calibration.svg?paper=a5").data.startswith(b"<?xml")
    recorded(site)
    second = site.get("/printer/verification.pdf?printer=desk&paper=a4").data
    command = twin(site, "printer/verify", printer="desk", paper="a4")["command"]
    assert run(*shlex.split(command)[1:], "-o", "second.pdf").status == 0
    assert second == (tmp_path / "second.pdf").read_bytes()


def test_a_printer_is_recorded_as_the_command_does(site: Site, run: Callable[..., Ran]) -> None:
    """Scale and shear are the command's, and so is the file; then comes the proof."""
    found = twin(site, "printer/calibrate", **READ, paper="a4", name="desk")
    gone_on = recorded(site, deck="Bench deck")
    where = "/printer/verify?deck=Bench+deck&printer=desk&paper=a4"
    assert gone_on.headers["Location"] == where
    by_page = site.profiles.read_bytes()
    site.profiles.unlink()
    ran = run(*shlex.split(found["command"].splitlines()[1])[1:], "--json")
    assert json.loads(ran.out)["fit"] == found["answer"]["fit"]
    assert site.profiles.read_bytes() == by_page
    here: dict[str, Any] = {}
    *lines, last = found["python"].splitlines()
    exec("\n".join([*lines, f"found = {last}"]), here)
    assert here["found"].scale_x == found["answer"]["fit"]["scale_x"]


def test_readings_that_are_still_missing_are_no_mistake(site: Site) -> None:
    """A form half filled says what is still to be read."""
    found = site.get("/printer/calibrate?instrument=calipers&x=149.2&x=149.3")
    assert found.status_code == 200
    assert "Still to read: Y, Rising, Falling" in found.text
    assert 'name="x" type="text" autocomplete="off"' in found.text


@pytest.mark.parametrize(
    ("line", "read", "said"),
    [
        ("x", ["5.88", "5.88", "5.88"], "inches read as mm"),
        ("y", ["150.3", "150.3", "160.3"], "read that line again"),
        ("x", ["about 149"], "give a number"),
    ],
)
def test_what_no_printer_does_is_refused_beside_its_line(
    site: Site, line: str, read: list[str], said: str
) -> None:
    """A cause that a correction would hide is named; nothing is recorded."""
    given = {**READ, line: read}
    page = site.get(f"/printer/calibrate?{urlencode(given, doseq=True)}")
    assert page.status_code == 400
    beside = re.search(rf'id="f-{line}-wrong"[^>]*>(.*?)</p>', page.text, re.DOTALL)
    assert beside is not None
    assert said.lower() in beside[1].lower()
    assert recorded(site, **{line: read}).status_code == 400
    assert not site.profiles.exists()


def test_the_dialog_is_asked_for_first(site: Site) -> None:
    """Both axes off alike may be the print dialog: recorded once the user has looked."""
    shrunk = {line: ["147.60", "147.62", "147.61"] for line in ("x", "y", "rising", "falling")}
    page = site.get(f"/printer/calibrate?{urlencode({**READ, **shrunk}, doseq=True)}")
    assert page.status_code == 200
    assert "Look at the print dialog first" in page.text
    assert recorded(site, **shrunk).status_code == 400
    assert recorded(site, **shrunk, **{"dialog-checked": "yes"}).status_code == 303


def test_a_recorded_printer_gives_way_only_when_it_was_seen(site: Site) -> None:
    """Another one of the same name and paper needs the tick, which bears what the page showed."""
    recorded(site)
    mark = load(site.profiles)[0].mark
    other = {"x": ["149.26", "149.28", "149.27"]}
    assert recorded(site, **other).status_code == 400
    assert recorded(site, **other, replace="another").status_code == 400
    assert load(site.profiles)[0].mark == mark
    page = site.get(f"/printer/calibrate?{urlencode({**READ, 'name': 'desk'}, doseq=True)}").text
    assert f'name="replace" value="{mark}"' in page
    assert recorded(site, **other, replace=mark).status_code == 303
    assert load(site.profiles)[0].mark != mark


def test_the_proof_is_that_of_the_command(site: Site, run: Callable[..., Ran]) -> None:
    """Verdict, uncertainty and cost on the deck are those of `verify`."""
    recorded(site)
    query = {"deck": "Bench deck", "printer": "desk", "paper": "a4", **PROVED}
    found = twin(site, "printer/verify", **query)
    ran = run(*shlex.split(found["command"].splitlines()[1])[1:], "--json")
    said = json.loads(ran.out)
    mine = found["answer"]
    assert mine["verdict"] == said["verdict"] == "pass"
    shared = mine.keys() & said.keys() - {"findings"}
    assert len(shared) > 10
    assert {key: mine[key] for key in shared} == {key: said[key] for key in shared}
    page = site.get(f"/printer/verify?{urlencode(query, doseq=True)}").text
    assert "<strong>Pass.</strong>" in page
    assert "What it costs on Bench deck" in page


def test_an_ordinary_ruler_proves_nothing_and_leads_on(site: Site) -> None:
    """Not settled is said, with what it costs; the way on is one button."""
    recorded(site)
    read = {line: [mm] * 3 for line, mm in zip(("x", "y"), ("160", "240"), strict=True)}
    read |= {"rising": ["265"] * 3, "falling": ["265"] * 3}
    query = {"printer": "desk", "paper": "a4", **read, "instrument": "ruler"}
    page = site.get(f"/printer/verify?{urlencode(query, doseq=True)}").text
    assert "Not settled." in page
    assert "You may go on with it" in page
    assert "`" not in page


def test_a_recorded_printer_is_chosen_for_a_deck(site: Site) -> None:
    """The deck then names it; a paper that it was not recorded with is refused at the choice."""
    recorded(site)
    assert "desk, calibrated" in site.get("/printer?deck=Bench+deck").text
    wrong = site.post("/printer/choose", {**marks(site), "paper": "letter", "printer": "desk"})
    assert wrong.status_code == 400
    assert re.search(r'id="f-printer-wrong"[^>]*>Got ', wrong.text)
    chosen = site.post("/printer/choose", {**marks(site), "paper": "a4", "printer": "desk"})
    assert chosen.status_code == 303
    deck = remembered(site.decks).deck("Bench deck")
    assert (deck.paper, deck.printer) == ("a4", "desk")
    assert "corrected for desk" in site.get("/printer?deck=Bench+deck").text
    skipped = site.post("/printer/choose", {**marks(site), "paper": "a4", "printer": ""})
    assert skipped.status_code == 303
    assert remembered(site.decks).deck("Bench deck").printer is None


def test_a_damaged_file_of_printers_is_said(site: Site) -> None:
    """It is left as it is, and the page still shows the paper."""
    site.profiles.write_text("no = [", "utf-8")
    page = site.get("/printer?deck=Bench+deck")
    assert page.status_code == 400
    assert "left as it is" in page.text
    assert 'name="paper"' in page.text


def test_a_default_printer_is_skipped_for_all_decks_or_none(site: Site) -> None:
    """A deck cannot say that it takes no printer: the page says how to skip it all the same."""
    recorded(site)
    every = {**marks(site), "paper": "a4", "printer": "desk", "everywhere": "yes"}
    assert site.post("/printer/choose", every).status_code == 303
    assert "corrected for desk" in site.get("/printer?deck=Bench+deck").text
    skip = {**marks(site), "paper": "a4", "printer": ""}
    refused = site.post("/printer/choose", skip)
    assert refused.status_code == 400
    assert "for all my decks" in refused.text
    assert site.post("/printer/choose", {**skip, "everywhere": "yes"}).status_code == 303
    assert remembered(site.decks).defaults.printer is None


def test_the_paper_chosen_goes_along_to_the_calibration(site: Site) -> None:
    """The address that follows asks for deck and paper alone."""
    query = urlencode({**marks(site), "paper": "letter"})
    gone_on = site.get(f"/printer/calibrate?{query}")
    assert gone_on.headers["Location"] == "/printer/calibrate?deck=Bench+deck&paper=letter"
