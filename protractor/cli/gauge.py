"""`protractor gauge`: the group of gauges, one module a gauge."""

from __future__ import annotations

import click

from protractor.cli import Commands

GAUGES = {
    "pivot": "Measures pivot to spindle to a tenth of a millimetre, on paper.",
    "plate": "A stiff gauge for one deck, to cut and engrave: SVG or DXF.",
    "kerf": "A test piece that reads how wide the cutter cuts.",
    "board": "Where to drill for a new arm.",
}
"""Each gauge with its line in the help; `protractor.cli.gauge_NAME` holds it as `command`."""


@click.group("gauge", cls=Commands, lines=GAUGES, prefix="gauge_", invoke_without_command=True)
@click.pass_context
def command(ctx: click.Context) -> None:
    """Gauges in true scale, for a cutter or for paper."""
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())
