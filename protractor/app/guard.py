"""Who may ask and who may write: the local page answers its own browser alone.

A page of another site can make the browser send requests here. It cannot give our Host or Origin,
nor know the token of a form.
"""

from __future__ import annotations

import hmac
import secrets
from dataclasses import dataclass, field

from flask import Flask, Response, abort, request

LARGEST_BODY = 256 * 1024
"""The most bytes that a form may send: the longest note is a few thousand."""

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)

HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Guard:
    """The names that the page is reached by, and the token that its forms bear."""

    hosts: frozenset[str]
    token: str = field(default_factory=lambda: secrets.token_urlsafe(24))

    @classmethod
    def of(cls, port: int) -> Guard:
        """The guard of a page on this machine's own address."""
        return cls(hosts=frozenset({f"127.0.0.1:{port}", f"localhost:{port}"}))

    def protect(self, site: Flask) -> None:
        """Lets a site answer what comes from its own pages alone."""
        site.config["MAX_CONTENT_LENGTH"] = LARGEST_BODY
        site.config["MAX_FORM_MEMORY_SIZE"] = LARGEST_BODY
        site.config["MAX_FORM_PARTS"] = 500
        site.before_request(self.check)
        site.after_request(_with_headers)
        site.context_processor(lambda: {"token": self.token})

    def check(self) -> None:
        """Refuses a foreign host (421), a foreign page and a form without its token (403)."""
        if request.host not in self.hosts:
            abort(421)
        whence = request.headers.get("Sec-Fetch-Site", "none")
        visits = request.headers.get("Sec-Fetch-Mode") == "navigate"
        writes = request.method not in ("GET", "HEAD")
        if whence not in ("none", "same-origin") and (writes or not visits):
            abort(403, "It came from a page of another site.")
        origin = request.headers.get("Origin")
        if origin is not None and origin not in {f"http://{host}" for host in self.hosts}:
            abort(403, "It came from a page of another site.")
        if writes:
            given = request.form.get("token", "")
            if not hmac.compare_digest(given.encode(), self.token.encode()):
                abort(403, "The page is from an earlier start. Go back, reload it and send again.")


def _with_headers(response: Response) -> Response:
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    response.headers.setdefault("Cache-Control", "no-store")
    return response
