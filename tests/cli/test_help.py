"""The help of a long command: headings from the declarations, the essentials first."""

from __future__ import annotations

import click
import pytest

from protractor.cli import cli
from protractor.cli.help import REST
from protractor.cli.help import Command as Grouped
from protractor.inputs.declaration import ESSENTIALS
from tests.cli.test_cli import Run

LONG = ("solve", "compare", "template", "pack", "correct", "tolerance", "fit", "gauge plate")


def headings(help: str) -> list[str]:
    """The headings of a help, in their order."""
    return [line[:-1] for line in help.splitlines() if line[:1].isalpha() and line.endswith(":")]


def test_template_shows_its_first_screen_to_an_owner(run: Run) -> None:
    """24 lines of 80 columns: what it does, what to measure, an example, the essentials whole."""
    first = run("template", "--help").out.splitlines()[:24]
    assert max(map(len, first)) <= 80
    text = "\n".join(first)
    assert "Example: protractor template --pivot-to-spindle 222 --paper letter" in text
    assert headings(text)[0] == ESSENTIALS
    for essential in ("--pivot-to-spindle", "--scheme", "--paper", "--printer"):
        assert f"\n  {essential} " in text
    assert "" in first[20:], "the essentials end on the first screen"
    for advanced in ("--norm", "--exact", "--replay-slope"):
        assert advanced not in text


def test_the_example_of_a_help_works(run: Run) -> None:
    """What the help shows to type can be typed."""
    for name in ("template", "solve"):
        [line] = [x for x in run(name, "--help").out.splitlines() if "Example: " in x]
        assert run(*line.split("Example: protractor ")[1].split()).status == 0


@pytest.mark.parametrize("words", LONG)
def test_every_option_comes_once_under_a_heading(run: Run, words: str) -> None:
    """The essentials first, what belongs nowhere last, no option lost or twice."""
    found: click.Command = cli
    for word in words.split():
        assert isinstance(found, click.Group)
        inner = found.get_command(click.Context(found), word)
        assert inner is not None
        found = inner
    assert isinstance(found, Grouped)
    help = run(*words.split(), "--help").out
    options = help.partition(f"{headings(help)[0]}:\n")[2]
    lines = [line.split()[0] for line in options.splitlines() if line.startswith("  -")]
    names = [option.opts[0] for option in found.get_params(click.Context(found))]
    assert sorted(line.rstrip(",") for line in lines) == sorted(names)
    shown = headings(help)
    assert len(shown) == len(set(shown)) > 2
    assert shown[-1] == REST
    assert ESSENTIALS not in shown[1:]


@pytest.mark.parametrize("command", ["solve", "template", "pack"])
def test_what_is_declared_comes_under_a_heading_of_its_own(run: Run, command: str) -> None:
    """Under the last heading there is the form of the answer and the help alone."""
    rest = run(command, "--help").out.partition(f"\n{REST}:\n")[2]
    assert [line.split()[0] for line in rest.splitlines()] == ["--json", "-h,"]


@pytest.mark.parametrize("words", ["printer queue", "printer sheet", "print"])
def test_a_few_options_need_no_headings(run: Run, words: str) -> None:
    """A command with a few options shows them under one heading, and its arguments above."""
    help = run(*words.split(), "--help").out
    assert headings(help) == ["Options"]


def test_compare_says_where_its_axis_is(run: Run) -> None:
    """The help names what the curves run along, and where the minutes are: below."""
    help = " ".join(run("compare", "--help").out.split())
    assert "run along one axis at the foot of the page, the radius in mm; minutes" in help
    assert "second axis below" in help
