"""A batch beside the pages: the command's files in a ZIP, stopped clearly, nothing left behind."""

from __future__ import annotations

import io
import shlex
import time
import zipfile
from multiprocessing import active_children
from pathlib import Path

import pytest

from protractor.app.batches import Batches, Busy, Order, Progress
from protractor.bench.deck_sheets import SheetChoice
from protractor.cli import main
from tests.app.conftest import DECKS, Site

FAULTY = '\n[[deck]]\nname = "<b>Third</b>"\npivot-to-spindle = 2\n'


def ended(batches: Batches) -> Progress:
    """How a batch came out, when it has."""
    for _ in range(600):
        now = batches.progress
        if now is not None and not now.running:
            return now
        time.sleep(0.05)
    raise AssertionError("it does not end")


def test_batch(site: Site, tmp_path: Path) -> None:
    """Every file is the command's, byte for byte; a deck that fails is named; the folder goes."""
    site.decks.write_text(DECKS + FAULTY, "utf-8")
    asked = {"sheet": ["template", "plate"], "format": ["pdf", "svg"], "kerf": "0.2"}
    try:
        assert site.post("/workshop/batch", asked).status_code == 303
        running = site.get("/workshop/batch").text
        assert "every 1s" in running
        assert '<noscript><meta http-equiv="refresh"' in running
        assert site.post("/workshop/batch", asked).status_code == 400  # one at a time
        now = ended(site.house.batches)
        assert (now.state, now.count, now.drawn, now.failed) == ("done", 3, 2, 1)
        page = site.get("/workshop/batch").text
        assert "&lt;b&gt;Third&lt;/b&gt;" in page
        assert "Download the ZIP" in page
        assert site.get("/workshop/batch.json").json["answer"]["failures"][0]["line"] == 18
        with site.get("/workshop/batch/sheets.zip") as sent:
            packed = zipfile.ZipFile(io.BytesIO(sent.data))
        query = "sheet=template&sheet=plate&format=pdf&format=svg&kerf=0.2"
        command = site.get(f"/workshop/batch.json?{query}").json["command"]
        folder = tmp_path / "out"
        assert main([*shlex.split(command)[1:], "--folder", str(folder)]) == 1
        assert sorted(packed.namelist()) == sorted(path.name for path in folder.iterdir())
        for name in packed.namelist():
            assert packed.read(name) == (folder / name).read_bytes(), name
        kept = site.house.batches.zip_file
        assert kept
        assert [path.name for path in kept.parent.iterdir()] == ["sheets.zip"]
        assert site.post("/workshop/batch/drop", {}).status_code == 303
        assert not kept.parent.exists()
        assert site.get("/workshop/batch/sheets.zip").status_code == 404
    finally:
        site.house.batches.close()


def test_stopped(site: Site, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A batch that is stopped says so, its processes and its folder are gone, another may begin."""
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    many = "".join(f'[[deck]]\nname = "D{n}"\npivot-to-spindle = 222\n' for n in range(500))
    site.decks.write_text(many, "utf-8")
    assert site.post("/workshop/batch", {}).status_code == 303
    with pytest.raises(Busy):
        site.house.batches.start(Order(data=b"", path=Path("x.csv"), choice=SheetChoice()))
    assert site.post("/workshop/batch/stop", {}).status_code == 303
    page = site.get("/workshop/batch").text
    assert "It was stopped. Nothing of it was kept" in page
    assert "every 1s" not in page
    assert list(tmp_path.glob("protractor-batch-*")) == []
    assert active_children() == []
    site.house.batches.close()
    assert site.house.batches.progress is None


@pytest.mark.parametrize(
    "wrong", [{"kerf": "99"}, {"colours": "pink"}, {"sheet": "nonsense"}, {"ticked": "yes"}]
)
def test_wrong_question(site: Site, wrong: dict[str, str]) -> None:
    """What is wrong stands beside its field, and nothing is started."""
    page = site.post("/workshop/batch", wrong)
    assert page.status_code == 400
    assert site.house.batches.progress is None
    assert "got" in page.text.lower()


def test_ticked() -> None:
    """Ticked decks alone are drawn, under the lines that they have in the file."""
    found = Order(
        data=(DECKS + FAULTY).encode(),
        path=Path("decks.toml"),
        choice=SheetChoice(),
        names=frozenset({"Bench deck 2"}),
    ).found()
    assert [deck.name for deck in found.decks] == ["Bench deck 2"]
    assert found.lines == (10,)
    assert found.faults == ()


def test_file_that_is_damaged_meanwhile() -> None:
    """What broke it is said, and nothing is left."""
    batches = Batches()
    try:
        batches.start(Order(data=b"[[deck", path=Path("decks.toml"), choice=SheetChoice()))
        now = ended(batches)
        assert now.state == "broken"
        assert "end of document" in now.why
        assert batches.zip_file is None
    finally:
        batches.close()
