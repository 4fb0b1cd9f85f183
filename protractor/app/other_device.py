"""The steps on a phone or tablet in the same house: off until the owner switches it on.

A second server on this machine's address in the local network, beside the page's own, which stays
on loopback. It knows a handful of finished pages and nothing else: no deck, no file, no form. They
lie under a path that nobody can guess; who tries is refused, and after too many tries it ends.
"""

from __future__ import annotations

import hmac
import secrets
import socket
import threading
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from waitress.server import create_server
from waitress.wasyncore import close_all

from protractor.app.guard import HEADERS
from protractor.errors import InputError

LASTS = timedelta(hours=2)
"""It ends by itself after as long."""

LETTERS, LENGTH = "abcdefghjkmnpqrstuvwxyz23456789", 10
"""The letters of the path, none of which is taken for another: 10 of 31 are 49 bits."""

TRIES_OF_ONE, TRIES_OF_ALL = 10, 200
"""Wrong addresses after which a visitor is refused, and after which all ends."""

UNASKED = ("/favicon.ico", "/apple-touch-icon", "/robots.txt")
"""What browsers ask for by themselves: not there, and not counted."""

OWN_HEADERS = {
    **HEADERS,
    "Content-Security-Policy": "default-src 'none'; style-src 'self'; img-src 'self'; "
    "font-src 'self'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
}

LIMITS: dict[str, Any] = {
    "threads": 4,
    "connection_limit": 60,
    "channel_timeout": 15,
    "cleanup_interval": 5,
    "asyncore_use_poll": True,
    "max_request_header_size": 8 * 1024,
    "max_request_body_size": 1024,
    "ident": "protractor",
    "clear_untrusted_proxy_headers": True,
}
"""What a phone or two need, and no more."""

CLOSES_S = 5.0
"""How long to wait until every connection is closed, which takes no time."""

Answered = tuple[str, str, bytes, dict[str, str]]

Made = Mapping[str, tuple[bytes, str]]
"""Finished pages: by the name after the path, their bytes and their type."""


@dataclass(slots=True, kw_only=True)
class Reader:
    """The application of the second server: finished pages under a path, read only."""

    host: str
    path: str
    pages: Made
    until: datetime
    too_many: Callable[[], None] = lambda: None
    tries: dict[str, int] = field(default_factory=dict)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def __call__(self, environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        status, kind, body, more = self.answer(
            environ["REQUEST_METHOD"],
            environ.get("HTTP_HOST", ""),
            environ.get("PATH_INFO", ""),
            environ.get("REMOTE_ADDR", ""),
        )
        headers = {**OWN_HEADERS, **more, "Content-Type": kind, "Content-Length": str(len(body))}
        start_response(status, list(headers.items()))
        return [] if environ["REQUEST_METHOD"] == "HEAD" else [body]

    def answer(self, method: str, host: str, path: str, visitor: str) -> Answered:
        """Status, type, body and further headers for a request."""
        if host != self.host:
            return _line("421 Misdirected Request", "Not under this name.")
        if datetime.now() >= self.until:
            return _line("410 Gone", "It has ended.")
        if method not in ("GET", "HEAD"):
            return _line("405 Method Not Allowed", "Read only.", {"Allow": "GET, HEAD"})
        with self.lock:
            tried = self.tries.get(visitor, 0)
        if tried >= TRIES_OF_ONE:
            return _line("429 Too Many Requests", "Too many wrong addresses. Switch it on anew.")
        return self._page(path, visitor) or _line("404 Not Found", "There is no such page.")

    def _page(self, path: str, visitor: str) -> Answered | None:
        """The page at a path, None where there is none; a wrong path is counted."""
        first, slash, name = path.removeprefix("/").partition("/")
        if not hmac.compare_digest(first.encode(), self.path.encode()):
            if not path.startswith(UNASKED):
                self._count(visitor)
            return None
        if not slash:
            return _line("301 Moved Permanently", "", {"Location": f"/{self.path}/"})
        body, kind = self.pages.get(name, (b"", ""))
        return ("200 OK", kind, body, {}) if kind else None

    def _count(self, visitor: str) -> None:
        with self.lock:
            self.tries[visitor] = self.tries.get(visitor, 0) + 1
            all_tries = sum(self.tries.values())
        if all_tries >= TRIES_OF_ALL:
            self.too_many()


def _line(status: str, text: str, more: dict[str, str] | None = None) -> Answered:
    return status, "text/plain; charset=utf-8", f"{text}\n".encode(), more or {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Showing:
    """What can be read elsewhere now: its address, what it is about, and until when."""

    address: str
    about: str
    until: datetime


@dataclass(slots=True, kw_only=True)
class _On:
    showing: Showing
    server: Any
    timer: threading.Timer


class OtherDevice:
    """The switch: off at first, one showing at a time."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._on: _On | None = None

    @property
    def showing(self) -> Showing | None:
        """What can be read elsewhere, None while it is off."""
        on = self._on
        return on.showing if on is not None and datetime.now() < on.showing.until else None

    def start(self, own: str, pages: Made, about: str, lasts: timedelta = LASTS) -> Showing:
        """Shows finished pages on this machine's address `own`; what was shown before ends.

        Raises `InputError` where nothing can be opened on that address.
        """
        try:
            listening = socket.create_server((own, 0), reuse_port=False)
        except OSError as error:
            raise InputError(
                "address",
                f"{own} ({error.strerror})",
                "an address that this machine has now",
                "join the network again and reload the page",
            ) from error
        until = (datetime.now() + lasts).replace(microsecond=0)
        host = f"{own}:{listening.getsockname()[1]}"
        path = "".join(secrets.choice(LETTERS) for _ in range(LENGTH))
        reader = Reader(host=host, path=path, pages=pages, until=until)
        server = create_server(reader, sockets=[listening], **LIMITS)
        # by another thread: the one that answers would wait for itself
        reader.too_many = lambda: threading.Thread(target=self._end_of, args=(server,)).start()
        showing = Showing(address=f"http://{host}/{path}/", about=about, until=until)
        timer = threading.Timer(lasts.total_seconds(), self._end_of, (server,))
        timer.daemon = True
        on = _On(showing=showing, server=server, timer=timer)
        with self._lock:
            self._close()
            self._on = on
            threading.Thread(target=server.run, daemon=True, name="other device").start()
            timer.start()
        return showing

    def end(self) -> None:
        """Switches it off: no address is open any longer, nor any connection."""
        with self._lock:
            self._close()

    def _end_of(self, server: Any) -> None:
        """Ends a showing, unless another has taken its place."""
        with self._lock:
            if self._on is not None and self._on.server is server:
                self._close()

    def _close(self) -> None:
        on, self._on = self._on, None
        if on is None:
            return
        on.timer.cancel()
        # first those who answer, who would wake a loop that is no longer there
        on.server.task_dispatcher.shutdown(timeout=CLOSES_S)
        closed = threading.Event()

        def close() -> None:
            close_all(on.server._map, ignore_all=True)
            closed.set()

        on.server.trigger.pull_trigger(close)  # in the server's own thread, which then ends
        closed.wait(CLOSES_S)
