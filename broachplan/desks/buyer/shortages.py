"""What becomes of the coming jobs as things are: a verdict each, and what is missing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from broachplan.buying.assignment import Assignment, Judged, assign
from broachplan.buying.coming import ComingJob
from broachplan.buying.free_days import free_days
from broachplan.buying.missing import WhatIsMissing, what_is_missing
from broachplan.buying.verdicts import Judge, Verdict
from broachplan.crib.holds import work_key
from broachplan.crib.words import read_day
from broachplan.desks.attendant.clock import day
from broachplan.jobs.days import PressDays, held_or_days
from broachplan.jobs.job import Job, JobState
from broachplan.keyways.keyway import Keyway
from broachplan.planner.answer import Plan
from broachplan.questions.read_hub import read_hub_question
from broachplan.questions.read_job import question_of
from broachplan.questions.shortages import ShortagesRequest
from broachplan.settings import Settings
from broachplan.shown import numbered
from broachplan.store.jobs import load_jobs
from broachplan.store.settings_store import load_settings
from broachplan.store.shelf_read import read_snapshot
from broachplan.store.work import reading
from broachplan.tooling.hub import Hub


@dataclass(frozen=True, slots=True)
class JobShortage:
    """One open job with its verdict; ``made`` and ``missing`` are None where only the verdicts were asked for."""

    job: Job
    days: PressDays
    judged: Judged
    free: tuple[date, date] | None = None
    made: Plan | None = None
    missing: WhatIsMissing | None = None

    @property
    def in_the_way(self) -> tuple[str, ...]:
        """What it waits for, who has its pieces, or which rule fails, and what would cure it."""
        judged, lines = self.judged, []
        if judged.waits_for:
            lines.append(f"waits for {', '.join(judged.waits_for)}")
        if judged.clashes_with:
            lines.append(f"clashes with {', '.join(judged.clashes_with)}: one after the other?")
        if judged.alike and judged.verdict is Verdict.CLASH:
            lines.append(f"can be run as one job with {', '.join(judged.alike)}")
        if self.free is not None:
            first, last = self.free
            lines.append(f"free on {first}" if first == last else f"free from {first} to {last}")
        if judged.why is not None:
            lines += [judged.why.text, f"first way out: {judged.why.cure}"]
        return tuple(lines)


@dataclass(frozen=True, slots=True)
class Shortages:
    """The open jobs in their order, asked on a day. ``proven``: no other assignment is better."""

    on: date
    jobs: tuple[JobShortage, ...]
    proven: bool

    @property
    def lines(self) -> tuple[str, ...]:
        """Each job in one line, and beneath it what is in its way and the first way out."""
        found: list[str] = []
        for one in self.jobs:
            first, last = one.days.days[0], one.days.days[-1]
            days = f"on {first}" if first == last else f"from {first} to {last}"
            late = ", LATE" if one.days.late else ""
            found.append(f"{one.job.number}  {one.judged.verdict.upper()}  {days}{late}")
            found += [f"    {text}" for text in one.in_the_way]
        ready = sum(one.judged.verdict is Verdict.READY for one in self.jobs)
        found.append(f"{ready} of {numbered(len(self.jobs), 'job')} ready")
        if not self.proven:
            found.append("it is not proven that no other choice readies more of them")
        return tuple(found)

    @property
    def all_ready(self) -> bool:
        """Whether every coming job is ready."""
        return all(
            one.judged.verdict is Verdict.READY for one in self.jobs if one.job.state is JobState.COMING
        )


def find_shortages(db: str | None, request: ShortagesRequest) -> Shortages:
    """Judge the open jobs against the crib as it will be on their days.

    Raises
    ------
    InputError : a day cannot be read.
    StorageError : the database cannot be used.
    """
    on, until = day(read_day(request.on, "day")), read_day(request.until, "until")
    with reading(db) as work:
        settings = load_settings(work)
        jobs = [job for job in load_jobs(work) if job.state.is_open]
        days = {job.number: held_or_days(job, on, settings.work_days) for job in jobs}
        # Which days are free is asked of all days, so all holds are read.
        crib = read_snapshot(work, None, (on, date.max))
    jobs = [job for job in jobs if until is None or days[job.number].days[0] <= until]
    judge = Judge(crib, settings, on)
    coming = coming_jobs(jobs, days)
    found = assign(coming, judge, plans=not request.verdicts)
    shortages = _Shortages(found, judge, on, settings, request.verdicts)
    by_number = {job.number: job for job in jobs}
    return Shortages(
        on,
        tuple(shortages.of(by_number[one.job.number], days[one.job.number], one) for one in found.judged),
        found.proven,
    )


def coming_jobs(jobs: Sequence[Job], days: dict[str, PressDays]) -> list[ComingJob]:
    """Jobs as they are judged: their questions read, and the marks between them by number."""
    numbers = {work_key(job.number): job.number for job in jobs}
    read: dict[tuple[tuple[str, str], ...], tuple[Hub, Keyway]] = {}
    found = []
    followed: dict[str, list[Job]] = {}
    for job in jobs:
        if job.after:
            followed.setdefault(numbers.get(work_key(job.after), job.after), []).append(job)
    for job in jobs:
        typed = tuple(sorted(job.question.items()))
        if typed not in read:
            read[typed] = read_hub_question(question_of(job))
        hub, keyway = read[typed]
        found.append(
            ComingJob(
                job.number,
                hub,
                keyway,
                days[job.number].days,
                job.rank,
                job.press or None,
                numbers.get(work_key(job.after), job.after) if job.after else None,
                tuple(other.number for other in followed.get(job.number, ())),
                frozenset(job.pieces) if job.state is JobState.STARTED else None,
            )
        )
    return found


@dataclass(frozen=True, slots=True)
class _Shortages:
    assignment: Assignment
    judge: Judge
    on: date
    settings: Settings
    verdicts: bool

    def of(self, job: Job, days: PressDays, judged: Judged) -> JobShortage:
        """One job, opened unless only verdicts are asked for."""
        verdict, coming = judged.verdict, judged.job
        free = None
        if verdict is Verdict.CLASH:
            free = free_days(coming, self.assignment, self.judge, self.on, self.settings.work_days)
        made, missing = None, None
        if not self.verdicts and verdict is Verdict.READY and coming.holds is None:
            made = self.judge.plan_with(coming, judged.pieces)
        elif not self.verdicts and verdict is Verdict.BLOCKED and coming.holds is None:
            missing = what_is_missing(self.judge.trial(coming))
        return JobShortage(job, days, judged, free, made, missing)
