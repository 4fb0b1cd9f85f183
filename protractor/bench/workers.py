"""Processes that draw for a batch: they leave signals to it, and end when it does."""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Callable
from multiprocessing import parent_process
from multiprocessing.connection import wait
from typing import TypeVar

Given = TypeVar("Given")
Done = TypeVar("Done")

_at_work = threading.Lock()


def begin() -> None:
    """What a process does first: interrupts are the parent's matter, its end is ours too."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_the_parent, daemon=True).start()


def whole(work: Callable[[Given], Done], given: Given) -> Done:
    """Does `work`, which is not cut off in the middle when the parent is gone."""
    with _at_work:
        return work(given)


def _end_with_the_parent() -> None:
    """Waits for the parent's end, however it came, and for the work in hand; then ends."""
    parent = parent_process()
    if parent is not None:
        wait([parent.sentinel])
        with _at_work:
            os._exit(1)
