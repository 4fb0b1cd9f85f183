"""The site: its pages, its errors, and what they share."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from flask import Flask, Response, render_template, request, send_from_directory
from werkzeug.exceptions import HTTPException

import protractor
from protractor import __version__
from protractor.app.drawing import Busy
from protractor.app.house import House, file_of, house, json_twin
from protractor.app.stations import WAY
from protractor.errors import InputError

TYPEFACE = Path(protractor.__file__).with_name("typeface")

FILES = frozenset(("json", "svg", "pdf", "dxf", "png", "csv", "toml", "zip"))
"""How addresses of files end."""

FONTS = ("NotoSans-Regular.ttf", "NotoSans-Bold.ttf")

WAYS = (
    ("measure.measure", "Owner's way", [kind.key for kind in WAY]),
    ("compare.compare", "Schemes compared", ["compare"]),
    ("workshop.workshop", "Workshop", ["workshop", "decks", "gauges", "batch"]),
)
"""The pages that every page leads to, with the pages that belong to each."""


def make_site(shared: House) -> Flask:
    """The site with all its pages."""
    from protractor.app.pages import (
        align,
        batch,
        compare,
        decks,
        gauges,
        measure,
        printer,
        prove,
        read,
        sheet,
        start,
        workshop,
    )

    site = Flask("protractor.app")
    site.extensions["protractor"] = shared
    site.secret_key = shared.guard.token
    site.config.update(SESSION_COOKIE_SAMESITE="Strict", SESSION_COOKIE_NAME="protractor")
    site.jinja_env.trim_blocks = site.jinja_env.lstrip_blocks = True
    shared.guard.protect(site)
    owners = (start, measure, printer, sheet, align, read, prove)
    for page in (*owners, compare, workshop, decks, gauges, batch):
        site.register_blueprint(page.pages)
    site.add_url_rule("/typeface/<name>", "typeface", _typeface)
    site.context_processor(_for_every_page)
    site.register_error_handler(InputError, _wrong)
    site.register_error_handler(Busy, _busy)
    site.register_error_handler(HTTPException, _failed)
    return site


def _for_every_page() -> dict[str, Any]:
    return {
        "ways": WAYS,
        "version": __version__,
        "json_twin": json_twin,
        "file_of": file_of,
        "elsewhere": house().other_device.showing,
    }


def _typeface(name: str) -> Response:
    """A font of the sheets; no other file of its folder."""
    if name not in FONTS:
        return _page_of_error(404, "There is no such page.")
    return send_from_directory(TYPEFACE, name, max_age=86_400)


def _wrong(error: InputError) -> Response:
    """What cannot be used, where no form was there to say it."""
    return _page_of_error(400, error.line())


def _busy(error: Busy) -> Response:
    found = _page_of_error(503, "Busy with other sheets. Try again in a few seconds.")
    found.headers["Retry-After"] = "5"
    return found


WORDS = {
    400: "The browser sent something that cannot be read.",
    403: "Refused.",
    404: "There is no such page.",
    405: "This address takes no such request.",
    413: "That is more than any form here sends. Nothing was kept.",
    421: "This page answers under its own address on this machine alone.",
    500: "The program failed. Nothing was kept; the terminal says more.",
}


def _failed(error: HTTPException) -> Response:
    code = error.code or 500
    own = error.description if code == 403 else None
    return _page_of_error(code, f"{WORDS.get(code, error.name)} {own or ''}".strip())


def _page_of_error(status: int, text: str) -> Response:
    """An error as a page, or as a plain line where an image or a file was asked for."""
    if request.path.rpartition(".")[2] in FILES:
        return Response(f"{text}\n", status, content_type="text/plain; charset=utf-8")
    return Response(render_template("error.html", text=text, status=status), status)
