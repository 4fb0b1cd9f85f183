"""What a run left, and the rules that it broke."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from xml.etree import ElementTree

STATUSES = (0, 1, 2, 3, 130, 143)
HANGS_AFTER_S = 60

RULES = {
    "traceback": "an error that is none of ours reaches the user",
    "disguised": "a message with the name of an error of the language",
    "status": f"an exit status outside {', '.join(map(str, STATUSES))}",
    "lines": "a refusal that is not one line beginning with the command's name",
    "written": "a file made or changed by a command that refused",
    "unescaped": "a control or bidirectional character on stdout or stderr",
    "json": "--json that is no JSON",
    "markup": "an SVG that is no XML",
    "formula": "a cell of an exported CSV that a spreadsheet computes",
    "hang": f"no end within {HANGS_AFTER_S} s",
}
"""What no run may do."""

OBEYED = re.compile(
    "[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff"
    "\ufff9-\ufffb\ufffe\uffff\ud800-\udfff\U000e0000-\U000e007f]"
)
_ERROR_NAME = re.compile(r"\b[A-Z][A-Za-z]*(?:Error|Exception)\b")
_FORMULA = re.compile(r"[=+\-@\t\r]")
_NUMBER = re.compile(r"[-+]?[0-9.,]+(e[-+]?[0-9]+)?( and .*)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """A run: its words, what it left, and the rules that it broke with a word on each."""

    words: tuple[str, ...]
    where: str
    status: int | None
    out: str
    err: str
    broken: dict[str, str] = field(default_factory=dict)

    def __str__(self) -> str:
        words = [word if len(word) < 90 else f"{word[:40]}...{len(word)}" for word in self.words]
        return "\n".join(
            [
                f"{self.where}: protractor {' '.join(map(ascii, words))}",
                *(f"  {rule}: {what}" for rule, what in self.broken.items()),
            ]
        )


def judged(outcome: Outcome, changed: Sequence[Path]) -> None:
    """Adds the rules that an outcome broke; `changed` are the files it made, changed or lost.

    A run that ended in an error of the language or not at all is judged already.
    """
    broken = outcome.broken
    if broken:
        return
    name = _ERROR_NAME.search(outcome.err)
    if name and name[0] not in " ".join(outcome.words):
        broken["disguised"] = f"{outcome.err[max(0, name.start() - 100) : name.end() + 100]!a}"
    if outcome.status not in STATUSES:
        broken["status"] = f"{outcome.status}: {outcome.err[-200:]!a}"
    _judge_lines(outcome)
    if outcome.status == 2 and changed:
        broken["written"] = ascii([str(path) for path in changed])[:200]
    for text in (outcome.out, outcome.err):
        if found := OBEYED.search(text):
            broken["unescaped"] = ascii(text[max(0, found.start() - 60) : found.end() + 20])
    if any("\n" in word and word in outcome.out for word in outcome.words):
        broken["unescaped"] = "a line end of a name"
    if outcome.status == 0 and outcome.out and _asks_for_json(outcome.words):
        try:
            json.loads(outcome.out)
        except ValueError as error:
            broken["json"] = f"{error}: {ascii(outcome.out)[:100]}"
    for path in changed if outcome.status == 0 else ():
        _judge_file(path, broken)


def _judge_lines(outcome: Outcome) -> None:
    """A refusal is one line; a file of decks may have a line a fault."""
    lines = outcome.err.split("\n")[:-1]
    odd = next((line for line in lines if not line.startswith("protractor")), None)
    faults = [line for line in lines if not line.startswith("protractor: note: ")]
    many = outcome.words[0] in ("decks", "batch")
    if odd is not None:
        outcome.broken["lines"] = ascii(odd)[:200]
    elif (
        outcome.status == 2
        and "2>&-" not in outcome.where
        and (not faults or (len(faults) > 1 and not many))
    ):
        outcome.broken["lines"] = f"{len(faults)} lines: {ascii(outcome.err)[:200]}"


def _judge_file(path: Path, broken: dict[str, str]) -> None:
    """An SVG is XML, and a CSV file holds no formula."""
    if not path.is_file():
        return
    if path.suffix == ".svg":
        try:
            ElementTree.parse(path)
        except ElementTree.ParseError as error:
            broken["markup"] = str(error)
    if path.suffix == ".csv" and not path.read_bytes().startswith(b"%PDF"):  # --format pdf
        with path.open(encoding="utf-8-sig", newline="") as stream:
            text = stream.read()
        rows = csv.reader(io.StringIO(text), delimiter=";" if ";" in text[:80] else ",")
        for cell in (cell for row in rows for cell in row):
            if _FORMULA.match(cell) and not _NUMBER.fullmatch(cell):
                broken["formula"] = ascii(cell)[:80]


def _asks_for_json(words: tuple[str, ...]) -> bool:
    """Whether --json stands there as an option, and not as the value of the one before it."""
    at = words.index("--json") if "--json" in words else 0
    return at > 0 and not words[at - 1].startswith("--") and "--help" not in words
