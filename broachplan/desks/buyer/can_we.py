"""Can we do it? What `shortages` and `plan` would say of a job that is not in the list, while somebody waits for the answer."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from broachplan.buying.assignment import Assignment, assign
from broachplan.buying.free_days import InUseByDay, first_days
from broachplan.crib.words import read_day
from broachplan.desks.attendant.clock import day
from broachplan.desks.buyer.outlook import Outlook, read_outlook
from broachplan.desks.buyer.shortages import JobShortage, Opening, Progress, with_band
from broachplan.desks.buyer.what_if import VerdictChange, difference
from broachplan.errors import InputError
from broachplan.jobs.job import Job
from broachplan.jobs.numbers import next_number
from broachplan.planner.answer import Plan
from broachplan.questions.can_we import CanWeRequest
from broachplan.questions.read_job import read_job
from broachplan.runs.push_time import PushTime, push_time
from broachplan.settings import Settings
from broachplan.store.jobs import load_jobs
from broachplan.store.push_times import pushes_booked
from broachplan.store.work import reading

_FIRST_NUMBER, _STEPS = "J-1", 3


class CanWeSay(StrEnum):
    """The answer: yes; yes but on an earlier day than the one asked for; only on a later one; or no."""

    YES = "yes"
    EARLIER = "earlier"
    LATER = "later"
    NO = "no"


@dataclass(frozen=True, slots=True)
class CanWe:
    """The answer for one job that is not in the list.

    ``shortage`` is the job as `shortages` judges it on its due day, under the next free number; where no day was given
    that is the first day on which it can be cut. ``first`` is that day, with every ready job unmoved; ``made`` its plan
    on the day on which it can be cut. ``others`` are the jobs whose verdicts it would change; ``push`` is how long a push
    takes here.
    """

    on: date
    shortage: JobShortage
    first: date | None
    made: Plan | None
    others: tuple[VerdictChange, ...]
    push: PushTime | None
    settings: Settings
    proven: bool

    @property
    def says(self) -> CanWeSay:
        """The answer in one word."""
        if self.shortage.ready:
            return CanWeSay.YES
        if self.press_by is not None:
            return CanWeSay.EARLIER
        return CanWeSay.LATER if self.first is not None else CanWeSay.NO

    @property
    def press_by(self) -> date | None:
        """The day on which it is to be cut where that is before its due day; None where it need not, or cannot."""
        free = self.shortage.free
        return free[1] if free is not None and free[1] < self.shortage.job.due else None

    @property
    def pushes(self) -> int | None:
        """How many pushes it takes; None without a plan."""
        if self.made is None:
            return None
        stack = self.shortage.asked.hub.stack
        return len(self.made.passes) * -(-self.shortage.job.quantity // stack)


def can_we(db: str | None, request: CanWeRequest, *, progress: Progress | None = None) -> CanWe:
    """Judge a job that is not in the list together with those that are, and plan it; nothing is kept.

    Raises
    ------
    InputError : a text cannot be read, or the day is past.
    StorageError : the database cannot be used.
    """
    on = day(read_day(request.on, "day"))
    with reading(db) as work:
        outlook = read_outlook(work, on)
        number = next_number(job.number for job in load_jobs(work)) or _FIRST_NUMBER
        push = push_time(pushes_booked(work))
    before = assign(outlook.coming, outlook.judge)
    job = _job(number, request, outlook, before)
    _done(1, progress)
    would = outlook.with_job(job)
    judge = would.judge
    then = assign(would.coming, judge)
    _done(2, progress)
    shortage = Opening(would, {number: job}, then, judge, verdicts=False).of(then.of(number))
    coming = shortage.asked
    days = first_days(coming, then, judge, on, outlook.settings.work_days)
    made = shortage.made
    if made is None and days:
        days_meant = shortage.free or (days[0], days[-1])
        on_days = replace(coming, days=tuple(dict.fromkeys(days_meant)))
        in_use = InUseByDay(on_days, then, judge).on(on_days.days)
        made = with_band(on_days, next(iter(judge.opened(on_days, in_use).plans), None), judge)
    _done(_STEPS, progress)
    others = difference(number, before, then).others
    first = days[0] if days else None
    return CanWe(on, shortage, first, made, others, push, outlook.settings, then.proven)


def _job(number: str, request: CanWeRequest, outlook: Outlook, others: Assignment) -> Job:
    """The job that is asked for; without a day it is due on the first on which it can be cut, else today."""
    texts = {name: text for name, text in request.values.items() if text.strip()}
    due = read_day(texts.get("due", ""), "by")
    if due is not None and due < outlook.on:
        raise InputError("by", f"write a day from {outlook.on} on", read=texts["due"])
    texts = {"quantity": "1", **texts, "due": (due or outlook.on).isoformat()}
    job = read_job(number, texts)
    if due is not None:
        return job
    would = outlook.with_job(job)
    judge = would.judge
    coming = next(one for one in would.coming if one.number == number)
    days = first_days(coming, others, judge, outlook.on, outlook.settings.work_days)
    return replace(job, due=days[0]) if days else job


def _done(steps: int, progress: Progress | None) -> None:
    if progress is not None:
        progress(steps, _STEPS)
