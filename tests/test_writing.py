"""Files: what is reported is there; links are followed, pipes refused; one writer at a time."""

from __future__ import annotations

import multiprocessing
import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from protractor import files
from protractor.bench.deck_file import read_decks
from protractor.cli import main
from protractor.errors import InputError
from protractor.files import PART, PART_END, alone, append_whole, write_whole
from protractor.setup import rounds
from tests.conftest import Ran

Run = Callable[..., Ran]
D = ("--pivot-to-spindle", "222")

WRITERS: dict[str, tuple[str, ...]] = {
    "template": ("template", *D, "-o", "out.pdf"),
    "plate": ("gauge", "plate", *D, "-o", "out.svg"),
    "pack": ("pack", *D, "-o", "out.pdf"),
    "compare": ("compare", *D, "-o", "out.pdf"),
    "export": ("decks", "export", "decks.toml", "-o", "out.csv"),
    "add": ("decks", "add", "out.toml", "--name", "New", *D),
    "demo": ("demo", "--folder", ".", "--format", "svg"),
    "batch": ("batch", "decks.toml", "--folder", ".", "--sheet", "plate", "--format", "svg"),
    "record": (
        *("printer", "record", "desk", "--profile-file", "out.toml", "--instrument", "calipers"),
        *("--x", "150.3", "--y", "149.5", "--rising", "149.8", "--falling", "149.8"),
    ),
    "log": ("correct", *D, "--reading", "66:1", "--reading", "120.9:0.5", "--log", "out.jsonl"),
}
"""A call of every command that writes a file."""

FORCED = ("template", "plate", "pack", "compare", "export", "demo", "batch", "record")

WRITTEN = {"demo": "demo-nine-inch-plate.svg", "batch": "bench-deck_plate.svg"}
"""What a command writes that is not named in its call."""


def target(command: str) -> Path:
    """The file that a call writes."""
    named = next((word for word in WRITERS[command] if word.startswith("out.")), "")
    return Path(WRITTEN.get(command, named))


@pytest.fixture
def call(run: Run) -> Callable[..., Ran]:
    """Runs a command that writes a file in a folder with a file of decks."""
    Path("decks.toml").write_text('[[deck]]\nname = "Bench deck"\npivot-to-spindle = 222\n')

    def called(command: str, *more: str) -> Ran:
        return run(*WRITERS[command], *more)

    return called


@pytest.mark.parametrize("command", WRITERS)
def test_a_link_to_nothing_is_followed(call: Callable[..., Ran], command: str) -> None:
    """The file that the link would lead to is written, the link stays: success means a file."""
    Path("elsewhere").mkdir()
    path, real = target(command), Path("elsewhere") / target(command).name
    path.symlink_to(real)
    ran = call(command)
    assert ran.status == 0, ran.err
    assert path.is_symlink()
    assert real.stat().st_size > 0


@pytest.mark.parametrize("command", WRITERS)
def test_a_link_to_a_file_keeps_it_and_its_mode(call: Callable[..., Ran], command: str) -> None:
    """Where a file may be changed it is the real one, in its place and with its mode."""
    first = call(command)
    assert first.status == 0, first.err
    path, real = target(command), Path("elsewhere")
    path.rename(real)
    path.symlink_to(real)
    real.chmod(0o640)
    if command in FORCED and command != "record":
        real.write_text("another's")
    before = real.read_bytes()
    again = ("--name", "Another") if command == "add" else ()
    ran = call(command, *(["--force"] if command in FORCED else []), *again)
    assert ran.status == 0, ran.err
    assert path.is_symlink()
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert real.read_bytes() != before or command == "record"


@pytest.mark.parametrize("command", ["template", "plate", "export", "record", "add"])
def test_the_same_again_is_left_and_said(call: Callable[..., Ran], command: str) -> None:
    """The same command typed again: the file stays as it is, one line says so, exit status 0.

    Another file by that name is kept as ever, and still is with the status of a refusal.
    """
    first, path = call(command), target(command)
    before = path.stat()
    again = call(command)
    assert (again.status, again.out) == (0, "" if command == "add" else first.out)
    assert again.err.startswith("protractor: note: ")
    assert again.err.endswith(" already, the same; left as it is\n")
    assert (path.stat().st_ino, path.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)
    if command in ("plate", "export"):
        path.write_bytes(path.read_bytes()[:-1] + b"?")
        other = path.read_bytes()
        refused = call(command)
        assert (refused.status, refused.out) == (2, "")
        assert "say --force to replace it" in refused.err
        assert path.read_bytes() == other


KINDS = ("pipe", "loop", "link to a pipe", "device", "folder")


@pytest.mark.parametrize(
    ("command", "kind"),
    # the demo draws every sheet before it sees one refused: once will do
    [(command, kind) for command in WRITERS for kind in KINDS if (command, kind) != ("demo", kind)]
    + [("demo", "loop")],
)
def test_what_is_no_file_is_refused(call: Callable[..., Ran], command: str, kind: str) -> None:
    """A pipe, a device, a folder, a link to one or to itself: one line, with and without force."""
    path = target(command)
    if kind == "loop":
        path.symlink_to(path.name)
    elif kind == "device":
        path.symlink_to("/dev/null")
    elif kind == "folder":
        path.mkdir()
    else:
        pipe = path if kind == "pipe" else Path("pipe")
        os.mkfifo(pipe)
        if pipe != path:
            path.symlink_to(pipe)
    before = path.lstat()
    for force in ([], ["--force"]) if command in FORCED else ([],):
        ran = call(command, *force)
        assert len(ran.err.splitlines()) == 1, ran.err
        # a batch tells of the deck that failed, and of the rest
        assert ran.status == (1 if command == "batch" else 2), ran.err
        assert os.path.samestat(path.lstat(), before)
        assert path.lstat().st_mode == before.st_mode


def test_what_is_reported_is_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file system that takes a file and has none is no success."""
    monkeypatch.setattr(files.os, "replace", lambda part, path: os.unlink(part))
    with pytest.raises(InputError, match="No such file"):
        write_whole(tmp_path / "x", b"x", force=True)


def test_parts_of_killed_runs_are_cleared(tmp_path: Path) -> None:
    """The next write in a folder clears what a killed one left, never the part of a living one.

    A user's own file by a like name stays.
    """
    part, own = tmp_path / f"{PART}abc{PART_END}", tmp_path / ".protractor-settings"
    own.write_text("mine")
    part.write_text("half")
    (living,) = (files._hold(tmp_path, alone=False),)
    write_whole(tmp_path / "one", b"1", force=False)
    assert part.exists()
    assert living is not None
    os.close(living)
    write_whole(tmp_path / "two", b"2", force=False)
    assert {path.name for path in tmp_path.iterdir()} == {"one", "two", own.name}


def at_once(work: Callable[..., None], *words: object, count: int = 12) -> list[int | None]:
    """Runs work in as many processes that start together; their exit statuses."""
    barrier = multiprocessing.Barrier(count)
    started = [
        multiprocessing.Process(target=_together, args=(barrier, work, number, *words))
        for number in range(count)
    ]
    for process in started:
        process.start()
    for process in started:
        process.join()
    return [process.exitcode for process in started]


def _together(barrier: object, work: Callable[..., None], number: int, *words: object) -> None:
    barrier.wait()  # type: ignore[attr-defined]
    work(number, *words)


def add_deck(number: int, path: Path) -> None:
    """Adds one deck by the command line."""
    raise SystemExit(main(["decks", "add", str(path), "--name", f"Deck {number}", *D]))


@pytest.mark.parametrize("ending", [".toml", ".csv"])
def test_decks_added_at_once_are_all_there(tmp_path: Path, ending: str) -> None:
    """Twelve processes that add a deck each to one file, some by a link: all twelve are there."""
    path, link = tmp_path / f"bench{ending}", tmp_path / f"link{ending}"
    link.symlink_to(path)
    assert at_once(add_deck, link) == [0] * 12
    assert {deck.name for deck in read_decks(path).decks} == {f"Deck {n}" for n in range(12)}
    assert {p.name for p in tmp_path.iterdir()} == {path.name, link.name}


def add_round(number: int, path: Path) -> None:
    """Adds a round to a log."""
    for _ in range(4):
        rounds.append(path, "pivot to spindle 222.00 mm", {"by": number})


def test_numbers_of_rounds_do_not_repeat(tmp_path: Path) -> None:
    """Twelve processes that add four rounds each: 48 rounds, 48 numbers, no litter."""
    path = tmp_path / "rounds.jsonl"
    assert at_once(add_round, path) == [0] * 12
    entries = rounds.read_rounds(path)
    assert sorted(entry["round"] for entry in entries) == list(range(1, 49))
    assert list(tmp_path.iterdir()) == [path]


def test_whoever_waits_too_long_is_told(tmp_path: Path) -> None:
    """A file that another process is changing: one line, nothing changed; a left lock is none."""
    path = tmp_path / "file"
    with (
        alone(path, "log"),
        pytest.raises(InputError, match="no other process is changing"),
        alone(path, "log", wait_s=0.05),
    ):
        pass
    (tmp_path / ".file.lock").write_text("")
    with alone(path, "log"):
        append_whole(path, b"1", "log")
    assert list(tmp_path.iterdir()) == [path]


def test_a_new_file_is_for_whom_the_umask_says(tmp_path: Path) -> None:
    """A file that is made may be read and written as other programs' files, and never run."""
    before = os.umask(0o022)
    try:
        write_whole(tmp_path / "whole", b"1", force=False)
        append_whole(tmp_path / "longer", b"1", "log")
    finally:
        os.umask(before)
    for name in ("whole", "longer"):
        assert stat.S_IMODE((tmp_path / name).stat().st_mode) == 0o644


def test_folders_that_cannot_be_held(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a folder may not be opened or locked, its files are written all the same."""
    opened = os.open

    def closed(path: object, flags: int, *more: object) -> int:
        if path == tmp_path:
            raise PermissionError
        return opened(path, flags, *more)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "open", closed)
    write_whole(tmp_path / "a", b"1", force=False)
    assert (tmp_path / "a").read_bytes() == b"1"
