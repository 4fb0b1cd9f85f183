"""`protractor app`: the page in the browser."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.app.inputs import PORT
from protractor.cli.help import Command
from protractor.cli.options import decks_option, option
from protractor.cli.saying import note, tell
from protractor.cli.sheets import profile_file_option


@click.command("app", cls=Command)
@option(PORT)
@click.option("--no-browser", is_flag=True, help="Do not open the browser; go to the address.")
@decks_option
@profile_file_option
def command(
    port: float | None, no_browser: bool, decks_file: Path | None, profile_file: Path | None
) -> None:
    """Open a page in the browser that leads from the first measurement to a proven stylus.

    The page is served on this machine alone, and nothing on it goes out to the network. Stop it
    with Ctrl-C, or with the button at the foot of every page.
    """
    import webbrowser

    from protractor.app.server import serve

    served = serve(
        None if port is None else int(port), decks_file=decks_file, profile_file=profile_file
    )
    click.echo(f"{served.address}\nStop with Ctrl-C.")
    if not no_browser and not webbrowser.open(served.address):
        note("no browser could be opened; go to the address")
    try:
        served.run()
    except KeyboardInterrupt:
        tell("Stopped.")
