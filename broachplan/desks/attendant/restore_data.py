"""Put the crib back from a backup."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from broachplan.questions.files import RestoreRequest
from broachplan.store.restore import Restored, restore

__all__ = ["Restored", "restore_data"]


def restore_data(db: str | None, request: RestoreRequest, *, on: date) -> Restored:
    """Restore the crib from a backup; the data that was there is kept under a name dated ``on``.

    Raises
    ------
    InputError : there is no such backup.
    StorageError : the backup is damaged, of an unknown revision or fails its check, or the crib is in use.
    """
    return restore(db, Path(request.file), on)
