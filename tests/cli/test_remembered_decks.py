"""Decks that are remembered, as their user meets them: named once, taken everywhere."""

from __future__ import annotations

import json
import shlex
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
from click.shell_completion import ShellComplete

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.alignments.sheet_code import sheet_code
from protractor.cli import cli
from tests.conftest import Ran

Run = Callable[..., Ran]
BENCH = ("--name", "Bench deck", "--pivot-to-spindle", "222.3±0.3", "--scheme", "stevenson")
OUT = ("--reading", "60.3:3.5", "--reading", "117.4:1.5", "--overhang", "11.5")


@pytest.fixture
def home(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A configuration folder with two invented decks; its file of decks."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    assert run("decks", "add", *BENCH).status == 0
    assert run("decks", "add", "--name", "attic", "--pivot-to-spindle", "240").status == 0
    return tmp_path / "home" / "protractor" / "decks.toml"


def figures(ran: Ran) -> dict[str, object]:
    """What a command answered as JSON."""
    assert ran.status == 0, ran.err
    found: dict[str, object] = json.loads(ran.out)
    return found


@pytest.mark.parametrize(
    "words",
    [
        "solve",
        "template -o out.pdf",
        "correct --reading 60.3:0 --reading 117.4:0",
        "tolerance --draws 1000",
        "gauge plate -o out.svg",
        "gauge pivot -o out.pdf",
    ],
)
def test_every_command_takes_a_deck(run: Run, home: Path, words: str) -> None:
    """The name stands for all figures; nothing is said of a deck that was named."""
    ran = run(*words.split(), "--deck", "bench DECK", "--json")
    found = figures(ran)
    assert ran.err == ""
    alignment = found.get("target") or found.get("alignment") or found
    assert isinstance(alignment, dict)
    if "gauge pivot" not in words:
        assert alignment["scheme"] == "stevenson"
    if "out" in words:
        assert Path(words.rsplit(maxsplit=1)[-1]).exists()


def test_compare_and_reconcile_take_a_deck(run: Run, home: Path) -> None:
    """Compare holds its length; reconcile judges what was stated, one statement given anew."""
    assert "pivot to spindle fixed at 222.30 mm" in run("compare", "--deck", "bench deck").out
    more = ("--effective-length", "237.7", "--offset-angle", "22")
    assert "The 3 statements agree" in run("reconcile", "--deck", "bench deck", *more).out
    other = run("reconcile", "--deck", "bench deck", *more, "--pivot-to-spindle", "222")
    assert "222.3" not in other.out


def test_a_bound_is_typed_once(run: Run, home: Path) -> None:
    """The deck's own ± counts for tolerance, unless another is given or the length is."""
    for words, bound in (
        (("--deck", "bench deck"), 0.3),
        (("--deck", "bench deck", "--pivot-to-spindle-bound", "0.1"), 0.1),
        (("--deck", "bench deck", "--pivot-to-spindle", "222"), 0.5),
        (("--deck", "attic"), 0.5),
    ):
        found = figures(run("tolerance", *words, "--draws", "1000", "--json"))
        causes = {each["name"]: each["bound"] for each in found["contributions"]}  # type: ignore[attr-defined]
        assert causes["pivot-to-spindle"] == pytest.approx(bound)


def test_the_default_is_taken_and_reported(run: Run, home: Path) -> None:
    """When no deck is named, in one line of stderr; a length means another deck."""
    assert run("solve").status == 2
    assert run("decks", "default", "Bench deck", "--paper", "letter").out == (
        'By default: deck "Bench deck", paper letter.\n'
    )
    ran = run("solve", "--json")
    assert ran.err == 'Deck "Bench deck" (default).\n'
    assert figures(ran)["pivot_to_spindle_mm"] == 222.3
    sheet = run("template", "--scheme", "lofgren-a", "-o", "a.pdf", "--json")
    assert sheet.err == 'Deck "Bench deck", paper letter (default).\n'
    assert figures(sheet)["scheme"] == "lofgren-a"
    assert figures(sheet)["sheet"]["paper"] == "letter"  # type: ignore[index]
    for words in (
        ("--pivot-to-spindle", "230"),
        ("--effective-length", "240"),
        ("--deck", "attic"),
    ):
        other = run("solve", *words, "--json")
        assert other.err == ""
        assert figures(other)["scheme"] == "lofgren-a"
    assert run("reconcile", "--overhang", "17", "--offset-angle", "23").err == ""
    assert run("compare").err == 'Deck "Bench deck" (default).\n'
    assert run("gauge", "pivot", "-o", "g.pdf").err == "Paper letter (default).\n"
    assert run("decks", "default", "--none").out == "By default: nothing.\n"
    assert run("solve").status == 2


def test_a_printer_by_default(run: Run, home: Path) -> None:
    """It must be recorded; it corrects PDFs on its paper, and cut files and other papers do not."""
    assert "record it first" in run("decks", "default", "--printer", "desk").err
    lines = ("x", "150.3", "y", "149.5", "rising", "149.8", "falling", "149.8")
    readings = [f"--{word}" if word.isalpha() else word for word in lines]
    run("printer", "record", "desk", "--instrument", "calipers", *readings)
    assert run("decks", "default", "attic", "--printer", "desk").status == 0
    ran = run("template", "-o", "a.pdf")
    assert ran.err == 'Deck "attic", printer desk (default).\n'
    assert "desk" in ran.out
    for words, why in (
        (("template", "-o", "a.svg"), "only PDFs are corrected"),
        (("template", "--paper", "a3", "-o", "b.pdf"), "it goes with another paper"),
        (("tolerance", "--draws", "1000", "--print-scale-bound", "0.1"), "bound is given"),
    ):
        ran = run(*words)
        assert ran.status == 0, ran.err
        assert "printer desk is left out: " in ran.err
        assert why in ran.err
    assert "paper" in run("template", "--printer", "desk", "--paper", "a3", "-o", "c.pdf").err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("solve --deck bench", "did you mean Bench deck?"),
        ("solve --deck Küche", "name one of"),
        ("solve --deck attic --scheme null-radii", "add --null-radii A B"),
        ("solve --decks none.toml", "no such file"),
        ("solve --decks home/protractor/decks.toml", "name one: --deck 'Bench deck'"),
        ("decks remove bench", "did you mean Bench deck?"),
        ("decks default nobody", "name one of"),
        ("decks default attic --none", "leave out one"),
        ("decks show", "name one: --deck 'Bench deck'"),
        ("decks sheet attic --paper 60x60mm", "paper"),
        ("decks add --name attic --pivot-to-spindle 222", "a name of its own"),
    ],
)
def test_what_is_refused(run: Run, home: Path, words: str, said: str) -> None:
    """One line with what to do; exit status 2; the file of decks as it was, nothing written."""
    before = home.read_bytes()
    ran = run(*words.split())
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err
    assert ran.err.count("\n") == 1
    assert home.read_bytes() == before
    assert [name for name in ran.files if not name.startswith("home/")] == []


DAMAGE = {
    "binary": b"\0\xff",
    "no TOML": b"[[deck]\n",
    "newer": b"format = 2\n[drawer]\n",
    "empty table": b"[decks]\n",
    "bad default": b"[default]\npaper = 'a99'\n",
}


@pytest.mark.parametrize("name", DAMAGE)
def test_a_damaged_file_is_in_nobodys_way(run: Run, home: Path, name: str) -> None:
    """It is reported and left alone; what does not need it works, what needs it is refused."""
    home.write_bytes(DAMAGE[name])
    ran = run("template", "--pivot-to-spindle", "222", "-o", "out.pdf")
    assert ran.status == 0
    assert ran.err.startswith("protractor: note: DECKS: ")
    assert ran.err.count("\n") == 1
    quiet = run("solve", "--pivot-to-spindle", "222")
    assert (quiet.status, quiet.err) == (0, "")
    for words in (("solve", "--deck", "attic"), ("decks", "default", "attic")):
        refused = run(*words)
        assert (refused.status, refused.out) == (2, "")
        assert "decks.toml" in refused.err
    assert home.read_bytes() == DAMAGE[name]


def test_no_file_where_one_should_be(run: Run, home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder of that name is reported; where no folder can be, no deck is remembered."""
    home.unlink()
    home.mkdir()
    ran = run("template", "--pivot-to-spindle", "222", "-o", "out.pdf")
    assert ran.status == 0
    assert "note: DECKS: got a folder" in ran.err
    monkeypatch.setenv("XDG_CONFIG_HOME", "/dev/null")
    assert run("template", "--pivot-to-spindle", "222", "-o", "b.pdf").err == ""
    assert run("decks", "list").status == 0
    assert run("decks", "add", "--name", "x", "--pivot-to-spindle", "222").status == 2


def test_a_file_that_somebody_changes_can_be_read(run: Run, home: Path) -> None:
    """A lock keeps writers from each other, and no reader."""
    from protractor.files import alone

    with alone(home, "DECKS"):
        assert run("solve", "--deck", "attic").status == 0


def test_rounds_are_kept(run: Run, home: Path) -> None:
    """Each round of a remembered deck has its number; another target begins a new series."""
    words = ("correct", "--deck", "bench deck", *OUT)
    assert run(*words).out.startswith("Round 1. ")
    assert run(*words).out.startswith("Round 2. ")
    other = run("correct", "--deck", "bench deck", "--scheme", "lofgren-a", "--reading", "66:0",
                "--reading", "120.9:0")  # fmt: skip
    assert other.out.startswith("Another target than in the rounds before")
    assert "\nRound 1. Target lofgren-a" in other.out
    assert figures(run(*words, "--json"))["round"] == 1
    run("correct", "--deck", "attic", "--reading", "66:0", "--reading", "120.9:0")
    assert sorted(file.name for file in home.parent.rglob("*.jsonl")) == [
        "attic.jsonl",
        "bench-deck.jsonl",
    ]
    assert run("correct", *words[1:], "--log", "own.jsonl").out.startswith("Round 1. ")
    removed = run("decks", "remove", "bench DECK")
    assert "The log of its rounds stays: " in removed.out
    assert run("decks", "list").out.count("attic") == 1


def test_refused_readings_leave_the_log_alone(run: Run, home: Path) -> None:
    """A round that is not answered is none."""
    assert run("correct", "--deck", "attic", "--reading", "66:0").status == 2
    assert (
        run("correct", "--deck", "attic", "--reading", "60.3:0", "--reading", "117:0").status == 2
    )
    assert list(home.parent.rglob("*.jsonl")) == []


def test_readings_of_another_sheet_are_asked_about(run: Run, home: Path) -> None:
    """The line names the scheme that they would fit, and how to take them all the same."""
    lofgren = ("--reading", "66.0:1.0", "--reading", "120.9:0.5")
    asked = run("correct", "--deck", "bench deck", *lofgren)
    assert asked.status == 2
    assert "a target of stevenson, 60.3 or 117.4 mm" in asked.err
    assert "give --scheme lofgren-a, or say --anywhere" in asked.err
    assert run("correct", "--deck", "bench deck", *lofgren, "--scheme", "lofgren-a").status == 0
    assert run("correct", "--deck", "bench deck", *lofgren, "--anywhere").status == 0
    seven = ("--reading", "56.0:0", "--reading", "77.4:0")
    assert "lofgren-a with --record 7-jis-1973" in run("correct", "--deck", "attic", *seven).err
    near = run("correct", "--deck", "attic", "--reading", "66.9:0", "--reading", "120:0")
    assert near.status == 0
    none = run("correct", "--deck", "attic", "--reading", "66:0", "--reading", "90:0")
    assert "got 90 mm" in none.err
    assert "printed beside the target" in none.err


def test_a_code_finds_its_sheet(run: Run, home: Path) -> None:
    """Of the deck's other schemes, another deck, an earlier measurement; else it says so."""
    attic = Deck(pivot_to_spindle_mm=240.0)
    for deck, said in (
        (attic, ""),
        (replace(attic, scheme="equal-angle"), "another sheet of this deck: give --scheme equal-"),
        (replace(attic, pivot_to_spindle_mm=239.6), "for pivot to spindle 239.60 mm: print"),
        (Deck(pivot_to_spindle_mm=222.3, scheme="stevenson"), "another deck: give --deck 'Bench"),
        (Deck(pivot_to_spindle_mm=300.0), "another deck's sheet"),
    ):
        code = sheet_code(align(deck)).lower()
        words = ("--reading", "66:0", "--reading", "120.9:0", "--code", code)
        ran = run("correct", "--deck", "attic", *words)
        assert ran.status == (2 if said else 0), ran.err
        assert said in ran.err


def test_the_worksheet(run: Run, home: Path) -> None:
    """What was measured, what was aimed at, every round, how it ended and what is due next."""
    first = run("decks", "show", "bench deck").out
    assert "222.3±0.3 mm" in first
    assert "none yet" in first
    assert first.endswith('  protractor template --deck "Bench deck"\n')
    run("correct", "--deck", "bench deck", *OUT)
    moving = run("decks", "show", "bench deck").out
    assert "60.3 mm: +3.5 deg, 117.4 mm: +1.5 deg, overhang 11.5 mm\n      slide 4.2 mm" in moving
    due = moving.splitlines()[-1].strip()
    assert due.startswith('protractor correct --deck "Bench deck" --code ')
    again = run(*shlex.split(due.replace("__", "0"))[1:])
    assert again.out.startswith("Round 2. ")
    ended = run("decks", "show", "bench deck").out
    assert "Round 2 said to stop." in ended
    assert ended.endswith('  protractor tolerance --deck "Bench deck"\n')
    assert max(map(len, (first + moving + ended).splitlines())) <= 100
    found = figures(run("decks", "show", "bench deck", "--json"))
    assert [entry["round"] for entry in found["rounds"]] == [1, 2]  # type: ignore[attr-defined]
    assert found["leave_it"] is True
    changed = home.read_text().replace("222.3±0.3", "221.9")
    home.write_text(changed)
    later = run("decks", "show", "bench deck").out
    assert "The deck's figures changed after round 2" in later
    assert "Print the sheet anew" in later


@pytest.mark.parametrize(
    ("entry", "move", "due"),
    [
        (
            {"verdict": "costs-little", "leave_it": True},
            "stop: what is left costs",
            "tolerance",
        ),
        ({"verdict": "read-again", "leave_it": True}, "read again", "correct"),
        ({"verdict": "move", "slide_mm": -1.2, "turn_deg": 0.3}, "slide 1.2 mm back", "correct"),
        ({"slide_mm": 0.0, "turn_deg": -0.3}, "turn 0.3 deg counter-clockwise", "correct"),
    ],
)
def test_what_a_round_came_to(
    run: Run, home: Path, entry: dict[str, object], move: str, due: str
) -> None:
    """Each verdict of a log in words, and what is due after it."""
    log = home.parent / "decks-rounds" / "attic.jsonl"
    log.parent.mkdir()
    log.write_text(json.dumps({"round": 1, **entry}) + "\n")
    shown = run("decks", "show", "attic").out
    assert move in shown
    assert "not in the log" in shown
    assert shown.splitlines()[-1].startswith(f"  protractor {due} --deck attic")


def test_the_worksheet_on_paper(run: Run, home: Path) -> None:
    """The page says the same, on the paper that was asked for."""
    run("correct", "--deck", "bench deck", *OUT)
    ran = run("decks", "sheet", "bench deck", "--paper", "letter")
    assert ran.out.splitlines()[0] == "templates_out/bench-deck_worksheet_letter.pdf"
    page = pypdfium2.PdfDocument(ran.out.splitlines()[0])[0]
    text = " ".join(page.get_textpage().get_text_range().split())
    for words in ("Bench deck", "222.3±0.3 mm", "stevenson", "slide 4.2 mm toward the front"):
        assert words in text


@pytest.mark.parametrize("content", [b"[1]\n", b"{\n", b"\xff\n"])
def test_a_damaged_log_is_left_alone(run: Run, home: Path, content: bytes) -> None:
    """Neither a round nor a worksheet is made of it, and it stays; removing the deck does not."""
    log = home.parent / "decks-rounds" / "attic.jsonl"
    log.parent.mkdir()
    log.write_bytes(content)
    words = ("--reading", "66:0", "--reading", "120.9:0")
    for command in (("correct", "--deck", "attic", *words), ("decks", "show", "attic")):
        ran = run(*command)
        assert (ran.status, ran.out) == (2, "")
        assert ran.err.count("\n") == 1
    assert log.read_bytes() == content


def test_a_file_of_ones_own(run: Run, home: Path, tmp_path: Path) -> None:
    """`decks` takes another file, with its own defaults and its own rounds beside it."""
    (tmp_path / "bench.toml").write_text(
        '[default]\ndeck = "One"\n[[deck]]\nname = "One"\npivot-to-spindle = 215\n'
    )
    ran = run("solve", "--decks", "bench.toml")
    assert ran.err == 'Deck "One" (default).\n'
    words = ("--decks", "bench.toml", "--deck", "one")
    assert run("correct", *words, "--reading", "66:1", "--reading", "120.9:0").status == 0
    assert (tmp_path / "bench-rounds" / "one.jsonl").exists()
    due = run("decks", "show", "one", "--decks", "bench.toml").out.splitlines()[-1]
    assert "--deck One --decks bench.toml --code " in due
    assert run("decks", "check", "bench.toml").status == 0
    assert run("decks", "remove", "One", "--decks", "bench.toml").status == 0
    assert run("solve", "--decks", "bench.toml", "--deck", "One").status == 2


def test_a_deck_measured_anew(run: Run, home: Path) -> None:
    """One figure is changed; the worksheet says so, and the code is another."""
    run("correct", "--deck", "attic", "--reading", "66:0", "--reading", "120.9:0")
    before = figures(run("decks", "show", "attic", "--json"))
    assert run("decks", "change", "ATTIC", "--pivot-to-spindle", "240.4").out.endswith("attic\n")
    after = figures(run("decks", "show", "attic", "--json"))
    assert after["code"] != before["code"]
    assert after["rounds_for_this_target"] == 0
    assert "anew: the deck's figures changed" in str(after["due"])
    for words, said in (
        (("attic",), "nothing to change of attic"),
        (("attic", "--without", "zenit"), "did you mean zenith?"),
        (("attic", "--without", "name"), "without"),
        (("loft", "--zenith", "1"), "name one of"),
    ):
        ran = run("decks", "change", *words)
        assert ran.status == 2
        assert said in ran.err


def test_check_reads_the_defaults(run: Run, home: Path) -> None:
    """A default deck that is not there is a fault of the file, and so is a paper that is none."""
    assert run("decks", "check").status == 0
    sound = home.read_text()
    for table, said in (('deck = "gone"', "gone, the default"), ("paper = 3", "paper 3")):
        home.write_text(f"{sound}\n[default]\n{table}\n")
        ran = run("decks", "check")
        assert ran.status == 2
        assert said in ran.err
        assert "2 sound decks, 0 faults" in ran.out


@pytest.mark.parametrize("name", ["-x ; rm", "'", '"$(x)"', "a  b", "♫", "e" * 80, "__", "CON"])
def test_hostile_names(run: Run, home: Path, name: str) -> None:
    """Any name is remembered and found, and its worksheet and rounds have a safe file."""
    assert run("decks", "add", "--name", name, "--pivot-to-spindle", "222").status == 0
    ran = run("correct", "--deck", name, "--reading", "66:1", "--reading", "120.9:0")
    assert ran.out.startswith("Round 1. "), ran.err
    shown = run("decks", "show", "--", name)
    assert shown.status == 0
    due = shlex.split(shown.out.splitlines()[-1])
    assert due[due.index("--deck") + 1] == " ".join(name.split())
    assert run("decks", "remove", "--", name).status == 0


def test_names_are_completed(home: Path) -> None:
    """Names of one word, from the file that is named; none of a damaged file."""
    asked = ShellComplete(cli, {}, "protractor", "_COMPLETE")

    def offered(*words: str) -> list[str]:
        return [each.value for each in asked.get_completions(list(words[:-1]), words[-1])]

    assert offered("solve", "--deck", "a") == ["attic"]
    assert offered("decks", "show", "A") == ["attic"]
    assert offered("solve", "--decks", "no.toml", "--deck", "") == []
    home.write_bytes(b"\xff")
    assert offered("template", "--deck", "") == []
