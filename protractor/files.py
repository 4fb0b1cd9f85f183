"""Reading a file that is one, and writing a file whole or not at all."""

from __future__ import annotations

import errno
import os
import re
import stat
import tempfile
import unicodedata
from pathlib import Path

from protractor.errors import InputError

LONGEST_STEM = 40
"""Characters of a title that a file name takes; more may be too long for a file system."""


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

    That is when it is a directory, when it exists and `force` is not set, or when its folder is
    missing or cannot be written to; or when its name has a line end, which would make a line of
    its own of what is printed about it.
    """
    if not _on_one_line(path):
        raise InputError(name, path, "a name on one line", "leave the line end out of the name")
    folder = path.parent
    try:
        there = path.exists()
    except OSError as error:  # a name that is too long, say
        raise _unwritable(name, path, error) from error
    if path.is_dir():
        raise InputError(name, path, "the name of a file", "it is a folder: add a file name")
    if there and not force:
        raise InputError(
            name, path, "a file that does not exist yet", "kept it; say --force to replace it"
        )
    if not folder.is_dir():
        raise InputError(
            name, path, "a file in a folder that exists", f"make the folder {folder} first"
        )
    if not os.access(folder, os.W_OK | os.X_OK):
        raise InputError(
            name, path, "a folder that can be written to", f"{folder} is read-only: name another"
        )


def write_whole(path: Path, data: bytes, *, force: bool, name: str = "output") -> None:
    """Write `data` to `path` so that the file is there whole or not at all.

    A file that is there already stays as it is unless `force` is set. Raises `InputError` when the
    file exists, or when the disk or the folder refuses.
    """
    refuse(path, force, name)
    temporary = ""
    try:
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=".protractor-")
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(temporary, 0o666 & ~_umask())
        if force:
            os.replace(temporary, path)
        else:
            _place_new(temporary, path, name)
        temporary = ""
    except OSError as error:
        raise _unwritable(name, path, error) from error
    finally:
        if temporary:
            Path(temporary).unlink(missing_ok=True)


def make_folder(path: Path, name: str = "output") -> None:
    """Make a folder, and those above it, when it is not there; `InputError` when that fails."""
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise _unwritable(name, path, error) from error


def _unwritable(name: str, path: Path, error: OSError) -> InputError:
    """What to tell the user when the system refuses."""
    full = error.errno in (errno.ENOSPC, errno.EDQUOT)
    remedy = "make room and try again" if full else "name another file or folder"
    return InputError(name, path, "a file that can be written", f"{error.strerror}: {remedy}")


def _place_new(temporary: str, path: Path, name: str) -> None:
    """Give the finished file its name, but never over one that appeared meanwhile."""
    try:
        os.link(temporary, path)
    except FileExistsError:
        refuse(path, False, name)
    except OSError:
        # a file system without hard links: the check in `refuse` has to do
        os.replace(temporary, path)
        return
    os.unlink(temporary)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
