"""What a user can give of the page's server."""

from __future__ import annotations

from protractor.inputs.declaration import Input

PORT = Input(
    name="port",
    kind="number",
    whole=True,
    low=1024,
    high=65535,
    help="Port of the page's address on this machine. Default the same one each time, or a free "
    "one where that is taken.",
    remedy="name another port, or leave it out",
)
