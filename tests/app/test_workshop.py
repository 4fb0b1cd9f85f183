"""The workshop: decks as a table, changed from two sides, taken in and handed out; gauges."""

from __future__ import annotations

import io
import re
import shlex
from pathlib import Path
from typing import Any

import pytest

from protractor.bench.deck_file import read_decks
from protractor.cli import main
from tests.app.conftest import HOST, Site

SCRIPT = "<script>alert(1)</script>"


def seen(page: str) -> str:
    """The mark that a form bears."""
    found = re.search(r'name="seen" value="([0-9a-f]*)"', page)
    assert found
    return found[1]


def filled(site: Site, name: str = "Bench deck") -> dict[str, str]:
    """What the form of a deck sends when nothing is touched."""
    page = site.get(f"/workshop/change?deck={name}").text
    data = {"seen": seen(page)}
    for field in re.findall(r"<input id=[^>]*>", page):
        found = re.search(r'name="([^"]+)".*value="([^"]*)"', field)
        assert found
        data[found[1]] = found[2]
    notes = re.search(r'<textarea id="f-notes"[^>]*>([^<]*)<', page)
    for select in re.findall(r"<select.*?</select>", page, re.DOTALL):
        chosen = re.search(r'value="([^"]*)" selected', select)
        which = re.search(r'name="([^"]+)"', select)
        assert which
        data[which[1]] = chosen[1] if chosen else ""
    return {**data, "notes": notes[1] if notes else ""}


def run(command: str, capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    """Runs a command as it is shown; its status and what it printed."""
    words = shlex.split(command)
    assert words[0] == "protractor"
    return main(words[1:]), capsys.readouterr().out


def test_table(site: Site) -> None:
    """Each deck with its length as stated, what it is for, what is due, what contradicts."""
    page = site.get("/workshop").text
    for words in ("222.3±0.3", "Stevenson", "letter", "Print the sheet, set the cartridge"):
        assert words in page
    assert "Statements contradict one another" in page
    data = site.get("/workshop.json").json["answer"]
    assert [each["name"] for each in data["decks"]] == ["Bench deck", "Bench deck 2"]
    assert data["decks"][0]["stated"]["pivot-to-spindle"] == "222.3±0.3"
    assert data["faults"] == []


def test_find(site: Site) -> None:
    """A text finds decks by what they say."""
    assert site.get("/workshop.json?find=STEVEN").json["answer"]["count"] == 1
    assert "No deck matches" in site.get("/workshop?find=nobody").text
    assert SCRIPT not in site.get(f"/workshop?find={SCRIPT}").text


def test_faulty_entry(site: Site) -> None:
    """A faulty entry stands with its line and field, and the others are there."""
    text = site.decks.read_text("utf-8")
    site.decks.write_text(f'{text}\n[[deck]]\nname = "{SCRIPT}"\npivot-to-spindel = 3\n', "utf-8")
    page = site.get("/workshop")
    assert page.status_code == 200
    assert "pivot-to-spindel" in page.text
    assert SCRIPT not in page.text
    assert "Bench deck 2" in page.text
    fault = site.get("/workshop.json").json["answer"]["faults"][0]
    assert (fault["field"], fault["line"]) == ("pivot-to-spindel", 18)


def test_damaged_file(site: Site) -> None:
    """A damaged file is named, stays as it is, and gauges go on without it."""
    site.decks.write_bytes(b'[[deck]]\nname = "Bench\xff')
    before = site.decks.read_bytes()
    page = site.get("/workshop")
    assert page.status_code == 200
    assert "line 2" in page.text
    assert site.get("/workshop/gauge/plate?pivot-to-spindle=222").status_code == 200
    for address in ("add", "change?deck=Bench+deck", "defaults", "import", "batch"):
        answer = site.post(f"/workshop/{address}", {"name": "X", "pivot-to-spindle": "222"})
        assert answer.status_code == 400, address
    assert site.decks.read_bytes() == before


def test_add(site: Site) -> None:
    """A deck is added as it was stated; what is wrong stands beside its field."""
    wrong = site.post("/workshop/add", {"name": "Third", "pivot-to-spindle": "22"})
    assert wrong.status_code == 400
    assert re.search(r'id="f-pivot-to-spindle-wrong"[^>]*>Got', wrong.text)
    data = {"name": "Third", "pivot-to-spindle": "8 3/4 in±0.5", "notes": SCRIPT}
    assert site.post("/workshop/add", data).status_code == 303
    deck = read_decks(site.decks).decks[-1]
    assert dict(deck.stated) == {"pivot-to-spindle": "8 3/4 in±0.5"}
    assert deck.notes == SCRIPT
    twice = site.post("/workshop/add", {**data, "pivot-to-spindle": "221"})
    assert "a name of its own" in twice.text
    assert SCRIPT not in twice.text
    assert "a comment stays" in site.decks.read_text("utf-8")


def test_form_that_is_not_touched_changes_nothing(site: Site) -> None:
    """A form holds everything that a deck's file says."""
    before = site.decks.read_bytes()
    for name in ("Bench deck", "Bench deck 2"):
        found = site.post(f"/workshop/change?deck={name}", filled(site, name))
        assert found.status_code == 303
    assert site.decks.read_bytes() == before


def test_change(site: Site, capsys: pytest.CaptureFixture[str]) -> None:
    """Fields change as with the command; what was emptied is left out; comments stay."""
    data = filled(site) | {"pivot-to-spindle": "222.1±0.2", "overhang": "", "scheme": "stevenson"}
    before = site.decks.read_bytes()
    assert site.post("/workshop/change?deck=Bench+deck", data).status_code == 303
    after = site.decks.read_bytes()
    site.decks.write_bytes(before)
    words = "--pivot-to-spindle 222.1±0.2 --scheme stevenson --without overhang"
    run(f"protractor decks change 'Bench deck' {words} --decks {site.decks}", capsys)
    assert site.decks.read_bytes() == after
    assert b"# a comment stays" in after


def test_two_tabs(site: Site) -> None:
    """The second tab keeps nothing of an old state, shows both, and can be sent again."""
    first, second = filled(site), filled(site)
    first["pivot-to-spindle"], second["notes"] = "221.5", "old belt"
    assert site.post("/workshop/change?deck=Bench+deck", first).status_code == 303
    kept = site.decks.read_bytes()
    found = site.post("/workshop/change?deck=Bench+deck", second)
    assert found.status_code == 409
    assert site.decks.read_bytes() == kept
    assert "Now in the file: <strong>221.5</strong>" in found.text
    assert "old belt" in found.text
    again = second | {"seen": seen(found.text), "pivot-to-spindle": "221.5"}
    assert site.post("/workshop/change?deck=Bench+deck", again).status_code == 303
    deck = read_decks(site.decks).decks[0]
    assert (deck.pivot_to_spindle_mm, deck.notes) == (221.5, "old belt")


def test_command_in_between(site: Site, capsys: pytest.CaptureFixture[str]) -> None:
    """What a command changed meanwhile is neither changed back nor removed."""
    change, removal = filled(site), seen(site.get("/workshop/remove?deck=Bench+deck").text)
    run(f"protractor decks change 'Bench deck' --notes mine --decks {site.decks}", capsys)
    kept = site.decks.read_bytes()
    assert site.post("/workshop/change?deck=Bench+deck", change).status_code == 409
    refused = site.post("/workshop/remove?deck=Bench+deck", {"seen": removal})
    assert refused.status_code == 409
    assert "mine" in refused.text
    assert site.decks.read_bytes() == kept
    again = site.post("/workshop/remove?deck=Bench+deck", {"seen": seen(refused.text)})
    assert again.status_code == 303
    assert [deck.name for deck in read_decks(site.decks).decks] == ["Bench deck 2"]


def test_remove_asks_first(site: Site) -> None:
    """A visit removes nothing, nor does a form without the mark."""
    before = site.decks.read_bytes()
    assert "Remove Bench deck?" in site.get("/workshop/remove?deck=Bench+deck").text
    assert site.post("/workshop/remove?deck=Bench+deck", {}).status_code == 409
    assert site.decks.read_bytes() == before


def test_defaults(site: Site) -> None:
    """Deck and paper by default are kept, a printer only when it was recorded."""
    old = seen(site.get("/workshop/defaults").text)
    wrong = {"seen": old, "paper": "a4", "printer": "nobody"}
    assert site.post("/workshop/defaults", wrong).status_code == 400
    good = {"seen": old, "deck": "Bench deck 2", "paper": "letter"}
    assert site.post("/workshop/defaults", good).status_code == 303
    assert site.get("/workshop.json").json["answer"]["defaults"] == {
        "deck": "Bench deck 2",
        "paper": "letter",
    }
    late = site.post("/workshop/defaults", {"seen": old, "paper": "a3"})
    assert late.status_code == 409
    assert "paper letter" in late.text


@pytest.mark.parametrize("ending", ["toml", "csv", "csv?semicolons=yes"])
def test_export(
    site: Site, tmp_path: Path, ending: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """The file of decks is the command's, byte for byte."""
    kind, _, more = ending.partition("?")
    out = tmp_path / f"out.{kind}"
    option = "--semicolons" if more else ""
    run(f"protractor decks export {site.decks} -o {out} {option}", capsys)
    assert site.get(f"/workshop/decks.{ending}").data == out.read_bytes()


def test_import(site: Site) -> None:
    """Decks are checked first, every fault with line and field, and added all or none."""
    before = site.decks.read_bytes()
    text = "name,pivot-to-spindle,scheme\nNew A,222,stevenson\nNew B,22,\nNew C,222,nonsense\n"
    for button in ("check", "add"):
        page = site.post("/workshop/import", {"decks": text, button: "yes"})
        assert page.status_code == 400
        assert "1 sound deck, 2 faults" in page.text
        assert site.decks.read_bytes() == before
    good = text.replace(",22,", ",221,").replace("nonsense", "lofgren-b")
    page = site.post("/workshop/import", {"decks": good, "check": "yes"})
    assert "Add 3 decks" in page.text
    assert site.decks.read_bytes() == before
    clash = site.post("/workshop/import", {"decks": good.replace("New C", "bench DECK"), "add": ""})
    assert "the same file name" in clash.text
    assert site.decks.read_bytes() == before
    assert site.post("/workshop/import", {"decks": good, "add": "yes"}).status_code == 303
    assert site.decks.read_bytes().startswith(before)
    assert len(read_decks(site.decks).decks) == 5
    kept = site.decks.read_bytes()
    assert site.post("/workshop/import", {"decks": good, "add": "yes"}).status_code == 303
    assert site.decks.read_bytes() == kept


def test_import_of_a_file(site: Site) -> None:
    """What was exported can be uploaded; no text, too much and no UTF-8 are refused."""
    exported = site.get("/workshop/decks.toml").data
    site.decks.unlink()

    def upload(data: bytes, name: str = "../../x.toml") -> Any:
        return site.client.post(
            "/workshop/import",
            base_url=f"http://{HOST}",
            data={"token": site.house.guard.token, "add": "yes", "file": (io.BytesIO(data), name)},
            content_type="multipart/form-data",
        )

    assert upload(b"name,pivot-to-spindle\n\xff\xfa,3").status_code == 400
    assert upload(b"#" * 210_000).status_code == 400
    assert upload(b"#" * 300_000).status_code == 413
    assert site.post("/workshop/import", {"decks": " "}).status_code == 400
    assert not site.decks.exists()
    assert upload(exported).status_code == 303
    assert site.get("/workshop/decks.toml").data == exported


GAUGES = (
    "plate?deck=Bench+deck&kerf=0.2&stock=400+and+200&mirror=yes&colours=layers&text=text&title=It's",
    "kerf?kerf=0.25",
    "board?effective-length=239&slots=8&mount=30&paper=a3",
    "pivot-gauge?start=190&paper=letter",
)


@pytest.mark.parametrize("asked", GAUGES)
def test_gauge(site: Site, tmp_path: Path, asked: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Each file is the command's and the Python lines', byte for byte."""
    kind, _, query = asked.partition("?")
    found = site.get(f"/workshop/gauge/{asked.replace('?', '.json?')}").json
    assert found["errors"] == []
    made: dict[str, Any] = {}
    exec(found["python"], made)  # the lines that the page shows, which are ours
    usual = "svg" if kind in ("plate", "kerf") else "pdf"
    assert made["data"] == site.get(f"/workshop/gauge/{kind}/file.{usual}?{query}").data
    out = tmp_path / f"out.{usual}"
    assert run(f"{found['command']} -o {out}", capsys)[0] == 0
    assert made["data"] == out.read_bytes()


def test_preview(site: Site) -> None:
    """The image is the file for a cutter; the page gives it the drawing's own proportion."""
    image = site.get("/workshop/gauge/kerf.svg?kerf=0.25&colours=layers")
    assert image.data == site.get("/workshop/gauge/kerf/file.svg?kerf=0.25&colours=layers").data
    page = site.get("/workshop/gauge/kerf?kerf=0.25&colours=layers").text
    size = re.search(r'<img class="paper"[^>]* width="([\d.]+)" height="([\d.]+)"', page)
    drawn = re.search(r'width="([\d.]+)mm" height="([\d.]+)mm"', image.text)
    assert size
    assert drawn
    assert [float(each) for each in size.groups()] == pytest.approx(
        [float(each) for each in drawn.groups()], abs=1e-3
    )


def test_gauge_of_a_wrong_question(site: Site) -> None:
    """What is wrong stands beside its field, and no file is made of it."""
    for query, field in (("kerf=99", "kerf"), ("colours=pink", "colours"), ("stock=3", "stock")):
        page = site.get(f"/workshop/gauge/plate?pivot-to-spindle=222&{query}")
        assert page.status_code == 400
        assert re.search(rf'id="f-{field}-wrong"[^>]*>Got', page.text)
        file = site.get(f"/workshop/gauge/plate/file.svg?pivot-to-spindle=222&{query}")
        assert file.status_code == 400
    assert site.get("/workshop/gauge/plate").status_code == 200
    assert site.get("/workshop/gauge/nonsense").status_code == 404
    assert site.get("/workshop/gauge/plate/file.exe").status_code == 404


def test_board_warns_first(site: Site) -> None:
    """The cautions of the sheet come before anything to download."""
    page = site.get("/workshop/gauge/board?effective-length=239").text
    assert page.index("Pull the mains plug") < page.index("file.pdf")
    assert page.index("Look under the plinth") < page.index("file.pdf")
