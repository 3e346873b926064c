"""The best plans of a ready set in the order of rank, each of those that leave every later job a plan."""

from __future__ import annotations

from collections.abc import Sequence
from heapq import heappop, heappush

from broachplan.buying.coming import ComingJob
from broachplan.buying.serving import NOTHING
from broachplan.buying.sharing import Pieces
from broachplan.buying.together import Together
from broachplan.buying.verdicts import Judge, pieces_of
from broachplan.planner.ranking import rank_key


def best_in_turn(ready: Sequence[str], together: Together, judge: Judge) -> Pieces:
    """Broach, bushing and shims of each job of a ready set.

    Raises
    ------
    OutOfSteps : it was not found out within the steps.
    """
    settled: dict[str, frozenset[str]] = {}
    for at, one in enumerate(ready):
        settled[one] = _best(together.jobs[one], frozenset(ready[at + 1 :]), settled, together, judge)
    return settled


def _best(
    job: ComingJob, later: frozenset[str], settled: Pieces, together: Together, judge: Judge
) -> frozenset[str]:
    """The first plan in the order of best that leaves the later jobs plans.

    A plan that does not is passed by together with all that use its pieces and more: the others do without one of them.
    """
    number = job.number
    taken = together.rivals.taken(number, together.started | dict(settled))
    rivals = [one for one in together.rivals.of(number) if one in later]
    wanted = NOTHING.union(*(together.may_want(one) for one in rivals))
    waiting: list[tuple[tuple[object, ...], list[str], frozenset[str]]] = []
    seen: set[frozenset[str]] = set()

    def look(without: frozenset[str]) -> None:
        if without not in seen:
            seen.add(without)
            # Whether the later jobs then have plans at all is found out sooner than the best plan.
            if together.all_of(later | {number}, settled, {number: without}) is None:
                return
            found = judge.best_plan(job, without, loose=True)
            if found is not None:
                heappush(waiting, (rank_key(found), sorted(without), pieces_of(found)))

    look(taken)
    while waiting:
        _, without, pieces = heappop(waiting)
        if pieces.isdisjoint(wanted) or together.all_of(later, {**settled, number: pieces}) is not None:
            return pieces
        for tag in sorted(pieces & wanted):
            look(frozenset((*without, tag)))
    raise AssertionError(f"{number} is in a ready set and has no plan")
