"""What a page answers: as a page and as JSON, with the command and the Python that ask it."""

from __future__ import annotations

import io
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import wraps
from typing import Any

from flask import Blueprint, Response, render_template, request, send_file
from werkzeug.wrappers import Response as AnyResponse

from protractor.errors import InputError, named

TYPES = {
    "pdf": "application/pdf",
    "svg": "image/svg+xml",
    "dxf": "image/vnd.dxf",
    "png": "image/png",
    "csv": "text/csv; charset=utf-8",
    "json": "application/json",
    "toml": "application/toml",
    "zip": "application/zip",
}
"""The kinds of files that are handed out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """A page.

    Attributes:
        template: the page's template.
        title: of the page, in a few words.
        shown: what the template shows.
        data: the same as JSON has it, under stable keys.
        errors: what is wrong with the question; the status is then 400.
        command: the command that asks the same, empty where there is none.
        python: the lines that ask the same.
    """

    template: str
    title: str
    shown: Mapping[str, Any] = field(default_factory=dict)
    data: Any = None
    errors: Sequence[InputError] = ()
    command: str = ""
    python: str = ""

    @property
    def status(self) -> int:
        """The status of the answer: 400 for a question that cannot be answered."""
        return 400 if self.errors else 200

    def page(self) -> tuple[str, int]:
        """The answer as a page."""
        shown = {"answer": self, "errors": [error_words(each) for each in self.errors]}
        return render_template(self.template, **{**shown, **self.shown}), self.status

    def twin(self) -> Response:
        """The answer as JSON."""
        question = {name: request.args.getlist(name) for name in request.args}
        body = {
            "question": {name: v[0] if len(v) == 1 else v for name, v in question.items()},
            "answer": self.data,
            "errors": [
                {
                    "name": each.name,
                    "got": each.got,
                    "allowed": each.allowed,
                    "remedy": named(each.remedy),
                }
                for each in self.errors
            ],
            "command": self.command,
            "python": self.python,
        }
        text = json.dumps(body, indent=2, allow_nan=False, ensure_ascii=False)
        return Response(text + "\n", status=self.status, content_type=TYPES["json"])


View = Callable[..., "Answer | AnyResponse"]


def answers(pages: Blueprint, rule: str) -> Callable[[View], View]:
    """Makes a function the page of an address, and its JSON twin that of the address + `.json`."""

    def decorate(view: View) -> View:
        @wraps(view)
        def page(**parts: Any) -> Any:
            found = view(**parts)
            return found.page() if isinstance(found, Answer) else found

        @wraps(view)
        def twin(**parts: Any) -> Any:
            found = view(**parts)
            return found.twin() if isinstance(found, Answer) else found

        name = view.__name__
        pages.add_url_rule(rule, name, page)
        json_rule = f"{rule.rstrip('/')}.json" if rule != "/" else "/index.json"
        pages.add_url_rule(json_rule, f"{name}_json", twin)
        return view

    return decorate


def error_words(error: InputError) -> str:
    """An error in one line, for a place that is not beside its field."""
    return error.line()


def file_answer(data: bytes, file_format: str, name: str = "") -> Response:
    """A file to keep under a name, or to show where it has none."""
    return send_file(
        io.BytesIO(data),
        mimetype=TYPES[file_format],
        as_attachment=bool(name),
        download_name=name or None,
        max_age=0,
    )


def refused(error: InputError) -> Response:
    """The answer to a question for a file that cannot be made."""
    return Response(error_words(error) + "\n", status=400, content_type="text/plain; charset=utf-8")
