"""What becomes of the coming jobs as things are: a verdict each, and what is missing."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from broachplan.buying.assignment import Assignment, Judged, assign
from broachplan.buying.basket.result import Basket
from broachplan.buying.coming import ComingJob
from broachplan.buying.free_days import free_days
from broachplan.buying.in_use import InUse, pieces_in_use
from broachplan.buying.missing import WhatIsMissing, what_is_missing
from broachplan.buying.start_by import MADE, StartBy, start_by
from broachplan.buying.verdicts import Judge, Verdict
from broachplan.crib.records import Condition
from broachplan.crib.words import read_day
from broachplan.desks.attendant.clock import day
from broachplan.desks.buyer.basket import BasketAsked, Tell, basket_for
from broachplan.desks.buyer.outlook import Outlook, read_outlook
from broachplan.jobs.days import PressDays
from broachplan.jobs.job import Job, JobState
from broachplan.planner.answer import Answer, Make, Plan
from broachplan.planner.bands import with_bands
from broachplan.questions.shortages import ShortagesRequest
from broachplan.settings import Settings
from broachplan.store.work import reading

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class JobShortage:
    """One open job with its verdict; ``made`` and ``missing`` are None where only the verdicts were asked for.

    ``free`` are first and last of the days on which a job that clashes could be cut, ``in_use`` the pieces that it lacks
    and who has them. ``worn`` are those of the pieces to get back that are worn. ``begin`` is when to begin what is made.
    """

    job: Job
    days: PressDays
    judged: Judged
    free: tuple[date, date] | None = None
    in_use: tuple[InUse, ...] = ()
    made: Plan | None = None
    missing: WhatIsMissing | None = None
    worn: frozenset[str] = frozenset()
    begin: StartBy | None = None

    @property
    def asked(self) -> ComingJob:
        """The job as it is judged, with its hub and keyway."""
        return self.judged.job

    @property
    def to_make(self) -> tuple[Make, ...]:
        """What the shop could make itself so that it can be cut."""
        make = self.missing.make if self.missing is not None else ()
        return tuple(one for one in make if one.way == 1 and one.kind in MADE)

    @property
    def ready(self) -> bool:
        """Whether it can be cut."""
        return self.judged.verdict is Verdict.READY


@dataclass(frozen=True, slots=True)
class OnItsWay:
    """A piece that is on order, or lent with a day on which it is due back.

    ``since`` and ``borrower`` are of a loan; ``late``: the day is past. ``jobs`` are the numbers of those that wait for it.
    """

    tag: str
    day: date
    borrower: str
    since: date | None
    late: bool
    jobs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Shortages:
    """The open jobs in their order, asked on a day. ``proven``: no other assignment is better.

    ``buy`` is what to buy; None where no offers were given.
    """

    on: date
    jobs: tuple[JobShortage, ...]
    proven: bool
    on_its_way: tuple[OnItsWay, ...]
    settings: Settings
    buy: Basket | None = None

    @property
    def all_ready(self) -> bool:
        """Whether every coming job is ready."""
        return all(one.ready for one in self.jobs if one.job.state is JobState.COMING)

    @property
    def not_ready(self) -> tuple[JobShortage, ...]:
        """The jobs that cannot be cut yet, by their first day at the press."""
        waiting = (one for one in self.jobs if not one.ready)
        return tuple(sorted(waiting, key=lambda one: (one.days.days[0], one.job.rank)))

    @property
    def to_begin(self) -> tuple[StartBy, ...]:
        """What the shop makes for them, the most urgent first; what has no known day comes last."""
        found = (one.begin for one in self.jobs if one.begin is not None)
        return tuple(sorted(found, key=lambda each: (each.day or date.max, each.wanted, each.number)))


def find_shortages(
    db: str | None, request: ShortagesRequest, *, progress: Progress | None = None, tell: Tell | None = None
) -> Shortages:
    """Judge the open jobs against the crib as it will be on their days.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    progress : called with how many steps are done and of how many: each job is judged, then opened.
    tell : called with a few words on what is being done while a basket is looked for.

    Raises
    ------
    InputError : a day or an amount cannot be read.
    ImportRefused : anything is wrong in a list of offers.
    StorageError : the database cannot be used.
    """
    on, until = day(read_day(request.on, "day")), read_day(request.until, "until")
    with reading(db) as work:
        outlook = read_outlook(work, on)
    asked = BasketAsked.of(request, outlook.settings)
    outlook = outlook.until(until)
    steps = _Steps(len(outlook.jobs) * 2, progress)
    judge, coming = outlook.judge, outlook.coming
    if progress is not None:  # a judge keeps what it found, so the assignment finds this done
        for job in coming:
            judge.alone(job)
            steps.done()
    assignment = assign(coming, judge, plans=not request.verdicts)
    by_number = {job.number: job for job in outlook.jobs}
    opening = Opening(outlook, by_number, assignment, judge, request.verdicts)
    jobs = []
    for judged in assignment.judged:
        jobs.append(opening.of(judged))
        steps.done()
    buy = basket_for(outlook, assignment, judge, asked, tell) if asked else None
    on_its_way = tuple(_on_its_way(outlook, jobs))
    return Shortages(on, tuple(jobs), assignment.proven, on_its_way, outlook.settings, buy)


def with_band(job: ComingJob, made: Plan | None, judge: Judge) -> Plan | None:
    """A plan of a job as `plan` gives it: with the band of its last reading, and what that says."""
    if made is None:
        return None
    answer = Answer(job.hub, job.keyway, judge.settings, plans=(made,))
    return with_bands(answer, judge.trial(job).shelf.measured).plans[0]


class _Steps:
    """Counts what is done of a known number of steps."""

    def __init__(self, total: int, progress: Progress | None) -> None:
        self._total, self._progress, self._count = total, progress, 0

    def done(self) -> None:
        self._count += 1
        if self._progress is not None:
            self._progress(self._count, self._total)


@dataclass(frozen=True, slots=True)
class Opening:
    """Opens judged jobs: what each lacks, who has it, which day is free, how it is cut.

    ``found_missing`` is what alike jobs lack, found once.
    """

    outlook: Outlook
    jobs: Mapping[str, Job]
    assignment: Assignment
    judge: Judge
    verdicts: bool
    found_missing: dict[Hashable, WhatIsMissing] = field(default_factory=dict)

    def of(self, judged: Judged) -> JobShortage:
        """One job, opened unless only verdicts are asked for."""
        number, coming = judged.job.number, judged.job
        job, days, settings = self.jobs[number], self.outlook.days[number], self.outlook.settings
        verdict, on = judged.verdict, self.outlook.on
        if verdict is Verdict.CLASH:
            free = free_days(coming, self.assignment, self.judge, on, settings.work_days)
            in_use = pieces_in_use(judged, self.assignment, self.judge)
            return JobShortage(job, days, judged, free, in_use)
        if self.verdicts or coming.holds is not None:
            return JobShortage(job, days, judged)
        if verdict is Verdict.READY:
            made = self.judge.plan_with(coming, judged.pieces)
            return JobShortage(job, days, judged, made=with_band(coming, made, self.judge))
        alike = self.judge.alike(coming)
        if alike not in self.found_missing:
            self.found_missing[alike] = what_is_missing(self.judge.trial(coming))
        missing = self.found_missing[alike]
        return JobShortage(
            job,
            days,
            judged,
            missing=missing,
            worn=frozenset(self._worn(missing)),
            begin=start_by(number, missing.make, days.days[0], on, settings),
        )

    def _worn(self, missing: WhatIsMissing) -> Iterator[str]:
        states = self.outlook.crib.states
        for tag in (tag for each in missing.advice for tag in each.tags if tag in states):
            if states[tag].condition == Condition.WORN:
                yield tag


def _on_its_way(outlook: Outlook, jobs: Sequence[JobShortage]) -> Iterator[OnItsWay]:
    """What is on order or due back, the earliest first."""
    waiting: dict[str, list[str]] = {}
    for one in jobs:
        for tag in one.judged.waits_for:
            waiting.setdefault(tag, []).append(one.job.number)
    found = []
    for tag, state in outlook.crib.states.items():
        due = state.ordered or (state.loan.due if state.loan else None)
        if due is not None:
            borrower, since = (state.loan.to, state.loan.since) if state.loan else ("", None)
            late = due < outlook.on
            found.append(OnItsWay(tag, due, borrower, since, late, tuple(waiting.get(tag, ()))))
    yield from sorted(found, key=lambda each: (each.day, each.tag))
