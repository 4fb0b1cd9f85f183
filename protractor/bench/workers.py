"""Processes that work for a batch, a task at a time each: none of them outlives it."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from multiprocessing import Pipe, Process, parent_process
from multiprocessing.connection import Connection, wait
from typing import Any, TypeVar

Task = TypeVar("Task")
Done = TypeVar("Done")

STOPS = (signal.SIGINT, signal.SIGTERM)


def results(
    work: Callable[[Task], Done], tasks: Iterable[Task], processes: int
) -> Iterator[tuple[Task, Done | None]]:
    """Every task with what `work` makes of it, as it is done; None when its process was killed.

    `work` must not raise. With more than one of `processes`, tasks and what is made of them are
    pickled. Close the iterator to end the processes at once, whatever they are at.
    """
    if processes == 1:
        for task in tasks:
            yield task, work(task)
        return
    waiting = iter(tasks)
    started: list[Process] = []
    under_way: dict[Connection, Task] = {}

    def give(connection: Connection | None) -> None:
        """Gives the next task, if there is one, to a process or to a new one."""
        for task in waiting:
            connection = connection or _start(work, started)
            with suppress(OSError):  # it was killed: that is found out when it is waited for
                connection.send(task)
            under_way[connection] = task
            return

    try:
        for _ in range(processes):
            give(None)
        while under_way:
            for connection in wait(list(under_way)):
                assert isinstance(connection, Connection)
                task = under_way.pop(connection)
                try:
                    done: Done | None = connection.recv()
                    give(connection)
                except (EOFError, OSError):
                    done = None
                    give(None)
                yield task, done
    finally:
        for process in started:
            process.kill()
        for process in started:
            process.join()


def _start(work: Callable[[Any], Any], started: list[Process]) -> Connection:
    """Starts a process and returns the line to it."""
    ours, theirs = Pipe()
    with _signals_later():
        process = Process(target=_serve, args=(work, theirs), daemon=True)
        process.start()
        started.append(process)
    theirs.close()
    return ours


def _serve(work: Callable[[Any], Any], connection: Connection) -> None:
    """What a process does until it is killed, or its parent is gone, however it went."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent's matter
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_UNBLOCK, STOPS)
    parent = parent_process()
    assert parent is not None
    with suppress(EOFError, ConnectionError):
        while parent.sentinel not in wait([connection, parent.sentinel]):
            connection.send(work(connection.recv()))


@contextmanager
def _signals_later() -> Iterator[None]:
    """Lets signals wait, so that no process starts without being known, or dies of one at once."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, STOPS)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
