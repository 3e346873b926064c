"""Keep a copy of the crib in one file."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from broachplan.store.backup import BackedUp, back_up

__all__ = ["BackedUp", "backup_data"]


def backup_data(
    db: str | None, file: Path, on: date, *, overwrite: bool = False, with_findings: bool = False
) -> BackedUp:
    """Back the crib up into ``file``, which was read back when this returns; ``on`` is the day it bears.

    A crib that fails its check is backed up as it is, and replaces another backup only ``with_findings``.

    Raises
    ------
    InputError : ``file`` is there already and ``overwrite`` is not given, or may not have this name.
    StorageError : the crib is damaged, it fails its check and another backup is there, or the backup cannot be written.
    """
    return back_up(db, file, on, overwrite=overwrite, with_findings=with_findings)
