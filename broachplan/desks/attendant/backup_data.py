"""Keep a copy of the crib in one file."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from broachplan.questions.files import BackupRequest
from broachplan.store.backup import BackedUp, back_up

__all__ = ["BackedUp", "backup_data"]


def backup_data(db: str | None, request: BackupRequest, *, on: date) -> BackedUp:
    """Back the crib up into a file, which was read back when this returns; ``on`` is the day it bears.

    A crib that fails its check is backed up as it is, and replaces another backup only with that allowed.

    Raises
    ------
    InputError : the file is there already and may not be replaced, or may not have this name.
    StorageError : the crib is damaged, it fails its check and another backup is there, or the backup cannot be written.
    """
    return back_up(
        db, Path(request.file), on, overwrite=request.overwrite, with_findings=request.with_findings
    )
