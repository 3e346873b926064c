"""Bring a list of coming jobs into the crib."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from broachplan.desks.attendant.clock import stamped
from broachplan.questions.jobs import JobImportRequest
from broachplan.store.job_files import read_lists
from broachplan.store.job_import import ImportedJobs, put_jobs
from broachplan.store.work import writing

__all__ = ["ImportedJobs", "import_jobs"]


def import_jobs(db: str | None, request: JobImportRequest, *, at: datetime | None = None) -> ImportedJobs:
    """Add the jobs of a list that are new and change the coming ones that differ: all rows or none.

    Jobs that are started, done or dropped are never touched; the result says which of their rows differ.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : a name that cannot be.
    ImportRefused : with one line for every bad row and cell.
    StorageError : the database cannot be used.
    """
    stamp = stamped(request.by, at)
    lists = read_lists(Path(path) for path in request.paths)
    with writing(db) as work:
        imported = put_jobs(work, lists, stamp)
        work.commit()
    return imported
