"""What every command does on its own: completion, help, hints, closed streams, any locale."""

from __future__ import annotations

import os
import platform
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from protractor import __version__
from tests.conftest import Ran

Run = Callable[..., Ran]
D = ("--pivot-to-spindle", "222")
ASCII = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
"""A locale that Python takes for plain ASCII."""


def process(*words: str, here: Path, **variables: str) -> subprocess.CompletedProcess[bytes]:
    """The command line in a process of its own, in a folder that is the configuration too."""
    environment = {**os.environ, "XDG_CONFIG_HOME": str(here), **variables}
    command = [sys.executable, "-m", "protractor", *words]
    return subprocess.run(command, cwd=here, env=environment, capture_output=True, check=False)


def completed(here: Path, *words: str) -> list[str]:
    """What a shell is offered for the last of the words."""
    line = " ".join(("protractor", *words))
    asked = {"_PROTRACTOR_COMPLETE": "bash_complete", "COMP_WORDS": line}
    done = process(here=here, **asked, COMP_CWORD=str(len(words)))
    assert (done.returncode, done.stderr) == (0, b""), done.stderr
    return [word.partition(",")[2] for word in done.stdout.decode().split("\n") if word]


@pytest.mark.parametrize(
    ("words", "offered"),
    [
        (("te",), ["template"]),
        (("gauge", ""), ["pivot", "plate", "kerf", "board"]),
        (("printer", "ve"), ["verify"]),
        (("template", "--pivot"), ["--pivot-to-spindle"]),
        (("template", "--scheme", "lof"), ["lofgren-a", "lofgren-b", "lofgren-c"]),
        (("solve", "--record", "7"), ["7", "7-iec-1987", "7-jis-1973"]),
        (("template", "--paper", "A"), ["a4", "a3", "a5"]),
        (("template", "--pivot-to-spindle", "far", "--kind", ""), ["arc", "two-null"]),
    ],
)
def test_completion(tmp_path: Path, words: tuple[str, ...], offered: list[str]) -> None:
    """Commands, options and the words of a choice, whatever stands before them."""
    assert completed(tmp_path, *words) == offered


def test_completion_of_recorded_printers(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Names from the file of profiles; a damaged file offers none and says nothing."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    lines = ("x", "150.1", "y", "150.1", "rising", "150.1", "falling", "150.1")
    readings = [f"--{word}" if word.isalpha() else word for word in lines] * 3
    for name in ("desk", "Dæmon", "two words", "attic"):
        ran = run("printer", "record", name, "--instrument", "calipers", *readings)
        assert ran.status == 0, ran.err
    (file,) = tmp_path.rglob("printers.toml")
    for words in (("template", "--printer"), ("printer", "show")):
        assert completed(tmp_path, *words, "d") == ["desk", "Dæmon"]
    moved = file.rename(tmp_path / "own.toml")
    assert completed(tmp_path, "pack", "--printer", "") == []
    assert completed(tmp_path, "pack", "--profile-file", str(moved), "--printer", "a") == ["attic"]
    for damage in (b"\xff\xfe", b"a = " + 5000 * b"["):
        file.write_bytes(damage)
        assert completed(tmp_path, "template", "--printer", "") == []


def test_version(run: Run) -> None:
    """One line: the program's version, Python's and the platform."""
    ran = run("--version")
    assert (ran.status, ran.out.count("\n")) == (0, 1)
    assert ran.out.startswith(f"protractor {__version__} (Python {platform.python_version()}, ")
    assert platform.system() in ran.out


@pytest.mark.parametrize(
    ("words", "line"),
    [
        ("tempalte", "protractor: No such command 'tempalte': did you mean template?"),
        ("tol", "protractor: No such command 'tol': did you mean tolerance?"),
        ("gauge plaet", "protractor gauge: No such command 'plaet': did you mean plate?"),
        ("printer recrod", "protractor printer: No such command 'recrod': did you mean record?"),
        ("decks xyz", "protractor decks: No such command 'xyz': name one of add, list, "),
        ("solve --pivot-to-spindel 9", "protractor solve: No such option '--pivot-to-spindel'."),
    ],
)
def test_mistyped_command(run: Run, words: str, line: str) -> None:
    """The nearest command in one line, and exit status 2."""
    ran = run(*words.split())
    assert (ran.status, ran.out, ran.err.count("\n")) == (2, "", 1)
    assert ran.err.startswith(line)


def every_command() -> list[tuple[str, ...]]:
    """Every command and group by its words."""
    import click

    from protractor.cli import cli

    def below(group: click.Command, words: tuple[str, ...]) -> list[tuple[str, ...]]:
        if not isinstance(group, click.Group):
            return [words]
        context = click.Context(group)
        parts = {name: group.get_command(context, name) for name in group.list_commands(context)}
        return [
            words,
            *(
                found
                for name, part in parts.items()
                if part
                for found in below(part, (*words, name))
            ),
        ]

    return below(cli, ())


@pytest.mark.parametrize("words", every_command(), ids=" ".join)
def test_short_help(run: Run, words: tuple[str, ...]) -> None:
    """`-h` is `--help` everywhere, and a group without a command shows its help too."""
    ran = run(*words, "-h")
    assert ran.status == 0
    assert ran.out.startswith(" ".join(("Usage: protractor", *words)))
    assert ran.out == run(*words, "--help").out
    if "\nCommands:\n" in ran.out:
        assert run(*words) == ran


@pytest.mark.skipif(os.name != "posix", reason="streams are closed with a shell's words")
@pytest.mark.parametrize(
    ("words", "closed", "status"),
    [
        ("solve --pivot-to-spindle 222", ">&- 2>&-", 1),
        ("solve --pivot-to-spindle 222", "<&- >&- 2>&-", 1),
        ("solve --pivot-to-spindle 2", "2>&-", 2),
        ("solve --pivot-to-spindle 2", "2>/dev/full", 2),
        ("slove", "<&- >&- 2>&-", 2),
        ("template --pivot-to-spindle 222 -o closed.pdf --force", "2>&- >/dev/null", 0),
        ("template --pivot-to-spindle 222 -o closed.pdf --force", "<&- >&- 2>&-", 1),
    ],
)
def test_closed_streams(tmp_path: Path, words: str, closed: str, status: int) -> None:
    """Whatever stream is closed: the work is done, there is no traceback, and the status tells of
    an answer that could not be printed."""
    line = f"'{sys.executable}' -m protractor {words} {closed}"
    done = subprocess.run(line, shell=True, cwd=tmp_path, capture_output=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (status, b"", b"")
    if "-o" in words:
        assert (tmp_path / "closed.pdf").read_bytes().endswith(b"%%EOF\n")


@pytest.mark.skipif(os.name != "posix", reason="such locales are those of POSIX")
def test_letters_beyond_ascii(tmp_path: Path) -> None:
    """Titles, names and files in a locale without a single letter of them."""
    (tmp_path / "bänk.toml").write_text(
        '[[deck]]\nname = "Größe Ω"\npivot-to-spindle = 215\n', encoding="utf-8"
    )
    for words, said in (
        (("template", *D, "--title", "Größe Ω"), "templates_out/grösse-ω_d222mm"),
        (("template", *D, "-o", "Blatt ü.svg"), "Blatt ü.svg"),
        (("decks", "list", "bänk.toml"), "Größe Ω"),
        (("solve", *D, "--scheme", "Lüfgren"), ""),
    ):
        done = process(*words, here=tmp_path, **ASCII)
        assert said in done.stdout.decode("utf-8")
        assert done.returncode == (0 if said else 2), done.stderr
        assert done.stderr.count(b"\n") == (0 if said else 1)
    wanted = process("template", *D, "--title", "Größe Ω", "-o", "same.pdf", here=tmp_path)
    assert wanted.returncode == 0
    (sheet,) = (tmp_path / "templates_out").iterdir()
    assert sheet.read_bytes() == (tmp_path / "same.pdf").read_bytes()
