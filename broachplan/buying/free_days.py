"""On which days a job that clashes could be cut with nothing else moved."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from broachplan.buying.assignment import Assignment
from broachplan.buying.coming import ComingJob
from broachplan.buying.verdicts import Judge
from broachplan.work_days import WorkDays

# After the last day on which anything is held, lent or planned every day is like the next.
_BEYOND = timedelta(days=60)


def free_days(
    job: ComingJob, assignment: Assignment, judge: Judge, today: date, work: WorkDays
) -> tuple[date, date] | None:
    """First and last of the days on which a job has a plan while all ready plans keep theirs.

    The latest block of its working days that ends earlier and does not begin before ``today``; if there is none, the first
    later one; None where there is neither.
    """
    others = InUseByDay(job, assignment, judge)
    blocks = others.blocks(today, work)
    earlier = [block for block in reversed(blocks) if block[-1] < job.days[-1]]
    later = [block for block in blocks if block[-1] > job.days[-1]]
    found = next(filter(others.free, (*earlier, *later)), None)
    return None if found is None else (found[0], found[-1])


def first_days(
    job: ComingJob, assignment: Assignment, judge: Judge, today: date, work: WorkDays
) -> tuple[date, ...]:
    """The earliest days from today on on which a job could be cut while all ready plans keep theirs; none where there are none."""
    others = InUseByDay(job, assignment, judge)
    return next(filter(others.free, others.blocks(today, work)), ())


class InUseByDay:
    """What the other ready jobs use on each day, as one job meets it."""

    def __init__(self, job: ComingJob, assignment: Assignment, judge: Judge) -> None:
        self._job, self._judge = job, judge
        self._taken: dict[date, dict[str, list[str]]] = {}
        for one in assignment.judged:
            for day in one.job.days if one.job.number != job.number else ():
                for tag in one.pieces:
                    self._taken.setdefault(day, {}).setdefault(tag, []).append(one.job.number)

    def blocks(self, today: date, work: WorkDays) -> list[tuple[date, ...]]:
        """The working days from today on that the job could have, so many in a row as it needs."""
        end = max([self._job.days[-1], today, *self._judge.known_days(), *self._taken]) + _BEYOND
        days = [day for day in _from(today, end) if day.weekday() in work.days]
        count = len(self._job.days)
        return [tuple(days[at : at + count]) for at in range(len(days) - count + 1)]

    def on(self, days: tuple[date, ...]) -> frozenset[str]:
        """The pieces that are in use on some of the days and that the job may not share."""
        return frozenset(
            tag
            for day in days
            for tag, users in self._taken.get(day, {}).items()
            if not self._judge.sharing.joined((self._job.number, *users))
        )

    def free(self, days: tuple[date, ...]) -> bool:
        """Whether the job has a plan on these days with none of them."""
        return self._judge.possible_on(self._job, days, self.on(days))


def _from(first: date, last: date) -> Iterator[date]:
    day = first
    while day <= last:
        yield day
        day += timedelta(days=1)
