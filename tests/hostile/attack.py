"""One hostile run of the command line.

`Attack(folder, seed)` prepares a folder; `run(n)` makes the n-th command line, runs it in this
process or as one of its own, and has it judged. The same seed and number give the
same command line.
"""

from __future__ import annotations

import io
import os
import shutil
import signal
import stat
import subprocess
import sys
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random
from types import FrameType

import click

from protractor.cli import cli, main
from tests.hostile import material
from tests.hostile.verdict import HANGS_AFTER_S, Outcome, judged

SOUND_SHARES = (1.0, 0.97, 0.8, 0.5)
"""How much of a run is sound: what is sound by itself goes far before it meets the rest."""


def _measured(reading: str) -> tuple[str, ...]:
    lines = [3 * (f"--{line}", reading) for line in ("x", "y", "rising", "falling")]
    return ("--instrument", "calipers", *(word for line in lines for word in line))


SOUND_LINES: dict[str, tuple[str, ...]] = {
    "solve": ("--pivot-to-spindle", "222"),
    "compare": ("--pivot-to-spindle", "222"),
    "template": ("--pivot-to-spindle", "222"),
    "pack": ("--pivot-to-spindle", "222"),
    "tolerance": ("--pivot-to-spindle", "222", "--draws", "1000"),
    "correct": ("--pivot-to-spindle", "222", "--reading", "66:0.5", "--reading", "120.9:-0.5"),
    "reconcile": ("--pivot-to-spindle", "222", "--effective-length", "239", "--overhang", "17"),
    "fit": ("--cartridge-output", "5", "--cartridge-velocity", "5", "--effective-length", "239"),
    "gauge pivot": (),
    "gauge plate": ("--pivot-to-spindle", "222"),
    "gauge kerf": (),
    "gauge board": ("--effective-length", "239"),
    "printer sheet": (),
    "printer record": _measured("149.9"),
    "printer verify": _measured("150"),
    "decks add": ("--name", "Three", "--pivot-to-spindle", "222"),
    "decks export": ("-o", "new.csv"),
    "batch": ("--processes", "1", "--sheet", "template", "--format", "pdf"),
}
"""Options with which a command does its work."""


class TooLong(BaseException):
    """A run that does not come to an end."""


def leaves(group: click.Group | None = None, path: str = "") -> Iterator[tuple[str, click.Command]]:
    """Every command of the command line with its words."""
    group = group or cli
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        assert command is not None
        words = f"{path} {name}".strip()
        if isinstance(command, click.Group):
            yield from leaves(command, words)
        else:
            yield words, command


class Attack:
    """A folder full of traps, and the runs in it."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.folder, self.seed = folder, seed
        self.commands = dict(leaves())
        # the demo takes no options to speak of and draws ten sheets
        # the page runs until it is stopped: tests/app attacks it
        rare = {"demo": 0.05, "app": 0.0}
        self.weights = [rare.get(name, 1.0) for name in self.commands]
        self.fields = [
            option.opts[-1].removeprefix("--")
            for option in self.commands["decks add"].params
            if isinstance(option, click.Option)
        ]
        folder.mkdir(parents=True, exist_ok=True)
        with _inside(folder):
            words = ["printer", "record", "desk", "--profile-file", "printers.toml"]
            recorded = self._here((*words, *SOUND_LINES["printer record"]))
            assert recorded.status == 0, recorded
            self.printers = Path("printers.toml").read_bytes()
            for path in folder.iterdir():
                path.unlink()
        self.files = material.fixed_files(self.printers)
        material.set_traps(folder)
        self.traps = set(os.listdir(folder))

    def run(self, number: int, *, apart: bool = False) -> Outcome:
        """The run of a number; `apart` as a process of its own, in an odd environment."""
        random = Random(f"{self.seed}/{number}")
        words = self._words(random)
        self._set(material.wild_files(random, self.printers, self.fields))
        before = self._listing()
        with _inside(self.folder):
            outcome = self._apart(words, random) if apart else self._here(words)
            now = self._listing()
            changed = [k for k in now.keys() | before.keys() if now.get(k) != before.get(k)]
            judged(outcome, [self.folder / name for name in sorted(changed)])
        self._tidy()
        return outcome

    def _words(self, random: Random) -> tuple[str, ...]:
        name = random.choices(list(self.commands), self.weights)[0]
        command = self.commands[name]
        sound = random.choice(SOUND_SHARES)
        words = list(SOUND_LINES.get(name, ())) if random.random() < 0.85 else []
        options = [p for p in command.params if isinstance(p, click.Option)]
        for option in random.sample(options, min(len(options), random.randrange(6))):
            words += self._option(random, option, sound)
        for argument in (p for p in command.params if isinstance(p, click.Argument)):
            if random.random() < 0.97:
                words.insert(0, self._argument(random, argument))
        if random.random() > sound and random.random() < 0.1:
            words.append(random.choice(material.TEXTS))
        if name == "batch" and "--processes" not in words:
            words += ["--processes", "1"]  # processes are for other tests
        if name == "print":
            words += ["--dry-run"]  # nothing shall come out of a real printer
        head = name.split()
        if random.random() < 0.01:
            head[-1] = random.choice(material.TEXTS)
        return tuple(word.replace("\0", "") for word in (*head, *words))

    def _option(self, random: Random, option: click.Option, sound: float) -> list[str]:
        name = option.opts[-1]
        if option.is_flag:
            return [name] if name != "--help" or random.random() < 0.1 else []
        plain = name.removeprefix("--")
        made = [name]
        for _ in range(option.nargs):
            pools = {
                "output": material.OUTPUTS,
                "log": material.LOGS,
                "profile-file": material.PROFILES,
                "printer": ("desk", "desk", *material.TEXTS),
                "folder": ("out", "folder", *material.PATHS),
            }
            if plain in pools and random.random() < 0.9:
                first = random.random() < sound
                made.append(pools[plain][0] if first else random.choice(pools[plain]))
            else:
                made.append(material.value(random, plain, sound))
        return made[: len(made) - (random.random() < 0.1 * (1 - sound))]

    def _argument(self, random: Random, argument: click.Argument) -> str:
        if argument.name == "decks":
            return random.choice((*material.DECKS, *3 * material.DECKS[:4]))
        return random.choice(("desk", "desk", *material.TEXTS))

    def _here(self, words: tuple[str, ...]) -> Outcome:
        """Runs in this process."""
        out, err = (
            io.TextIOWrapper(io.BytesIO(), encoding="utf-8", errors="surrogateescape")
            for _ in range(2)
        )
        broken: dict[str, str] = {}
        status: int | None = None
        kept = sys.stdout, sys.stderr, signal.getsignal(signal.SIGTERM)
        sys.stdout, sys.stderr = out, err
        signal.signal(signal.SIGALRM, _too_long)
        signal.alarm(HANGS_AFTER_S)
        try:
            status = main(list(words))
        except SystemExit as ended:
            status = ended.code if isinstance(ended.code, int) else 1
        except TooLong as error:
            broken["hang"] = f"at {_place(error)}"
        except BaseException as error:
            if isinstance(error, KeyboardInterrupt):
                raise
            broken["traceback"] = f"{type(error).__name__} at {_place(error)}: {error!a:.200}"
        finally:
            signal.alarm(0)
            sys.stdout, sys.stderr = kept[:2]
            signal.signal(signal.SIGTERM, kept[2])
        texts = [_written(stream) for stream in (out, err)]
        return Outcome(
            words=words, where="here", status=status, out=texts[0], err=texts[1], broken=broken
        )

    def _apart(self, words: tuple[str, ...], random: Random) -> Outcome:
        """Runs as a process of its own, in an odd environment or with a stream closed or full."""
        settings = random.choice(
            (
                {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
                {"LC_ALL": "C.UTF-8"},
                {"PYTHONIOENCODING": "latin-1"},
                {"PYTHONIOENCODING": "ascii:strict"},
                {"LC_ALL": "nowhere", "LANG": "xx_YY.bad"},
                {"COLUMNS": "1", "LINES": "0", "TERM": "dumb"},
                {"SOURCE_DATE_EPOCH": "abc"},
                {"MPLBACKEND": "nosuch"},
                {"HOME": "/dev/null", "XDG_CONFIG_HOME": "/dev/null"},
                {"TMPDIR": "/nowhere", "TZ": "nowhere"},
            )
        )
        streams = random.choice(("", "", "", ">&-", "2>&-", "<&-", ">&- 2>&-", ">/dev/full"))
        environment = {**os.environ, "PYTHONPATH": str(_ROOT), **settings}
        command = [sys.executable, "-m", "protractor", *words]
        done = subprocess.Popen(
            ["sh", "-c", f'exec "$@" {streams}', "sh", *map(os.fsencode, map(_as_bytes, command))],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=environment,
        )
        broken: dict[str, str] = {}
        try:
            out, err = done.communicate(timeout=3 * HANGS_AFTER_S)
        except subprocess.TimeoutExpired:
            done.kill()
            out, err = done.communicate()
            broken["hang"] = "killed"
        # what is no UTF-8 here is Latin-1, as the environment asked for
        said = [
            part.decode("latin-1" if "latin" in str(settings) else "utf-8", "backslashreplace")
            for part in (out, err)
        ]
        if "Traceback (most recent" in said[1] or "Exception ignored" in said[1]:
            broken["traceback"] = ascii(said[1].strip().splitlines()[-1])
        where = " ".join([*(f"{k}={v}" for k, v in settings.items()), streams]).strip()
        return Outcome(
            words=words,
            where=f"apart, {where}",
            status=done.returncode,
            out=said[0],
            err=said[1],
            broken=broken,
        )

    def _listing(self) -> dict[str, tuple[int, ...]]:
        """Every file of the folder with size and time of change; locks are nobody's loss."""
        found: dict[str, tuple[int, ...]] = {}
        for top, _, names in os.walk(self.folder):
            for name in names:
                if name.endswith(".lock"):
                    continue
                path = os.path.join(top, name)
                state = os.lstat(path)
                key = os.path.relpath(path, self.folder)
                found[key] = (state.st_mode, state.st_size, state.st_mtime_ns, state.st_ino)
        return found

    def _set(self, wild: dict[str, bytes]) -> None:
        for name, content in {**self.files, **wild}.items():
            path = self.folder / name
            if name in wild or not path.exists():
                path.write_bytes(content)

    def _tidy(self) -> None:
        """The folder as it was: what is new goes, what was lost or changed comes back."""
        for path in self.folder.iterdir():
            name = path.name
            if name in self.files:
                path.unlink()
            elif name not in self.traps:
                if stat.S_ISDIR(path.lstat().st_mode):
                    shutil.rmtree(path)
                else:
                    path.unlink()
            elif path.is_dir() and not path.is_symlink():
                shutil.rmtree(path)
                path.mkdir()
        if set(os.listdir(self.folder)) != self.traps:
            shutil.rmtree(self.folder)
            self.folder.mkdir()
            material.set_traps(self.folder)


_ROOT = Path(__file__).parents[2]


def _as_bytes(word: str) -> str:
    """A word that a shell could give: half a pair of surrogates has no bytes."""
    return word.encode("utf-8", "surrogateescape" if _is_raw(word) else "replace").decode(
        "utf-8", "surrogateescape"
    )


def _is_raw(word: str) -> bool:
    return all(not 0xD800 <= ord(c) <= 0xDFFF or 0xDC80 <= ord(c) <= 0xDCFF for c in word)


def _place(error: BaseException) -> str:
    """The last line of ours that an error came through, and where it came from."""
    frames = traceback.extract_tb(error.__traceback__)
    ours = [frame for frame in frames if f"{os.sep}protractor{os.sep}" in frame.filename]
    return " from ".join(
        f"{Path(frame.filename).name}:{frame.lineno}" for frame in (frames[-1], *ours[-1:])
    )


def _written(stream: io.TextIOWrapper) -> str:
    stream.flush()
    buffer = stream.detach()
    assert isinstance(buffer, io.BytesIO)
    return buffer.getvalue().decode("utf-8", "backslashreplace")


def _too_long(signum: int, frame: FrameType | None) -> None:
    raise TooLong


@contextmanager
def _inside(folder: Path) -> Iterator[None]:
    """In the folder, which is the user's home as well."""
    before, home = Path.cwd(), {k: os.environ.get(k) for k in ("HOME", "XDG_CONFIG_HOME")}
    os.chdir(folder)
    os.environ.update(dict.fromkeys(home, f"{folder}-home"))
    try:
        yield
    finally:
        os.chdir(before)
        for key, value in home.items():
            if value is None:
                del os.environ[key]
            else:
                os.environ[key] = value
