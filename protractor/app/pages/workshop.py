"""Decks as a table, gauges to cut, and many sheets at once."""

from __future__ import annotations

from flask import Blueprint

from protractor.app.answers import Answer, answers

pages = Blueprint("workshop", __name__)


@answers(pages, "/workshop")
def workshop() -> Answer:
    """Decks as a table, gauges to cut, and many sheets at once."""
    return Answer(template="workshop.html", title="Workshop")
