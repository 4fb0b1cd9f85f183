"""The sheet's page: files are those of the commands, choices are kept, errors stand in place."""

from __future__ import annotations

import re
import shlex
from collections.abc import Callable
from html import unescape
from pathlib import Path

import pytest

from tests.app.conftest import Site
from tests.conftest import Ran

QUESTIONS = (
    "pivot-to-spindle=222",
    "pivot-to-spindle=8+3%2F4+in&scheme=stevenson&paper=letter&title=An+arm",
    "pivot-to-spindle=222&null-radii=63+and+119&zenith=1.5&paper=a3",
    "deck=Bench+deck",
    "deck=Bench+deck+2&scheme=lofgren-b&inner-radius=58",
    "kind=two-null&scheme=stevenson",
    "deck=Bench+deck&kind=two-null",
    "effective-length=239.3&exact=yes&overhang-range=10+17",
    "pivot-to-spindle=222&straight=yes",
)


def command_of(page: str) -> list[str]:
    """The words of the command that a page shows."""
    [shown] = re.findall(r"<pre[^>]*><code>(protractor .*?)</code>", page)
    return shlex.split(unescape(shown))[1:]


@pytest.mark.parametrize("question", QUESTIONS)
def test_files_are_those_of_the_command(
    site: Site, run: Callable[..., Ran], question: str, tmp_path: Path
) -> None:
    """PDF, SVG and DXF are what the command that the page shows writes, byte for byte."""
    words = command_of(site.get(f"/sheet?{question}").text)
    for address, name in (
        ("/sheet.pdf", "here.pdf"),
        ("/sheet-cut.svg", "here.svg"),
        ("/sheet-cut.dxf", "here.dxf"),
    ):
        ran = run(*words, "-o", name)
        assert ran.status == 0, ran.err
        found = site.get(f"{address}?{question}")
        assert found.status_code == 200
        assert found.data == Path(tmp_path, name).read_bytes(), name
        assert "attachment" in found.headers["Content-Disposition"]


@pytest.mark.parametrize(
    "question",
    [
        "pivot-to-spindle=222&scheme=stevenson&paper=letter&title=A+deck",
        "pivot-to-spindle=222&kind=two-null",
        "effective-length=239.3&exact=yes&overhang-range=10+17&play=12:80;7@45:20",
    ],
)
def test_python_that_is_shown_runs(
    site: Site, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, question: str
) -> None:
    """The lines of Python write a sheet of the same deck."""
    monkeypatch.chdir(tmp_path)
    page = site.get(f"/sheet?{question}").text
    lines = unescape(
        re.findall(r"<pre[^>]*><code>(from protractor .*?)</code>", page, re.DOTALL)[0]
    )
    exec(lines, {})
    assert Path("sheet.pdf").read_bytes()[:5] == b"%PDF-"


def test_the_file_is_called_as_the_command_calls_it(site: Site, run: Callable[..., Ran]) -> None:
    """A download has the name that the command gives its file."""
    words = command_of(site.get("/sheet?deck=Bench+deck").text)
    ran = run(*words)
    name = site.get("/sheet.pdf?deck=Bench+deck").headers["Content-Disposition"].split("=")[-1]
    assert f"templates_out/{name}" in ran.files


def test_preview_is_not_corrected(site: Site) -> None:
    """The preview is the page as it is drawn: an SVG as large as its paper."""
    found = site.get("/sheet.svg?pivot-to-spindle=222")
    assert found.mimetype == "image/svg+xml"
    assert b'width="297mm" height="210mm"' in found.data


@pytest.mark.parametrize(
    ("question", "field"),
    [
        ("pivot-to-spindle=22.2", "pivot-to-spindle"),
        ("pivot-to-spindle=222&paper=a5", "paper"),
        ("pivot-to-spindle=222&scheme=DIN", "scheme"),
        ("pivot-to-spindle=222&null-radii=63", "null-radii"),
        ("deck=Bench+deck&zenith=20", "zenith"),
    ],
)
def test_an_error_stands_beside_its_field(site: Site, question: str, field: str) -> None:
    """What cannot be used is said at its field, as the command says it; there is no sheet."""
    found = site.get(f"/sheet?{question}")
    assert found.status_code == 400
    [said] = re.findall(rf'id="f-{field}-wrong"[^>]*>(.*?)</p>', found.text)
    assert "Allowed: " in said
    assert "/sheet.pdf" not in found.text


def test_a_choice_is_kept_with_the_deck(site: Site) -> None:
    """What was chosen for the sheet is remembered, since readings are compared with it."""
    page = site.get("/sheet?deck=Bench+deck&scheme=stevenson&paper=letter").text
    fields = dict(re.findall(r'type="hidden" name="([a-z-]+)" value="([^"]*)"', page))
    assert fields["scheme"] == "stevenson"
    found = site.post("/sheet/keep", {**fields})
    assert found.status_code == 303
    assert found.headers["Location"] == "/align?deck=Bench+deck"
    text = site.decks.read_text("utf-8")
    assert 'scheme = "stevenson"' in text
    assert "# a comment stays" in text
    again = site.get("/sheet?deck=Bench+deck").text
    assert "Stevenson</strong> as remembered" in again
    assert "/sheet/keep" not in again


def test_two_tabs(site: Site) -> None:
    """A choice that was made beside another one is not kept: the first one stays."""
    seen = {}
    for scheme in ("stevenson", "lofgren-b"):
        page = site.get(f"/sheet?deck=Bench+deck&scheme={scheme}").text
        seen[scheme] = dict(re.findall(r'type="hidden" name="([a-z-]+)" value="([^"]*)"', page))
    assert site.post("/sheet/keep", seen["stevenson"]).status_code == 303
    before = site.decks.read_bytes()
    found = site.post("/sheet/keep", seen["lofgren-b"])
    assert found.status_code == 400
    assert "changed meanwhile" in found.text
    assert site.decks.read_bytes() == before
