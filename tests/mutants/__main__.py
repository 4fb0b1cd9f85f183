"""Plants one small fault at a time into a copy of the package: does a test notice?

    python -m tests.mutants --count 300 --seed 1 [--room setup] [--list-survivors]

Every room in turn gives a fault, chosen by the seed. A first run over the sound copy tells how long
each test takes and which functions it enters; a fault is then put to the tests that enter its
function, the quick ones first, and counts as killed when one fails or takes far too long. Tests
that only start processes of their own, or get what a cached function found before, enter nothing
here: put a survivor in such a function to the suite by hand.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import random
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterator
from itertools import zip_longest
from pathlib import Path
from types import FrameType
from typing import Any

import pytest

from tests.mutants.planting import Site, planted, sites

ROOMS = (
    *("setup", "printing", "alignments", "arms", "inputs", "bench", "drawing", "sheets"),
    *("output", "files.py", "errors.py"),
)
ALWAYS = ("tests/published", "tests/freeze/test_freeze.py", "tests/cli", "tests/test_readme.py")
ALSO = {
    **dict.fromkeys(("drawing", "output", "sheets"), ("tests/readback",)),
    "inputs": ("tests/bench/test_deck_file.py",),
    "files.py": ("tests/test_writing.py",),
}
OPTIONS = (
    *("-x", "-q", "-p", "no:xdist", "-p", "no:cacheprovider", "-o", "addopts="),
    *("--import-mode=importlib", "--doctest-modules", "-W"),
    "ignore::pytest.PytestAssertRewriteWarning",
)


class Watch:
    """Of each test: how long it takes, and the functions of the package that it enters."""

    def __init__(self, copy: Path) -> None:
        self.package, self.tests = f"{copy}/protractor/", dict[str, dict[str, Any]]()
        self.entered = set[str]()

    def call(self, frame: FrameType, event: str, argument: object) -> None:
        code = frame.f_code
        if code.co_filename.startswith(self.package):
            file = code.co_filename[len(self.package) :]
            self.entered.add(f"{file}::{code.co_qualname.removesuffix('.<lambda>')}")

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        self.entered = set()
        began = time.monotonic()
        sys.settrace(self.call)
        try:
            return (yield)
        finally:
            sys.settrace(None)
            taken = time.monotonic() - began
            known = self.tests.setdefault(item.nodeid, {"sound": True})
            known |= {"seconds": taken, "enters": sorted(self.entered)}

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.outcome != "passed":
            self.tests[report.nodeid] = {"sound": False}


class Chosen:
    """Only these tests, in this order."""

    def __init__(self, names: list[str]) -> None:
        self.place = {name: at for at, name in enumerate(names)}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = sorted(
            (item for item in items if item.nodeid in self.place),
            key=lambda item: self.place[item.nodeid],
        )


def within(copy: Path, plugin: object, paths: list[str], log: Path, *more: str) -> int:
    """Runs pytest in the copy; to be called in a process of its own."""
    for name in [name for name in sys.modules if name.split(".")[0] in ("tests", "protractor")]:
        del sys.modules[name]
    os.chdir(copy)
    sys.path[0] = str(copy)
    os.environ |= {"PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1", "TMPDIR": str(copy)}
    out = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
    os.dup2(out, 1)
    os.dup2(out, 2)
    return int(pytest.main([*OPTIONS, *more, *paths], plugins=[plugin]))


def in_child(seconds: float, work: Any) -> int | None:
    """The exit status of a forked process, None when it took too long."""
    child = os.fork()
    if child == 0:
        os.setsid()
        try:
            status = work()
        except BaseException:
            traceback.print_exc()
            status = 99
        os._exit(status)
    end = time.monotonic() + seconds
    try:
        while time.monotonic() < end:
            done, status = os.waitpid(child, os.WNOHANG)
            if done:
                return os.waitstatus_to_exitcode(status)
            time.sleep(0.02)
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return None


def belonging(room: str) -> list[str]:
    """The tests of a room, and the few of all rooms."""
    own = f"tests/{room}" if "." not in room else f"tests/test_{room}"
    return [own, *ALSO.get(room, ()), *ALWAYS]


def chosen_sites(copy: Path, rooms: list[str], seed: int, count: int) -> list[Site]:
    """So many sites, as evenly over the rooms as there are sites."""
    choice, by_room = random.Random(seed), []
    for room in rooms:
        place = copy / "protractor" / room
        files = sorted(place.glob("*.py")) if place.is_dir() else [place]
        here = []
        for file in files:
            name = file.relative_to(copy / "protractor").as_posix()
            here += sites(name, file.read_text(encoding="utf-8"))
        choice.shuffle(here)
        by_room.append(here)
    return [site for turn in zip_longest(*by_room) for site in turn if site][:count]


def tried(copy: Path, site: Site, tests: list[str], seconds: float) -> tuple[str, bool]:
    """What was planted at a site of the copy, and whether a test noticed."""
    file = copy / "protractor" / site.file
    sound = file.read_text(encoding="utf-8")
    text, change = planted(site, sound)
    if not tests:
        return change, False
    paths = sorted({name.partition("::")[0] for name in tests})
    file.write_text(text, encoding="utf-8")
    try:
        status = in_child(seconds, lambda: within(copy, Chosen(tests), paths, copy / "log"))
    finally:
        file.write_text(sound, encoding="utf-8")
    return change, status != 0


def main() -> int:
    """Plants, runs and prints the score."""
    ask = argparse.ArgumentParser("python -m tests.mutants", description=__doc__)
    ask.add_argument("--count", type=int, default=300)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--room", action="append", choices=ROOMS)
    ask.add_argument("--list-survivors", action="store_true", help="each with its change")
    ask.add_argument("--longest", type=float, default=30.0, help="seconds of tests a fault")
    asked = ask.parse_args()
    rooms = asked.room or list(ROOMS)
    _load()
    score: Counter[tuple[str, bool]] = Counter()
    with tempfile.TemporaryDirectory() as made:
        copy = Path(made).resolve()
        for name in ("protractor", "tests"):
            ignored = shutil.ignore_patterns("__pycache__", "mutants")
            shutil.copytree(name, copy / name, ignore=ignored)
        for path in Path().glob("*.*"):
            if path.is_file():
                shutil.copy(path, copy)
        shutil.copytree("templates_out", copy / "templates_out")
        known = _measured(copy, rooms)
        for site in chosen_sites(copy, rooms, asked.seed, asked.count):
            room = site.file.split("/")[0]
            tests = _tests_for(site, known, belonging(room), asked.longest)
            seconds = 10 + 5 * sum(known[name]["seconds"] for name in tests)
            change, noticed = tried(copy, site, tests, seconds)
            score[room, noticed] += 1
            if asked.list_survivors and not noticed:
                print(f"{site.file}:{site.line}: {change}   ({len(tests)} tests)", flush=True)
    for room in rooms:
        killed, alive = score[room, True], score[room, False]
        print(f"{room:<12}{killed:>5} of {killed + alive:>4} killed")
    killed = sum(score[room, True] for room in rooms)
    print(f"{'':12}{killed:>5} of {score.total():>4} killed, seed {asked.seed}")
    return 0


def _measured(copy: Path, rooms: list[str]) -> dict[str, dict[str, Any]]:
    """What a run over the sound copy tells of each test; those that fail there are left out."""
    found, log = copy / "tests.json", copy / "log"
    paths = sorted({path for room in rooms for path in belonging(room)})
    paths += [f"protractor/{room}" for room in rooms]

    def watched() -> int:
        watch = Watch(copy)
        status = within(copy, watch, paths, log, "--maxfail=1000")
        found.write_text(json.dumps(watch.tests), encoding="utf-8")
        return status

    if in_child(3600, watched) not in (0, 1):
        sys.exit(log.read_text(encoding="utf-8"))
    known: dict[str, dict[str, Any]] = json.loads(found.read_text(encoding="utf-8"))
    failed = [name for name, test in known.items() if not test["sound"]]
    print(f"{len(known)} tests; left out, as they fail in a copy: {failed}", flush=True)
    return {name: test for name, test in known.items() if test["sound"]}


def _tests_for(
    site: Site, known: dict[str, dict[str, Any]], paths: list[str], longest: float
) -> list[str]:
    """The tests of these paths that enter the function, quick ones first, up to so many seconds.

    For what stands outside functions, those that enter the module, or all when none does.
    """
    here = {
        name: test
        for name, test in known.items()
        if name.startswith((*paths, f"protractor/{site.file}"))
    }
    module = f"{site.file}::"
    function = module + site.scope
    hit = [
        name
        for name, test in here.items()
        if any(
            (e == function or e.startswith(function + ".")) if site.scope else e.startswith(module)
            for e in test["enters"]
        )
    ]
    if not site.scope:
        hit = hit or list(here)
    chosen, seconds = [], 0.0
    for name in sorted(hit, key=lambda name: known[name]["seconds"]):
        seconds += known[name]["seconds"]
        if seconds > longest and chosen:
            break
        chosen.append(name)
    return chosen


def _load() -> None:
    """Loads what is slow to load, and no part of the package, once for all children."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    import click  # noqa: F401
    import ezdxf  # noqa: F401
    import fontTools.ttLib  # noqa: F401
    import hypothesis  # noqa: F401
    import numpy  # noqa: F401
    import pdfplumber  # noqa: F401
    import pikepdf  # noqa: F401
    import reportlab.pdfgen.canvas  # noqa: F401
    import scipy.optimize  # noqa: F401
    import shapely  # noqa: F401


if __name__ == "__main__":
    sys.exit(main())
