"""Speed and memory of a batch, as ratios against stated baselines measured in the same run.

    python -m tests.benchmarks.batch_of_decks [DECKS]

Prints each ratio beside its bound and asserts that what is timed does what it should; the bounds
decide no test. DECKS is 1000 unless said otherwise. One process and two take turns in pieces of the
list, so that drift of the machine cancels.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.bench.batch import run_batch
from protractor.bench.deck_file import DeckFile
from protractor.bench.deck_sheets import SheetChoice
from protractor.files import write_whole
from protractor.output.formats import page_bytes
from protractor.output.style import Style
from protractor.sheets.index_sheet import index_pages

CHOICE = SheetChoice(formats=("pdf", "svg"), style=Style(text="text"))
PIECES = 8

PEAK = """
import resource, sys, tempfile
from pathlib import Path
from tests.benchmarks.batch_of_decks import bench, CHOICE
from protractor.bench.batch import run_batch
with tempfile.TemporaryDirectory() as folder:
    batch = run_batch(bench(range(int(sys.argv[1]))), Path(folder), CHOICE, processes=2)
assert batch.count("written") == int(sys.argv[1])
for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN):
    print(resource.getrusage(who).ru_maxrss)
"""


def bench(numbers: Sequence[int]) -> DeckFile:
    """A file of invented decks."""
    decks = tuple(
        Deck(name=f"Bench deck {n}", pivot_to_spindle_mm=200.0 + n % 120) for n in numbers
    )
    return DeckFile(decks=decks, lines=tuple(range(1, len(decks) + 1)), faults=())


def processor_seconds(who: int) -> float:
    """Processor time spent so far by this process or by those it started and saw end."""
    usage = resource.getrusage(who)
    return usage.ru_utime + usage.ru_stime


def timed_batch(found: DeckFile, processes: int) -> tuple[float, float]:
    """Seconds that a batch takes, and those it would take with every process on a free processor.

    The latter is the parent's processor time and an equal share of the workers'. Every deck must be
    written.
    """
    with tempfile.TemporaryDirectory() as folder:
        before = [
            processor_seconds(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
        ]
        start = time.perf_counter()
        batch = run_batch(found, Path(folder), CHOICE, processes=processes)
        seconds = time.perf_counter() - start
        own, workers = (
            processor_seconds(who) - spent
            for who, spent in zip(
                (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN), before, strict=True
            )
        )
    assert batch.count("written") == len(found.decks)
    return seconds, own + workers / processes


def timed_calls(found: DeckFile) -> float:
    """Seconds of the bare calls: each page drawn, turned into bytes and written, and the index."""
    with tempfile.TemporaryDirectory() as folder:
        start = time.perf_counter()
        for number, deck in enumerate(found.decks):
            alignment = align(deck)
            for sheet in CHOICE.sheets:
                page = CHOICE.page(deck, alignment, sheet)
                for kind in CHOICE.formats:
                    data = page_bytes(page, kind, CHOICE.style)
                    write_whole(Path(folder) / f"{number}{sheet}.{kind}", data, force=False)
        seconds = time.perf_counter() - start
    return seconds


def peaks(decks: int) -> tuple[int, int]:
    """Peak memory of a batch in a fresh process [kB]: the parent's, and a worker's."""
    words = [sys.executable, "-c", PEAK, str(decks)]
    done = subprocess.run(words, check=True, capture_output=True, text=True)
    own, children = map(int, done.stdout.split())
    return own, children


def main() -> None:
    """Prints every ratio beside its bound."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    timed_calls(bench(range(3)))  # loads every library
    one_over_two, undisturbed, batch_over_calls = [], [], []
    for piece in range(PIECES):
        found = bench(range(piece, count, PIECES))
        one, two, calls = timed_batch(found, 1), timed_batch(found, 2), timed_calls(found)
        one_over_two.append(one[0] / two[0])
        undisturbed.append(one[1] / two[1])
        batch_over_calls.append(one[0] / calls)
    assert len(index_pages([{}] * count)) == -(-count // 10)
    load = os.getloadavg()[0]
    print(f"{count} decks, template and plate as PDF and SVG; load of the machine {load:.1f}")
    print(f"one process over two      {statistics.median(one_over_two):5.2f}  at least 1.7")
    print(
        f"  by processor time       {statistics.median(undisturbed):5.2f}  "
        "what other work on the machine cannot touch"
    )
    print(f"batch over bare calls     {statistics.median(batch_over_calls):5.2f}  at most  1.3")
    few, many = peaks(count // 10), peaks(count)
    rows = (
        ("largest process", max(few), max(many), "at most  1.2"),
        ("parent", few[0], many[0], "it holds the index, 25 kB a page of ten decks"),
        ("worker", few[1], many[1], ""),
    )
    print(f"peak memory, {count} decks over {count // 10}:")
    for name, a, b, bound in rows:
        print(f"  {name:<24}{b / a:5.2f}  {bound}   ({a / 1024:.0f} and {b / 1024:.0f} MB)")


if __name__ == "__main__":
    main()
