"""Who may share: which jobs meet on a day and could use the same piece, and which follow each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from broachplan.buying.coming import ComingJob
from broachplan.buying.serving import NOTHING

Pieces = Mapping[str, frozenset[str]]


@dataclass(frozen=True, slots=True)
class Wanted:
    """A job and the pieces that could serve it; of a started job the pieces that it holds."""

    job: ComingJob
    pieces: frozenset[str]


def groups(wanted: Sequence[Wanted], rivals: Rivals) -> list[list[ComingJob]]:
    """The jobs in groups: those of different groups share no day on which a piece could serve both.

    A job of which no rival could use any of its pieces is a group by itself.
    """
    pieces = {one.job.number: one.pieces for one in wanted}
    jobs = {one.job.number: one.job for one in wanted}
    seen: set[str] = set()
    found = []
    for start in pieces:
        if start in seen:
            continue
        seen.add(start)
        group, new = [], [start]
        while new:
            one = new.pop()
            group.append(jobs[one])
            near = [
                other
                for other in rivals.of(one)
                if other in pieces and other not in seen and not pieces[other].isdisjoint(pieces[one])
            ]
            seen.update(near)
            new += near
        found.append(sorted(group, key=lambda job: job.rank))
    return found


class Rivals:
    """For each job those that meet it on a day and may not use the same piece.

    A push takes minutes: jobs of one day that are joined by marks (``after``) are cut one after the other, and share
    what they use.
    """

    def __init__(self, jobs: Iterable[ComingJob]) -> None:
        by_day: dict[date, list[ComingJob]] = {}
        rivals: dict[str, set[str]] = {}
        for job in jobs:
            rivals[job.number] = set()
            for day in job.days:
                by_day.setdefault(day, []).append(job)
        for of_day in by_day.values():
            queues = list(_queues(of_day))
            for queue in queues:
                for other in queues:
                    for one in queue if other is not queue else ():
                        rivals[one].update(other)
        self._of = {number: tuple(sorted(others)) for number, others in rivals.items()}

    def of(self, number: str) -> tuple[str, ...]:
        """The rivals of a job."""
        return self._of[number]

    def taken(self, number: str, by: Pieces) -> frozenset[str]:
        """What a job may not use, of that which the others have taken."""
        return NOTHING.union(*(by[one] for one in self._of[number] if one in by))

    def lawful(self, taken: Pieces) -> bool:
        """Whether no piece serves two jobs on one day that do not follow each other."""
        return all(
            taken[one].isdisjoint(taken[other]) for one in taken for other in self._of[one] if other in taken
        )


def _queues(jobs: Sequence[ComingJob]) -> Iterator[list[str]]:
    """The jobs of one day, those that are joined by marks together."""
    near: dict[str, list[str]] = {job.number: [] for job in jobs}
    for job in jobs:
        if job.after in near:
            near[job.number].append(job.after)
            near[job.after].append(job.number)
    left = dict.fromkeys(near)
    while left:
        queue, new = [], [next(iter(left))]
        while new:
            one = new.pop()
            if one in left:
                del left[one]
                queue.append(one)
                new += near[one]
        yield queue
