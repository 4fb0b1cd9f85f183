"""The first station: what is measured, what was stated, and a deck that is remembered."""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode

import pytest

from protractor.bench.remembered import mark_of, remembered
from tests.app.conftest import DECKS, Site
from tests.conftest import Ran

SAID = {"pivot-to-spindle": "222", "effective-length": "239", "overhang": "15"}


def asked(site: Site, **query: Any) -> Any:
    """The JSON twin of the page for a query; underscores for hyphens."""
    words = {name.replace("_", "-"): value for name, value in query.items()}
    return site.get(f"/measure.json?{urlencode(words, doseq=True)}").get_json()


def seen(site: Site, name: str = "Bench deck") -> str:
    """The mark of a deck as it is now."""
    return mark_of(remembered(site.decks).deck(name))


@pytest.mark.parametrize(
    ("query", "paper"), [("", "a4"), ("?deck=Bench+deck+2", "letter"), ("?paper=a3", "a3")]
)
def test_the_gauge_is_that_of_the_command(
    site: Site, run: Callable[..., Ran], query: str, paper: str, tmp_path: Any
) -> None:
    """The PDF is the command's, byte for byte, on the deck's paper; the preview is an image."""
    found = site.get(f"/measure/pivot-gauge.pdf{query}")
    command = site.get(f"/measure.json{query}").get_json()["command"].splitlines()[-1]
    assert run(*shlex.split(command)[1:], "-o", "gauge.pdf").status == 0
    assert found.data == (tmp_path / "gauge.pdf").read_bytes()
    assert f"{paper}.pdf" in found.headers["Content-Disposition"]
    assert site.get(f"/measure/pivot-gauge.svg{query}").data.startswith(b"<?xml")


def test_three_readings_make_the_length(site: Site) -> None:
    """Mean and half of the spindle's diameter, with what a ruler may be wrong by."""
    found = asked(site, near_edge=["218.5", "219", "218,9"])["answer"]
    assert found["pivot_to_spindle"]["text"] == "222.3±0.6"
    assert found["pivot_to_spindle"]["source"] == "ruler"
    written = asked(site, near_edge=["218.5"], pivot_to_spindle="222.1±0.3")["answer"]
    assert written["pivot_to_spindle"]["source"] == "written"


def test_what_was_stated_is_compared_as_the_command_does(
    site: Site, run: Callable[..., Ran]
) -> None:
    """The page names what may be wrong, and its command and lines of Python find the same."""
    found = asked(site, **SAID, null_radii="66 and 121")
    assert found["answer"]["reconcile"]["suspect"] == "overhang"
    words = shlex.split(found["command"].splitlines()[0])
    assert words[:2] == ["protractor", "reconcile"]
    assert json.loads(run(*words[1:], "--json").out) == found["answer"]["reconcile"]
    here: dict[str, Any] = {}
    exec(found["python"], here)
    assert here["found"].as_dict() == found["answer"]["reconcile"]
    page = site.get(f"/measure?{urlencode({**SAID, 'null-radii': '66 and 121'})}").text
    assert "Most likely the <strong>overhang" in page or "Most likely the overhang" in page


def test_a_contradiction_that_is_not_settled_is_called_so(site: Site) -> None:
    """Each explanation has its line, and what to measure again is named."""
    page = site.get("/measure?deck=Bench+deck").text
    assert "not settled which is wrong" in page
    assert "They differ most in overhang" in page
    assert "1.7 mm too high" in page


def test_figures_alone_are_not_a_measurement(site: Site) -> None:
    """Without a measured length the page says what that is worth, and offers it only if asked."""
    stated = {"effective-length": "239", "overhang": "15.0", "name": "Attic deck"}
    page = site.get(f"/measure?{urlencode(stated)}").text
    assert "Not measured" in page
    assert "/measure/remember" not in page
    assert site.post("/measure/remember", stated).status_code == 400
    kept = site.post("/measure/remember", {**stated, "worked-out": "yes"})
    assert kept.status_code == 303
    deck = remembered(site.decks).deck("Attic deck")
    assert deck.pivot_to_spindle_mm == pytest.approx(224.0)
    assert dict(deck.stated).keys() == {"pivot-to-spindle"}, "figures that cannot disagree"
    assert "not measured; stated: effective length 239, overhang 15.0" in str(deck.notes)


def test_one_figure_settles_nothing(site: Site) -> None:
    """A single figure that is no measurement is no mistake, but leads nowhere yet."""
    found = site.get("/measure?effective-length=239")
    assert found.status_code == 200
    assert "Effective length alone settles no arm" in found.text


def test_a_wrong_field_has_its_complaint_beside_it(site: Site) -> None:
    """What cannot be read is said beside its field, with what is allowed and what to do."""
    found = site.get("/measure?pivot-to-spindle=222±&overhang=15")
    assert found.status_code == 400
    beside = re.search(r'id="f-pivot-to-spindle-wrong"[^>]*>(.*?)</p>', found.text, re.DOTALL)
    assert beside is not None
    assert "Write it as 237±0.5" in beside[1]
    assert re.search(r'id="f-overhang-wrong"[^>]*></p>', found.text)


def test_a_deck_is_remembered_as_the_command_does(site: Site, run: Callable[..., Ran]) -> None:
    """The file is the one that `decks add` leaves, and the owner goes on to the printer."""
    given = {**SAID, "pivot-to-spindle": "222.3±0.3", "name": "My deck"}
    command = asked(site, **given)["command"].splitlines()[0]
    gone_on = site.post("/measure/remember", given)
    assert gone_on.status_code == 303
    assert gone_on.headers["Location"] == "/printer?deck=My+deck"
    by_page = site.decks.read_bytes()
    site.decks.write_text(DECKS, "utf-8")
    assert run(*shlex.split(command)[1:]).status == 0
    assert site.decks.read_bytes() == by_page


def test_a_deck_is_changed_as_the_command_does(site: Site, run: Callable[..., Ran]) -> None:
    """An existing deck shows its figures; what is emptied is left out, comments stay."""
    page = site.get("/measure?deck=Bench+deck").text
    assert 'value="222.3±0.3"' in page
    assert "Keep the changes" not in page
    given = {"deck": "Bench deck", "pivot-to-spindle": "222.1±0.3", "overhang": "16.8"}
    given["seen"] = seen(site)
    command = asked(site, **given)["command"].splitlines()[0]
    assert site.post("/measure/remember", given).status_code == 303
    by_page = site.decks.read_bytes()
    assert b"# a comment stays" in by_page
    assert b"effective-length" not in by_page
    site.decks.write_text(DECKS, "utf-8")
    assert run(*shlex.split(command)[1:]).status == 0
    assert site.decks.read_bytes() == by_page


def test_two_tabs_do_not_overwrite_one_another(site: Site) -> None:
    """A form that saw another deck than the file has keeps nothing and shows both."""
    old = {"deck": "Bench deck", "pivot-to-spindle": "222.3±0.3", "overhang": "17"}
    old["seen"] = seen(site)
    first = {**old, "overhang": "16.1"}
    assert site.post("/measure/remember", first).status_code == 303
    before = site.decks.read_bytes()
    late = site.post("/measure/remember", old)
    assert late.status_code == 409
    assert site.decks.read_bytes() == before
    assert "<td>16.1</td><td>17</td>" in late.text
    again = re.search(r'name="seen" value="(\w+)"', late.text)
    assert again is not None
    assert site.post("/measure/remember", {**old, "seen": again[1]}).status_code == 303
    assert dict(remembered(site.decks).deck("Bench deck").stated)["overhang"] == "17"


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"name": "Bench deck", "pivot-to-spindle": "222"}, "f-name-wrong"),
        ({"name": "", "pivot-to-spindle": "222"}, "f-name-wrong"),
        ({"name": "New", "pivot-to-spindle": ""}, "f-pivot-to-spindle-wrong"),
        ({"name": "New", "pivot-to-spindle": "22"}, "f-pivot-to-spindle-wrong"),
    ],
)
def test_what_cannot_be_kept_leaves_the_file(site: Site, given: dict[str, str], said: str) -> None:
    """A name that is taken or missing, a length that is none: said beside the field."""
    found = site.post("/measure/remember", given)
    assert found.status_code == 400
    assert re.search(rf'id="{said}"[^>]*>Got ', found.text)
    assert site.decks.read_text("utf-8") == DECKS


def test_an_arm_that_is_yet_to_be_mounted_can_be_measured_later(site: Site) -> None:
    """A deck kept by its effective length goes on as it is; a measurement takes the lead."""
    site.decks.write_text(
        f'{DECKS}\n[[deck]]\nname = "New arm"\neffective-length = 239.3\n', "utf-8"
    )
    page = site.get("/measure?deck=New+arm")
    assert page.status_code == 200
    assert 'value="239.3"' in page.text
    assert "On to the printer" in page.text
    given = {"deck": "New arm", "effective-length": "239.3", "pivot-to-spindle": "222±0.5"}
    kept = site.post("/measure/remember", {**given, "seen": seen(site, "New arm")})
    assert kept.status_code == 303
    assert remembered(site.decks).deck("New arm").pivot_to_spindle_mm == 222


def test_names_are_shown_and_never_obeyed(site: Site) -> None:
    """What looks like a page is a name like any other."""
    name = "<script>alert(1)</script> & 'Bob'"
    assert (
        site.post("/measure/remember", {"name": name, "pivot-to-spindle": "222"}).status_code == 303
    )
    page = site.get(f"/measure?{urlencode({'deck': name})}")
    assert page.status_code == 200
    assert "<script>alert" not in page.text
    command = page.text.split("protractor gauge pivot")[1]
    assert "alert(1)" in command
