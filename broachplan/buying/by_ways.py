"""The assignment of a few jobs that follow each other, way by way.

Marks join jobs only through others that use the same piece, so one more job can let two others share. Then the
assignment that lets all jobs of a queue share is better than any lawful one, and the lawful ones are tried in their order.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from heapq import heappop, heappush
from itertools import combinations

from broachplan.buying.coming import ComingJob
from broachplan.buying.serving import NOTHING
from broachplan.buying.sharing import Pieces
from broachplan.buying.together import Together
from broachplan.buying.verdicts import Judge, pieces_of
from broachplan.planner.ranking import rank_key


def best_by_ways(ranked: Sequence[str], most: int, together: Together, judge: Judge) -> Pieces:
    """The ready jobs with the pieces of their plans, of at most so many jobs.

    Raises
    ------
    OutOfSteps : it was not found out within the steps.
    """
    ways = _ways(ranked, together, judge)
    for size in range(most, 0, -1):
        # As combinations come, of two sets the one that holds the first job in which they differ is first.
        for some in combinations(ranked, size):
            if together.all_of(frozenset(some)) is not None:
                found = _first(some, ways, {}, together)
                if found is not None:
                    return found
    return {}


def lawful_plans(ranked: Sequence[str], together: Together, judge: Judge) -> Pieces | None:
    """Lawful pieces for all of some jobs; None where there are none.

    Raises
    ------
    OutOfSteps : it was not found out within the steps.
    """
    return _first(ranked, _ways(ranked, together, judge), {}, together)


def _ways(ranked: Sequence[str], together: Together, judge: Judge) -> dict[str, _Ways]:
    return {number: _Ways(together.jobs[number], together, judge) for number in ranked}


def _first(
    jobs: Sequence[str], ways: dict[str, _Ways], taken: dict[str, frozenset[str]], together: Together
) -> dict[str, frozenset[str]] | None:
    """The first lawful ways in the order of the jobs, beside those ``taken``."""
    together.step()
    if not jobs:
        return taken if together.rivals.lawful(taken) else None
    one, *later = jobs
    near = together.rivals.taken(one, together.started | taken)
    for pieces in ways[one].in_order():
        if pieces.isdisjoint(near):
            found = _first(later, ways, {**taken, one: pieces}, together)
            if found is not None:
                return found
    return None


class _Ways:
    """The ways to cut a job, the best first: each the best plan of some set of pieces; found as they are asked for."""

    def __init__(self, job: ComingJob, together: Together, judge: Judge) -> None:
        self._job, self._together, self._judge = job, together, judge
        self._found: list[frozenset[str]] = []
        self._waiting: list[tuple[tuple[object, ...], list[str], frozenset[str]]] = []
        self._seen: set[frozenset[str]] = set()
        self._look(NOTHING)

    def in_order(self) -> Iterator[frozenset[str]]:
        """The pieces of each way."""
        at = 0
        while at < len(self._found) or self._one_more():
            yield self._found[at]
            at += 1

    def _one_more(self) -> bool:
        while self._waiting:
            _, without, pieces = heappop(self._waiting)
            for tag in sorted(pieces):
                self._look(frozenset((*without, tag)))
            if pieces not in self._found:
                self._found.append(pieces)
                return True
        return False

    def _look(self, without: frozenset[str]) -> None:
        if without not in self._seen:
            self._together.step()
            self._seen.add(without)
            found = self._judge.best_plan(self._job, without, loose=True)
            if found is not None:
                heappush(self._waiting, (rank_key(found), sorted(without), pieces_of(found)))
