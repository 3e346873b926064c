"""What a job added, changed or dropped would do to the verdicts of all jobs; nothing is changed."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.buying.assignment import Assignment, assign
from broachplan.buying.verdicts import Verdict
from broachplan.crib.words import read_day
from broachplan.desks.attendant.clock import day
from broachplan.desks.buyer.outlook import Outlook, read_outlook
from broachplan.desks.buyer.shortages import Progress
from broachplan.errors import CribStateError
from broachplan.jobs.job import Job, JobState, why_not_become
from broachplan.questions.read_job import read_job
from broachplan.questions.what_if import WhatIfRequest
from broachplan.store.job_import import as_changed, check_names, check_new
from broachplan.store.jobs import load_job
from broachplan.store.transaction import Work
from broachplan.store.work import reading


@dataclass(frozen=True, slots=True)
class VerdictChange:
    """A job whose verdict would be another; None where it is not in the list before, or after."""

    number: str
    before: Verdict | None
    after: Verdict | None


@dataclass(frozen=True, slots=True)
class JobDifference:
    """What a change of one job would do: its own verdict before and after, and the other jobs whose verdict changes.

    ``ready`` is how many jobs are ready before and after.
    """

    own: VerdictChange
    others: tuple[VerdictChange, ...]
    ready: tuple[int, int]
    proven: bool


def what_if(db: str | None, request: WhatIfRequest, *, progress: Progress | None = None) -> JobDifference:
    """Judge all open jobs as they are, and as they would be.

    Raises
    ------
    InputError : no such job, or a text that cannot be read.
    CribStateError : the job is done or dropped.
    StorageError : the database cannot be used.
    """
    on = day(read_day(request.on, "day"))
    with reading(db) as work:
        outlook = read_outlook(work, on)
        number, changed = _changed(work, request)
    would = outlook.without(number) if changed is None else outlook.with_job(changed)
    before = _assigned(outlook)
    if progress is not None:
        progress(1, 2)
    after = _assigned(would)
    return difference(number, before, after)


def difference(number: str, before: Assignment, after: Assignment) -> JobDifference:
    """Which verdicts differ between two assignments; ``number`` is the job that was changed."""
    was = {one.job.number: one.verdict for one in before.judged}
    now = {one.job.number: one.verdict for one in after.judged}
    others = [
        VerdictChange(one, was.get(one), now.get(one))
        for one in dict.fromkeys((*was, *now))
        if one != number and was.get(one) is not now.get(one)
    ]
    return JobDifference(
        VerdictChange(number, was.get(number), now.get(number)),
        tuple(others),
        (len(before.ready), len(after.ready)),
        before.proven and after.proven,
    )


def _assigned(outlook: Outlook) -> Assignment:
    # The marks between the jobs are the judge's, so each form of the list has its own.
    return assign(outlook.coming, outlook.judge, plans=False)


def _changed(work: Work, request: WhatIfRequest) -> tuple[str, Job | None]:
    """The number of the job as it is kept, and the job as it would be; None where it is dropped."""
    if request.new:
        job = read_job(request.number, request.values)
        check_new(work, job)
        return job.number, job
    before = load_job(work, request.number)
    if not before.state.is_open:
        raise CribStateError(why_not_become(before, JobState.COMING))
    if request.dropped:
        return before.number, None
    after = as_changed(before, request.values)
    if request.values.keys() & {"press", "after"}:
        check_names(work, after)
    return before.number, after
