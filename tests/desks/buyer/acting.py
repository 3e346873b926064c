"""Acts of the buyer as tests write them: a word for each thing that is typed, in place of a request."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from broachplan.crib.records import Record
from broachplan.desks.buyer.add_job import AddedJob, add_job
from broachplan.desks.buyer.close_job import ClosedJob, drop_job, finish_job
from broachplan.desks.buyer.edit_job import EditedJob, edit_job
from broachplan.desks.buyer.import_jobs import import_jobs
from broachplan.desks.buyer.list_jobs import ShownJob, list_jobs, show_job
from broachplan.desks.buyer.start_job import JobNotStarted, StartedJob, start_job
from broachplan.questions.jobs import (
    JobAddRequest,
    JobDropRequest,
    JobEditRequest,
    JobFinishRequest,
    JobImportRequest,
    JobRequest,
    JobsRequest,
    JobStartRequest,
)
from broachplan.store.job_import import ImportedJobs
from tests.jobs.some import QUESTION
from tests.planner.setups import BASE
from tests.store.cribs import fill

# A Monday, by the perpetual calendar.
NOW = datetime(2031, 5, 26, 9, tzinfo=UTC)
DUE = "2031-05-28"
TAKEN = {"K", "G", *(shim.tag for shim in BASE.shims)}


def crib(db: str) -> str:
    """A crib with one broach, one bushing, a few shims and a press, which cut the hub of a job in one way."""
    assert BASE.press is not None
    pieces = (BASE.broach, BASE.bushing, *BASE.shims, BASE.press)
    fill(db, [Record(piece=piece, measured=BASE.how) for piece in pieces])
    return db


def add(db: str, number: str = "J-1", *, at: datetime = NOW, **typed: str) -> AddedJob:
    values = {"due": DUE, "quantity": "2", **QUESTION, **typed}
    return add_job(db, JobAddRequest(number=number, values=values, by="Ann"), at=at)


def edit(db: str, number: str = "J-1", *, state: str = "", at: datetime = NOW, **typed: str) -> EditedJob:
    return edit_job(db, JobEditRequest(number=number, values=typed, state=state, by="Ann"), at=at)


def start(db: str, number: str = "J-1", *, plan: str = "", at: datetime = NOW) -> StartedJob | JobNotStarted:
    return start_job(db, JobStartRequest(number=number, plan=plan, by="Kim"), at=at)


def finish(db: str, number: str = "J-1", *, at: datetime = NOW) -> ClosedJob:
    return finish_job(db, JobFinishRequest(number=number), at=at)


def drop(db: str, number: str = "J-1", *, at: datetime = NOW) -> ClosedJob:
    return drop_job(db, JobDropRequest(number=number), at=at)


def bring_in(db: str, *paths: Path) -> ImportedJobs:
    return import_jobs(db, JobImportRequest(paths=tuple(map(str, paths)), by="Ann"), at=NOW)


def shown(db: str, number: str = "J-1") -> ShownJob:
    return show_job(db, JobRequest(number=number), on=NOW.date())


def listed(db: str, state: str = "") -> list[str]:
    """The numbers of the list, in its order."""
    return [each.job.number for each in list_jobs(db, JobsRequest(state=state), on=NOW.date())]
