"""One sheet is drawn at a time: the libraries that draw are not made for threads.

Who cannot be served within a few seconds is told that the server is busy.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager

WAITING = 14
"""How many may wait; each waits with its question alone, so memory stays bounded."""

PATIENCE_S = 20.0
"""How long one waits for those before it."""


class Busy(Exception):  # not a fault
    """Too many sheets were asked for at once."""


class Desk:
    """The place where sheets are drawn, one at a time."""

    def __init__(self, waiting: int = WAITING, patience_s: float = PATIENCE_S) -> None:
        self._seats = threading.BoundedSemaphore(waiting + 1)
        self._pen = threading.Lock()
        self._patience_s = patience_s

    @contextmanager
    def drawing(self) -> Iterator[None]:
        """Waits until nothing else is drawn; raises `Busy` when too many wait already."""
        if not self._seats.acquire(blocking=False):
            raise Busy
        try:
            if not self._pen.acquire(timeout=self._patience_s):
                raise Busy
            try:
                yield
            finally:
                self._pen.release()
        finally:
            self._seats.release()
