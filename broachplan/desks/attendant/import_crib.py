"""Bring pieces into the crib from CSV files and workbooks."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from broachplan.desks.attendant.clock import stamped
from broachplan.questions.files import ImportPreviewRequest, ImportRequest
from broachplan.store.compare import ChangedPiece
from broachplan.store.entries import Difference
from broachplan.store.exchange import (
    Imported,
    ImportPreview,
    ImportRefused,
    Progress,
    preview,
    put,
    read_files,
)
from broachplan.store.work import reading, writing

__all__ = [
    "ChangedPiece",
    "Difference",
    "ImportPreview",
    "ImportRefused",
    "Imported",
    "import_crib",
    "preview_import",
]


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
    ImportRefused : with one line for every bad row and cell, and for every row with older figures or one that jumps.
    StorageError : the database cannot be used.
    """
    stamp = stamped(request.by, at)
    incoming = read_files([Path(path) for path in request.paths], progress)
    with writing(db) as work:
        imported = put(work, incoming, stamp, older=request.older, sure=request.sure)
        work.commit()
    return imported


def preview_import(
    db: str | None, request: ImportPreviewRequest, *, progress: Progress | None = None
) -> ImportPreview:
    """What an import of files would add and change, and which rows it would refuse. It writes nothing.

    Raises
    ------
    ImportRefused : no file can be read.
    StorageError : the database cannot be used.
    """
    asked = request.asked
    incoming = read_files([Path(path) for path in asked.paths], progress)
    with reading(db) as work:
        return preview(work, incoming, older=asked.older, sure=asked.sure)
