"""A job that is done, or not wanted any more."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError
from broachplan.jobs.job import ACT_OF, Job, JobState, why_not_become
from broachplan.questions.jobs import JobDropRequest, JobFinishRequest
from broachplan.store.job_holds import check_no_open_run, free_pieces
from broachplan.store.jobs import JobLine, keep_jobs, load_job
from broachplan.store.work import writing


@dataclass(frozen=True, slots=True)
class ClosedJob:
    """A job that is done or dropped now, and the tags that it held until now."""

    job: Job
    freed: tuple[str, ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """What it is now, and what is free."""
        freed = f"; free again: {', '.join(self.freed)}" if self.freed else ""
        return (f"job {self.job.number} is {self.job.state}{freed}",)


def finish_job(db: str | None, request: JobFinishRequest, *, at: datetime | None = None) -> ClosedJob:
    """Note that a started job is done. What it holds from the day of the act on is free.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : no such job.
    CribStateError : it is not started, or a run of it is open.
    StorageError : the database cannot be used.
    """
    return _closed(db, request, JobState.DONE, at)


def drop_job(db: str | None, request: JobDropRequest, *, at: datetime | None = None) -> ClosedJob:
    """Drop a coming or a started job; see `finish_job`."""
    return _closed(db, request, JobState.DROPPED, at)


def _closed(
    db: str | None, request: JobFinishRequest | JobDropRequest, state: JobState, at: datetime | None
) -> ClosedJob:
    stamp = stamped(request.by, at)
    with writing(db) as work:
        before = load_job(work, request.number)
        if why := why_not_become(before, state):
            raise CribStateError(why)
        check_no_open_run(work, before)
        freed = free_pieces(work, before, stamp.day)
        after = replace(before, state=state, pieces=(), held=())
        keep_jobs(work, stamp, [JobLine(ACT_OF[state], before, after)], freed)
        work.commit()
    return ClosedJob(after, before.pieces)
