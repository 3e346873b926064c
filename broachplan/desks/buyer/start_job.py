"""Start a job: plan it on its days, and hold broach, bushing and shims of the plan, all or none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from broachplan.crib.shelf import Shelf
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError, ExitCode, InputError
from broachplan.jobs.days import days_of
from broachplan.jobs.job import Job, JobAct, JobState, why_not_become
from broachplan.planner.answer import Answer, Plan
from broachplan.planner.bounds import bounds_of
from broachplan.planner.plan import MOST_PLANS, plan
from broachplan.questions.jobs import JobStartRequest
from broachplan.questions.read_hub import read_hub_question
from broachplan.questions.read_job import question_of
from broachplan.questions.read_run import read_number
from broachplan.settings import Settings
from broachplan.store.job_holds import asker_for, hold_pieces
from broachplan.store.jobs import JobLine, keep_jobs, load_job
from broachplan.store.run_shelf import check_unchanged, in_the_way, without_loans_and_holds
from broachplan.store.settings_store import load_settings
from broachplan.store.shelf_read import read_snapshot
from broachplan.store.transaction import Work
from broachplan.store.work import reading, writing


@dataclass(frozen=True, slots=True)
class StartedJob:
    """A job that is started now: ``made`` is the plan whose pieces it holds on its days."""

    job: Job
    made: Plan
    late: bool

    @property
    def lines(self) -> tuple[str, ...]:
        """What it holds and on which days, and that it is late where it is."""
        first, last = self.job.held[0], self.job.held[-1]
        days = f"on {first}" if first == last else f"from {first} to {last}"
        late = (
            (f"late: its days at the press should have begun by now; the last was to be {self.job.last_day}",)
            if self.late
            else ()
        )
        cautions = (each.text for each in self.made.cautions if each.rule in _WAITS)
        return (
            f"job {self.job.number} is started; held {days}: {', '.join(self.job.pieces)}",
            *late,
            *cautions,
        )


@dataclass(frozen=True, slots=True)
class JobNotStarted:
    """There is no plan, so nothing is held; the answer says why and what would help."""

    answer: Answer

    @property
    def code(self) -> ExitCode:
        """The answer is no."""
        return ExitCode.NO


_WAITS = ("due_back", "on_order")


def start_job(
    db: str | None, request: JobStartRequest, *, at: datetime | None = None
) -> StartedJob | JobNotStarted:
    """Start a coming job with its best plan, or with another one of its plans.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`. The day decides whether the job is late and which loans are overdue.

    Raises
    ------
    InputError : no such job, or no plan of that number.
    CribStateError : it is not coming; there would be a plan with pieces that are lent or held for other work on its days;
        a piece was taken or changed meanwhile.
    StorageError : the database cannot be used.
    """
    stamp = stamped(request.by, at)
    number = read_number(request.plan, "plan") if request.plan.strip() else 1
    with reading(db, to_write=True) as work:
        job = load_job(work, request.number)
        if why := why_not_become(job, JobState.STARTED):
            raise CribStateError(why)
        settings = load_settings(work)
        days = days_of(job, stamp.day, settings.work_days)
        shelf = _shelf(work, job, settings, days.days, stamp.day)
        answer = _planned(job, shelf, settings, number)
        anyway = answer if answer.ready else _planned(job, without_loans_and_holds(work, shelf), settings, 1)
    if not answer.ready:
        if anyway.ready:
            raise CribStateError(in_the_way(anyway.plans[0], shelf))
        return JobNotStarted(answer)
    if number > len(answer.plans):
        raise InputError("plan", f"the job has {len(answer.plans)}", read=request.plan)
    made = answer.plans[number - 1]
    with writing(db) as work:
        if load_job(work, job.number) != job:
            raise CribStateError(
                f"job {job.number} was changed meanwhile; look at it again and then start it"
            )
        check_unchanged(
            work, (made.broach, made.bushing, *(shim for one in made.passes for shim in one.stack))
        )
        lines = hold_pieces(work, job, made.taken, days.days, stamp.day)
        started = replace(job, state=JobState.STARTED, pieces=made.taken, held=days.days)
        keep_jobs(work, stamp, [JobLine(JobAct.STARTED, job, started)], lines)
        work.commit()
    return StartedJob(started, made, days.late)


def _shelf(work: Work, job: Job, settings: Settings, days: Sequence[date], today: date) -> Shelf:
    hub, keyway = read_hub_question(question_of(job))
    snapshot = read_snapshot(work, bounds_of(keyway, hub.bore.lower, settings), days)
    return snapshot.shelf_for(days, today=today, asker=asker_for(work, job))


def _planned(job: Job, shelf: Shelf, settings: Settings, number: int) -> Answer:
    hub, keyway = read_hub_question(question_of(job))
    shown = settings.as_typed_in(hub.system)
    return plan(hub, keyway, shelf, shown, press=job.press or None, most_plans=max(number, MOST_PLANS))
