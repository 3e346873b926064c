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
    taken: dict[date, dict[str, list[str]]] = {}
    for one in assignment.judged:
        for day in one.job.days if one.job.number != job.number else ():
            for tag in one.pieces:
                taken.setdefault(day, {}).setdefault(tag, []).append(one.job.number)
    end = max([job.days[-1], today, *judge.known_days(), *taken]) + _BEYOND
    days = [day for day in _from(today, end) if day.weekday() in work.days]
    count = len(job.days)
    blocks = [tuple(days[at : at + count]) for at in range(len(days) - count + 1)]
    earlier = [block for block in reversed(blocks) if block[-1] < job.days[-1]]
    later = [block for block in blocks if block[-1] > job.days[-1]]
    for block in (*earlier, *later):
        in_use = frozenset(
            tag
            for day in block
            for tag, users in taken.get(day, {}).items()
            if not judge.sharing.joined((job.number, *users))
        )
        if judge.possible_on(job, block, in_use):
            return block[0], block[-1]
    return None


def _from(first: date, last: date) -> Iterator[date]:
    day = first
    while day <= last:
        yield day
        day += timedelta(days=1)
