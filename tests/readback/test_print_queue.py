"""A sheet sent to a real print queue that fits to the page: what reaches the device is true."""

from __future__ import annotations

import io
import os
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pypdfium2
import pytest

from tests.conftest import Ran
from tests.print_system import MISSING, print_system, wait_for

Run = Callable[..., Ran]

pytestmark = pytest.mark.skipif(bool(MISSING), reason=MISSING)

DPI = 400


@pytest.fixture(scope="module")
def printed_at() -> Iterator[tuple[str, Path]]:
    """A scheduler with two queues; its address, and the folder where their prints land."""
    with print_system("desk", "attic") as at:
        yield at


def ink_of(data: bytes) -> np.ndarray:
    """Where the first page of a PDF is black, at `DPI`."""
    document = pypdfium2.PdfDocument(io.BytesIO(data[data.index(b"%PDF") :]))
    return document[0].render(scale=DPI / 72, grayscale=True).to_numpy().squeeze() < 128


def reach_mm(ink: np.ndarray) -> tuple[float, float]:
    """How far the ink of a page reaches across and along [mm]."""
    return tuple(  # type: ignore[return-value]  # two of them
        float(np.ptp(np.flatnonzero(ink.any(axis=axis)))) * 25.4 / DPI for axis in (0, 1)
    )


def shared(ink: np.ndarray, other: np.ndarray) -> float:
    """The share of a page's coarse picture that is black on another one too [1]."""
    rows, columns = (min(sizes) // 8 * 8 for sizes in zip(ink.shape, other.shape, strict=True))
    coarse = [
        each[:rows, :columns].reshape(rows // 8, 8, columns // 8, 8).any(axis=(1, 3))
        for each in (ink, other)
    ]
    return float((coarse[0] & coarse[1]).sum() / coarse[0].sum())


def device_output(folder: Path, queue: str, address: str, send: Callable[[], None]) -> bytes:
    """What reaches the device when something is sent."""
    path = folder / f"{queue}.pdf"
    path.unlink(missing_ok=True)
    send()

    def idle() -> bool:
        asked = ["lpstat", "-h", address, "-W", "not-completed", "-o", queue]
        waiting = subprocess.run(asked, capture_output=True, text=True, check=False).stdout
        return not waiting.strip() and path.exists()

    wait_for(idle, "the print")
    return path.read_bytes()


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_what_arrives_is_true(
    run: Run, monkeypatch: pytest.MonkeyPatch, printed_at: tuple[str, Path], paper: str
) -> None:
    """Within 0.1 % in both directions, on the sheet's own paper, whatever the queue is set to.

    The same file sent without our options arrives shrunk by over 4 %: the queue does fit.
    """
    address, folder = printed_at
    monkeypatch.setenv("CUPS_SERVER", address)
    assert run("template", "--pivot-to-spindle", "222", "--paper", paper, "-o", "s.pdf").status == 0
    sheet = ink_of(Path("s.pdf").read_bytes())
    drawn = reach_mm(sheet)

    def ours() -> None:
        ran = run("print", "s.pdf", "--queue", "desk")
        assert (ran.status, ran.err) == (0, "")
        assert ran.out.startswith("Sent to queue desk as desk-")
        assert f" {paper.capitalize()}, 100 %, one side." in ran.out

    arrived = device_output(folder, "desk", address, ours)
    ink = ink_of(arrived)  # the system may turn a page that lies on its side
    turned = max((np.rot90(ink, quarter) for quarter in range(4)), key=lambda x: shared(sheet, x))
    assert reach_mm(turned) == pytest.approx(drawn, rel=1e-3)
    assert shared(sheet, turned) > 0.9
    assert shared(sheet, turned[:, ::-1]) < 0.5, "a mirrored one is told apart"
    size = pypdfium2.PdfDocument(arrived[arrived.index(b"%PDF") :])[0].get_size()
    assert size == pytest.approx({"a4": (595.28, 841.89), "letter": (612, 792)}[paper], abs=1)

    def plain() -> None:
        subprocess.run(["lp", "-d", "desk", "s.pdf"], capture_output=True, check=True)

    fitted = ink_of(device_output(folder, "desk", address, plain))
    assert max(reach_mm(fitted)) < 0.96 * max(drawn)


def test_what_the_system_refuses(
    run: Run, monkeypatch: pytest.MonkeyPatch, printed_at: tuple[str, Path]
) -> None:
    """A paper that the queue does not have, no such queue, and which one of two: one line each."""
    monkeypatch.setenv("CUPS_SERVER", printed_at[0])
    monkeypatch.setenv("HOME", os.getcwd())
    assert run("gauge", "pivot", "--paper", "a3", "-o", "a3.pdf").status == 0
    for words, said in (
        (("--queue", "desk"), "allowed: a queue with A3; desk has A4, Letter; draw the sheet on"),
        (("--queue", "cellar"), "got cellar; allowed: attic, desk; name one of these"),
        ((), "got none; allowed: attic, desk; name one of these"),
    ):
        ran = run("print", "a3.pdf", *words)
        assert (ran.status, ran.out, ran.err.count("\n")) == (2, "", 1)
        assert said in ran.err
