"""Are the jobs possible, do their histories lead to them, and does each started one have its holds?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from sqlalchemy import select

from broachplan.crib.entries import Value, taken_back
from broachplan.crib.holds import same_work, work_key
from broachplan.errors import StorageError
from broachplan.jobs.job import Job, JobState, loop_of
from broachplan.store.holds import holds_on
from broachplan.store.jobs import followed, job_entries, job_of, load_jobs, sharing_of, values_of
from broachplan.store.tables import JOB, PIECE
from broachplan.store.transaction import Work


def broken_jobs(work: Work) -> Iterator[str]:
    """A line for each job that cannot be, that its history does not lead to, or that lacks a hold."""
    jobs: list[Job] = []
    for row in work.connection.execute(select(JOB).order_by(JOB.c.number)).mappings():
        try:
            jobs.append(job_of(row))
        except StorageError as error:
            yield str(error)
            continue
        if row["key"] != work_key(row["number"]):
            yield f"job {row['number']} is kept under the key {row['key']}, which is another number's"
    yield from _broken_histories(work, jobs)
    yield from _broken_order(work, jobs)
    yield from _lost_holds(work, [job for job in jobs if job.state is JobState.STARTED])


def broken_by_others(work: Work) -> Iterator[str]:
    """A line for each job that follows none that is there, and for each started one that lacks a hold.

    An act that is undone later than others may leave their jobs so; it asks before it is kept.
    """
    jobs = load_jobs(work)
    yield from _broken_order(work, jobs)
    yield from _lost_holds(work, [job for job in jobs if job.state is JobState.STARTED])


def _broken_histories(work: Work, jobs: Sequence[Job]) -> Iterator[str]:
    """Taken back from the latest on, the entries lead to no job at all: there was none before the history of jobs."""
    values: dict[str, Mapping[str, Value]] = {job.number: values_of(job) for job in jobs}
    broken: set[str] = set()
    try:
        for entry in job_entries(work):
            if entry.number in broken:
                continue
            try:
                values[entry.number] = taken_back(values.get(entry.number, {}), entry.changes)
            except ValueError as error:
                broken.add(entry.number)
                yield f"the history of job {entry.number} does not lead to its {error} as the crib has it"
    except StorageError as error:
        yield str(error)
        return
    for number in sorted(values.keys() - broken):
        if any(value is not None for value in values[number].values()):
            yield f"the history of job {number} does not begin with its being added"


def _broken_order(work: Work, jobs: Sequence[Job]) -> Iterator[str]:
    known, after = {work_key(job.number) for job in jobs}, followed(work)
    for job in jobs:
        if job.after and work_key(job.after) not in known:
            yield f"job {job.number} follows job {job.after}, which is not there"
        elif loop_of(after, work_key(job.number)):
            yield f"job {job.number} follows itself through other jobs"


def _lost_holds(work: Work, started: Sequence[Job]) -> Iterator[str]:
    there = set(work.connection.scalars(select(PIECE.c.tag)))
    days = sorted({day for job in started for day in job.held})
    held, sharing = holds_on(work, days), sharing_of(work, started)
    for tag, day, jobs in sharing.shared():
        if not sharing.joined(jobs):
            yield f"jobs {', '.join(jobs)} are started with {tag} on {day}, and do not follow each other"
    for job in started:
        for tag in job.pieces:
            if tag not in there:
                yield f"job {job.number} is started with {tag}, which is no piece of the crib"
                continue
            for day in job.held:
                held_for = held.get(tag, {}).get(day, "")
                if not any(same_work(held_for, each) for each in sharing.users(tag, day)):
                    yield f"job {job.number} is started and does not hold {tag} on {day}"
