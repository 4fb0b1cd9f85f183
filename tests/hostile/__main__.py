"""Hostile runs by hand: counts of what was run and of every rule that was broken.

    python -m tests.hostile --runs 20000 [--seed 15] [--apart 200] [--show 5]

`--apart` runs are processes of their own in odd environments; the others run in this process.
"""

from __future__ import annotations

import argparse
import resource
import sys
import tempfile
from collections import Counter
from pathlib import Path

from tests.hostile.attack import Attack
from tests.hostile.verdict import RULES, Outcome

MOST_MEMORY_BYTES = 6_000_000_000


def main() -> int:
    """Runs, prints the tables, and returns 1 when a rule was broken."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--runs", type=int, default=2000)
    ask.add_argument("--first", type=int, default=0)
    ask.add_argument("--apart", type=int, default=0)
    ask.add_argument("--seed", type=int, default=15)
    ask.add_argument("--show", type=int, default=3)
    asked = ask.parse_args()
    # a file without end must end in an error here, not in the machine's memory
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY_BYTES, MOST_MEMORY_BYTES))
    commands: Counter[str] = Counter()
    statuses: Counter[int | None] = Counter()
    broken: dict[str, list[Outcome]] = {rule: [] for rule in RULES}
    with tempfile.TemporaryDirectory() as folder:
        attack = Attack(Path(folder).resolve() / "run", asked.seed)
        for number in range(asked.first, asked.first + asked.runs + asked.apart):
            outcome = attack.run(number, apart=number >= asked.first + asked.runs)
            commands[outcome.words[0]] += 1
            statuses[outcome.status] += 1
            for rule in outcome.broken:
                broken[rule].append(outcome)
            if sys.stderr.isatty() and number % 100 == 0:
                print(f"\r{number}", end="", file=sys.stderr)
    _show(broken, asked.show)
    print(f"runs in this process {asked.runs}, as their own {asked.apart}, seed {asked.seed}")
    print("commands: " + ", ".join(f"{k!a} {n}" for k, n in commands.most_common(12)))
    print("statuses: " + ", ".join(f"{k} {n}" for k, n in sorted(statuses.items(), key=str)))
    for rule, found in broken.items():
        print(f"{rule:<12}{len(found):>7}  {RULES[rule]}")
    return 1 if any(broken.values()) else 0


def _show(broken: dict[str, list[Outcome]], most: int) -> None:
    """The first few of every kind of breach, kinds told apart by what is said of them."""
    for rule, found in broken.items():
        kinds: dict[str, list[Outcome]] = {}
        for outcome in found:
            kinds.setdefault(outcome.broken[rule][:45], []).append(outcome)
        for _, alike in sorted(kinds.items(), key=lambda pair: -len(pair[1]))[: 6 * most]:
            print(f"[{rule}, {len(alike)} alike]\n{alike[0]}\n")


sys.exit(main())
