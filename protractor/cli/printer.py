"""`protractor printer`: calibrate a printer, keep what it does, and prove the correction."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from shlex import quote
from textwrap import fill
from typing import TYPE_CHECKING, Any

import click

from protractor.alignments.deck import Deck
from protractor.bench.ready_sheet import OnPaper, profile_path
from protractor.bench.sheet_orders import printer_sheet
from protractor.cli import Group
from protractor.cli.options import (
    SHEET,
    Function,
    Reads,
    asks_deck,
    filled,
    json_option,
    option,
    print_json,
)
from protractor.cli.saying import note
from protractor.cli.sheets import SheetFile, file_options, profile_file_option, write_sheet
from protractor.errors import named
from protractor.inputs.declaration import ESSENTIALS
from protractor.printing import inputs, reading_inputs
from protractor.printing.paper import paper as paper_of

if TYPE_CHECKING:
    from protractor.printing.diagnosis import Finding
    from protractor.printing.fit import Fit
    from protractor.printing.profiles import Profile
    from protractor.printing.verification import Verification
    from protractor.setup.print_cost import PrintCost

LINES = tuple(reading_inputs.LINE_INPUTS)


@click.group("printer", cls=Group, invoke_without_command=True)
@click.pass_context
def command(ctx: click.Context) -> None:
    """Make a printer's sheets true: print, measure, record, correct, verify.

    Print a calibration sheet, measure its four lines, record them under a name, and give --printer
    NAME with every sheet. The verification sheet proves that it worked.
    """
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())


name_argument = click.argument("name", type=Reads(inputs.PRINTER), metavar="NAME")


def reading_options(function: Function) -> Function:
    """Adds the options for readings of the four lines and for what they were read with."""
    for line in reversed(LINES):
        function = option(reading_inputs.NOMINAL_INPUTS[line], group="Readings")(function)
    for line in reversed(LINES):
        function = option(reading_inputs.LINE_INPUTS[line], group=ESSENTIALS)(function)
    for declared in (
        reading_inputs.ACCURACY,
        reading_inputs.READING_UNCERTAINTY,
        reading_inputs.MARKS,
    ):
        function = option(declared, group="Readings")(function)
    return option(reading_inputs.INSTRUMENT, group=ESSENTIALS)(function)


def fit_lines(found: Fit) -> list[str]:
    """Scale and shear with expanded uncertainties, as lines."""
    from protractor.printing.fit import COVERAGE_FACTOR

    x, y, s = (COVERAGE_FACTOR * u for u in found.uncertainties)
    return [
        f"  X           {100 * found.scale_x:8.3f} %  ± {100 * x:.3f} %",
        f"  Y           {100 * found.scale_y:8.3f} %  ± {100 * y:.3f} %",
        f"  square      {100 * found.shear:+z8.3f} mm per 100 mm  ± {100 * s:.3f} mm   (k = 2)",
    ]


def profile_lines(profile: Profile) -> list[str]:
    """A profile as lines of at most 80 columns."""
    what = [paper_of(profile.paper).label, profile.orientation]
    what += [f"tray {profile.tray}"] if profile.tray else []
    what += [profile.date] if profile.date else []
    what += [f"queue {profile.queue}"] if profile.queue else []
    tool = profile.instrument
    lines = [
        fill(f"{profile.name}: {', '.join(what)}", 80),
        fill(
            f"measured with {tool.label} ({tool.reading_mm:g} mm a reading, "
            f"up to {tool.accuracy_mm:g} mm of its own)",
            80,
        ),
        "",
    ]
    for one in profile.measured:
        readings = ", ".join(f"{r:.2f}" for r in one.readings_mm[:6])
        more = ", ..." if len(one.readings_mm) > 6 else ""
        lines.append(f"  {one.line:<10}{one.nominal_mm:8.2f} mm  read {readings}{more}")
    return [*lines, "", *fit_lines(profile.fit)]


def finding_lines(findings: list[Finding]) -> list[str]:
    """Findings that do not stop the work, as lines; a checked dialog is not asked for again."""
    return [
        fill(
            f"note: {f.seen}; recorded as you checked the print dialog"
            if f.weight == "ask"
            else f"note: {f.seen} ({f.line}); {named(f.remedy, '--')}",
            80,
        )
        for f in findings
    ]


@command.command("sheet", short_help="Write the calibration or verification sheet.")
@filled(Deck, SHEET)
@profile_file_option
@file_options
@json_option
def sheet(deck: Deck, profile_file: Path | None, file: SheetFile, as_json: bool) -> None:
    """Write the calibration sheet; with --printer, the verification sheet.

    Measure its four lines three times each, then go on with `protractor printer record` or, on the
    verification sheet, with `protractor printer verify`.
    """
    write_sheet(printer_sheet(deck, OnPaper.of(deck, profile_file)), file, as_json)


@command.command("record")
@name_argument
@option(inputs.PAPER)
@reading_options
@option(reading_inputs.TRAY, group="Printer")
@option(reading_inputs.ORIENTATION, group="Printer")
@option(reading_inputs.DATE, group="Printer")
@option(inputs.QUEUE, group="Printer")
@click.option(
    "--dialog-checked",
    is_flag=True,
    help="The print dialog said 100 % and borderless off: record what looks like it did not.",
)
@profile_file_option
@click.option("--force", is_flag=True, help="Replace the profile of this printer and paper.")
@json_option
def record(
    name: str,
    paper: str | None,
    tray: str | None,
    orientation: str | None,
    date: str | None,
    queue: str | None,
    dialog_checked: bool,
    profile_file: Path | None,
    force: bool,
    as_json: bool,
    **values: Any,
) -> None:
    """Keep what a printer does, from readings of its calibration sheet.

    Example: protractor printer record desk --paper a4 --instrument calipers --x 149.2 --x 149.3
    --x 149.2 --y 150.3 ... --rising 149.9 ... --falling 149.8 ...
    """
    from protractor.bench.prints import print_readings
    from protractor.files import make_folder
    from protractor.printing.diagnosis import accept_readings
    from protractor.printing.profiles import Profile, default_file, keep

    sheet_name = paper or str(inputs.PAPER.default)
    read = print_readings(sheet_name, values)
    notes = accept_readings(
        read.measured, read.instrument, paper_of(sheet_name), read.lengths_mm, dialog_checked
    )
    profile = Profile(
        name=name,
        paper=sheet_name,
        instrument=read.instrument,
        measured=read.measured,
        tray=tray or "",
        orientation="landscape" if orientation == "landscape" else "portrait",
        date=date or "",
        queue=queue or "",
    )
    path = profile_path(profile_file)
    if path == default_file():
        make_folder(path.parent, "profile-file")
    if not keep(path, profile, replace=force):
        note(f"{name} with paper {profile.paper} is there already, the same; left as it is")
    if as_json:
        print_json(
            {
                **profile.as_dict(),
                "file": str(path),
                "findings": [each.as_dict("--") for each in notes],
            }
        )
        return
    click.echo("\n".join([*profile_lines(profile), *finding_lines(notes), ""]))
    click.echo(f"Kept in {path}")
    sheet, paper_said = f"--printer {quote(profile.name)}", f"--paper {profile.paper}"
    prove = f"Prove it: protractor printer sheet {sheet} {paper_said}"
    if len(prove) > 80:  # goes on in the next line as a shell takes it
        prove = f"Prove it: protractor printer sheet {paper_said} \\\n    {sheet}"
    click.echo(prove)


def stored(profile_file: Path | None) -> tuple[Profile, ...]:
    """Every profile of the file that was named, or of the user's own."""
    from protractor.printing.profiles import load

    return load(profile_path(profile_file))


def with_paper(function: Function) -> Function:
    """Adds the options that say which profile is meant."""
    decorators: tuple[Callable[[Function], Function], ...] = (
        json_option,
        profile_file_option,
        option(reading_inputs.PROFILE_PAPER),
        name_argument,
    )
    for decorator in decorators:
        function = decorator(function)
    return function


@command.command("show", short_help="Print one profile.")
@with_paper
def show(name: str, paper: str | None, profile_file: Path | None, as_json: bool) -> None:
    """Print one profile: readings, scale and shear with their uncertainties."""
    from protractor.printing.profiles import profile_for

    profile = profile_for(stored(profile_file), name, paper)
    if as_json:
        print_json(profile.as_dict())
    else:
        click.echo("\n".join([*profile_lines(profile), "", fill(profile.correction.statement, 80)]))


@command.command("list")
@profile_file_option
@json_option
def list_profiles(profile_file: Path | None, as_json: bool) -> None:
    """Print every profile in a line."""
    profiles = stored(profile_file)
    if as_json:
        print_json([profile.as_dict() for profile in profiles])
        return
    if not profiles:
        click.echo("No printer is recorded yet. Begin with: protractor printer sheet")
        return
    click.echo(f"{'name':<24}{'paper':<14}{'date':<12}{'X %':>8}{'Y %':>9}{'square':>9}")
    for profile in profiles:
        found = profile.fit
        name = profile.name if len(profile.name) < 24 else profile.name[:22] + "…"
        click.echo(
            f"{name:<24}{profile.paper:<14}{profile.date:<12}{100 * found.scale_x:8.3f}"
            f"{100 * found.scale_y:9.3f}{100 * found.shear:+z9.3f}"
        )


@command.command("queue", short_help="Say which print queue leads to a printer.")
@name_argument
@click.argument("queue", type=Reads(inputs.QUEUE), metavar="QUEUE")
@profile_file_option
def queue_of_printer(name: str, queue: str, profile_file: Path | None) -> None:
    """Say which print queue of the system leads to a recorded printer.

    `protractor print` then sends there what was corrected for that printer, and sends it nowhere
    else.
    """
    from protractor.printing.profiles import set_queue

    profiles = set_queue(profile_path(profile_file), name, queue)
    papers = ", ".join(profile.paper for profile in profiles)
    click.echo(f"{profiles[0].name} ({papers}) is printed through queue {queue}")


@command.command("forget")
@with_paper
def forget_profile(name: str, paper: str | None, profile_file: Path | None, as_json: bool) -> None:
    """Take one profile out of the file."""
    from protractor.printing.profiles import forget

    gone = forget(profile_path(profile_file), name, paper)
    if as_json:
        print_json(gone.as_dict())
    else:
        click.echo(f"Forgotten: {gone.name}, {gone.paper}")


STATUS = {"pass": 0, "fail": 1, "cannot tell": 3}
"""Exit status of each verdict; 2 is for input that cannot be used, as everywhere."""

SAID = {"pass": "PASS", "fail": "FAIL", "cannot tell": "NOT SETTLED"}


@command.command("verify", short_help="Judge a corrected print: pass, fail or not settled.")
@with_paper
@reading_options
@option(reading_inputs.BUDGET)
@option(reading_inputs.OVER)
@asks_deck("pivot_to_spindle_mm", "scheme")
@click.pass_context
def verify_profile(
    ctx: click.Context,
    /,
    name: str,
    paper: str | None,
    profile_file: Path | None,
    as_json: bool,
    budget: float | None,
    over: float | None,
    deck: Deck,
    **values: Any,
) -> None:
    """Judge a corrected print from readings of its verification sheet.

    Says whether the print keeps the budget, or that your readings do not settle it, and what the
    print costs on the deck: give --pivot-to-spindle, else it is worked out for 222 mm.

    The exit status is 0 for pass, 1 for fail, 3 for not settled.
    """
    from protractor.bench.prints import print_readings, proof
    from protractor.printing.profiles import profile_for

    profile = profile_for(stored(profile_file), name, paper)
    readings = print_readings(profile.paper, values)
    proved = proof(profile, readings, deck, budget_mm=budget, over_mm=over)
    answer, cost = proved.judgement, proved.cost
    result, found = answer.result, answer.printed
    if as_json:
        print_json(proved.as_dict("--"))
    else:
        click.echo(
            "\n".join(
                [
                    *fit_lines(found),
                    "",
                    f"Error over {result.over_mm:.1f} mm: {result.error_mm:.3f} mm "
                    f"± {result.expanded_mm:.3f} mm (k = 2); budget {result.budget_mm:g} mm.",
                    fill(f"{SAID[result.verdict]}: {because(result)}", 80),
                    *([fill(cost_line(cost), 80)] if cost else []),
                    fill(named(answer.advice, "--"), 80),
                    *finding_lines([f for f in answer.findings if f.weight == "note"]),
                ]
            )
        )
    ctx.exit(STATUS[result.verdict])


def because(result: Verification) -> str:
    """What a verdict rests on, in a sentence."""
    if result.verdict == "fail":
        return (
            "a print that keeps the budget reads up to "
            f"{result.rejection_mm:.3f} mm in 95 % of readings, and this one more."
        )
    return f"the print keeps the budget with a probability of {100 * result.probability:.1f} %."


def cost_line(cost: PrintCost) -> str:
    """What a print costs on the deck, in a sentence or two."""
    share = cost.share_percent
    part = "less than 1 %" if share < 1 else f"{share:.0f} %"
    text = (
        f"On the deck (pivot to spindle {cost.alignment.arm.pivot_to_spindle_mm:g} mm, "
        f"{cost.alignment.scheme}) this print makes {part} of what may go wrong in the set-up: "
        f"95 % of set-ups keep within {cost.peak_second_harmonic_percent_p95:.2f} % second "
        f"harmonic, with a perfect print {cost.peak_second_harmonic_percent_p95_perfect:.2f} %."
    )
    return text + (" You may go on with it." if cost.little else "")
