"""Proves that nothing the user sees changed: every case's output and files, as one hash.

    python -m tests.freeze                  compare; print every case that differs, exit status 1
    python -m tests.freeze --only PATTERN   the cases whose names hold the pattern (a regular one)
    python -m tests.freeze --show NAME      print what the case of that name leaves, compare nothing
    python -m tests.freeze --write          write the hashes anew (with --only, those alone)

Only the command line is driven, in this process, so modules may move at will. A case runs in a
folder of its own, which is its home too. Its hash covers each command's words, exit status, stdout
and stderr, and every file in the folder afterwards.
"""

from __future__ import annotations

import argparse
import contextlib
import hashlib
import io
import json
import os
import re
import shlex
import sys
import tempfile
import warnings
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from tests.freeze.cases import CASES, FILES

HASHES = Path(__file__).with_name("hashes.json")
PROCESSES = 2
PLACE = "FOLDER"
"""What stands for the path of a case's folder."""

TEXTS = (".csv", ".json", ".jsonl", ".toml", ".svg")
"""Files whose numbers are compared by `settled`."""

LONG_NUMBER = re.compile(r"-?\b\d+(?:\.\d{9,}(?:e[-+]?\d+)?|(?:\.\d+)?e-\d+)\b")
RECORD_HASH = re.compile(r'(?<="record_sha256": ")\w+')
"""A batch's hash of its own figures, all their digits."""

Command = Callable[[list[str]], int]
Hashes = dict[str, str]


def protractor(words: list[str]) -> int:
    """The command line."""
    from protractor.cli import main

    return main(words)


def begin(plotting: str) -> None:
    """What a process does first; `plotting` is a folder for what the plotting library stores."""
    os.environ |= {"MPLCONFIGDIR": plotting, "OPENBLAS_NUM_THREADS": "1"}


@contextlib.contextmanager
def at_home(folder: Path) -> Iterator[None]:
    """Makes a folder the working and the home folder, in an environment that says little else."""
    kept, before = dict(os.environ), Path.cwd()
    for name in ("COLUMNS", "LINES", "LC_ALL", "LANGUAGE", "PYTHONWARNINGS", "NO_COLOR"):
        os.environ.pop(name, None)
    homes = dict.fromkeys(("HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME", "TMPDIR"), str(folder))
    os.environ |= {**homes, "COLUMNS": "80", "LANG": "C.UTF-8"}
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(before)
        os.environ.clear()
        os.environ.update(kept)


def run(words: list[str], command: Command) -> tuple[str, str, str]:
    """Exit status, stdout and stderr of one command line; a crash counts as a status."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8") for _ in range(2))
    with (
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
        warnings.catch_warnings(),
    ):
        warnings.simplefilter("error")  # else shown once a process, wherever that happens to be
        try:
            status = str(command(words))
        except (Exception, SystemExit) as error:
            status = f"{type(error).__name__}: {error}"
    texts = []
    for stream in (out, err):
        stream.seek(0)
        texts.append(stream.read())
    return status, *texts  # type: ignore[return-value]  # two texts, always


def settled(text: str) -> str:
    """A text with its numbers to nine digits, and 0 below 1e-10: processors differ in the last."""

    def short(found: re.Match[str]) -> str:
        number = float(found[0])
        return f"{number:.9g}" if abs(number) > 1e-10 else "0"

    return LONG_NUMBER.sub(short, RECORD_HASH.sub("", text))


def left_by(lines: Sequence[str], command: Command = protractor) -> str:
    """What the command lines leave, run one after the other in one new folder: output and files."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made).resolve()
        for name, text in FILES.items():
            (folder / name).write_text(text, encoding="utf-8")
        parts = []
        with at_home(folder):
            for line in lines:
                status, out, err = run(shlex.split(line), command)
                parts.append(f"$ protractor {line}\nstatus {status}\n{out}--- stderr\n{err}---\n")
        place = str(folder)
        for path in sorted(path for path in folder.rglob("*") if path.is_file()):
            name, data = path.relative_to(folder).as_posix(), path.read_bytes()
            if data != FILES.get(name, "").encode() or name not in FILES:
                data = data.replace(place.encode(), PLACE.encode())
                if path.suffix in TEXTS:
                    data = settled(data.decode("utf-8")).encode()
                parts.append(f"{hashlib.sha256(data).hexdigest()} {len(data):>8} {name}\n")
        gone = sorted(name for name in FILES if not (folder / name).exists())
        parts.append(f"gone: {', '.join(gone)}\n" if gone else "")
        return settled("".join(parts).replace(place, PLACE))


def hash_of(name: str) -> str:
    """The hash of what a case leaves."""
    return hashlib.sha256(left_by(CASES[name]).encode()).hexdigest()


def hashes_of(names: Sequence[str]) -> Hashes:
    """The hashes of cases, in several processes."""
    with (
        tempfile.TemporaryDirectory() as plotting,
        ProcessPoolExecutor(PROCESSES, initializer=begin, initargs=(plotting,)) as pool,
    ):
        return dict(zip(names, pool.map(hash_of, names, chunksize=4), strict=True))


def differing(before: Hashes, now: Hashes) -> list[str]:
    """The names whose hash differs, or which one side lacks, each with what happened to it."""
    told = []
    for name in sorted({*before, *now}):
        if before.get(name) != now.get(name):
            what = "new" if name not in before else "gone" if name not in now else "changed"
            drawn = ", or matplotlib has" if name.startswith("curves") else ""
            told.append(f"{what}: {name}{f'   (protractor{drawn})' if drawn else ''}")
    return told


def main(arguments: list[str] | None = None, file: Path = HASHES) -> int:
    """Compare, show or write, as the options say; 1 when a case differs, 2 for a wrong option."""
    assert __doc__ is not None
    parser = argparse.ArgumentParser(
        "python -m tests.freeze",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--write", action="store_true", help="write the hashes anew")
    parser.add_argument("--only", metavar="PATTERN", default="", help="cases whose names hold it")
    parser.add_argument("--show", metavar="NAME", help="print what one case leaves")
    asked = parser.parse_args(arguments)
    if asked.show is not None:
        if asked.show not in CASES:
            parser.error(f"--show: no case is called {asked.show!r}")
        with tempfile.TemporaryDirectory() as plotting:
            begin(plotting)
            sys.stdout.write(left_by(CASES[asked.show]))
        return 0
    names = [name for name in CASES if re.search(asked.only, name)]
    if not names:
        parser.error(f"--only: no case holds {asked.only!r}")
    before: Hashes = json.loads(file.read_text(encoding="utf-8")) if file.exists() else {}
    now = hashes_of(names)
    others = {name for name in before if not re.search(asked.only, name)}
    told = differing({n: h for n, h in before.items() if n not in others}, now)
    print("\n".join([*told, f"{len(told)} of {len(names)} cases differ."]))
    if asked.write:
        now |= {name: before[name] for name in others}
        text = json.dumps(now, indent=0, sort_keys=True, ensure_ascii=False)
        file.write_text(text + "\n", encoding="utf-8")
        return 0
    return 1 if told else 0
