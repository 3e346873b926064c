"""A list of jobs brought into the crib: new numbers added, coming jobs that differ changed, all rows or none."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from sqlalchemy import select

from broachplan.crib.entries import Stamp
from broachplan.crib.holds import work_key
from broachplan.errors import InputError, quoted
from broachplan.jobs.entries import difference_words
from broachplan.jobs.job import Job, JobAct, JobState, loop_of
from broachplan.questions.read_job import WrongJob, read_job, texts_of
from broachplan.store.exchange import ImportRefused
from broachplan.store.job_files import JobLists, ListedJob
from broachplan.store.jobs import JobLine, followed, jobs_by_key, keep_jobs
from broachplan.store.tables import PIECE
from broachplan.store.transaction import Work
from broachplan.tooling.figures import Kind


@dataclass(frozen=True, slots=True)
class ChangedJob:
    """A job that differs from its row: what of it is different, old and new; and its state."""

    number: str
    differences: tuple[str, ...]
    state: JobState = JobState.COMING

    @property
    def words(self) -> str:
        """What became different, or why nothing did."""
        if self.state is JobState.COMING:
            return f"{self.number}: {'; '.join(self.differences)}"
        return (
            f"{self.number} is {self.state} and was left as it is; its row has {'; '.join(self.differences)}"
        )


@dataclass(frozen=True, slots=True)
class ImportedJobs:
    """What an import of jobs did; ``left`` are those not coming any more whose rows differ, which it never touches."""

    added: tuple[str, ...]
    changed: tuple[ChangedJob, ...]
    left: tuple[ChangedJob, ...]
    unchanged: int

    @property
    def lines(self) -> tuple[str, ...]:
        """How many jobs were added, changed, left and as before; then what changed on each, and what was left."""
        left = f", {len(self.left)} left as they are" if self.left else ""
        counted = f"{len(self.added)} added, {len(self.changed)} changed{left}, {self.unchanged} as before"
        return (counted, *(each.words for each in (*self.changed, *self.left)))


@dataclass(frozen=True, slots=True)
class _Compared:
    """A row, the job of its number as it is, and as the row has it."""

    row: ListedJob
    before: Job | None
    after: Job

    @property
    def differs(self) -> bool:
        return self.before is not None and texts_of(self.before) != texts_of(self.after)

    @property
    def is_coming(self) -> bool:
        return self.before is None or self.before.state is JobState.COMING

    @property
    def line(self) -> JobLine:
        """The row as an act on the job."""
        return JobLine(JobAct.ADDED if self.before is None else JobAct.CHANGED, self.before, self.after)

    @property
    def changed(self) -> ChangedJob:
        """What of the job is different in the row."""
        assert self.before is not None
        return ChangedJob(self.after.number, tuple(difference_words(self.line.changes)), self.before.state)


def put_jobs(work: Work, lists: JobLists, stamp: Stamp) -> ImportedJobs:
    """Add what is new and change what differs of the coming jobs, as one act; the caller commits.

    Raises
    ------
    ImportRefused : anything is wrong in any row; nothing is written.
    """
    problems = [*lists.problems, *_repeated(lists.rows)]
    stored = jobs_by_key(work, (row.number for row in lists.rows))
    compared: list[_Compared] = []
    for row in lists.rows:
        before = stored.get(work_key(row.number))
        try:
            compared.append(_Compared(row, before, _as_listed(row, before)))
        except WrongJob as error:
            problems += [row.wrong(column, said) for column, said in error.wrong.items()]
    problems += _not_there(work, [each for each in compared if each.is_coming])
    if problems:
        raise ImportRefused(problems)
    new = [each for each in compared if each.before is None]
    changed = [each for each in compared if each.differs and each.is_coming]
    left = [each for each in compared if each.differs and not each.is_coming]
    keep_jobs(work, stamp, [each.line for each in (*new, *changed)])
    return ImportedJobs(
        tuple(each.after.number for each in new),
        tuple(each.changed for each in changed),
        tuple(each.changed for each in left),
        len(compared) - len(new) - len(changed) - len(left),
    )


def as_changed(job: Job, texts: Mapping[str, str]) -> Job:
    """A job with some of its texts changed, in the state it is in.

    Raises
    ------
    WrongJob : a text that cannot be read, or texts that do not go together.
    """
    after = read_job(job.number, {**texts_of(job), **texts})
    return replace(after, state=job.state, pieces=job.pieces, held=job.held)


def check_new(work: Work, job: Job) -> None:
    """Raise `InputError` where a job of the number is in the list, whatever its state; else as `check_names`."""
    if other := jobs_by_key(work, [job.number]).get(work_key(job.number)):
        raise InputError(
            "number", f"job {other.number} has it ({other.state}); write another", read=job.number
        )
    check_names(work, job)


def check_names(work: Work, job: Job) -> None:
    """Raise `InputError` unless the press and the job that a job names are there, and no jobs follow each other in a ring."""
    for column, said in _wrong_names(job, _presses(work), jobs_by_key(work, [job.after]), followed(work)):
        raise InputError(column, said)


def _as_listed(row: ListedJob, before: Job | None) -> Job:
    """The job as a row has it; what the list has no column for stays."""
    if before is None:
        return read_job(row.number, row.texts)
    return as_changed(before, row.texts)


def _repeated(rows: Iterable[ListedJob]) -> Iterator[str]:
    first: dict[str, str] = {}
    for row in rows:
        key = work_key(row.number)
        if key and key in first:
            yield row.wrong(
                "number", f"read {quoted(row.number)}, which {first[key]} has too; each job has one row"
            )
        else:
            first[key] = row.where


def _not_there(work: Work, compared: Iterable[_Compared]) -> Iterator[str]:
    """Presses that the crib does not have, jobs that no list has, and rings of jobs that follow each other."""
    compared = list(compared)
    presses = _presses(work)
    known: dict[str, Job] = {
        **jobs_by_key(work, (each.after.after for each in compared if each.after.after)),
        **{work_key(each.after.number): each.after for each in compared},
    }
    after = followed(work)
    for each in compared:
        after[work_key(each.after.number)] = work_key(each.after.after)
    for each in compared:
        for column, said in _wrong_names(each.after, presses, known, after):
            yield each.row.wrong(column, said)


def _wrong_names(
    job: Job, presses: frozenset[str], known: Mapping[str, Job], after: Mapping[str, str]
) -> Iterator[tuple[str, str]]:
    if job.press and job.press not in presses:
        there = ", ".join(sorted(presses)[:5]) or "none"
        yield "press", f"read {quoted(job.press)}; write the tag of a press of the crib; there are: {there}"
    if job.after and work_key(job.after) not in known:
        yield "after", f"read {quoted(job.after)}; write the number of a job of the list"
    elif job.after:
        key = work_key(job.number)
        if ring := loop_of({**after, key: work_key(job.after)}, key):
            yield "after", f"read {quoted(job.after)}; {len(ring)} jobs would follow each other in a ring"


def _presses(work: Work) -> frozenset[str]:
    query = select(PIECE.c.tag).where(PIECE.c.kind == Kind.PRESS.value, PIECE.c.retired == 0)
    return frozenset(work.connection.scalars(query))
