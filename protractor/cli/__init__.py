"""The command line: one module a command, loaded when it is called."""

from __future__ import annotations

import codecs
import gc
import importlib
import os
import signal
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from types import FrameType
from typing import TYPE_CHECKING, Any, NoReturn, TextIO

gc.set_threshold(50_000)  # before anything large is loaded: starting up makes no rubbish

import click  # noqa: E402

from protractor import __version__  # noqa: E402
from protractor.cli.help import Command  # noqa: E402
from protractor.errors import InputError, inert, shown  # noqa: E402

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

COMMANDS = {
    "solve": "The numbers of one deck: overhang, offset angle, null radii, errors.",
    "compare": "What each scheme costs on one deck: table, curves, the exact optimum.",
    "template": "A true-scale alignment sheet for one deck, as a PDF.",
    "correct": "What to move, from readings on the sheet, until nothing is left to move.",
    "reconcile": "Statements about one arm: do they agree, which is wrong, what arm is it.",
    "tolerance": "How sure the set-up is, and what to improve first.",
    "fit": "Does a cartridge suit arm and phono stage: level, load, balance, resonance.",
    "gauge": "Gauges: pivot to spindle, a plate for the cutter, kerf, an arm board.",
    "pack": "Printer's proof, sheet and numbers as one PDF for one print run.",
    "print": "A sheet to the system's printer at 100 %, whatever its queue is set to.",
    "printer": "Make a printer's sheets accurate: calibrate, record, correct, verify.",
    "decks": "Remembered decks, and files of decks: add, show, check, export.",
    "batch": "All sheets of all decks of a file, in one go.",
    "app": "A page in the browser that leads through all of it.",
    "demo": "The sheets of an invented repair bench.",
}
"""Each command with its line in the help; `protractor.cli.NAME` holds it as `command`."""


class Group(click.Group):
    """A group that answers a mistyped command with the nearest one."""

    command_class = Command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        name, known = args[0], self.list_commands(ctx)
        if name in known or name.startswith("-") or ctx.resilient_parsing:
            return super().resolve_command(ctx, args)
        from protractor.inputs.quantities import NONE_NEAR, near

        meant = near(name, known)
        meant = f"name one of {', '.join(known)}." if meant == NONE_NEAR else meant
        raise click.UsageError(f"No such command '{shown(name)}': {meant}", ctx)


class Commands(Group):
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

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[CompletionItem]:
        from click.shell_completion import CompletionItem

        begun = [name for name in self.lines if name.startswith(incomplete)]
        commands = [CompletionItem(name, help=self.lines[name]) for name in begun]
        return [*commands, *click.Command.shell_complete(self, ctx, incomplete)]  # and options

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(self.lines.items()))


def _version(ctx: click.Context, param: click.Parameter, value: bool) -> None:
    if value and not ctx.resilient_parsing:
        import platform

        python = platform.python_version()
        click.echo(f"protractor {__version__} (Python {python}, {platform.platform()})")
        ctx.exit()


@click.group(
    cls=Commands,
    lines=COMMANDS,
    invoke_without_command=True,
    context_settings={"max_content_width": 80, "help_option_names": ["-h", "--help"]},
)
@click.option(
    "--version",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_version,
    help="Show the version, Python's and the platform, and exit.",
)
@click.pass_context
def cli(ctx: click.Context) -> None:
    """Align a phono cartridge from one measurement on the deck.

    Measure from the arm's pivot to the spindle; protractor solves the two-null alignment and prints
    a true-scale sheet to set the stylus by.
    """
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())


STOPS = (signal.SIGINT, signal.SIGTERM)


def _stop(signum: int, frame: FrameType | None) -> NoReturn:
    """Turn an interrupt or a polite kill into an exit that runs the clean-up of half-done work."""
    for each in STOPS:
        signal.signal(each, _stop_at_once)
    if signum == signal.SIGINT:
        raise KeyboardInterrupt
    raise SystemExit(128 + signum)


def _take_utf8() -> None:
    """Start over with words and files in UTF-8 where Python took the locale for plain ASCII."""
    if codecs.lookup(sys.getfilesystemencoding()).name == "ascii" and sys.executable:
        os.execv(sys.executable, [sys.executable, "-X", "utf8", *sys.orig_argv[1:]])


class Inert:
    """A stream on which everything that a terminal would obey is shown as its code.

    It has no binary stream below it for anyone to write to instead; a bar that redraws itself
    belongs to `sys.__stderr__`.
    """

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str | bytes) -> int:
        """Writes the text, made inert; shell completion writes its lines as bytes, in UTF-8."""
        if text == b"":  # so click asks whether this is a stream of bytes, in whatever encoding
            raise TypeError("a stream of text")
        return self._stream.write(inert(text if isinstance(text, str) else text.decode()))

    def __getattr__(self, name: str) -> Any:
        if name == "buffer":
            raise AttributeError(name)
        return getattr(self._stream, name)


@contextmanager
def _inert_streams() -> Iterator[None]:
    """Standard output and error that are there, take every letter, and show none as an order."""
    kept = sys.stdout, sys.stderr
    for name, way in (("stdout", os.O_RDONLY), ("stderr", os.O_WRONLY)):
        stream = getattr(sys, name)
        if stream is None:  # closed; an answer that cannot be printed is an error, a complaint not
            stream = open(os.open(os.devnull, way), "w", encoding="utf-8")  # noqa: SIM115
        if hasattr(stream, "reconfigure"):
            plain = (stream.encoding or "ascii").lower().replace("-", "") in ("ascii", "usascii")
            stream.reconfigure(encoding="utf-8" if plain else None, errors="replace")
        setattr(sys, name, Inert(stream))
    try:
        yield
    finally:
        sys.stdout, sys.stderr = kept


def _stop_at_once(signum: int, frame: FrameType | None) -> NoReturn:
    """The second of two signals, in the midst of the clean-up: nothing is waited for."""
    os._exit(128 + signum)


def _complain(text: str, command: str = "") -> int:
    """Says what is wrong; the exit status of what the user can correct."""
    from protractor.cli.saying import tell

    with suppress(OSError):  # the exit status says it too
        tell(f"protractor{command}: {text}")
    return 2


def _missing_value(error: click.BadOptionUsage, words: list[str]) -> str:
    """The line for an option that stands without its value, with what the option takes."""
    from protractor.cli.options import Reads

    command: click.Command = cli
    for word in words:
        group, nobody = command, click.Context(command)
        found = group.get_command(nobody, word) if isinstance(group, click.Group) else None
        command = found or command
    options = command.params
    kinds = [option.type for option in options if error.option_name in option.opts]
    if not kinds or not isinstance(kinds[0], Reads):
        return f"{shown(error.format_message(), 200)} Try --help."
    asked = kinds[0].asked
    given = "no value" if asked.count == 1 else f"fewer than {asked.count} values"
    return asked.refuse(given, "write it after the option").line("--")


def _refused_by_system(error: OSError) -> int:
    """The exit status for a file that the system refuses, or for a closed or full stdout."""
    if error.filename is not None:
        return _complain(f"{shown(error.filename, 80)}: {error.strerror}; name another file")
    # stdout cannot take what we print: no second error at exit, and no word to a closed pipe
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    if not isinstance(error, BrokenPipeError):
        _complain(f"output: {error.strerror}")
    return 1


def main(arguments: list[str] | None = None) -> int:
    """Run the command line; returns the exit status: 0, or 2 for what the user can correct.

    `arguments` are those of the process when None.
    """
    for each in STOPS:
        if signal.getsignal(each) is not signal.SIG_IGN:
            signal.signal(each, _stop)
    if arguments is None:
        _take_utf8()
    # the number of a stream that was closed is not given to a file
    while (number := os.open(os.devnull, os.O_RDWR)) <= 2:
        pass
    os.close(number)
    with _inert_streams():
        return _run(arguments)


def _run(arguments: list[str] | None) -> int:
    """The exit status of a command line; what the user can correct is reported in one line."""
    try:
        result = cli.main(arguments, prog_name="protractor", standalone_mode=False)
        sys.stdout.flush()
        return result if isinstance(result, int) else 0
    except InputError as error:
        return _complain(error.line("--"))
    except click.BadOptionUsage as error:
        return _complain(_missing_value(error, sys.argv[1:] if arguments is None else arguments))
    except click.UsageError as error:
        where = error.ctx.command_path.removeprefix("protractor") if error.ctx else ""
        return _complain(f"{shown(error.format_message(), 200)} Try --help.", where)
    except (click.Abort, KeyboardInterrupt):
        _complain("interrupted; nothing was left half written")
        return 130
    except OSError as error:
        return _refused_by_system(error)
