"""A few hostile runs in the suite; more of them by hand with `python -m tests.hostile`."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.hostile.attack import Attack
from tests.hostile.verdict import RULES, Outcome, judged

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs pipes and devices")

RUNS, APART, SEED = 150, 4, 1


def test_runs_in_this_process(tmp_path: Path) -> None:
    """Hostile options, values, names and files: no rule is broken."""
    attack = Attack(tmp_path / "run", SEED)
    broken = [str(outcome) for outcome in map(attack.run, range(RUNS)) if outcome.broken]
    assert broken == []


def test_runs_of_their_own(tmp_path: Path) -> None:
    """The same in processes with odd settings, and with streams closed or full."""
    attack = Attack(tmp_path / "run", SEED)
    runs = (attack.run(number, apart=True) for number in range(APART))
    assert [str(outcome) for outcome in runs if outcome.broken] == []


@pytest.mark.parametrize(
    ("rule", "status", "out", "err", "words"),
    [
        ("status", 120, "", "", "solve"),
        ("disguised", 1, "", "protractor: line 3: ValueError: no\n", "batch d.csv"),
        ("lines", 2, "", "Usage: no\n", "solve"),
        ("lines", 2, "", "protractor: a\nprotractor: b\n", "solve"),
        ("lines", 2, "", "", "solve"),
        ("unescaped", 0, "a\x1b[31m\n", "", "solve"),
        ("unescaped", 2, "", "protractor: \u202e\n", "solve"),
        ("json", 0, "none\n", "", "solve --json"),
        ("written", 2, "", "protractor: no\n", "solve new.pdf"),
        ("markup", 0, "", "", "solve new.svg"),
        ("formula", 0, "", "", "solve new.csv"),
    ],
)
def test_the_judge_sees(
    tmp_path: Path, rule: str, status: int, out: str, err: str, words: str
) -> None:
    """Each rule is seen to be broken where it is, so that silence means something."""
    assert rule in RULES
    outcome = Outcome(words=tuple(words.split()), where="here", status=status, out=out, err=err)
    path = tmp_path / outcome.words[-1]
    if path.suffix in (".pdf", ".svg", ".csv"):
        path.write_text("=1+1\n\ufffe")
    judged(outcome, [path] if path.exists() else [])
    assert list(outcome.broken) == [rule]
