"""What a page shows of a step, here and on another device; and the files of the latter."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import segno
from flask import render_template
from markupsafe import Markup, escape

from protractor.app.course import NAMES, Course
from protractor.app.other_device import Made
from protractor.app.pictures.picture import sign_svg
from protractor.drawing.type import TYPEFACE_FILES

STATIC = Path(__file__).with_name("static")

QUIET = 4
"""White modules round a QR code (ISO/IEC 18004, 9.1)."""


def step_shown(course: Course, number: int, drawn: Markup) -> dict[str, Any]:
    """What a page shows of one step, and of all in a line each."""
    step = course.steps[number - 1]
    return {
        "number": number,
        "name": NAMES[step.key],
        "steps": [(n, NAMES[each.key]) for n, each in enumerate(course.steps, 1)],
        "step": step,
        "drawing": drawn,
        "cautions": [(sign_svg(sign), text) for sign, text in course.cautions(step)],
        "at_hand": course.at_hand(step),
    }


def made_for_another_device(course: Course) -> Made:
    """The steps as finished pages with their looks, for a server that knows nothing else.

    Not beside other threads that draw.
    """
    made: dict[str, tuple[bytes, str]] = {}
    for number, step in enumerate(course.steps, start=1):
        page = render_template(
            "align_elsewhere.html", **step_shown(course, number, course.drawing(step))
        )
        made[str(number)] = page.encode(), "text/html; charset=utf-8"
    made[""] = made["1"]
    css = (STATIC / "protractor.css").read_text("utf-8").replace('url("/typeface/', 'url("')
    made["look.css"] = css.encode(), "text/css; charset=utf-8"
    made["mark.svg"] = (STATIC / "mark.svg").read_bytes(), "image/svg+xml"
    for font in TYPEFACE_FILES.values():
        made[font.name] = font.read_bytes(), "font/ttf"
    return made


def qr_svg(address: str) -> Markup:
    """An address as a QR code, dark on light in any light."""
    rows = [bytes(row) for row in segno.make(address, error="m", micro=False).matrix]
    size = len(rows) + 2 * QUIET
    squares = "".join(
        f"M{x + QUIET} {y + QUIET}h1v1h-1z"
        for y, row in enumerate(rows)
        for x, dark in enumerate(row)
        if dark
    )
    return Markup(
        f'<svg class="qr" viewBox="0 0 {size} {size}" role="img" shape-rendering="crispEdges">'
        f'<title>QR code of {escape(address)}</title><path fill="#fff" d="M0 0h{size}v{size}H0z"/>'
        f'<path fill="#000" d="{squares}"/></svg>'
    )
