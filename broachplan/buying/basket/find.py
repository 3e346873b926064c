"""The basket for coming jobs: as ready as every offer that is there in time can make them, at the least cost."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from broachplan.buying.assignment import Assignment
from broachplan.buying.basket.deadline import FOR_A_BASKET, FOR_THE_REPORT, Deadline, OutOfTime
from broachplan.buying.basket.model import BasketLimits
from broachplan.buying.basket.quick import basket_in_turn
from broachplan.buying.basket.readiness import Readiness
from broachplan.buying.basket.report import report
from broachplan.buying.basket.result import Basket, BasketOutcome, Found, More
from broachplan.buying.basket.search import BasketSearch
from broachplan.buying.basket.supply import Supply
from broachplan.buying.offers import OfferBook
from broachplan.buying.together import OutOfSteps
from broachplan.buying.verdicts import Verdict
from broachplan.crib.ahead import Snapshot
from broachplan.crib.sharing import Sharing
from broachplan.settings import Settings

# So many further amounts are shown beyond a budget.
_MOST_MORE = 3


@dataclass(frozen=True, slots=True)
class Asked:
    """What a basket is asked of: the jobs as things are, the crib, and what is offered on a day.

    ``budget`` is the most it may cost, in hundredths; None: whatever it takes. ``measure`` counts on what is to be measured
    or likely, too.
    """

    assignment: Assignment
    crib: Snapshot
    book: OfferBook
    settings: Settings
    today: date
    sharing: Sharing
    budget: int | None = None
    measure: bool = False


def _no_words(_: str) -> None:
    pass


def find_basket(asked: Asked, left: Callable[[], float], tell: Callable[[str], None] = _no_words) -> Basket:
    """The cheapest basket after which the jobs are as ready as with every offer in time, or as the budget can make them.

    Parameters
    ----------
    left : how many seconds are left for all of it; after them, and a second more, the best that was found is given, and not
        called optimal.
    tell : takes in a few words what is being done.
    """
    deadline = Deadline(left)
    supply = Supply(
        asked.crib,
        asked.book,
        asked.settings,
        asked.today,
        asked.sharing,
        measure=asked.measure,
        check=deadline.check,
    )
    waiting = [one for one in asked.assignment.judged if one.job.holds is None]
    ready = [one.job.number for one in waiting if one.verdict is Verdict.READY]
    others = [one.job for one in waiting if one.verdict is not Verdict.READY]
    try:
        able = [job.number for job in others if supply.judge.may_be_possible(job)]
        readiness = Readiness(asked.assignment, (*ready, *able), supply)
        hopes = _with_offers(able, readiness)
    except OutOfTime:
        hopes = [job.number for job in others]
        readiness = Readiness(asked.assignment, (*ready, *hopes), supply)
        deadline.allow(FOR_A_BASKET)
        found = basket_in_turn(ready, hopes, readiness, asked.budget)
        outcome = BasketOutcome(found, proven=False, ready_proven=False)
    else:
        wanted = [one.job.number for one in waiting if one.job.number in {*ready, *hopes}]
        search = BasketSearch(wanted, readiness, deadline.left, tell)
        outcome = _outcome(search, asked.budget, ready, hopes, deadline)
    deadline.allow(FOR_THE_REPORT)
    return report(asked.assignment, readiness, outcome, asked.budget)


def _with_offers(able: Sequence[str], readiness: Readiness) -> list[str]:
    """Of jobs that are not ready those to which offers could make a difference: to them, or to one that has their pieces."""
    judge, offered = readiness.supply.judge, readiness.supply.stocked.tags.keys()
    found = []
    for one in able:
        if not readiness.wants(one, judge).isdisjoint(offered):
            found.append(one)
            continue
        group = readiness.group([one], readiness.jobs, judge)
        if any(not readiness.wants(job.number, judge).isdisjoint(offered) for job in group):
            found.append(one)
    return found


def _outcome(
    search: BasketSearch,
    budget: int | None,
    ready: Sequence[str],
    hopes: Sequence[str],
    deadline: Deadline,
) -> BasketOutcome:
    supply, wanted = search.supply, search.wanted
    # The jobs of which it is known that no basket readies better ones; at first all, unless it is shown that they cannot.
    best: tuple[str, ...] | None = None
    try:
        goal = search.cheapest(BasketLimits(most_out=0))
        if goal is None:
            limits = search.most_ready(BasketLimits())
            best = search.ready(limits)
            goal = search.cheapest(limits)
            assert goal is not None
        if budget is None or supply.cost(goal.basket) <= budget:
            return BasketOutcome(goal)
        best = None
        limits = search.most_ready(BasketLimits(cost=budget))
        best = search.ready(limits)
        found = search.cheapest(limits)
        assert found is not None
        return BasketOutcome(found, more=_more(search, found, goal))
    except (OutOfTime, OutOfSteps) as stopped:
        bound = getattr(stopped, "bound", None) or 0
        if isinstance(stopped, OutOfTime) and stopped.found is not None:
            if budget is None or supply.cost(stopped.found.basket) <= budget:
                return BasketOutcome(stopped.found, proven=False, bound=bound)
            best = None
        deadline.allow(FOR_A_BASKET)
        found = basket_in_turn(ready, hopes, search.readiness, budget)
        as_good = set(found.ready) == set(wanted if best is None else best)
        return BasketOutcome(found, proven=False, ready_proven=as_good, bound=bound if as_good else 0)


def _more(search: BasketSearch, found: Found, goal: Found) -> tuple[More, ...]:
    """What more money adds: for each number of further jobs the least amount, as far as the goal."""
    supply = search.supply
    total, out = supply.cost(found.basket), len(search.wanted) - len(found.ready)
    more: dict[int, tuple[str, ...]] = {}
    try:
        for fewer in range(out - 1, len(search.wanted) - len(goal.ready), -1):
            if len(more) == _MOST_MORE - 1:
                break
            amount, ready = search.next_ready(fewer)
            more[amount - total] = ready
    except (OutOfTime, OutOfSteps):
        pass
    more[supply.cost(goal.basket) - total] = goal.ready
    return tuple(
        More(amount, tuple(one for one in ready if one not in found.ready))
        for amount, ready in sorted(more.items())
    )
