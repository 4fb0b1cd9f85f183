"""Reading a file that is one; writing a file whole or not at all, by one process at a time.

A link is followed: the file that it leads to is written, and the link stays. What is there and no
ordinary file (a folder, a device, a pipe) is never written to.
"""

from __future__ import annotations

import errno
import os
import re
import stat
import tempfile
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from protractor.errors import InputError

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]

LONGEST_STEM = 40
"""Characters of a title that a file name takes; more may be too long for a file system."""

PART, PART_END = ".protractor-", ".part"
"""How the name of a file that is being written begins and ends."""

FULL = (errno.ENOSPC, errno.EDQUOT)
"""What the system says when there is no room."""


def file_stem(title: str, longest: int = LONGEST_STEM) -> str:
    """A title as a safe piece of a file name: letters and digits of any script, and hyphens."""
    words = re.split(r"[^\w]+|_+", unicodedata.normalize("NFKC", title).casefold())
    return "-".join(word for word in words if word)[:longest].strip("-")


def read_whole(path: Path, largest: int) -> bytes:
    """What a file holds, when it is a file of up to `largest` bytes.

    Raises `FileNotFoundError` when nothing is there, and `Unreadable` for what is no such file: a
    folder, a pipe or device, which may have no end, a link that leads round, a file too large or
    one that the system does not let us read.
    """
    try:
        kind = path.stat().st_mode  # before it is opened: to open a device can be to start it
        if not _on_one_line(path):
            raise Unreadable("a file whose name has more than one line")
        if not stat.S_ISREG(kind):
            raise Unreadable("a folder" if stat.S_ISDIR(kind) else "a pipe or device")
        with path.open("rb") as stream:
            data = stream.read(largest + 1)
    except FileNotFoundError:
        raise
    except OSError as error:
        raise Unreadable(f"a file that cannot be read ({error.strerror})") from error
    if len(data) > largest:
        raise Unreadable(f"a file of over {largest:,} bytes")
    return data


def _on_one_line(path: Path) -> bool:
    return not {"\n", "\r"} & set(str(path))


class Unreadable(Exception):
    """What stands in the place of a file that can be read, as a noun with its article."""


def refuse(path: Path, force: bool, name: str = "output") -> None:
    """Raise `InputError` when `path` cannot be written to, before any work is done.

    That is when it is no ordinary file (a folder, a device, a pipe, a link to one of these or to
    itself), when it exists and `force` is not set, or when its folder is missing or cannot be
    written to; or when its name has a line end, which would make a line of its own of what is
    printed about it.
    """
    if not _on_one_line(path):
        raise InputError(name, path, "a name on one line", "leave the line end out of the name")
    target = _followed(path)
    folder = target.parent
    mode = _mode(target, path, name)
    if mode is not None and stat.S_ISDIR(mode):
        raise InputError(name, path, "the name of a file", "it is a folder: add a file name")
    if mode is not None and not stat.S_ISREG(mode):
        raise InputError(
            name, path, "an ordinary file", "it is a device or a pipe: name another file"
        )
    if mode is not None and not force:
        raise InputError(
            name, path, "a file that does not exist yet", "kept it; say `force` to replace it"
        )
    if not folder.is_dir():
        raise InputError(
            name, path, "a file in a folder that exists", f"make the folder {folder} first"
        )
    if not os.access(folder, os.W_OK | os.X_OK):
        raise InputError(
            name, path, "a folder that can be written to", f"{folder} is read-only: name another"
        )


def same(path: Path, data: bytes) -> bool:
    """Whether an ordinary file is there already and holds just this."""
    try:
        there = path.stat()
        return (
            stat.S_ISREG(there.st_mode) and there.st_size == len(data) and path.read_bytes() == data
        )
    except OSError:  # what is wrong with it is found when it is written
        return False


def write_whole(
    path: Path, data: bytes, *, force: bool, name: str = "output", tidy: bool = True
) -> bool:
    """Write `data` to `path` so that the file is there whole or not at all.

    A file that is there already stays as it is unless `force` is set; its mode stays in any case.
    Unless `tidy` is off, what a killed run left half written in the folder is cleared away first.

    Returns:
        whether it was written; False when the file was there already and the same.

    Raises:
        InputError: when another file is there, or when the disk or the folder refuses.
    """
    there = same(path, data)
    refuse(path, force or there, name)
    if there:
        return False
    target = _followed(path)
    if tidy:
        clear_parts(target.parent)
    held = _hold(target.parent, alone=False)
    part = ""
    try:
        handle, part = tempfile.mkstemp(dir=target.parent, prefix=PART, suffix=PART_END)
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        before = _mode(target, path, name)
        os.chmod(part, 0o666 & ~_umask() if before is None else stat.S_IMODE(before))
        if force:
            os.replace(part, target)
        else:
            _place_new(part, path, name)
        part = ""
        os.stat(path)  # what is reported is there
    except OSError as error:
        raise _unwritable(name, path, error) from error
    finally:
        if part:
            Path(part).unlink(missing_ok=True)
        if held is not None:
            os.close(held)
    return True


def append_whole(path: Path, data: bytes, name: str) -> None:
    """Add `data` at the end of a file, made when there is none, whole or not at all.

    Raises `InputError` when the disk or the folder refuses; what could not be added whole is taken
    back.
    """
    refuse(path, True, name)
    try:
        new = not path.exists()
        handle = os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o666)
        before, written = os.fstat(handle).st_size, 0
        try:
            written = os.write(handle, data)
            if written != len(data):
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            os.fsync(handle)
        except OSError:  # an interrupt leaves the line that is there whole
            os.ftruncate(handle, before)
            if new:
                _followed(path).unlink(missing_ok=True)
            raise
        finally:
            os.close(handle)
    except OSError as error:
        raise _unwritable(name, path, error) from error


def make_folder(path: Path, name: str = "output") -> None:
    """Make a folder, and those above it, when it is not there; `InputError` when that fails."""
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise _unwritable(name, path, error) from error


def clear_parts(folder: Path) -> None:
    """Remove what killed runs left half written in a folder, unless somebody is writing there."""
    held = _hold(folder, alone=True)
    if held is None:
        return
    try:
        for part in folder.glob(f"{PART}*{PART_END}"):
            part.unlink(missing_ok=True)
    except OSError:
        pass  # it stays for another run
    finally:
        os.close(held)


@contextmanager
def alone(
    path: Path,
    name: str,
    *,
    allowed: str = "a file that no other process is changing",
    wait_s: float = 20.0,
) -> Iterator[None]:
    """Only one process at a time, for reading, changing and writing a file.

    A lock file stands beside the file that `path` leads to as long as one process is at it, and
    goes with it; one that a killed process left locks nothing. Raises `InputError` with what is
    `allowed` when another process is still at it after `wait_s` seconds, and as `refuse` does.
    """
    from filelock import FileLock, Timeout

    refuse(path, True, name)
    target = _followed(path)
    lock = FileLock(target.with_name(f".{target.name}.lock"), timeout=wait_s)
    try:
        lock.acquire()
    except Timeout as error:
        raise InputError(name, path, allowed, "try again when it is done") from error
    except OSError as error:
        raise _unwritable(name, path, error) from error
    try:
        yield
    finally:
        # while it is held: whoever waits for this one sees that it is gone, and makes a new one
        with suppress(OSError):
            os.unlink(lock.lock_file)
        lock.release()


def _hold(folder: Path, *, alone: bool) -> int | None:
    """A handle that holds a folder until it is closed: together with others, or `alone` at once.

    None when somebody else has the folder, or where folders cannot be held.
    """
    if fcntl is None:
        return None
    handle = None
    try:
        handle = os.open(folder, os.O_RDONLY)
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB if alone else fcntl.LOCK_SH)
    except OSError:
        if handle is not None:
            os.close(handle)
        return None
    return handle


def _followed(path: Path) -> Path:
    """The file that a path leads to when it is a link, else the path as it is."""
    return Path(os.path.realpath(path)) if os.path.islink(path) else path


def _mode(target: Path, path: Path, name: str) -> int | None:
    """What kind of file is there and who may use it, None when there is none."""
    try:
        return target.stat().st_mode
    except (FileNotFoundError, NotADirectoryError):
        return None
    except OSError as error:  # a name that is too long, a link to itself
        raise _unwritable(name, path, error) from error


def _unwritable(name: str, path: Path, error: OSError) -> InputError:
    """What to tell the user when the system refuses."""
    remedy = "make room and try again" if error.errno in FULL else "name another file or folder"
    return InputError(name, path, "a file that can be written", f"{error.strerror}: {remedy}")


def no_room(error: InputError) -> bool:
    """Whether a file could not be written because the disk is full."""
    cause = error.__cause__
    return isinstance(cause, OSError) and cause.errno in FULL


def _place_new(temporary: str, path: Path, name: str) -> None:
    """Give the finished file its name, but never over one that appeared meanwhile."""
    target = _followed(path)
    try:
        os.link(temporary, target)
    except FileExistsError:
        refuse(path, False, name)
    except OSError:
        # a file system without hard links: the check in `refuse` has to do
        os.replace(temporary, target)
        return
    os.unlink(temporary)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
