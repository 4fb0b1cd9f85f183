"""What reaches the terminal: inert whatever a name holds, and no traceback when it is closed."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from protractor.cli.saying import wrapped

Run = Callable[..., Any]

RED, BACKWARDS = "\x1b[31m", "\u202e"
SOLVE = "-m protractor solve --pivot-to-spindle 222"


def shell(line: str, **settings: str) -> subprocess.CompletedProcess[str]:
    """Runs a line of the shell; `$P` is the interpreter."""
    return subprocess.run(
        ["sh", "-c", line],
        env={**os.environ, "P": sys.executable, **settings},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


@pytest.mark.parametrize("odd", [RED, BACKWARDS, "\x9b2J", "\u2066", "\u061c", "\r"])
def test_names_are_inert(run: Run, odd: str) -> None:
    """A file's name, a deck's name and a faulty value reach neither stdout nor stderr as orders."""
    path = Path(f"de{odd}ck.csv") if odd != "\r" else Path("deck.csv")
    path.write_text(f'name,pivot-to-spindle\n"{odd}A",222\n"{odd}B",2{odd}\n"C{odd}",22\n')
    for words in (("check",), ("list",), ("check", "--json"), ("list", "--json")):
        ran = run("decks", *words, str(path))
        assert odd not in ran.out + ran.err
    batch = (
        "--sheet",
        "template",
        "--format",
        "pdf",
        "--processes",
        "1",
        "--folder",
        f"o{odd[1:]}",
    )
    ran = run("batch", str(path), *batch)
    assert odd not in ran.out + ran.err
    assert odd not in run("template", "--pivot-to-spindle", f"22{odd}").err


def test_json_keeps_the_value(run: Run) -> None:
    """In JSON such a character is written as its code, and is read back as itself."""
    name = f"Deck {BACKWARDS}A"
    Path("d.csv").write_text(f"name,pivot-to-spindle\n{name},222\n")
    said = run("decks", "list", "d.csv", "--json").out
    assert BACKWARDS not in said
    assert json.loads(said)[0]["name"] == name


@pytest.mark.parametrize("streams", [">&-", "2>&-", "<&-", ">&- 2>&-", ">/dev/full 2>/dev/full"])
@pytest.mark.parametrize("length", ["222", "22"])
def test_closed_streams(streams: str, length: str) -> None:
    """Closed or full streams: no traceback; an answer that cannot be printed is status 1."""
    done = shell(f'"$P" -m protractor solve --pivot-to-spindle {length} {streams}')
    lost = ">&-" in streams.replace("2>&-", "") or ">/dev/full" in streams
    assert done.returncode == (2 if length == "22" else 1 if lost else 0)
    assert "Traceback" not in done.stderr
    assert "Exception" not in done.stderr
    assert len(done.stderr.splitlines()) <= 1


def test_a_stream_of_few_letters() -> None:
    """Where the system says ASCII, UTF-8 is written, as inert as ever; other encodings get `?`."""
    settings = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    assert "Löfgren A" in shell(f'"$P" {SOLVE}', **settings).stdout
    done = shell(f'"$P" {SOLVE} --scheme "$(printf "\\033[31m")"', **settings)
    assert done.stderr.startswith("protractor: --scheme: got \\u001b[31m; allowed")
    read = '"$P" -c "import sys; print(ascii(sys.stdin.buffer.read()))"'
    done = shell(f'"$P" {SOLVE} | {read}', PYTHONIOENCODING="latin-1")
    assert "(L\\xf6fgren A" in done.stdout


def test_a_file_that_the_system_refuses_is_named(run: Run) -> None:
    """Links that lead round, pipes, devices and deep nesting: one line, status 2, no wait."""
    os.symlink("loop.toml", "loop.toml")
    os.mkfifo("pipe.toml")
    os.symlink("/dev/zero", "zero.toml")
    Path("nested.toml").write_text("a = " + "[" * 5000)
    Path("log.jsonl").write_text('{"round": ' + "[" * 100_000 + "\n")
    record = ("--instrument", "calipers", "--x", "150", "--y", "150", "--rising", "150")
    readings = ("--reading", "66:0.5", "--reading", "120.9:-0.5")
    for name in ("loop.toml", "pipe.toml", "zero.toml", "nested.toml"):
        for words in (
            ("decks", "check", name),
            ("decks", "add", name, "--name", "A", "--pivot-to-spindle", "222"),
            ("batch", name),
            ("printer", "list", "--profile-file", name),
            ("printer", "forget", "desk", "--profile-file", name),
            ("printer", "record", "desk", *record, "--falling", "150", "--profile-file", name),
            ("correct", "--pivot-to-spindle", "222", *readings, "--log", name),
        ):
            ran = run(*words)
            assert ran.status == 2, words
            assert len(ran.err.splitlines()) == 1, ran.err
    ran = run("correct", "--pivot-to-spindle", "222", *readings, "--log", "log.jsonl")
    assert ran.status == 2
    assert "--log" in ran.err


def test_errors_wrap_at_the_width_of_a_terminal() -> None:
    """A terminal of 60 columns shows an error in lines of up to 60, none broken within a word.

    A pipe gets it in one line, which scripts can rely on.
    """
    if os.name != "posix":
        pytest.skip("a terminal of POSIX")
    import fcntl
    import pty
    import struct
    import termios

    line = [sys.executable, "-m", "protractor", "solve", "--record", "DIN"]
    piped = subprocess.run(line, capture_output=True, text=True, check=False).stderr
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 60, 0, 0))
    subprocess.run(line, stderr=theirs, check=False)
    os.close(theirs)
    shown = os.read(ours, 10_000).decode().replace("\r\n", "\n")
    os.close(ours)
    assert piped.count("\n") == 1
    lines = shown.splitlines()
    assert max(map(len, lines)) <= 60
    assert len(lines) > 4
    assert shown.split() == piped.split()
    assert all(each.startswith("  ") for each in lines[1:])


def test_narrow_and_unknown_widths() -> None:
    """Where the width is not known, or hardly any, a line stays one line."""
    line = "protractor: --paper: got x; " + 30 * "word "
    for columns in (0, 20):
        assert wrapped(line, columns) == line
    assert max(map(len, wrapped(line, 50).splitlines())) <= 50
