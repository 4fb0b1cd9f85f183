"""Schemes beside each other on one deck, live."""

from __future__ import annotations

from flask import Blueprint

from protractor.app.answers import Answer, answers

pages = Blueprint("compare", __name__)


@answers(pages, "/compare")
def compare() -> Answer:
    """Schemes beside each other on one deck, live."""
    return Answer(template="compare.html", title="Schemes compared")
