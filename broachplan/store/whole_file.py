"""Files that are there whole or not at all: written beside their place, safe on the disk, and then renamed."""

from __future__ import annotations

import os
import stat
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import date
from pathlib import Path

from broachplan.errors import InputError, quoted
from broachplan.store.location import reason, sync_folder

try:
    import fcntl
except ImportError:  # a system without it
    fcntl = None  # type: ignore[assignment]

_BEGINS, _ENDS = ".broachplan-", ".tmp"


class ThereAlreadyError(InputError):
    """A file of that name is there, and nobody asked for it to be replaced."""


def check_place(file: Path, what: str, kept: Sequence[Path], *, overwrite: bool) -> None:
    """Refuse a name for a new file that would take the place of a folder, a kept file, or unasked of anything.

    Parameters
    ----------
    file : where it is to be written.
    what : what it is to be, for the messages.
    kept : files that are never replaced: those of the crib.
    overwrite : whether another file may be replaced.

    Raises
    ------
    InputError : it may not have this name.
    ThereAlreadyError : another file has it.
    """
    name = quoted(str(file), most=200)
    if "\0" in str(file):
        raise InputError(f"{what}: read {name}, which no file can be called; choose another name")
    try:
        if any(file.resolve() == each.resolve() or _same(file, each) for each in kept):
            raise InputError(f"{name} is the crib's own file; choose another name for the {what}")
        if file.is_dir():
            raise InputError(f"{name} is a folder; name a file in it")
        if not file.parent.is_dir():
            raise InputError(f"{name}: there is no such folder; make it first")
        if file.exists() and not file.is_file():
            raise InputError(f"{name} is not a file; choose another name")
        if file.exists() and not overwrite:
            raise ThereAlreadyError(
                f"{name} is there already; choose another name, or add --overwrite to replace it"
            )
    except (OSError, RuntimeError) as error:
        told_why = reason(error) if isinstance(error, OSError) else "its links go round in a circle"
        raise InputError(f"{name} cannot be used: {told_why}; choose another name") from error


def _same(one: Path, other: Path) -> bool:
    return one.exists() and other.exists() and one.samefile(other)


class UnsureError(OSError):
    """A file has its name, but the disk did not confirm it: after a power cut it may have the old one."""


@contextmanager
def written_beside(path: Path, data: bytes) -> Iterator[Path]:
    """``data`` in a new file in the folder of ``path``, mode 0600 and on the disk; removed unless it takes a place.

    What others that were killed had begun there is removed too.

    Raises
    ------
    OSError : the folder cannot be written to, or the disk is full.
    """
    _sweep(path.parent)
    handle, made = _begun(path.parent)
    claim = os.dup(handle)
    try:
        with open(handle, "wb") as file:
            if hasattr(os, "fchmod"):
                # A umask can only have taken rights away.
                os.fchmod(handle, 0o600)
            file.write(data)
            file.flush()
            os.fsync(handle)
        if fcntl is None:
            # Where a file that is open cannot be renamed.
            os.close(claim)
        yield made
    finally:
        made.unlink(missing_ok=True)
        with suppress(OSError):
            os.close(claim)


def _begun(folder: Path) -> tuple[int, Path]:
    """A new file that is claimed until its last handle is closed."""
    while True:
        handle, name = tempfile.mkstemp(prefix=_BEGINS, suffix=_ENDS, dir=folder)
        _claim(handle, wait=True)
        if os.fstat(handle).st_nlink:
            return handle, Path(name)
        # It was swept up in the moment before it was claimed.
        os.close(handle)


def _sweep(folder: Path) -> None:
    """Remove what was begun in a folder by those who ended before they were done: files that nobody claims."""
    if fcntl is None:
        return
    for path in folder.glob(f"{_BEGINS}*{_ENDS}"):
        with suppress(OSError):
            handle = os.open(path, os.O_RDWR | os.O_NOFOLLOW | os.O_NONBLOCK)
            try:
                about = os.fstat(handle)
                ours = stat.S_ISREG(about.st_mode) and about.st_uid == os.geteuid()
                if ours and _claim(handle, wait=False):
                    path.unlink()
            finally:
                os.close(handle)


def _claim(handle: int, *, wait: bool) -> bool:
    """Claim a file; False where another has claimed it, or the system knows no claims."""
    if fcntl is None:
        return False
    try:
        fcntl.flock(handle, fcntl.LOCK_EX if wait else fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def take_place(made: Path, path: Path) -> None:
    """Rename ``made`` to ``path``, whatever was there, so that a power cut leaves the one or the other.

    Raises
    ------
    UnsureError : it was renamed, and the disk did not confirm it.
    OSError : it was not renamed.
    """
    made.replace(path)
    try:
        sync_folder(path.parent)
    except OSError as error:
        raise UnsureError(error.errno, error.strerror) from error


def dated_name(path: Path, on: date) -> Path:
    """``crib.db`` is kept as ``crib-2031-05-28.db`` beside it, or with a number where that is taken."""
    number, free = 1, path.with_name(f"{path.stem}-{on.isoformat()}{path.suffix}")
    while free.exists():
        number += 1
        free = path.with_name(f"{path.stem}-{on.isoformat()}-{number}{path.suffix}")
    return free
