"""The server behind the page: on this machine's own address, until it is stopped."""

from __future__ import annotations

import logging
import os
import socket
import threading
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from waitress.server import create_server

from protractor.app.guard import LARGEST_BODY, Guard
from protractor.app.house import House
from protractor.app.site import make_site
from protractor.errors import InputError

ADDRESS = "127.0.0.1"

USUAL_PORT = 18722
"""Taken when it is free, so that bookmarks last; no service is registered for it."""

TICK_S = 0.5

GOODBYE_S = 0.3
"""How long the page that says goodbye has to arrive."""

LIMITS: dict[str, Any] = {
    "threads": 24,  # more than may wait for a sheet, so that pages are answered beside them
    "connection_limit": 600,
    "channel_timeout": 15,  # s, for a request that does not go on
    "cleanup_interval": 5,
    "asyncore_use_poll": True,
    "max_request_header_size": 32 * 1024,
    "max_request_body_size": LARGEST_BODY,
    "ident": "protractor",
    "clear_untrusted_proxy_headers": True,
}
"""What a browser on the same machine needs, and no more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """A server that listens, its address, and what ends it."""

    server: Any
    house: House
    stopping: threading.Event

    @property
    def address(self) -> str:
        """Where the page is."""
        return f"http://{ADDRESS}:{self.server.effective_port}/"

    def run(self) -> None:
        """Answers until it is stopped by the page, by `stop`, or by a signal."""
        threading.Thread(target=self.server.run, daemon=True, name="server").start()
        try:
            while not self.stopping.wait(TICK_S):
                pass  # some systems let no signal through to a wait without an end
        finally:
            self.house.other_device.end()
            self.server.task_dispatcher.shutdown()
            self.server.close()
            self.house.batches.close()

    def stop(self) -> None:
        """Ends `run`, from any thread."""
        self.stopping.set()


def serve(
    port: int | None = None, *, decks_file: Path | None = None, profile_file: Path | None = None
) -> Served:
    """A server for the page, which answers once it runs.

    `port` None takes the usual one, or a free one where that is taken; 0 takes any that is free.
    Raises `InputError` for a port that is taken.
    """
    logging.getLogger("waitress").setLevel(logging.ERROR)  # a queue is no matter of the owner's
    listening = _listen(port)
    stopping = threading.Event()
    house = House(
        guard=Guard.of(listening.getsockname()[1]),
        decks_file=decks_file,
        profile_file=profile_file,
        stop=lambda: threading.Timer(GOODBYE_S, stopping.set).start(),
    )
    server = create_server(make_site(house), sockets=[listening], **LIMITS)
    return Served(server=server, house=house, stopping=stopping)


def _listen(port: int | None) -> socket.socket:
    """A socket on the port that is asked for, the usual one, or any that is free."""
    for number in (port,) if port is not None else (USUAL_PORT, 0):
        found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        if os.name == "posix":  # elsewhere it would share a port that is taken
            found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            found.bind((ADDRESS, number))
            return found
        except OSError as error:
            found.close()
            if port is not None:
                remedy = "name another port, or leave `port` out"
                raise InputError(
                    "port", f"{port} ({error.strerror})", "a free port", remedy
                ) from error
    raise AssertionError("port 0 is always free")
