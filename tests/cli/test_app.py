"""`protractor app`: it says its address, answers there, and ends when it is asked to."""

from __future__ import annotations

import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.conftest import Ran

Started = subprocess.Popen[str]


@pytest.fixture
def start(tmp_path: Path) -> Iterator[Callable[..., Started]]:
    """Starts the page without a browser; what still runs in the end is killed."""
    running: list[Started] = []

    def started(*words: str) -> Started:
        command = [sys.executable, "-m", "protractor", "app", "--no-browser", *words]
        found = subprocess.Popen(
            command,
            cwd=tmp_path,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),  # noqa: PLW1509
        )  # Ctrl-C counts even where the tests themselves run in the background
        running.append(found)
        return found

    yield started
    for each in running:
        each.kill()
        each.communicate()


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as found:
        return int(found.getsockname()[1])


@pytest.mark.parametrize(("number", "status"), [(signal.SIGINT, 0), (signal.SIGTERM, 143)])
def test_answers_until_it_is_stopped(
    start: Callable[..., Started], tmp_path: Path, number: signal.Signals, status: int
) -> None:
    """The first line is the address; a signal ends it, and it leaves no file."""
    page = start("--port", str(free_port()), "--decks", "new.toml")
    assert page.stdout is not None
    address = page.stdout.readline().strip()
    with urllib.request.urlopen(address, timeout=20) as found:
        assert b"Align a phono cartridge" in found.read()
    page.send_signal(number)
    page.wait(20)
    assert page.returncode == status
    assert list(tmp_path.iterdir()) == []


def test_port_that_is_taken(run: Callable[..., Ran]) -> None:
    """One line says so, and what to do."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        ran = run("app", "--no-browser", "--port", str(taken.getsockname()[1]))
    assert ran.status == 2
    assert ran.err.count("\n") == 1
    assert "--port: got " in ran.err
    assert "leave --port out" in ran.err


@pytest.mark.parametrize("port", ["80", "70000", "http", "18722.5"])
def test_port_that_is_none(run: Callable[..., Ran], port: str) -> None:
    """Ports of the system and no ports at all are refused."""
    ran = run("app", "--no-browser", "--port", port)
    assert ran.status == 2
    assert "1024 to 65535" in ran.err
