"""Attacks on the page: what comes from elsewhere is refused, what never ends costs nothing."""

from __future__ import annotations

import http.client
import json
import re
import socket
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from urllib.parse import quote

import pytest

from protractor.app.drawing import Busy, Desk
from protractor.app.guard import LARGEST_BODY
from protractor.app.server import Served
from tests.app.conftest import HOST, Site

EVIL = "http://evil.example"


def test_own_page_is_answered(site: Site) -> None:
    """A visit under its own name is answered, with a policy that lets no foreign script in."""
    found = site.get("/")
    assert found.status_code == 200
    policy = found.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self';" in policy
    assert "unsafe" not in policy
    assert "Access-Control-Allow-Origin" not in found.headers


@pytest.mark.parametrize("host", ["evil.example", "evil.example:18722", "127.0.0.1", "[::1]:18722"])
def test_foreign_host(site: Site, host: str) -> None:
    """A name that another site lets point here is refused: its page would read ours."""
    found = site.client.get("/", base_url=f"http://{HOST}", headers={"Host": host})
    assert found.status_code == 421
    assert "Bench deck" not in found.text


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": EVIL},
        {"Origin": "null"},
        {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors"},
        {"Sec-Fetch-Site": "same-site", "Sec-Fetch-Mode": "cors"},
        {"Origin": f"https://{HOST}"},
    ],
)
@pytest.mark.parametrize("address", ["/", "/sheet.svg?pivot-to-spindle=222", "/index.json"])
def test_foreign_page_reads_nothing(site: Site, headers: dict[str, str], address: str) -> None:
    """Another site's page gets nothing, no image either."""
    assert site.get(address, **headers).status_code == 403


def test_a_link_from_elsewhere_may_lead_here(site: Site) -> None:
    """A visit by a link of another page is a visit."""
    found = site.get("/", **{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"})
    assert found.status_code == 200


@pytest.mark.parametrize("token", ["", "0" * 32, "é"])
def test_no_token(site: Site, token: str) -> None:
    """What writes wants the token of a page of this start, and says what to do without it."""
    before = site.decks.read_bytes()
    found = site.post("/stop", {}, token=token)
    assert found.status_code == 403
    assert "reload it and send again" in found.text
    assert site.decks.read_bytes() == before


def test_every_form_that_writes_bears_the_token(site: Site) -> None:
    """A POST form without the token would be useless, and each page has at least one."""
    found = site.get("/").text
    forms = re.findall(r'<form method="post".*?</form>', found, re.DOTALL)
    assert forms
    assert all(f'name="token" value="{site.house.guard.token}"' in form for form in forms)


def test_every_address_that_writes_wants_the_token(site: Site) -> None:
    """No address takes a POST without it, whatever is added later."""
    for rule in site.site.url_map.iter_rules():
        if "POST" in (rule.methods or ()):
            parts = dict.fromkeys(rule.arguments, "1")
            with site.site.test_request_context():
                address = site.site.url_map.bind(HOST).build(rule.endpoint, parts, "POST")
            assert site.post(address, {}, token="none").status_code == 403, address


@pytest.mark.parametrize(
    "address",
    [
        "/typeface/../errors.py",
        "/typeface/..%2f..%2fpyproject.toml",
        "/typeface/OFL.txt",
        "/static/../site.py",
        "/static/..%2fsite.py",
        "/static//etc/passwd",
        "//etc/passwd",
        "/%2e%2e/%2e%2e/etc/passwd",
    ],
)
def test_no_path_from_outside(site: Site, address: str) -> None:
    """Nothing but the fonts and the page's own files is ever read by a name from outside."""
    found = site.get(address)
    assert found.status_code in (301, 308, 404)
    assert "import" not in found.text
    assert "root:" not in found.text


@pytest.mark.parametrize("name", ["../../etc/passwd", "..\\x", "/etc/passwd", "\0", "a" * 5000])
def test_path_tricks_in_names(site: Site, name: str) -> None:
    """A deck of such a name is looked up among the names, and no file is opened for it."""
    found = site.get(f"/sheet?deck={quote(name)}")
    assert found.status_code == 400
    assert "root:" not in found.text
    assert len(found.text) < 40_000


SCRIPT = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>"


@pytest.mark.parametrize("where", ["deck", "title", "scheme", "pivot-to-spindle", "paper"])
def test_script_in_what_is_asked(site: Site, where: str) -> None:
    """What was typed comes back as text, never as markup, and in an SVG as text as well."""
    given = {"pivot-to-spindle": "222", where: SCRIPT}
    query = "&".join(f"{name}={quote(value)}" for name, value in given.items())
    for address in (f"/sheet?{query}", f"/sheet.json?{query}", f"/sheet.svg?{query}"):
        found = site.get(address)
        assert found.mimetype in ("text/html", "application/json", "text/plain", "image/svg+xml")
        if found.mimetype in ("text/html", "image/svg+xml"):
            assert "<script>alert" not in found.text
            assert "<img src=x" not in found.text


def test_damaged_decks_file(site: Site) -> None:
    """The page says what is wrong with the file, works without it, and leaves it as it is."""
    site.decks.write_bytes(b'[[deck]\nname = "Bench\xff')
    before = site.decks.read_bytes()
    start, sheet = site.get("/"), site.get("/sheet?pivot-to-spindle=222")
    assert start.status_code == sheet.status_code == 200
    assert "decks.toml" in start.text
    assert site.get("/sheet?deck=Bench+deck").status_code == 400
    assert site.decks.read_bytes() == before


def test_a_faulty_deck_is_in_nobodys_way(site: Site) -> None:
    """A fault in one deck is said where that deck is asked for."""
    site.decks.write_text(site.decks.read_text("utf-8").replace("= 215", "= 21.5"), "utf-8")
    assert site.get("/sheet?deck=Bench+deck").status_code == 200
    found = site.get("/sheet?deck=Bench+deck+2")
    assert found.status_code == 400
    assert "line 12" in found.text


def asked(served: Served, method: str, path: str, body: bytes = b"", **headers: str) -> int:
    """The status of a request to a server."""
    port = served.server.effective_port
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
    try:
        line.request(method, path, body or None, headers)
        return line.getresponse().status
    finally:
        line.close()


def test_ten_megabytes(served: Served) -> None:
    """A body beyond every form is refused before it is read, and the next visit is answered."""
    body = b"token=" + b"x" * 10_000_000
    kind = {"Content-Type": "application/x-www-form-urlencoded"}
    with suppress(BrokenPipeError, ConnectionResetError):  # it hangs up before all is sent
        assert asked(served, "POST", "/stop", body, **kind) == 413
    assert asked(served, "GET", "/") == 200


def test_a_body_without_its_length(site: Site) -> None:
    """A form just beyond the limit is refused as well."""
    found = site.post("/stop", {"note": "x" * LARGEST_BODY})
    assert found.status_code == 413
    assert "Nothing was kept" in found.text


@contextmanager
def hanging(served: Served, count: int) -> Iterator[list[socket.socket]]:
    """So many connections that begin a request and never finish it."""
    port = served.server.effective_port
    lines = [socket.create_connection(("127.0.0.1", port), timeout=20) for _ in range(count)]
    try:
        for line in lines:
            line.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: ")
        yield lines
    finally:
        for line in lines:
            line.close()


def test_connections_that_never_finish(served: Served) -> None:
    """Two hundred unfinished requests hold no thread: a visit among them is answered."""
    with hanging(served, 200):
        for _ in range(5):
            assert asked(served, "GET", "/") == 200


def test_fifty_previews_at_once(served: Served) -> None:
    """Every one of fifty is answered: with its sheet, or that the server is busy."""
    with ThreadPoolExecutor(50) as crowd:
        addresses = [f"/sheet.svg?pivot-to-spindle={200 + n}" for n in range(50)]
        statuses = list(crowd.map(lambda address: asked(served, "GET", address), addresses))
    assert set(statuses) <= {200, 503}
    assert statuses.count(200) >= 10
    assert asked(served, "GET", "/") == 200


def test_the_desk_draws_one_at_a_time() -> None:
    """Nobody draws beside another; who finds every seat taken, or waits too long, is told."""
    desk, inside, most = Desk(waiting=2, patience_s=30), [], []

    def draw() -> bool:
        try:
            with desk.drawing():
                inside.append(1)
                most.append(len(inside))
                time.sleep(0.02)
                inside.pop()
        except Busy:
            return False
        return True

    with ThreadPoolExecutor(12) as crowd:
        drawn = list(crowd.map(lambda _: draw(), range(12)))
    assert max(most) == 1
    assert drawn.count(True) >= 3
    slow = Desk(waiting=5, patience_s=0.01)
    with slow.drawing():
        waits = threading.Thread(target=lambda: drawn.append(_is_busy(slow)))
        waits.start()
        waits.join()
    assert drawn[-1] is True


def _is_busy(desk: Desk) -> bool:
    try:
        with desk.drawing():
            return False
    except Busy:
        return True


def test_the_button_stops_it(served: Served) -> None:
    """The page says goodbye, and nobody listens there any more."""
    token, port = served.house.guard.token, served.server.effective_port
    kind = {"Content-Type": "application/x-www-form-urlencoded"}
    assert asked(served, "POST", "/stop", f"token={token}".encode(), **kind) == 200
    assert served.stopping.wait(5)
    for _ in range(50):
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
        except OSError:
            break
        time.sleep(0.1)
    else:
        pytest.fail("it still listens")


def test_it_listens_to_this_machine_alone(served: Served) -> None:
    """The server's own socket is bound to the loopback address."""
    assert served.server.socket.getsockname()[0] == "127.0.0.1"
    assert served.address.startswith("http://127.0.0.1:")


def test_json_says_the_errors(site: Site) -> None:
    """The twin of a page that cannot answer names the field, what was given, and what to do."""
    found = site.get("/sheet.json?pivot-to-spindle=22.2")
    assert found.status_code == 400
    [error] = json.loads(found.text)["errors"]
    assert error["name"] == "pivot-to-spindle"
    assert "22.2cm" in error["remedy"]
