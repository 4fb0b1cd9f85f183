"""A site in the process, a site behind its server, and a real browser before it."""

from __future__ import annotations

import os
import shutil
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from protractor.app.guard import Guard
from protractor.app.house import House
from protractor.app.server import Served, serve
from protractor.app.site import make_site

HOST = "127.0.0.1:18722"

DECKS = """\
# the decks of an invented repair bench

[[deck]]
name = "Bench deck"
pivot-to-spindle = "222.3±0.3"
effective-length = 239
overhang = "15.0"
notes = "new belt"   # a comment stays

[[deck]]
name = "Bench deck 2"
pivot-to-spindle = 215
scheme = "stevenson"
paper = "letter"
"""

BROWSERS = ("chromium", "chromium-browser", "google-chrome")


@dataclass(frozen=True)
class Site:
    """A site, a client that asks it as its own pages do, and its files."""

    site: Flask
    client: FlaskClient
    house: House
    decks: Path
    profiles: Path

    def get(self, address: str, **headers: str) -> Any:
        """The answer to a visit."""
        return self.client.get(address, base_url=f"http://{HOST}", headers=headers)

    def post(self, address: str, data: dict[str, Any], token: str | None = None) -> Any:
        """The answer to a form of the page, with its token unless another is given."""
        token = self.house.guard.token if token is None else token
        data = {**data, "token": token}
        return self.client.post(address, base_url=f"http://{HOST}", data=data)


@pytest.fixture
def site(tmp_path: Path) -> Site:
    """A site with the decks of an invented bench."""
    decks, profiles = tmp_path / "decks.toml", tmp_path / "printers.toml"
    decks.write_text(DECKS, "utf-8")
    house = House(guard=Guard.of(18722), decks_file=decks, profile_file=profiles)
    made = make_site(house)
    return Site(site=made, client=made.test_client(), house=house, decks=decks, profiles=profiles)


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    """The same behind its server, which is stopped in the end."""
    decks = tmp_path / "decks.toml"
    decks.write_text(DECKS, "utf-8")
    found = serve(0, decks_file=decks, profile_file=tmp_path / "printers.toml")
    running = threading.Thread(target=found.run, daemon=True)
    running.start()
    yield found
    found.stop()
    running.join(10)


def chromium() -> str | None:
    """The browser of this machine."""
    return next((path for name in BROWSERS if (path := shutil.which(name))), None)


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """A real browser without a window; without one the test is skipped and says so."""
    path = chromium()
    if path is None:
        pytest.skip("no chromium on this machine")
    from playwright.sync_api import sync_playwright

    os.environ.setdefault("PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD", "1")
    with sync_playwright() as driver:
        found = driver.chromium.launch(executable_path=path, args=["--no-sandbox"])
        yield found
        found.close()
