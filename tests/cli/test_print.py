"""`protractor print` with a print system made of scripts: what is asked, sent and refused."""

from __future__ import annotations

import stat
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from protractor.errors import InputError
from protractor.output.pdf import pdf_bytes
from protractor.output.written import read_written
from protractor.printing import queues
from protractor.printing.paper import PAPERS, paper
from protractor.printing.profiles import load
from protractor.printing.queues import check_queue, medium_of
from protractor.sheets.calibration import calibration_page
from tests.conftest import Ran

Run = Callable[..., Ran]

RECORD = (
    *("printer", "record", "desk", "--profile-file", "p.toml", "--instrument", "calipers"),
    *("--x", "150.3", "--y", "149.5", "--rising", "149.8", "--falling", "149.8"),
)


@cache
def sheet(*papers: str) -> bytes:
    """A PDF with a page on each of these papers."""
    return pdf_bytes([calibration_page(paper(name)) for name in papers])


def script(folder: Path, name: str, text: str) -> None:
    """A command of the print system."""
    path = folder / name
    path.write_text(f"#!/bin/sh\n{text}\n")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)


@pytest.fixture
def system(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A print system with the queues desk and attic; `sent` holds the words that `lp` got."""
    folder = tmp_path / "bin"
    folder.mkdir()
    script(
        folder,
        "lpstat",
        'if [ "$1" = -e ]; then printf "desk\\nattic\\n"; else\n'
        'echo "system default destination: attic"; fi',
    )
    script(
        folder,
        "lpoptions",
        'echo "Duplex/Two-sided: None *Long"\n'
        'echo "PageSize/Media Size: *A4 Letter A4.Fullbleed Custom.WIDTHxHEIGHT"',
    )
    sent = tmp_path / "sent"
    script(
        folder,
        "lp",
        f'printf "%s\\n" "$@" "$LC_ALL" > "{sent}"; echo "request id is $2-7 (1 file(s))"',
    )
    monkeypatch.setenv("PATH", f"{folder}:/usr/bin:/bin")
    monkeypatch.chdir(tmp_path)
    for number, name in enumerate(("a4", "letter", "200x280mm")):
        Path(f"{number}.pdf").write_bytes(sheet(name))
    return folder


@pytest.mark.parametrize(
    ("file", "medium"), [("0.pdf", "A4"), ("1.pdf", "Letter"), ("2.pdf", "Custom.200x280mm")]
)
def test_a_sheet_is_sent_as_it_is(run: Run, system: Path, file: str, medium: str) -> None:
    """No scaling, the sheet's own medium, one side, a page a sheet; said with the request."""
    ran = run("print", file)
    assert (ran.status, ran.err) == (0, "")
    assert ran.out.startswith(f"Sent to queue attic as attic-7: {medium}, 100 %, one side.\n")
    *words, name, locale = Path("sent").read_text().splitlines()
    assert words == [
        *("-d", "attic", "-o", "print-scaling=none", "-o", f"media={medium}"),
        *("-o", "sides=one-sided", "-o", "number-up=1", "-o", "mirror=false"),
        *("-o", "page-border=none"),
    ]
    assert (Path(name), locale) == (Path.cwd() / file, "C")
    Path("sent").unlink()
    shown = run("print", file, "--dry-run").out
    assert shown == " ".join(["lp", *words, name]) + "\n"
    assert not Path("sent").exists()


def test_a_printer_and_its_queue_go_together(run: Run, system: Path) -> None:
    """A sheet corrected for a printer goes to the queue recorded with it, and to no other one."""
    made = ("template", "--pivot-to-spindle", "222", "--printer", "desk", "-o", "c.pdf")
    assert run(*RECORD).status == 0
    assert run(*made, "--profile-file", "p.toml").status == 0
    assert "printer 'desk': make sure that it goes there" in run("print", "c.pdf").err
    assert run(*RECORD, "--queue", "desk").status == 0  # the readings are the same
    words = ("print", "c.pdf", "--profile-file", "p.toml")
    ran = run(*words)
    assert (ran.status, ran.err) == (0, "")
    assert ran.out.startswith("Sent to queue desk as desk-7")
    assert run(*words, "--queue", "desk").status == 0
    Path("sent").unlink()
    ran = run(*words, "--queue", "attic")
    assert ran.status == 2
    assert "got attic for a sheet corrected for printer 'desk'; allowed: desk, " in ran.err
    assert not Path("sent").exists()
    assert run("print", "0.pdf", "--queue", "attic", "--profile-file", "p.toml").status == 0


def test_a_queue_is_said_later(run: Run, system: Path) -> None:
    """A recorded printer gets its queue without its readings; one that is gone is asked about."""
    made = ("template", "--pivot-to-spindle", "222", "--printer", "desk", "-o", "c.pdf")
    profiles = ("--profile-file", "p.toml")
    assert run(*RECORD).status == 0
    assert run(*made, *profiles).status == 0
    ran = run("printer", "queue", "DESK", "cellar", *profiles)
    assert (ran.status, ran.out) == (0, "desk (a4) is printed through queue cellar\n")
    ran = run("print", "c.pdf", *profiles)
    assert ran.status == 2
    assert "got cellar; allowed: desk, attic; say its queue with 'protractor printer" in ran.err
    assert run("printer", "queue", "desk", "desk", *profiles).status == 0
    assert "queue desk as desk-7" in run("print", "c.pdf", *profiles).out
    for words in (("attic", "desk"), ("desk", "two words")):
        ran = run("printer", "queue", *words, *profiles)
        assert (ran.status, ran.out, ran.err.count("\n")) == (2, "", 1)
    assert run("printer", "queue", "desk", "q", "--profile-file", "none.toml").status == 2


def test_a_queue_stays_with_its_printer(run: Run, tmp_path: Path) -> None:
    """Recorded anew without a queue, the printer keeps the one it had."""
    assert run(*RECORD, "--queue", "desk").status == 0
    again = [word.replace("150.3", "150.4") for word in RECORD]
    assert run(*again, "--force").status == 0
    [profile] = load(tmp_path / "p.toml")
    assert profile.queue == "desk"
    assert "queue desk" in run("printer", "show", "desk", "--profile-file", "p.toml").out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("missing.pdf",), "there is no such file"),
        (("bin",), "it is a folder"),
        (("text.pdf",), "allowed: a PDF that protractor wrote"),
        (("two.pdf",), "got two.pdf of 2 paper sizes; allowed: pages of one paper size"),
        (("0.pdf", "--queue", "cellar"), "got cellar; allowed: desk, attic; name one of these"),
        (("0.pdf", "--queue", "-x"), "--queue: got -x; allowed: 1 to 127"),
    ],
)
def test_what_cannot_be_printed(run: Run, system: Path, words: tuple[str, ...], said: str) -> None:
    """One line, exit status 2, nothing sent."""
    Path("text.pdf").write_text("%PDF-1.7\nnothing\n")
    Path("two.pdf").write_bytes(sheet("a4", "letter"))
    ran = run("print", *words)
    assert (ran.status, ran.out, ran.err.count("\n")) == (2, "", 1)
    assert said in ran.err
    assert not Path("sent").exists()


@pytest.mark.parametrize(
    ("command", "text", "said"),
    [
        ("lpoptions", 'echo "PageSize/Size: *Letter Legal"', "desk has Letter, Legal; draw the"),
        ("lp", 'echo "lp: Error - no space" >&2; exit 1', "lp says: lp: Error - no space; name"),
        (
            "lpstat",
            "exit 1",
            "got none; allowed: a queue of the system; set one up, or print it by",
        ),
        ("lpstat", "exec sleep 9", "got none from lpstat; allowed: an answer within 0.2 s"),
    ],
)
def test_what_the_print_system_refuses(
    run: Run, system: Path, monkeypatch: pytest.MonkeyPatch, command: str, text: str, said: str
) -> None:
    """No such paper, a queue that takes nothing, no queue at all, a system that hangs."""
    if "sleep" in text:
        monkeypatch.setattr(queues, "ASKING_S", 0.2)
    script(system, command, text)
    ran = run("print", "0.pdf", "--queue", "desk")
    assert (ran.status, ran.out, ran.err.count("\n")) == (2, "", 1)
    assert said in ran.err


def test_without_lp_it_says_how_to_print_by_hand(
    run: Run, system: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No print system: exit status 2, and what to look for in a print dialog."""
    monkeypatch.setenv("PATH", "/nowhere")
    ran = run("print", "0.pdf")
    assert ran.status == 2
    assert "print it by hand: actual size or 100 %, borderless off, on one side" in ran.err


def test_media_by_the_names_of_the_queue() -> None:
    """PPD names, those of PWG 5101.1, and a size of the user's own; never a borderless one."""
    a4, letter, own = PAPERS["a4"], PAPERS["letter"], paper("200x280mm")
    assert medium_of(letter, "q", ["iso_a4_210x297mm", "na_letter_8.5x11in"]) == (
        "na_letter_8.5x11in"
    )
    assert medium_of(PAPERS["tabloid"], "q", ["A4", "11x17"]) == "11x17"
    assert medium_of(a4, "q", []) == "A4"
    assert medium_of(own, "q", [queues.CUSTOM]) == "Custom.200x280mm"
    for size, media in ((a4, ["A4.Fullbleed", "Letter"]), (own, ["A4"])):
        with pytest.raises(InputError, match="a queue with "):
            medium_of(size, "q", media)


def test_names_of_queues() -> None:
    """As CUPS has them; nothing that `lp` would take for an option."""
    assert check_queue("desk_2/photo") == "desk_2/photo"
    for name in ("", "-d", "two words", "a#b", "x" * 128, "a\n"):
        with pytest.raises(InputError):
            check_queue(name)


def test_what_a_file_says_of_itself() -> None:
    """Sizes of every page, and the printer's name in any script; other files say nothing."""
    pages = [calibration_page(PAPERS[name]) for name in ("a4", "letter")]
    said = read_written(pdf_bytes(pages, printer="Dæmon (2)"))
    assert said is not None
    assert said.printer == "Dæmon (2)"
    assert said.sizes_mm == (
        pytest.approx((210, 297), abs=1e-3),
        pytest.approx((215.9, 279.4), abs=1e-3),
    )
    assert read_written(b"%PDF-1.7 /Creator (other) /MediaBox [0 0 10 10] /Type /Page ") is None
    assert read_written(b"") is None
