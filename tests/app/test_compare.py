"""Schemes compared: the page answers what the command answers, live and as files."""

from __future__ import annotations

import csv
import html
import io
import json
import re
import shlex
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest

from protractor.app.pages import compare as page
from protractor.app.server import Served
from protractor.arms.arm import ERROR_SIGN
from protractor.arms.schemes import SCHEMES
from protractor.cli import main
from protractor.cli.compare import command
from protractor.curves.page import Curves
from tests.app.conftest import Site

DECK = {"pivot-to-spindle": "222"}
NOW = {"now-overhang": "17", "now-offset": "22.5"}

QUESTIONS: dict[str, dict[str, Any]] = {
    "plain": DECK,
    "now": DECK | NOW,
    "inches, a comma, own radii": {
        "pivot-to-spindle": "8 3/4 in",
        "scheme": ["stevenson", "lofgren-b"],
        "null-radii": "63 and 119",
        "inner-radius": "57,5",
    },
    "exact within limits": DECK
    | {"exact": "yes", "overhang-range": "12 and 16", "velocity": "8", "velocity-is": "rms"},
    "several records": DECK | {"play": ["12:80", "7@45:20"], "signal": "1000"},
    "along the time": DECK | {"x-axis": "time", "side-minutes": "22.5", "title": "Bench & bed"},
    "remembered": {"deck": "Bench deck 2", "record": "7"},
    "yet to be mounted": {"effective-length": "239", "scheme": "lofgren-a"},
}


def asking(question: dict[str, Any], kind: str = "") -> str:
    """The address of a question."""
    return f"/compare{kind}?{urlencode(question, doseq=True)}"


def printed(words: str, capsys: pytest.CaptureFixture[str]) -> str:
    """What a command prints."""
    assert main(shlex.split(words)[1:]) == 0
    return capsys.readouterr().out


def drawn_as(curves: Curves, file_format: str) -> bytes:
    """What stands for the file of a page of curves: all that it is made from."""
    return repr((curves, file_format)).encode()


@pytest.fixture
def undrawn(monkeypatch: pytest.MonkeyPatch) -> None:
    """Takes the time of drawing out: a page of curves is what it is made from."""
    monkeypatch.setattr(Curves, "file_bytes", drawn_as)


@pytest.mark.usefixtures("undrawn")
@pytest.mark.parametrize("question", QUESTIONS.values(), ids=QUESTIONS)
def test_the_commands_shown_give_the_same(
    site: Site,
    question: dict[str, Any],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Table and page of curves, JSON and CSV of the commands; the page's own files, byte for byte.

    The lines of Python make the same page and the same figures.
    """
    monkeypatch.chdir(tmp_path)
    twin = json.loads(site.get(asking(question, ".json")).data)
    draw, figures, curves = twin["command"].splitlines()
    assert json.loads(printed(figures, capsys)) == twin["answer"]
    table = site.get(asking(question, ".csv")).data
    assert printed(curves, capsys).encode() == table
    printed(draw, capsys)
    pdf = Path("curves.pdf").read_bytes()
    assert site.get(asking(question, ".pdf")).data == pdf
    names: dict[str, Any] = {}
    exec(twin["python"], names)
    assert (names["pdf"], names["csv"].encode()) == (pdf, table)
    assert names["figures"] == twin["answer"]


def test_a_page_of_curves_is_the_commands_file(
    site: Site, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Drawn by both, an SVG has the same bytes, and bears its name."""
    path = tmp_path / "curves.svg"
    printed(f"protractor compare --pivot-to-spindle 222 -o {path}", capsys)
    answer = site.get(asking(DECK, ".svg"))
    assert answer.data == path.read_bytes()
    assert "curves.svg" in answer.headers["Content-Disposition"]


@pytest.mark.usefixtures("undrawn")
@pytest.mark.parametrize("kind", ["pdf", "svg", "png"])
def test_each_format_is_asked_for(site: Site, kind: str) -> None:
    """A file's ending is its format and its type."""
    answer = site.get(asking(DECK, f".{kind}"))
    assert answer.data.endswith(f"'{kind}')".encode())
    assert kind in answer.mimetype


@pytest.mark.parametrize("kind", ["pdf", "svg", "png", "csv"])
def test_no_file_of_a_wrong_question(site: Site, kind: str) -> None:
    """One line says what is wrong, and no file comes."""
    for question in ({"pivot-to-spindle": "22"}, {}, DECK | {"scheme": "none"}):
        answer = site.get(asking(question, f".{kind}"))
        assert answer.status_code == 400
        assert answer.text.count("\n") == 1
        assert "allowed:" in answer.text


def test_everything_that_the_command_takes() -> None:
    """The page asks for each option of the command but those of files and of this shell."""
    options = {each.opts[0].removeprefix("--") for each in command.params}
    asked = {
        *page.FIRST,
        *(name for _, names in page.HEADINGS for name in names),
        *(each.name for each in page.MORE.values()),
        "deck",
    }
    assert asked == options - {"decks", "-o", "force", "csv", "json"}


def curves_of(text: str) -> list[list[str]]:
    """The names of the curves of each drawing of a page."""
    drawings = re.findall(r"<svg.*?</svg>", text, re.DOTALL)
    return [[html.unescape(n) for n in re.findall(r'data-curve="([^"]*)"', d)] for d in drawings]


def test_the_curves_that_were_asked_for(site: Site) -> None:
    """Three charts in two sizes with a curve a scheme, by the trade's names, and the setting."""
    text = site.get(asking(DECK | NOW | {"scheme": ["stevenson", "lofgren-a"]})).text
    assert [sorted(names) for names in curves_of(text)] == [["Löfgren A", "Stevenson", "now"]] * 6
    [*every] = curves_of(site.get(asking(DECK)).text)
    assert all(len(names) == len(SCHEMES) for names in every)


def test_all_ticked_is_none_ticked(site: Site) -> None:
    """Every box ticked asks for all, so that one without an answer is left out, not an error."""
    limits = {"held": "offset-angle", "offset-angle": "22", "exact": "yes"}
    without = site.get(asking(DECK | limits)).text
    ticked = site.get(asking(DECK | limits | {"scheme": list(SCHEMES)}))
    assert ticked.status_code == 200
    assert curves_of(ticked.text) == curves_of(without)
    one = site.get(asking(DECK | limits | {"scheme": ["lofgren-b"]}))
    assert one.status_code == 400


def test_a_page_without_a_question(site: Site) -> None:
    """It says what to give, and is no error."""
    answer = site.get("/compare")
    assert answer.status_code == 200
    assert "<svg" not in answer.text
    assert "Give pivot to spindle" in answer.text


@pytest.mark.parametrize(
    ("question", "name", "said"),
    [
        ({"pivot-to-spindle": "22.2"}, "pivot-to-spindle", "22.2cm"),
        (DECK | {"now-overhang": "17"}, "now-offset", "both or neither"),
        (DECK | {"norm": "rms"}, "norm", "exact"),
        (DECK | {"paper": "a5"}, "paper", "take A4 or Letter"),
        (DECK | {"scheme": "lofgren"}, "scheme", "lofgren-a"),
        (DECK | {"x-axis": "speed"}, "x-axis", "time"),
    ],
)
def test_errors_stand_beside_their_field(
    site: Site, question: dict[str, Any], name: str, said: str
) -> None:
    """Where a live answer puts them; nothing is drawn, and the status says so."""
    answer = site.get(asking(question))
    assert answer.status_code == 400
    place = re.search(rf'id="f-{name}-wrong"[^>]*>(.*?)</p>', answer.text, re.DOTALL)
    assert place is not None
    assert said.lower() in html.unescape(place[1]).lower()
    assert "<svg" not in answer.text


class Cells(HTMLParser):
    """The rows of every table of a page, as texts."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.rows: list[list[str]] = []
        self.inside = False
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: object) -> None:
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")
            self.inside = True

    def handle_endtag(self, tag: str) -> None:
        self.inside = self.inside and tag not in ("td", "th")

    def handle_data(self, data: str) -> None:
        if self.inside:
            self.rows[-1][-1] += data


@pytest.mark.parametrize("question", [DECK | NOW, QUESTIONS["exact within limits"]])
def test_the_tables_are_those_of_the_command(
    site: Site, question: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    """Each figure of the command's table stands in the page's, the least of a column marked."""
    text = site.get(asking(question)).text
    draw = json.loads(site.get(asking(question, ".json")).data)["command"].splitlines()[0]
    lines = printed(draw.replace(" -o curves.pdf", ""), capsys).splitlines()
    rows = [row for row in Cells(text).rows if row and row[0] in (*_names(), "now")]
    told = [line.split() for line in lines if line.split(" ")[0] in (*SCHEMES, "now")]
    told = [row for row in told if re.fullmatch(r"[+-]?[\d.]+\*?", row[1])]
    assert len(rows) == len(told) > 4
    for ours, (name, *theirs) in zip(rows, told, strict=True):
        text = " ".join(ours[1:]).replace(", the least", "").replace(" and ", " ")
        cells = text.replace("\N{EN DASH}", "-").split()
        # how far the present setting is from itself, the page does not say
        itself = name == "now" and theirs[-2:] == ["+0.00", "+0.00"]
        assert sorted(cells) == sorted(theirs[:-2] if itself else theirs)


def _names() -> list[str]:
    return [page.scheme_name(name) for name in SCHEMES]


def test_what_goes_with_the_figures(site: Site) -> None:
    """What is fixed and played, limits, what is left out, the sign, what figures do not say."""
    limited = QUESTIONS["exact within limits"] | {"play": ["12:80", "7:20"]}
    text = html.unescape(site.get(asking(limited)).text)
    assert "<dd>pivot to spindle, 222.00 mm</dd>" in text
    assert "<dd>80 % 12-inch, IEC 98:1958, 60.325 to 146.05 mm, 33⅓ rpm</dd>" in text
    assert "<dd>a sine at 8 cm/s rms, not equalised</dd>" in text
    assert "Equal angle is stopped by the upper end of overhang-range, " in text
    narrow = {"exact": "yes", "offset-range": "5 and 10"}
    left = html.unescape(site.get(asking(DECK | narrow)).text)
    assert "Löfgren B is left out: offset-range: got 5 to 10 deg; allowed: " in left
    assert curves_of(left)[0].count("Löfgren B") == 0
    assert ERROR_SIGN[1:] in text
    assert "What can be heard, these figures do not say." in text


def test_dragging_in_a_browser(browser: Any, served: Served) -> None:
    """A slider sets its field, curves, command and address follow; errors come and go live."""
    tab = browser.new_context().new_page()
    tab.goto(served.address + "compare?pivot-to-spindle=222")
    slider = tab.locator("#s-pivot-to-spindle")
    slider.focus()
    tab.keyboard.press("ArrowRight")
    assert tab.input_value("#f-pivot-to-spindle") == "222.5"
    tab.wait_for_url("**/compare?pivot-to-spindle=222.5")
    assert "--pivot-to-spindle 222.5 " in tab.locator("#same").text_content()
    tab.fill("#f-pivot-to-spindle", "22")
    tab.wait_for_selector("#f-pivot-to-spindle-wrong:not(:empty)")
    assert tab.get_attribute("#f-pivot-to-spindle", "aria-invalid") == "true"
    tab.fill("#f-pivot-to-spindle", "230")
    tab.wait_for_selector("svg.wide")
    assert tab.locator("#f-pivot-to-spindle-wrong").text_content() == ""
    tab.locator("#s-now-overhang").focus()
    tab.keyboard.press("ArrowLeft")
    tab.wait_for_selector('svg.wide [data-curve="now"]')
    assert tab.input_value("#f-now-offset") != ""
    tab.context.close()


def test_csv_is_a_table_of_every_millimetre(site: Site) -> None:
    """Read by the standard library: both edges and the millimetres between."""
    answer = site.get(asking(DECK | {"scheme": "stevenson"}, ".csv"))
    rows = list(csv.DictReader(io.StringIO(answer.text)))
    radii = [float(row["radius_mm"]) for row in rows]
    assert (radii[0], radii[-1], len(radii)) == (60.325, 146.05, 88)
    assert float(rows[0]["stevenson_tracking_error_deg"]) == pytest.approx(0.0, abs=1e-6)
