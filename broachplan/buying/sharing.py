"""Who may share: which jobs meet on a day and could use the same piece, and which are cut one after the other."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from broachplan.buying.coming import ComingJob
from broachplan.buying.serving import NOTHING
from broachplan.crib.sharing import Sharing

Pieces = Mapping[str, frozenset[str]]
# The works for which a piece is held on a day, or that use it as started jobs.
Users = Callable[[str, date], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Wanted:
    """A job and the pieces that could serve it; of a started job the pieces that it holds."""

    job: ComingJob
    pieces: frozenset[str]


def groups(wanted: Sequence[Wanted], rivals: Rivals) -> list[list[ComingJob]]:
    """The jobs in groups: those of different groups share no day on which a piece could serve both.

    A job of which no other could use any of its pieces is a group by itself.
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
                for other in rivals.met_by(one)
                if other in pieces and other not in seen and not pieces[other].isdisjoint(pieces[one])
            ]
            seen.update(near)
            new += near
        found.append(sorted(group, key=lambda job: job.rank))
    return found


class Rivals:
    """For each job those that meet it on a day, and of those the ones that may in no case use the same piece.

    The others stand in one queue with it on every day on which they meet: all that marks join, through any jobs of that
    day. They may share a piece if those between them use it too (`lawful`).
    """

    def __init__(self, jobs: Iterable[ComingJob], sharing: Sharing, users: Users) -> None:
        self._sharing, self._users = sharing, users
        self._days = {job.number: job.days for job in jobs}
        by_day: dict[date, list[str]] = {}
        for number, days in self._days.items():
            for day in days:
                by_day.setdefault(day, []).append(number)
        met: dict[str, set[str]] = {number: set() for number in self._days}
        rivals: dict[str, set[str]] = {number: set() for number in self._days}
        for of_day in by_day.values():
            for queue in sharing.parts(of_day):
                others = set(of_day).difference(queue)
                for one in queue:
                    rivals[one] |= others
                    met[one].update(of_day)
        self._of = {number: tuple(sorted(others)) for number, others in rivals.items()}
        self._met = {number: tuple(sorted(others - {number})) for number, others in met.items()}

    def of(self, number: str) -> tuple[str, ...]:
        """The rivals of a job: those that meet it outside of its queue."""
        return self._of[number]

    def met_by(self, number: str) -> tuple[str, ...]:
        """All jobs that are at the press on one of its days."""
        return self._met[number]

    def taken(self, number: str, by: Pieces) -> frozenset[str]:
        """What a job may not use, of that which the others have taken."""
        return NOTHING.union(*(by[one] for one in self._of[number] if one in by))

    def apart(self, taken: Pieces) -> bool:
        """Whether no piece serves two rivals."""
        return all(
            taken[one].isdisjoint(taken[other]) for one in taken for other in self._of[one] if other in taken
        )

    def lawful(self, taken: Pieces) -> bool:
        """Whether all that use a piece on a day, started jobs among them, are joined by marks among themselves."""
        found: dict[tuple[str, date], list[str]] = {}
        for one, tags in taken.items():
            for day in self._days[one]:
                for tag in tags:
                    found.setdefault((tag, day), []).append(one)
        return all(self._sharing.joined((*works, *self._users(*key))) for key, works in found.items())
