"""How soon the page in the browser follows: curves that are dragged, and the preview of a sheet.

    python -m tests.benchmarks.live_curves

Prints each figure beside its bound and asserts that what is timed answers the question; the bounds
decide no test. One process on one core, from a request to the whole answer, without a network. Time
of the processor stands beside the time that passes: on a busy machine they differ.
"""

from __future__ import annotations

import os
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from flask.testing import FlaskClient

from protractor import Deck, align, alignment_pages, compare, curve_page, paper
from protractor.app.guard import Guard
from protractor.app.house import House
from protractor.app.site import make_site
from protractor.output.formats import page_bytes

REQUESTS = 200
SCHEMES = 5

BOUND_MS = 200.0
"""What an eye that drags still takes for at once (common practice for direct manipulation)."""

PREVIEWS, PREVIEW_BOUND = 15, 1.5

HOST = "127.0.0.1:18722"

QUESTIONS = {
    "closed forms": "",
    "closed forms and the present setting": "&now-overhang=17&now-offset=22.5",
    "exact optima and the present setting": "&exact=yes&now-overhang=17&now-offset=22.5",
    "exact optima within limits, three records": (
        "&exact=yes&overhang-range=12+and+16&play=12:60&play=10:20&play=7:20"
    ),
}


def client(folder: Path) -> FlaskClient:
    """A client of a site with one remembered deck."""
    decks = folder / "decks.toml"
    decks.write_text('[[deck]]\nname = "Bench deck"\npivot-to-spindle = 222\n', "utf-8")
    guard = Guard.of(int(HOST.rpartition(":")[2]))
    house = House(guard=guard, decks_file=decks, profile_file=folder / "printers.toml")
    return make_site(house).test_client()


def timed(job: Callable[[], object]) -> float:
    """How long a call takes [ms]."""
    start = time.perf_counter()
    job()
    return 1000 * (time.perf_counter() - start)


def percentile(times: list[float], share: float) -> float:
    """The time that a share of all keeps."""
    return sorted(times)[min(len(times) - 1, int(share * len(times)))]


def live(asks: FlaskClient, more: str) -> tuple[list[float], list[float]]:
    """Times of the page while pivot to spindle is dragged from 200 to 299.5 mm.

    Returns the times that pass and those of the processor [ms].
    """

    def ask(d: float) -> None:
        address = f"/compare?pivot-to-spindle={d:g}{more}"
        answer = asks.get(address, base_url=f"http://{HOST}")
        assert answer.status_code == 200, address
        assert answer.text.count("data-curve=") >= 2 * 3 * SCHEMES

    ask(222.0)  # fonts and templates are read once
    passed, worked = [], []
    for number in range(REQUESTS):
        before = time.process_time()
        passed.append(timed(lambda d=200 + number / 2: ask(d)))
        worked.append(1000 * (time.process_time() - before))
    return passed, worked


def by_the_plotting_library() -> float:
    """The page of curves as SVG by the plotting library, median of a few [ms]."""

    def draw() -> None:
        data = curve_page(compare(Deck(pivot_to_spindle_mm=222.0)), paper=paper("a4")).file_bytes(
            "svg"
        )
        assert data.startswith(b"<?xml")

    draw()
    return statistics.median(timed(draw) for _ in range(7))


def previews(asks: FlaskClient) -> float:
    """The preview of a sheet over making its SVG directly, median of pairs taken in turn."""

    def by_page() -> None:
        answer = asks.get("/sheet.svg?pivot-to-spindle=222", base_url=f"http://{HOST}")
        assert answer.status_code == 200
        assert b"<svg" in answer.data

    def directly() -> None:
        deck = Deck(pivot_to_spindle_mm=222.0)
        assert b"<svg" in page_bytes(alignment_pages(align(deck), paper("a4"))[0], "svg")

    by_page(), directly()
    return statistics.median(timed(by_page) / timed(directly) for _ in range(PREVIEWS))


def main() -> None:
    """Prints every figure beside its bound."""
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    with tempfile.TemporaryDirectory() as folder:
        asks = client(Path(folder))
        baseline = by_the_plotting_library()
        print(f"{baseline:6.0f} ms  the page of curves by the plotting library, for comparison")
        print(f"Page of {REQUESTS} questions, 95th percentile (at most {BOUND_MS:g} ms):")
        for name, more in QUESTIONS.items():
            passed, worked = live(asks, more)
            most = percentile(passed, 0.95)
            print(
                f"{most:6.0f} ms  of the processor {percentile(worked, 0.95):.0f} ms, "
                f"{most / baseline:.2f} of the page of curves: {name}"
            )
        ratio = previews(asks)
        print(f"{ratio:6.2f}     (at most {PREVIEW_BOUND})  preview of a sheet over its SVG")


if __name__ == "__main__":
    main()
