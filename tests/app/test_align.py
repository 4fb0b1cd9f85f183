"""The steps at the deck: one at a time, each with a drawing; elsewhere only if asked for."""

from __future__ import annotations

import http.client
import math
import re
import socket
import threading
from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import combinations
from typing import Any
from urllib.parse import urlsplit

import pytest
from shapely.geometry import box

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.app import local_network, other_device
from protractor.app.course import NAMES, Course
from protractor.app.other_device import TRIES_OF_ALL, TRIES_OF_ONE, OtherDevice, Reader
from protractor.app.pages import align as page
from protractor.app.pictures.picture import HEIGHT, LETTER, WIDTH, Disc, Mark, Path, Picture, Word
from protractor.app.pictures.steps import DRAWINGS, step_drawing
from protractor.cli import main
from protractor.drawing.type import MM_PER_POINT, capital_mm, width_mm
from protractor.printing.paper import paper
from protractor.sheets.alignment_sheet import alignment_pages
from protractor.sheets.steps import CAUTIONS, alignment_steps, as_markdown, two_null_steps
from tests.app.conftest import Site

FIGURES = "/align?pivot-to-spindle=222"


# The page


def test_each_step_has_a_page(site: Site) -> None:
    """Number, what to do, how one knows, before and after; the first has none before it."""
    steps = alignment_steps()
    for number in (1, 7, len(steps)):
        text = site.get(f"{FIGURES}&step={number}").text
        assert f"Step {number} of {len(steps)}" in text
        assert steps[number - 1].what.replace("'", "&#39;") in text
        assert steps[number - 1].know in text
        assert ('rel="prev"' in text) == (number > 1)
        assert ('rel="next"' in text) == (number < len(steps))
        assert re.findall('aria-current="step">([^<]+)</a> <span class="quiet">you', text)
        assert text.count("<h1") == 1
        assert '<svg class="drawing"' in text


def test_step_is_remembered(site: Site) -> None:
    """He comes back to the step that he left, also by way of another station."""
    site.get("/align?deck=Bench+deck&step=9")
    assert "Step 9 of 15" in site.get("/align?deck=Bench+deck").text
    site.get("/read?deck=Bench+deck")
    assert "Step 9 of 15" in site.get("/align?deck=Bench+deck").text
    assert "Step 1 of 15" in site.get("/align?deck=Bench+deck+2").text


def test_without_a_deck_it_asks_for_one(site: Site) -> None:
    """Nothing asked is no mistake: the remembered decks and a field."""
    answer = site.get("/align")
    assert answer.status_code == 200
    assert "Bench deck 2" in answer.text
    assert 'name="pivot-to-spindle"' in answer.text


REFUSED = {
    "pivot-to-spindle=222&step=16": "1 to 15",
    "pivot-to-spindle=222&step=0": "step",
    "pivot-to-spindle=222&step=x": "step",
    "pivot-to-spindle=22": "120 to 500",
    "deck=nobody": "nobody",
    "kind=three": "two-null",
    "pivot-to-spindle=222&straight=yes&kind=two-null": "straight",
}


def test_what_cannot_be_shown_is_refused(site: Site) -> None:
    """A step that is not there, a deck that is not there: 400 and what is allowed."""
    for query, said in REFUSED.items():
        answer = site.get(f"/align?{query}")
        assert answer.status_code == 400, query
        assert said in answer.text, query


SHEETS = {
    "pivot-to-spindle=222": alignment_steps(),
    "pivot-to-spindle=222&straight=yes": alignment_steps(nulls=1),
    "pivot-to-spindle=222&zenith=1.5": alignment_steps(askew=True),
    "kind=two-null": two_null_steps(),
    "kind=two-null&zenith=1.5&deck=Bench+deck": two_null_steps(askew=True),
}


def test_twin_has_the_steps_of_the_card(site: Site, capsys: pytest.CaptureFixture[str]) -> None:
    """The steps as data are those of the sheet's card; the lines of Python print the same."""
    for query, steps in SHEETS.items():
        answer = site.get(f"/align.json?{query}&step=2").json
        shown = answer["answer"]
        said = [(each["what"], each["know"]) for each in shown["steps"]]
        assert said == [(step.what, step.know) for step in steps]
        assert (shown["step"], shown["of"]) == (2, len(steps))
        exec(answer["python"], {})
        assert capsys.readouterr().out == f"{as_markdown(steps)}\n"


def test_command_draws_the_card_with_these_steps(
    site: Site, monkeypatch: pytest.MonkeyPatch, tmp_path: Any
) -> None:
    """The command shown makes the sheet whose card bears the steps."""
    command = site.get("/align.json?kind=two-null&step=2&zenith=1.5").json["command"]
    assert command == "protractor template --zenith 1.5 --kind two-null"
    monkeypatch.chdir(tmp_path)
    assert main([*command.split()[1:], "-o", "sheet.pdf"]) == 0
    assert (tmp_path / "sheet.pdf").exists()


def test_dangers_are_named_where_they_are() -> None:
    """Scissors at what is cut, the guard at what moves the cartridge, the plug at the end."""
    course = Course.of(Deck(pivot_to_spindle_mm=222.0), "arc")
    said = {step.key: [text for _, text in course.cautions(step)] for step in course.steps}
    known = {sign: text.partition(". ")[0] if sign == "lamp" else text for sign, text in CAUTIONS}
    known["lamp"] += "."
    for key in ("slide", "turn", "tighten"):
        assert known["guard"] in said[key]
        assert any("Hold the headshell" in text for text in said[key])
    for sign, key in (
        ("scissors", "cut"),
        ("scissors", "sight"),
        ("lamp", "wedge"),
        ("plug", "finish"),
    ):
        assert known[sign] in said[key]
    assert set(known.values()) <= {text for texts in said.values() for text in texts}


# The drawings

DECKS = {
    "usual": (Deck(pivot_to_spindle_mm=222.3), "arc"),
    "long and askew": (Deck(pivot_to_spindle_mm=350.0, zenith_deg=3.0), "arc"),
    "straight": (Deck(pivot_to_spindle_mm=222.0, straight=True), "arc"),
    "two nulls": (Deck(), "two-null"),
}


@pytest.fixture(scope="module", params=DECKS)
def drawings(request: pytest.FixtureRequest) -> dict[str, Picture]:
    """The drawings of every step of a sheet."""
    course = Course.of(*DECKS[request.param])
    return {step.key: step_drawing(step.key, course.view) for step in course.steps}


def test_drawings_stay_in_their_box(drawings: dict[str, Picture]) -> None:
    """No mark is cut off at the edge, and every picture says what it shows."""
    edge = box(0.0, 0.0, WIDTH, HEIGHT)
    for key, picture in drawings.items():
        assert len(picture.title) > 40
        assert f"<title>{picture.title[:9]}" in picture.svg()
        for mark in picture.marks:
            assert edge.covers(_room(mark)), (key, mark)


def test_labels_do_not_collide_and_can_be_read(drawings: dict[str, Picture]) -> None:
    """Labels keep apart, and on a phone 360 px wide are at least 12 px high."""
    assert LETTER * (360 - 2 * 16) / WIDTH >= 12.0
    for key, picture in drawings.items():
        for one, other in combinations(picture.words, 2):
            assert not _room(one).intersects(_room(other)), (key, one.text, other.text)


def _room(mark: Mark) -> Any:
    """The box that a mark takes."""
    if isinstance(mark, Word):
        size = LETTER / MM_PER_POINT
        wide, high = width_mm(mark.text, size), capital_mm(size)
        x, y = mark.at
        left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor]
        return box(left, y - high, left + wide, y)
    if isinstance(mark, Disc):
        (x, y), r = mark.centre, mark.radius
        return box(x - r, y - r, x + r, y + r)
    assert isinstance(mark, Path)
    xs, ys = zip(*mark.points, strict=True)
    return box(min(xs), min(ys), max(xs), max(ys))


def test_every_step_has_its_own_name_and_drawing() -> None:
    """Each key of the steps is known, and no other."""
    keys = {step.key for nulls in (1, 2) for step in alignment_steps(nulls=nulls)}
    keys |= {step.key for step in two_null_steps()}
    assert keys == set(DRAWINGS) == set(NAMES)


def test_arm_is_drawn_true() -> None:
    """Pivot to spindle and effective length are in the drawing as they are on the deck."""
    view = Course.of(Deck(pivot_to_spindle_mm=222.0), "arc").view
    alignment = align(Deck(pivot_to_spindle_mm=222.0))
    [sheet, *_] = alignment_pages(alignment, paper("a4"))
    spindle, null = sheet.features["spindle"], sheet.features["null_outer"]
    assert view.tip(alignment.arm.null_radii_mm[1]) == pytest.approx(
        (null[0] - spindle[0], null[1] - spindle[1]), abs=1e-6
    )
    # at a null the cartridge looks along the groove: square to the radius
    x, y = view.tip(alignment.arm.null_radii_mm[0])
    ahead = view.forward(alignment.arm.null_radii_mm[0])
    assert x * math.cos(ahead) + y * math.sin(ahead) == pytest.approx(0.0, abs=1e-6)


# On a phone or tablet


@pytest.fixture
def near(site: Site, monkeypatch: pytest.MonkeyPatch) -> Iterator[Site]:
    """A site on a machine whose address in the local network is a loopback one, for the test."""
    monkeypatch.setattr(page, "own_addresses", lambda: ["127.0.0.1"])
    yield site
    site.house.other_device.end()


def switch_on(site: Site, query: str = "deck=Bench+deck&step=3") -> str:
    """The address that the page shows once it is on."""
    answer = site.post(f"/align/elsewhere?{query}", {"address": "127.0.0.1"})
    assert answer.status_code == 303
    text = site.get(answer.headers["Location"].partition("#")[0]).text
    [address] = re.findall(r'<p class="address">(http://[^<]+)</p>', text)
    assert "QR code" in text
    return str(address)


def ask(
    address: str, path: str | None = None, method: str = "GET", host: str | None = None
) -> tuple[int, dict[str, str], str]:
    """Status, headers and body from the second server."""
    parts = urlsplit(address)
    there = http.client.HTTPConnection(str(parts.hostname), int(parts.port or 0), timeout=5)
    headers = {"Host": host} if host else {}
    there.request(method, parts.path if path is None else path, headers=headers)
    answer = there.getresponse()
    body = answer.read().decode()
    there.close()
    return answer.status, dict(answer.getheaders()), body


def ask_again(there: http.client.HTTPConnection, path: str) -> bytes:
    """What a connection that is open already answers."""
    there.request("GET", path)
    return there.getresponse().read()


def test_off_by_default(near: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    """No page opens another socket by itself, and the page says that it is off."""
    opened: list[Any] = []
    monkeypatch.setattr(socket, "create_server", lambda *given, **_: opened.append(given))
    for path in ("/", FIGURES, "/align?deck=Bench+deck&step=2"):
        assert near.get(path).status_code == 200
    assert opened == []
    assert near.house.other_device.showing is None
    assert "It is off" in near.get(FIGURES).text
    assert "two hours" in near.get(FIGURES).text


def test_shows_the_steps_and_nothing_else(near: Site) -> None:
    """The address shown answers with the steps of this deck, read only, and no other page does."""
    address = switch_on(near)
    path = urlsplit(address).path
    assert re.fullmatch(r"/[a-z2-9]{10}/", path)
    status, headers, body = ask(address)
    assert status == 200
    assert "Step 1 of 15" in body
    assert "Bench deck" not in body
    assert "Set-Cookie" not in headers
    for name in ("Content-Security-Policy", "X-Content-Type-Options", "X-Frame-Options"):
        assert headers[name]
    assert ask(address, f"{path}15")[0] == 200
    assert ask(address, path.rstrip("/"))[1]["Location"] == path
    for link in re.findall(r'(?:href|src)="([^"]+)"', body):
        assert ask(address, path + link)[0] == 200, link
    css = ask(address, f"{path}look.css")[2]
    for font in re.findall(r'url\("([^"]+)"\)', css):
        parts = urlsplit(address)
        there = http.client.HTTPConnection(str(parts.hostname), int(parts.port or 0), timeout=5)
        there.request("HEAD", path + font)
        assert there.getresponse().status == 200
        there.close()
    for wrong in ("/", "/align", "/measure", "/decks.toml", "/static/protractor.css", f"{path}16"):
        assert ask(address, wrong)[0] == 404
    assert ask(address, method="POST")[0] == 405
    assert ask(address, method="HEAD")[::2] == (200, "")
    assert ask(address, host="evil.example")[0] == 421
    assert ask(address, host="localhost:1")[0] == 421
    # the page's own site stays on this machine, and says what is on
    assert near.client.get("/align", base_url=address.removesuffix(path)).status_code == 421
    assert "can be read on this network until" in near.get("/").text


def test_ends_when_switched_off(near: Site) -> None:
    """Off is off: the socket is closed, also for who was connected."""
    address = switch_on(near)
    parts = urlsplit(address)
    kept = http.client.HTTPConnection(str(parts.hostname), int(parts.port or 0), timeout=5)
    kept.request("GET", parts.path)
    assert kept.getresponse().read()
    assert near.post("/align/elsewhere/off?deck=Bench+deck", {}).status_code == 303
    with pytest.raises(OSError, match="refused"):
        ask(address)
    kept.auto_open = 0
    with pytest.raises((OSError, http.client.HTTPException)):
        ask_again(kept, parts.path)
    kept.close()
    assert "It is off" in near.get(FIGURES).text


def test_one_at_a_time() -> None:
    """Switched on anew, the first address ends."""
    device = OtherDevice()
    first = device.start("127.0.0.1", {"": (b"one", "text/plain")}, "a deck").address
    second = device.start("127.0.0.1", {"": (b"two", "text/plain")}, "another").address
    assert first != second
    with pytest.raises(OSError, match="refused"):
        ask(first)
    assert ask(second)[2] == "two"
    device.end()


def test_switch_needs_the_token_and_an_own_address(near: Site) -> None:
    """Neither a foreign page nor a foreign address switches it on."""
    path = "/align/elsewhere?deck=Bench+deck"
    assert near.post(path, {"address": "127.0.0.1"}, token="wrong").status_code == 403
    for address in ("0.0.0.0", "", "192.168.1.1", "localhost"):
        assert near.post(path, {"address": address}).status_code == 400
    assert near.post("/align/elsewhere", {"address": "127.0.0.1"}).status_code == 400
    assert near.get("/align/elsewhere").status_code == 405
    assert near.house.other_device.showing is None


def test_without_a_network_it_says_so(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    """No local network: no switch. Several: a choice."""
    monkeypatch.setattr(page, "own_addresses", list)
    assert "in no local network" in site.get(FIGURES).text
    assert "Switch it on" not in site.get(FIGURES).text
    monkeypatch.setattr(page, "own_addresses", lambda: ["192.168.1.2", "10.0.0.2"])
    assert site.get(FIGURES).text.count('type="radio" name="address"') == 2


def _reader(**given: Any) -> Reader:
    return Reader(
        host="h",
        path="secretpath",
        pages={"": (b"page", "text/html")},
        until=given.pop("until", datetime.now() + timedelta(hours=1)),
        too_many=given.pop("too_many", lambda: None),
    )


def test_guessing_is_refused() -> None:
    """Who tries wrong paths gets nothing any more, not even the right one; others still do."""
    reader = _reader()
    for number in range(TRIES_OF_ONE):
        assert reader.answer("GET", "h", f"/guess{number}/", "10.0.0.9")[0].startswith("404")
    assert reader.answer("GET", "h", "/secretpath/", "10.0.0.9")[0].startswith("429")
    assert reader.answer("GET", "h", "/secretpath/", "10.0.0.8")[0] == "200 OK"


def test_much_guessing_ends_it() -> None:
    """Many who guess end it for all; what browsers ask for by themselves does not count."""
    ended: list[bool] = []
    reader = _reader(too_many=lambda: ended.append(True))
    for number in range(TRIES_OF_ALL - 1):
        reader.answer("GET", "h", "/favicon.ico", "10.0.0.1")
        reader.answer("GET", "h", "/wrong/", f"10.0.{number}.1")
    assert ended == []
    reader.answer("GET", "h", "/wrong/", "10.1.0.1")
    assert ended == [True]


def test_it_ends_by_itself() -> None:
    """After its time nothing is answered, and the socket is closed."""
    past = _reader(until=datetime.now() - timedelta(seconds=1))
    assert past.answer("GET", "h", "/secretpath/", "10.0.0.1")[0].startswith("410")
    ended = threading.Event()
    device = OtherDevice()
    showing = device.start(
        "127.0.0.1", {"": (b"x", "text/plain")}, "a deck", timedelta(seconds=0.05)
    )
    for _ in range(100):
        if device._on is None:
            break
        ended.wait(0.02)
    assert device.showing is None
    with pytest.raises(OSError, match="refused"):
        ask(showing.address)


def test_addresses_are_local_ones(monkeypatch: pytest.MonkeyPatch) -> None:
    """Never this machine's own loopback, nor an address of the internet; each once."""
    monkeypatch.setattr(local_network, "_on_the_way_out", lambda: iter(["192.168.1.20"]))
    monkeypatch.setattr(
        local_network,
        "_of_interfaces",
        lambda: iter(["127.0.0.1", "203.0.113.7", "10.1.1.1", "192.168.1.20"]),
    )
    assert local_network.own_addresses() == ["192.168.1.20", "10.1.1.1"]
    monkeypatch.undo()
    assert all(map(local_network.is_local, local_network.own_addresses()))


def test_path_cannot_be_guessed() -> None:
    """The path has more than 45 bits, and none of its letters is taken for another."""
    assert len(set(other_device.LETTERS)) ** other_device.LENGTH > 2**45
    assert not set("01loi") & set(other_device.LETTERS)
