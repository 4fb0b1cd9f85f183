"""`protractor print`: a sheet to the system's printer, as it was drawn."""

from __future__ import annotations

from pathlib import Path
from shlex import join

import click

from protractor.bench.ready_sheet import profile_path
from protractor.cli.options import option
from protractor.cli.saying import note
from protractor.cli.sheets import profile_file_option
from protractor.errors import InputError
from protractor.files import Unreadable, read_whole
from protractor.output.written import Written, read_written
from protractor.printing.inputs import QUEUE
from protractor.printing.paper import Paper, paper

LEAVE_OUT = "leave out `queue`, correct it with 'protractor printer queue'"

LARGEST_FILE_BYTES = 50_000_000


@click.command("print")
@click.argument("file", type=click.Path(path_type=Path), metavar="FILE")
@option(QUEUE)
@profile_file_option
@click.option("--dry-run", is_flag=True, help="Show the command, and print nothing.")
def command(file: Path, queue: str | None, profile_file: Path | None, dry_run: bool) -> None:
    """Print a PDF sheet at 100 %, on its own paper and on one side.

    What the print queue is set to, such as 'fit to page', does not count. Without --queue the sheet
    goes to the queue recorded with the printer that it was corrected for, else to the system's
    default printer. Needs the command lp (CUPS; Linux, macOS).

    \b
    Example: protractor print templates_out/d222mm_lofgren-a_a4.pdf
    """
    from protractor.printing.queues import (
        choose_queue,
        media_of,
        medium_of,
        print_command,
        send,
    )

    written = read_sheet(file)
    sheet = one_paper(file, written)
    wanted = queue_for(written.printer, sheet, queue, profile_file)
    recorded = wanted is not None and queue is None
    remedy = "say its queue with 'protractor printer queue'" if recorded else "name one of these"
    chosen = choose_queue(wanted, remedy)
    medium = medium_of(sheet, chosen, media_of(chosen))
    words = print_command(file, chosen, medium)
    if dry_run:
        click.echo(join(words))
        return
    request = send(words, chosen)
    pages = "" if len(written.sizes_mm) == 1 else f"{len(written.sizes_mm)} pages, "
    click.echo(f"Sent to queue {chosen} as {request}: {pages}{medium}, 100 %, one side.")
    click.echo("Let it lie for an hour before you measure it.")


def read_sheet(file: Path) -> Written:
    """What a sheet says of itself; raises `InputError` for what is no PDF of ours."""
    allowed, remedy = "a PDF that protractor wrote", "print anything else by a program of its own"
    try:
        written = read_written(read_whole(file, LARGEST_FILE_BYTES))
    except FileNotFoundError:
        raise InputError("FILE", file, allowed, "there is no such file: name another") from None
    except Unreadable as error:
        raise InputError("FILE", file, allowed, f"it is {error}: name another") from error
    if written is None:
        raise InputError("FILE", file, allowed, remedy)
    return written


def one_paper(file: Path, written: Written) -> Paper:
    """The paper that all pages have; raises `InputError` when they differ."""
    papers = {f"{width:.2f}x{height:.2f}mm" for width, height in written.sizes_mm}
    if len(papers) > 1:
        got = f"{file.name} of {len(papers)} paper sizes"
        raise InputError("FILE", got, "pages of one paper size", "print them one by one")
    return paper(papers.pop())


def queue_for(
    printer: str, sheet: Paper, named: str | None, profile_file: Path | None
) -> str | None:
    """The queue of the printer that a sheet was corrected for; the one that was named for others.

    Raises `InputError` when another one is named: there the sheet would be wrong.
    """
    if not printer:
        return named
    from protractor.printing.profiles import load

    there = load(profile_path(profile_file))
    found = [p for p in there if p.name == printer and p.paper == sheet.name]
    recorded = found[0].queue if found else ""
    if not recorded:
        note(
            f"the sheet was corrected for printer '{printer}': make sure that it goes there; "
            "'protractor printer queue' remembers the way"
        )
        return named
    if named and named != recorded:
        raise InputError(
            "queue",
            f"{named} for a sheet corrected for printer '{printer}'",
            f"{recorded}, the queue of that printer",
            f"{LEAVE_OUT}, or draw the sheet without `printer`",
        )
    return recorded
