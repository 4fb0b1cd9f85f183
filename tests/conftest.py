"""What tests share: the command line run in this process, in an empty folder."""

from __future__ import annotations

import os

# before numpy loads: on a busy machine the threads of its linear algebra wait for each other
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# nobody's own decks, printers and defaults; a test that keeps some names a folder of its own
os.environ["XDG_CONFIG_HOME"] = os.path.join(os.path.dirname(__file__), "no-such-folder")

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import settings

from protractor.cli import main
from tests.tries import tries

settings.register_profile("steady", derandomize=True, deadline=None, max_examples=tries(200))
settings.load_profile("steady")


@dataclass(frozen=True)
class Ran:
    """What a command left: exit status, what it said, and the files it made."""

    status: int
    out: str
    err: str
    files: list[str]


@pytest.fixture
def run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Callable[..., Ran]:
    """Runs `protractor` with the given words in an empty folder."""
    monkeypatch.chdir(tmp_path)

    def ran(*words: str) -> Ran:
        status = main(list(words))
        said = capsys.readouterr()
        files = sorted(str(p.relative_to(tmp_path)) for p in tmp_path.rglob("*") if p.is_file())
        return Ran(status, said.out, said.err, files)

    return ran
