"""The days on which a job is at the press: working days of the shop, by its local calendar."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import NamedTuple

from broachplan.errors import InputError
from broachplan.jobs.job import Job
from broachplan.work_days import WorkDays


class PressDays(NamedTuple):
    """The days of a job in their order; ``late``: the first of those it should have had is past."""

    days: tuple[date, ...]
    late: bool = False


def days_of(job: Job, today: date, work: WorkDays) -> PressDays:
    """The days of a job, asked on a day.

    They are the last working days up to and including the day it must be done by. Where the first of these is past they
    begin today, or on the next working day.

    Raises
    ------
    InputError : today is so late that the calendar ends first.
    """
    asked = _last_working_days(job.last_day, job.days, work)
    if asked[0] >= today:
        return PressDays(asked)
    return PressDays(_working_days(today, job.days, work, 1), late=True)


def held_or_days(job: Job, today: date, work: WorkDays) -> PressDays:
    """The days that a started job holds its pieces on; of any other job its days."""
    if not job.held:
        return days_of(job, today, work)
    return PressDays(job.held, late=job.held[-1] > job.last_day)


def _last_working_days(last: date, count: int, work: WorkDays) -> tuple[date, ...]:
    return tuple(reversed(_working_days(last, count, work, -1)))


def _working_days(start: date, count: int, work: WorkDays, step: int) -> tuple[date, ...]:
    found: list[date] = []
    try:
        for day in _from(start, step):
            if day.weekday() in work.days:
                found.append(day)
            if len(found) == count:
                break
    except OverflowError:
        raise InputError("day", "the calendar ends before the job's days do", shown=start) from None
    return tuple(found)


def _from(start: date, step: int) -> Iterator[date]:
    yield start
    number = step
    while True:
        yield start + timedelta(days=number)
        number += step
