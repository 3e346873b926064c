"""Bring pieces into the crib from CSV files and workbooks."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from broachplan.desks.attendant.clock import stamped
from broachplan.questions.files import ImportRequest
from broachplan.store.entries import Difference
from broachplan.store.exchange import ChangedPiece, Imported, ImportRefused, Progress, put, read_files
from broachplan.store.work import writing

__all__ = ["ChangedPiece", "Difference", "ImportRefused", "Imported", "import_crib"]


def import_crib(
    db: str | None, request: ImportRequest, *, progress: Progress | None = None, at: datetime | None = None
) -> Imported:
    """Import files, or those of a folder: all of it or nothing.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    progress : called with rows read and rows in all.
    at : when; see `stamped`.

    Raises
    ------
    InputError : a name that cannot be.
    ImportRefused : with one line for every bad row and cell.
    StorageError : the database cannot be used.
    """
    stamp = stamped(request.by, at)
    incoming = read_files([Path(path) for path in request.paths], progress)
    with writing(db) as work:
        imported = put(work, incoming, stamp)
        work.commit()
    return imported
