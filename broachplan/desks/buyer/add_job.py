"""Put one more job into the list of coming work."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from broachplan.desks.attendant.clock import stamped
from broachplan.jobs.job import Job, JobAct
from broachplan.questions.jobs import JobAddRequest
from broachplan.questions.read_job import read_job
from broachplan.store.job_import import check_new
from broachplan.store.jobs import JobLine, keep_jobs
from broachplan.store.work import writing


@dataclass(frozen=True, slots=True)
class AddedJob:
    """A job that is in the list now."""

    job: Job

    @property
    def lines(self) -> tuple[str, ...]:
        """That it is in the list, and when it is due."""
        return (f"job {self.job.number} is in the list, due {self.job.due}",)


def add_job(db: str | None, request: JobAddRequest, *, at: datetime | None = None) -> AddedJob:
    """Put a new job into the list, as coming.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : another job has the number, or a text cannot be read.
    StorageError : the database cannot be used.
    """
    stamp, job = stamped(request.by, at), read_job(request.number, request.values)
    with writing(db) as work:
        check_new(work, job)
        keep_jobs(work, stamp, [JobLine(JobAct.ADDED, None, job)])
        work.commit()
    return AddedJob(job)
