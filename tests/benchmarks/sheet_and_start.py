"""Speed of a sheet and of starting up, as ratios against bare baselines measured in the same run.

    python -m tests.benchmarks.sheet_and_start

Prints each ratio beside its bound and asserts that what is timed does what it should; the bounds
decide no test.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from protractor import Deck, align, alignment_pages
from protractor.drawing.shapes import Label, Line, Page
from protractor.output.pdf import pdf_bytes
from protractor.printing.paper import PAPERS
from tests.benchmarks.bare_sheet import bare_drawing, register

ROUNDS = 15


def counts(page: Page) -> tuple[int, int, list[tuple[str, bool]]]:
    """Straight strokes, arcs and circles, and labels with their weight, of a page."""
    labels = [(shape.text, shape.bold) for shape in page.shapes if isinstance(shape, Label)]
    lines = sum(isinstance(shape, Line) for shape in page.shapes)
    return lines, len(page.shapes) - lines - len(labels), labels


def paired(ours: Callable[[], object], base: Callable[[], object], rounds: int) -> float:
    """Median of ours over base, taken in turn so that drift of the machine cancels."""
    ratios = []
    for _ in range(rounds):
        times = []
        for job in (ours, base):
            start = time.perf_counter()
            job()
            times.append(time.perf_counter() - start)
        ratios.append(times[0] / times[1])
    return statistics.median(ratios)


def process(*words: str) -> Callable[[], object]:
    """A call that runs a process to its end and wants it to succeed."""

    def run() -> object:
        return subprocess.run(words, check=True, capture_output=True)

    return run


def in_process() -> tuple[float, str]:
    """A template in process against the bare calls."""
    alignment = align(Deck(pivot_to_spindle_mm=222.0))
    page = alignment_pages(alignment, PAPERS["a4"])[0]
    lines, arcs, labels = counts(page)
    register()
    assert len(pdf_bytes([page])) > 50_000
    assert len(bare_drawing(lines, arcs, labels)) > 50_000
    ratio = paired(
        lambda: pdf_bytes(alignment_pages(alignment, PAPERS["a4"])),
        lambda: bare_drawing(lines, arcs, labels),
        ROUNDS,
    )
    return (
        ratio,
        f"template in process over bare calls: {lines + arcs} strokes, {len(labels)} labels",
    )


def main() -> None:
    """Prints every ratio beside its bound."""
    python = sys.executable
    script = Path(python).with_name("protractor")
    # the command as it is installed beside the interpreter, else the package in this folder
    module = (str(script),) if script.exists() else (python, "-m", "protractor")
    ratio, name = in_process()
    rows = [(name, ratio, 2.0)]
    rows.append(
        (
            "protractor --help over importing click",
            paired(process(*module, "--help"), process(python, "-c", "import click"), ROUNDS),
            1.5,
        )
    )
    rows.append(
        (
            "protractor solve over importing numpy and click",
            paired(
                process(*module, "solve", "--pivot-to-spindle", "222"),
                process(python, "-c", "import numpy, click"),
                ROUNDS,
            ),
            1.3,
        )
    )
    with tempfile.TemporaryDirectory() as folder:
        file = str(Path(folder) / "x.pdf")
        page = alignment_pages(align(Deck(pivot_to_spindle_mm=222.0)), PAPERS["a4"])[0]
        lines, arcs, labels = counts(page)
        words = Path(folder) / "labels.json"
        words.write_text(json.dumps(labels))
        bare = str(Path(__file__).with_name("bare_sheet.py"))
        out = str(Path(folder) / "bare.pdf")
        rows.append(
            (
                "protractor template over a bare process that draws the same",
                paired(
                    process(
                        *module, "template", "--pivot-to-spindle", "222", "-o", file, "--force"
                    ),
                    process(python, bare, str(lines), str(arcs), str(words), out),
                    ROUNDS,
                ),
                1.4,
            )
        )
    for text, value, bound in rows:
        print(f"{value:5.2f}  (at most {bound})  {text}")


if __name__ == "__main__":
    main()
