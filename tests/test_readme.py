"""The README's examples work as they stand there, one after another in an empty folder."""

from __future__ import annotations

import doctest
import re
import shlex
from collections.abc import Callable
from pathlib import Path

import pytest

from protractor.sheets.steps import alignment_steps, as_markdown
from tests.conftest import Ran

TEXT = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    """The fenced blocks of a language, lines that go on joined."""
    found = re.findall(rf"^```{language}\n(.*?)^```$", TEXT, re.DOTALL | re.MULTILINE)
    return [block.replace("\\\n", " ") for block in found]


def test_every_example_works(
    run: Callable[..., Ran], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every command of every shell block ends well; the files are those that are shown.

    A file is named in its first line, but for the file of decks.
    """
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    for block in blocks("toml"):
        named = re.match(r"# ([a-z]+\.toml):", block)
        (tmp_path / (named[1] if named else "bench.toml")).write_text(block, encoding="utf-8")
    lines = [line for block in blocks("sh") for line in block.splitlines()]
    commands = [line for line in lines if line.startswith("protractor ")]
    assert len(commands) > 12
    for command in commands:
        if command.startswith("protractor print "):
            continue  # needs a print queue: tests/cli/test_print.py
        ran = run(*shlex.split(command, comments=True)[1:])
        assert ran.status == 0, (command, ran.err)
        said = [
            line
            for line in ran.out.splitlines()
            if str(tmp_path) not in line and not line.startswith("  protractor ")
        ]  # a command to copy is one line
        assert max(map(len, said)) <= 80, command


def test_every_option_exists(run: Callable[..., Ran]) -> None:
    """Every option that is named anywhere is one of some command's."""
    commands = re.findall(r"^  (\w+)  ", run("--help").out, re.MULTILINE)
    assert len(commands) > 8
    known = ""
    for command in commands:
        page = run(command, "--help").out
        known += page
        if "Commands:" in page:
            for part in re.findall(r"^  (\w+)  ", page.partition("Commands:")[2], re.MULTILINE):
                known += run(command, part, "--help").out
    prose = re.sub(r"^```sh\n.*?--without-pip.*?^```$", "", TEXT, flags=re.DOTALL | re.MULTILINE)
    named = set(re.findall(r"(?<![\w-])--[a-z][a-z-]+", prose))
    assert len(named) > 40
    assert {name for name in named if name not in known.split()} == set()


def test_the_notebook(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The lines of Python give what they say; they fit on a small screen."""
    monkeypatch.chdir(tmp_path)
    [block] = blocks("pycon")
    assert block.count(">>>") <= 10
    lines = doctest.DocTestParser().get_doctest(block, {}, "README.md", None, None)
    done = doctest.DocTestRunner().run(lines)
    assert (done.failed, done.attempted > 5) == (0, True)
    assert (tmp_path / "bench.pdf").read_bytes().startswith(b"%PDF")


def test_the_steps_are_those_of_the_card() -> None:
    """The same words on the sheet and here."""
    assert as_markdown(alignment_steps()) in TEXT


def test_it_is_short() -> None:
    """250 lines at most."""
    assert len(TEXT.splitlines()) <= 250
