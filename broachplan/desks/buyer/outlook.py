"""The open jobs and the crib as they are at one moment: what every question of coming work is asked of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from broachplan.buying.coming import ComingJob
from broachplan.buying.verdicts import Judge
from broachplan.crib.ahead import Snapshot
from broachplan.crib.sharing import Sharing
from broachplan.jobs.days import PressDays, held_or_days
from broachplan.jobs.job import Job, JobState
from broachplan.keyways.keyway import Keyway
from broachplan.questions.read_hub import read_hub_question
from broachplan.questions.read_job import question_of
from broachplan.settings import Settings
from broachplan.store.jobs import closed_marks, load_jobs
from broachplan.store.settings_store import load_settings
from broachplan.store.shelf_read import read_snapshot
from broachplan.store.transaction import Work
from broachplan.tooling.hub import Hub


@dataclass(frozen=True, slots=True)
class Outlook:
    """The open jobs with their days at the press, and the crib, asked on a day.

    ``closed`` are the jobs that are done or dropped and that others follow, each with the job that it followed itself.
    """

    on: date
    settings: Settings
    crib: Snapshot
    jobs: tuple[Job, ...]
    days: Mapping[str, PressDays]
    closed: Mapping[str, str] = field(default_factory=dict)

    @property
    def sharing(self) -> Sharing:
        """The marks between the jobs, and what the started ones use."""
        after = {**self.closed, **{job.number: job.after for job in self.jobs}}
        return Sharing(after, self.closed, ((job.number, job.pieces, job.held) for job in self.jobs))

    @property
    def judge(self) -> Judge:
        """A judge of this crib; one keeps what it finds out, so use one for questions that belong together."""
        return Judge(self.crib, self.settings, self.on, self.sharing)

    @property
    def coming(self) -> list[ComingJob]:
        """The jobs as they are judged."""
        return coming_jobs(self.jobs, self.days)

    def until(self, last: date | None) -> Outlook:
        """Only the jobs that begin at the press by a day."""
        if last is None:
            return self
        return replace(self, jobs=tuple(job for job in self.jobs if self.days[job.number].days[0] <= last))

    def without(self, number: str) -> Outlook:
        """The same without a job."""
        return replace(self, jobs=tuple(job for job in self.jobs if job.number != number))

    def with_job(self, job: Job) -> Outlook:
        """The same with one more job, or with another form of one that is there."""
        others = self.without(job.number).jobs
        days = held_or_days(job, self.on, self.settings.work_days)
        return replace(self, jobs=(*others, job), days={**self.days, job.number: days})


def read_outlook(work: Work, on: date) -> Outlook:
    """Read the open jobs and the whole crib with all that is lent, held and on order.

    Raises
    ------
    InputError : the day is so late that the calendar ends before the jobs do.
    """
    settings = load_settings(work)
    jobs = tuple(job for job in load_jobs(work) if job.state.is_open)
    days = {job.number: held_or_days(job, on, settings.work_days) for job in jobs}
    # Which days are free is asked of all days, so all holds are read.
    return Outlook(on, settings, read_snapshot(work, None, (on, date.max)), jobs, days, closed_marks(work))


def coming_jobs(jobs: Sequence[Job], days: Mapping[str, PressDays]) -> list[ComingJob]:
    """Jobs as they are judged: their questions read."""
    read: dict[tuple[tuple[str, str], ...], tuple[Hub, Keyway]] = {}
    found = []
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
                job.after or None,
                frozenset(job.pieces) if job.state is JobState.STARTED else None,
            )
        )
    return found
