"""Which runs of the program at this station are over: each that keeps something holds a lock that ends with it.

A number of a process would be given to another one after a while, and after a restart of the machine at once.
"""

from __future__ import annotations

import atexit
import os
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from typing import Any

from broachplan.errors import StorageError, quoted
from broachplan.private import make_private_file, make_private_folder
from broachplan.store.location import reason

_ENDS = ".session"
# Files that this run holds locked, by their path; they stay open until it ends.
_HELD: dict[Path, int] = {}


def begin(folder: Path, session: str) -> None:
    """Hold the lock of a session until this program ends; once is enough.

    Raises
    ------
    StorageError : the folder cannot be written to.
    """
    path = _path(folder, session)
    if path in _HELD:
        return
    try:
        make_private_folder(folder)
        make_private_file(path)
        handle = os.open(path, os.O_RDWR | getattr(os, "O_CLOEXEC", 0))
    except OSError as error:
        raise StorageError(
            f"{quoted(str(folder), most=200)} cannot be written to: {reason(error)}"
        ) from error
    _locked(handle)
    if not _HELD:
        atexit.register(end_all)
    _HELD[path] = handle


def end_all() -> None:
    """Give up every lock, as the end of the program does."""
    while _HELD:
        path, handle = _HELD.popitem()
        os.close(handle)
        with suppress(OSError):
            path.unlink()


def is_over(folder: Path, session: str) -> bool:
    """Whether no program runs that began a session; the mark of one that is over is removed."""
    path = _path(folder, session)
    if path in _HELD:
        return False
    try:
        handle = os.open(path, os.O_RDWR)
    except OSError:
        return True
    try:
        if not _locked(handle):
            return False
        with suppress(OSError):
            path.unlink()
        return True
    finally:
        os.close(handle)


def _path(folder: Path, session: str) -> Path:
    # A session is named in a file that anybody may have changed.
    name = session if session.isalnum() else session.encode().hex()
    return folder / f"{name[:64]}{_ENDS}"


def _locked(handle: int) -> bool:
    """Whether the lock could be had; where the system has none of this kind, two programs of one user are not kept apart."""
    try:
        locks: Any = import_module("fcntl")
    except ImportError:
        return True
    try:
        locks.flock(handle, locks.LOCK_EX | locks.LOCK_NB)
    except OSError:
        return False
    return True
