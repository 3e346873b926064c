"""The list of coming work, and one job of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from broachplan.desks.attendant.clock import day
from broachplan.jobs.days import PressDays, held_or_days
from broachplan.jobs.entries import JobEntry
from broachplan.jobs.job import Job, read_job_state
from broachplan.questions.jobs import JobRequest, JobsRequest
from broachplan.store.jobs import job_entries, load_job, load_jobs
from broachplan.store.settings_store import load_settings
from broachplan.store.work import reading
from broachplan.work_days import WorkDays


@dataclass(frozen=True, slots=True)
class ListedWork:
    """A job with its days at the press; a job that is done or dropped has none any more."""

    job: Job
    days: PressDays


@dataclass(frozen=True, slots=True)
class ShownJob:
    """A job with its days at the press, and what was done to it, the latest first."""

    listed: ListedWork
    history: tuple[JobEntry, ...]


def list_jobs(db: str | None, request: JobsRequest, *, on: date | None = None) -> tuple[ListedWork, ...]:
    """The jobs in their order, all or those in one state; ``on`` is the day that decides which are late, else today.

    Raises
    ------
    InputError : no such state.
    StorageError : the database cannot be used.
    """
    state = read_job_state(request.state) if request.state.strip() else None
    with reading(db) as work:
        jobs, working = load_jobs(work, state), load_settings(work).work_days
    return tuple(_listed(job, day(on), working) for job in jobs)


def show_job(db: str | None, request: JobRequest, *, on: date | None = None) -> ShownJob:
    """One job with all that is known of it; see `list_jobs`.

    Raises
    ------
    InputError : no such job.
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        job = load_job(work, request.number)
        history = tuple(job_entries(work, number=job.number))
        working = load_settings(work).work_days
    return ShownJob(_listed(job, day(on), working), history)


def _listed(job: Job, on: date, working: WorkDays) -> ListedWork:
    return ListedWork(job, held_or_days(job, on, working) if job.state.is_open else PressDays(()))
