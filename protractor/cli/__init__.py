"""The command line: one module a command, loaded when it is called."""

from __future__ import annotations

import gc
import importlib
import os
import signal
import sys
from collections.abc import Mapping
from types import FrameType
from typing import Any, NoReturn

gc.set_threshold(50_000)  # before anything large is loaded: starting up makes no rubbish

import click  # noqa: E402

from protractor import __version__  # noqa: E402
from protractor.errors import InputError, shown  # noqa: E402

COMMANDS = {
    "solve": "The numbers of one deck: overhang, offset angle, null radii, errors.",
    "compare": "What each scheme costs on one deck: table, curves, the exact optimum.",
    "template": "A true-scale alignment sheet for one deck, as a PDF.",
    "correct": "From readings on the sheet to what to move, until nothing is left.",
    "reconcile": "Statements about one arm: do they agree, which is off, what arm is it.",
    "tolerance": "How sure the set-up is, and what to improve first.",
    "gauge": "Gauges: pivot to spindle, a plate for the cutter, kerf, an arm board.",
    "pack": "Printer's proof, sheet and numbers as one PDF for one print run.",
    "printer": "Make a printer's sheets true: calibrate, record, correct, verify.",
    "decks": "Files of decks: check, list, add, export.",
    "batch": "All sheets of all decks of a file, in one go.",
    "demo": "The sheets of an invented repair bench.",
}
"""Each command with its line in the help; `protractor.cli.NAME` holds it as `command`."""


class Commands(click.Group):
    """A group that imports a command's module only when that command is called.

    `lines` are its commands, each with its line in the help; `protractor.cli.` + `prefix` + the
    name is the module that holds one as `command`.
    """

    def __init__(self, *, lines: Mapping[str, str], prefix: str = "", **settings: Any) -> None:
        super().__init__(**settings)
        self.lines = lines
        self.prefix = prefix

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self.lines)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in self.lines:
            return None
        name = self.prefix + cmd_name.replace("-", "_")
        command: click.Command = importlib.import_module(f"protractor.cli.{name}").command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(self.lines.items()))


@click.group(
    cls=Commands,
    lines=COMMANDS,
    invoke_without_command=True,
    context_settings={"max_content_width": 80},
)
@click.version_option(__version__, message="protractor %(version)s")
@click.pass_context
def cli(ctx: click.Context) -> None:
    """Align a phono cartridge from one measurement on the deck.

    Measure from the arm's pivot to the spindle; protractor solves the two-null alignment and prints
    a true-scale sheet to set the stylus by.
    """
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())


def _stop(signum: int, frame: FrameType | None) -> NoReturn:
    """Turn a polite kill into an exit that runs the clean-up of half-done work."""
    raise SystemExit(128 + signum)


def _complain(text: str, command: str = "") -> int:
    line = " ".join(f"protractor{command}: {text}".split())
    click.echo(line, err=True)
    return 2


def _missing_value(error: click.BadOptionUsage) -> str:
    """The line for an option that stands without its value, with what the option takes."""
    from protractor.cli.options import Reads

    options = error.ctx.command.params if error.ctx else []
    kinds = [option.type for option in options if error.option_name in option.opts]
    if not kinds or not isinstance(kinds[0], Reads):
        return f"{shown(error.format_message(), 200)} Try --help."
    asked = kinds[0].asked
    given = "no value" if asked.count == 1 else f"fewer than {asked.count} values"
    return asked.refuse(given, "write it after the option").line("--")


def main(arguments: list[str] | None = None) -> int:
    """Run the command line; returns the exit status: 0, or 2 when the user can mend something.

    `arguments` are those of the process when None.
    """
    signal.signal(signal.SIGTERM, _stop)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        result = cli.main(arguments, prog_name="protractor", standalone_mode=False)
        sys.stdout.flush()
        return result if isinstance(result, int) else 0
    except InputError as error:
        return _complain(error.line("--"))
    except click.BadOptionUsage as error:
        return _complain(_missing_value(error))
    except click.UsageError as error:
        where = error.ctx.command_path.removeprefix("protractor") if error.ctx else ""
        return _complain(f"{shown(error.format_message(), 200)} Try --help.", where)
    except (click.Abort, KeyboardInterrupt):
        _complain("interrupted; nothing was left half written")
        return 130
    except OSError as error:
        # stdout cannot take what we print: no second error at exit, and no word to a closed pipe
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        if not isinstance(error, BrokenPipeError):
            _complain(f"output: {error.strerror}")
        return 1
