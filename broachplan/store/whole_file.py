"""Files that are there whole or not at all: written beside their place, safe on the disk, and then renamed."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path


@contextmanager
def written_beside(path: Path, data: bytes) -> Iterator[Path]:
    """``data`` in a new file in the folder of ``path``, mode 0600 and on the disk; removed unless it takes a place.

    Raises
    ------
    OSError : the folder cannot be written to, or the disk is full.
    """
    handle, name = tempfile.mkstemp(prefix=".broachplan-", suffix=".tmp", dir=path.parent)
    made = Path(name)
    try:
        with open(handle, "wb") as file:
            if hasattr(os, "fchmod"):
                # A umask can only have taken rights away.
                os.fchmod(handle, 0o600)
            file.write(data)
            file.flush()
            os.fsync(handle)
        yield made
    finally:
        made.unlink(missing_ok=True)


def take_place(made: Path, path: Path) -> None:
    """Rename ``made`` to ``path``, whatever was there, so that a power cut leaves the one or the other."""
    made.replace(path)
    sync_folder(path.parent)


def sync_folder(folder: Path) -> None:
    """Put the names in a folder on the disk, where the system can."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def dated_name(path: Path, on: date) -> Path:
    """``crib.db`` is kept as ``crib-2031-05-28.db`` beside it, or with a number where that is taken."""
    number, free = 1, path.with_name(f"{path.stem}-{on.isoformat()}{path.suffix}")
    while free.exists():
        number += 1
        free = path.with_name(f"{path.stem}-{on.isoformat()}-{number}{path.suffix}")
    return free
