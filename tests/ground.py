"""Empty folders for the tests, in memory where there is room: on a disk every commit waits.

A folder of one name is the same one each time. The program keeps an engine for a file's name, and with it the SQL that
it made for statements; under a new name each test would have it made again.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from functools import cache
from pathlib import Path


def in_memory() -> Path | None:
    """A folder in memory, where there is one with room."""
    memory = Path("/dev/shm")
    if memory.is_dir() and os.access(memory, os.W_OK) and shutil.disk_usage(memory).free > 2**31:
        return memory
    return None


def emptied(name: str) -> Path:
    """The folder of that name, with nothing in it; it goes when the tests of this process are done."""
    folder = _own() / name
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    return folder


def forget() -> None:
    """Remove all of them."""
    if _own.cache_info().currsize:
        shutil.rmtree(_own(), ignore_errors=True)
        _own.cache_clear()


@cache
def _own() -> Path:
    return Path(tempfile.mkdtemp(prefix="broachplan-tests-", dir=in_memory()))
