"""Files and folders that are their owner's alone, whatever the umask."""

from __future__ import annotations

import os
from pathlib import Path


def make_private_file(path: Path) -> bool:
    """Make an empty file with mode 0600 unless there is one; whether it was made."""
    try:
        handle = os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR | getattr(os, "O_CLOEXEC", 0), 0o600)
    except FileExistsError:
        return False
    try:
        # A umask can only have taken rights away.
        if hasattr(os, "fchmod"):
            os.fchmod(handle, 0o600)
    finally:
        os.close(handle)
    return True


def make_private_folder(folder: Path) -> None:
    """Make a folder, and what is missing above it, for its owner alone."""
    if folder.is_dir():
        return
    make_private_folder(folder.parent)
    make_one_private_folder(folder)


def make_one_private_folder(folder: Path) -> None:
    """Make a folder in one that is there, for its owner alone; another may be first."""
    try:
        folder.mkdir(mode=0o700)
    except FileExistsError:
        if not folder.is_dir():
            raise
        return
    # A umask can only have taken rights away.
    folder.chmod(0o700)
    sync_folder(folder.parent)


def sync_folder(folder: Path) -> None:
    """Put the names in a folder on the disk, where the system can."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
