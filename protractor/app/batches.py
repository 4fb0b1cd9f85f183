"""A batch that runs beside the pages: one at a time, in its own process, into its own folder.

The process is started afresh, not forked: a server's threads may have any lock at that moment, and
its connections would stay open in the copy. It draws with processes of its own, as the command
does, and is stopped like one: they end with it, whatever they are at. Its folder is temporary; of
the sheets one ZIP remains there, until another batch is started, it is dropped, or the site ends.
"""

from __future__ import annotations

import atexit
import os
import shutil
import signal
import sys
import tempfile
import threading
import zipfile
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from protractor.bench.deck_file import DeckFile, decks_of
from protractor.bench.deck_sheets import SheetChoice
from protractor.errors import InputError

FAILURES_KEPT = 200
"""So many failures are shown; the summary has all."""

MOST_PROCESSES = 4

PATIENCE_S = 5.0
"""How long a batch that is stopped may take to clear up before it is killed."""

A_DATE = (1980, 1, 1, 0, 0, 0)
"""The date of every file in a ZIP, which cannot be without one: same sheets, same bytes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What is to be drawn.

    Attributes:
        data: the file of decks as it is.
        path: its name; it is not opened.
        choice: sheets, formats, cutting, dress.
        names: of the decks that are wanted; None for all, faulty ones too.
    """

    data: bytes
    path: Path
    choice: SheetChoice
    names: frozenset[str] | None = None

    def found(self) -> DeckFile:
        """The decks that are wanted; raises `InputError` for what is no file of decks."""
        found = decks_of(self.data, self.path)
        if self.names is None:
            return found
        wanted = [at for at, deck in enumerate(found.decks) if deck.name in self.names]
        return DeckFile(
            decks=tuple(found.decks[at] for at in wanted),
            lines=tuple(found.lines[at] for at in wanted),
            faults=tuple(fault for fault in found.faults if fault.deck in self.names),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Failure:
    """A deck that could not be drawn, its line in the file, and why."""

    name: str
    line: int
    error: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far a batch is.

    Attributes:
        state: `running`, `packing`, `done`, `stopped` or `broken`.
        count: how many decks are wanted; 0 while they are being read.
        drawn: how many are drawn.
        failed: how many failed.
        failures: the first of those.
        size: of the ZIP in bytes, when it is there.
        why: what broke it.
    """

    state: str = "running"
    count: int = 0
    drawn: int = 0
    failed: int = 0
    failures: tuple[Failure, ...] = ()
    size: int = 0
    why: str = ""

    @property
    def running(self) -> bool:
        """Whether there is more to come."""
        return self.state in ("running", "packing")

    def as_dict(self) -> dict[str, Any]:
        """The same under stable keys."""
        return {
            "state": self.state,
            "decks": self.count,
            "drawn": self.drawn,
            "failed": self.failed,
            "failures": [
                {"deck": each.name, "line": each.line, "error": each.error}
                for each in self.failures
            ],
            "zip_bytes": self.size,
            "why": self.why,
        }


class Busy(Exception):  # not a fault
    """A batch runs already."""


class Batches:
    """The batch of a site: the one that runs, or the last one."""

    def __init__(self) -> None:
        self._change = threading.Lock()
        self._progress: Progress | None = None
        self._folder: Path | None = None
        self._process: Any = None
        self._follower: threading.Thread | None = None
        self._stopped = False

    @property
    def progress(self) -> Progress | None:
        """How far it is; None when there was none."""
        return self._progress

    @property
    def zip_file(self) -> Path | None:
        """The ZIP of a batch that is done."""
        done = self._progress is not None and self._progress.state == "done"
        return self._folder / ZIP if done and self._folder else None

    def start(self, order: Order) -> None:
        """Starts a batch; the sheets of the last one are dropped.

        Raises `Busy` while one runs.
        """
        with self._change:
            if self._progress is not None and self._progress.running:
                raise Busy
            self._drop()
            folder = Path(tempfile.mkdtemp(prefix="protractor-batch-"))
            fresh = get_context("spawn")
            ours, theirs = fresh.Pipe(duplex=False)
            process = fresh.Process(target=work, args=(order, folder, theirs), name="batch")
            atexit.unregister(self.close)
            process.start()
            atexit.register(self.close)  # after, so before processes that still run are waited for
            theirs.close()
            self._folder, self._process, self._stopped = folder, process, False
            self._progress = Progress()
            self._follower = threading.Thread(
                target=self._follow, args=(process, ours), daemon=True
            )
            self._follower.start()

    def stop(self) -> None:
        """Stops the batch that runs, if one does; returns when it has ended."""
        with self._change:
            process = self._process
            if process is None or self._progress is None or not self._progress.running:
                return
            self._stopped = True
        process.terminate()
        process.join(PATIENCE_S)
        if process.is_alive():
            process.kill()
            process.join(PATIENCE_S)
        if self._follower is not None:
            self._follower.join(PATIENCE_S)

    def drop(self) -> None:
        """Drops the sheets of a batch that is done; raises `Busy` while one runs."""
        with self._change:
            if self._progress is not None and self._progress.running:
                raise Busy
            self._drop()

    def close(self) -> None:
        """Ends whatever runs and leaves nothing behind."""
        self.stop()
        with self._change:
            self._drop()

    def _drop(self) -> None:
        if self._folder is not None:
            shutil.rmtree(self._folder, ignore_errors=True)
        self._folder, self._progress = None, None

    def _follow(self, process: Any, connection: Connection) -> None:
        """Takes what the process says until it ends."""
        progress, ended = Progress(), False
        try:
            while not ended:
                progress = connection.recv()
                ended = not progress.running
                if not ended:
                    self._progress = progress
        except (EOFError, OSError):
            ended = False
        finally:
            connection.close()
        process.join()
        if not ended:
            why = "" if self._stopped else "Its process was ended from outside."
            progress = replace(progress, state="stopped" if self._stopped else "broken", why=why)
        if progress.state != "done" and self._folder is not None:
            shutil.rmtree(self._folder, ignore_errors=True)
        self._progress = progress


ZIP = "sheets.zip"


def work(order: Order, folder: Path, connection: Connection) -> None:
    """Draws the sheets into a folder, packs them, and says how far it is; for its own process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the server's matter
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))
    say = _Reporter(connection)
    sheets = folder / "sheets"
    try:
        sheets.mkdir()
        found = order.found()
        say(count=len(found.decks) + len(found.faulty_decks))
        _draw(found, sheets, order.choice, say)
        say(state="packing")
        size = pack(sheets, folder / ZIP)
        shutil.rmtree(sheets)
        say(state="done", size=size)
    except InputError as error:
        say(state="broken", why=error.line())
    except BrokenPipeError:  # the server is gone: nobody will ask for it
        shutil.rmtree(folder, ignore_errors=True)
    except OSError as error:
        with suppress(OSError):
            say(state="broken", why=f"{error.strerror}: make room and start it again.")


def _draw(found: DeckFile, folder: Path, choice: SheetChoice, say: Callable[..., None]) -> None:
    from protractor.bench.batch import run_batch

    drawn, failures = 0, list[Failure]()
    failed = 0

    def step(outcome: dict[str, Any]) -> None:
        nonlocal drawn, failed
        if outcome["status"] == "failed":
            failed += 1
            if len(failures) < FAILURES_KEPT:
                name, line, error = (str(outcome[key]) for key in ("name", "line", "error"))
                failures.append(Failure(name=name, line=int(line), error=error))
        else:
            drawn += 1
        say(drawn=drawn, failed=failed, failures=tuple(failures))

    processes = min(MOST_PROCESSES, max(1, (os.cpu_count() or 2) - 1))
    run_batch(found, folder, choice, processes=processes, progress=step)


class _Reporter:
    """Says how far a batch is."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._progress = Progress()

    def __call__(self, **changes: Any) -> None:
        self._progress = replace(self._progress, **changes)
        self._connection.send(self._progress)


def pack(folder: Path, path: Path) -> int:
    """Packs the files of a folder into a ZIP, one by one, and returns its size in bytes."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        for each in sorted(folder.iterdir()):
            entry = zipfile.ZipInfo(each.name, A_DATE)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            with each.open("rb") as source, packed.open(entry, "w") as target:
                shutil.copyfileobj(source, target)
    return path.stat().st_size
