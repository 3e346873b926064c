"""The best basket: which jobs the offers can ready, and the cheapest way to it, each step proven before the next.

A programme that is looser than the truth gives a basket (`model`); the planner says which jobs it does not ready
(`readiness`); what was missing is put into the programme, until a basket does. No basket that does can be better, because
the programme forbids none of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date

from broachplan.buying.basket.deadline import OutOfTime
from broachplan.buying.basket.model import Barred, BasketLimits, JobDetail, Model, Modelled
from broachplan.buying.basket.program import Program, Solved
from broachplan.buying.basket.readiness import Failing, Hint, Readiness
from broachplan.buying.basket.result import Found
from broachplan.buying.basket.supply import Alike
from broachplan.buying.basket.ways import Ways, WayToCut, grown
from broachplan.buying.serving import NOTHING
from broachplan.buying.together import OutOfSteps
from broachplan.tooling.figures import Kind

Units = Mapping[str, int]
Objective = Callable[[Model], Mapping[int, int]]

# The jobs whose places in the order of rank are settled by one solution, and the names of offers likewise: a weight for each
# must fit into what a sum can tell apart.
_RANKS_AT_ONCE = 10
_MOST_WEIGHT = 1 << 20


class BasketSearch:
    """Looks for baskets that ready ``wanted`` jobs, in the order of rank, or as many of them as can be.

    Parameters
    ----------
    left : the seconds that are left.
    tell : takes in a few words what is being done.
    """

    def __init__(
        self,
        wanted: Sequence[str],
        readiness: Readiness,
        left: Callable[[], float],
        tell: Callable[[str], None] = lambda _: None,
    ) -> None:
        self.wanted = tuple(wanted)
        self.readiness, self.supply = readiness, readiness.supply
        self._left, self._tell = left, tell
        self._details: dict[str, JobDetail] = {}
        self._ways: dict[tuple[object, frozenset[str], frozenset[str]], Ways] = {}
        self._barred: list[Barred] = []
        self._out: frozenset[str] = NOTHING
        self._offers: Mapping[str, int] = {}
        self.rounds = 0

    # -- the steps ---------------------------------------------------------------------------------------------

    def cheapest(self, limits: BasketLimits) -> Found | None:
        """The best basket under some limits that settle which jobs are ready; None where there is none.

        Cheapest first, then fewest units, then the smallest longest lead, then the smallest names.

        Raises
        ------
        OutOfTime : with what no basket can cost less than, where that is known, and the best that was found.
        OutOfSteps : which jobs a basket readies was not found out.
        """
        basket = self._least(_cost, limits)
        if basket is None:
            return None
        paid = self.supply.cost(basket)
        try:
            return Found(self._best_as_cheap(basket, replace(limits, cost=paid)), self.ready(limits))
        except OutOfTime:
            raise OutOfTime(paid, Found(basket, self.ready(limits))) from None

    def _best_as_cheap(self, basket: Units, limits: BasketLimits) -> Units:
        basket = self._surely(_units, limits)
        limits = replace(limits, units=sum(self.supply.bought(basket).values()))
        basket = self._surely(_lead, limits)
        bought = self.supply.bought(basket)
        longest = max((self.supply.offers[name].lead_days for name in bought), default=0)
        return self._first_by_name(basket, replace(limits, lead=longest))

    def _first_by_name(self, basket: Units, limits: BasketLimits) -> Units:
        """The basket whose sorted list of names, each as often as bought, is the smallest: as many of the first as can be."""
        most = self._offers
        names = [name for name in most if self.supply.offers[name].lead_days <= (limits.lead or 0)]
        exactly: dict[str, int] = {}
        while sum(exactly.values()) < (limits.units or 0):
            weights = _weights(names[len(exactly) :], most)
            assert weights, "every offer of a basket is among those that matter"
            basket = self._surely(_first_named(weights), replace(limits, exactly=dict(exactly)))
            exactly |= {name: basket.get(name, 0) for name in weights}
        return basket

    def most_ready(self, limits: BasketLimits) -> BasketLimits:
        """The same limits with all jobs settled: the most that can be ready, then those that come first by rank."""
        self._surely(_most_ready, limits)
        return self.first_by_rank(limits, len(self._out))

    def first_by_rank(self, limits: BasketLimits, most_out: int) -> BasketLimits:
        """The limits with each job settled in the order of rank, no more than ``most_out`` of them left out."""
        settled: dict[str, bool] = dict(limits.ready)
        while True:
            left = most_out - sum(not ready for ready in settled.values())
            open_ones = [one for one in self.wanted if one not in settled]
            active = [one for one in open_ones if one in self._details]
            if not left or not active:
                return replace(limits, ready=settled | dict.fromkeys(open_ones, True), most_out=None)
            some = active[:_RANKS_AT_ONCE]
            self._surely(_first_ranked(some), replace(limits, ready=dict(settled), most_out=left))
            settled |= {one: one not in self._out for one in open_ones[: open_ones.index(some[-1]) + 1]}

    def next_ready(self, most_out: int) -> tuple[int, tuple[str, ...]]:
        """The least cost of a basket that leaves no more than some jobs out, and the jobs that it readies."""
        paid = self.supply.cost(self._surely(_cost, BasketLimits(most_out=most_out)))
        return paid, self.ready(self.first_by_rank(BasketLimits(cost=paid), most_out))

    def ready(self, limits: BasketLimits) -> tuple[str, ...]:
        """The jobs that settled limits have ready."""
        return tuple(one for one in self.wanted if limits.ready.get(one, True))

    # -- one solution ------------------------------------------------------------------------------------------

    def _surely(self, objective: Objective, limits: BasketLimits) -> Units:
        basket = self._least(objective, limits)
        assert basket is not None, "a basket within these limits was found before"
        return basket

    def _least(self, objective: Objective, limits: BasketLimits) -> Units | None:
        """A basket with the least of something that readies all jobs that the programme takes to be ready; None: there is none."""
        bound: int | None = None
        while True:
            try:
                model, solved = self._solved(objective, limits)
                if solved.bound is not None and objective is _cost:
                    bound = max(bound or 0, model.amount(solved.bound))
                if not solved.proven:
                    raise OutOfTime
                if solved.values is None:
                    return None
                basket, self._out, self._offers = model.basket(solved), model.left_out(solved), model.offers
                if self._does(basket, model, solved, limits):
                    return basket
            except OutOfTime:
                raise OutOfTime(bound) from None

    def _solved(self, objective: Objective, limits: BasketLimits) -> tuple[Model, Solved]:
        model = self._model(limits)
        model.keep(limits, self._barred)
        aim = objective(model)
        self.rounds += 1
        self._tell(f"round {self.rounds}: {len(model.jobs)} jobs, {len(model.offers)} offers")
        return model, model.solve(aim)

    def _does(self, basket: Units, model: Model, solved: Solved, limits: BasketLimits) -> bool:
        """Whether a basket readies what the programme takes it to; the programme learns where it does not."""
        ready = [one for one in self.ready(limits) if one not in self._out]
        failing = self.readiness.failing(ready, basket, self._hints(model, solved))
        for each in (failing, *failing.more) if failing is not None else ():
            self._learn(each, model, solved, basket)
        return failing is None

    def _model(self, limits: BasketLimits) -> Model:
        details = {one: detail for one, detail in self._details.items() if limits.ready.get(one, True)}
        modelled = [self._modelled(one, details) for one in self.wanted if one in details]
        return Model(modelled, self._queues(details), self.supply, Program(self._left))

    def _modelled(self, number: str, details: Mapping[str, JobDetail]) -> Modelled:
        job, detail, judge = self.readiness.jobs[number], details[number], self.supply.judge
        serving, off = judge.serving(job), judge.off(job, loose=True)
        crib = serving.pieces & self.supply.tags - off
        at_hand = frozenset(tag for tag in crib if not self._wanted_elsewhere(number, tag, details))
        key = serving, off, at_hand
        if key not in self._ways:
            self._ways[key] = Ways(serving, off, at_hand, self.supply)
        if detail is JobDetail.SHIMS:
            self._ways[key].find_sets(self._left)
        return Modelled(job, detail, self._ways[key])

    def _wanted_elsewhere(self, number: str, tag: str, details: Mapping[str, JobDetail]) -> bool:
        """Whether a rival that the programme knows of could use a piece of the crib."""
        needed = JobDetail.SHIMS if self.supply.alike(tag).kind is Kind.SHIM else JobDetail.PAIRS
        if details[number] < needed:
            return False
        judge, jobs = self.supply.judge, self.readiness.jobs
        return any(
            details.get(other, 0) >= needed
            and tag in judge.serving(jobs[other]).pieces
            and tag not in judge.off(jobs[other], loose=True)
            for other in self.readiness.rivals.of(number)
        )

    def _queues(self, details: Mapping[str, JobDetail]) -> dict[date, list[list[str]]]:
        """The jobs that the programme knows rivals of, on each day those together that may share."""
        jobs, known = (
            self.readiness.jobs,
            {one for one, detail in details.items() if detail > JobDetail.ALONE},
        )
        days: dict[date, list[list[str]]] = {}
        for day in sorted({day for one in known for day in jobs[one].days}):
            parts = self.supply.judge.sharing.parts([one for one, job in jobs.items() if day in job.days])
            of_day = ([one for one in part if one in known] for part in parts)
            days[day] = [part for part in of_day if part]
        return days

    # -- what a basket lacked ----------------------------------------------------------------------------------

    def _hints(self, model: Model, solved: Solved) -> dict[str, Hint]:
        """How the programme would cut the jobs of which it knows all rivals."""
        return {
            one: Hint(modelled.ways.at_hand, model.taken(one, solved))
            for one, modelled in model.jobs.items()
            if modelled.detail > JobDetail.ALONE and one not in self._out
        }

    def _learn(self, failing: Failing, model: Model, solved: Solved, basket: Units) -> None:
        details = self._details
        if failing.alone:
            new = [one for one in failing.jobs if one not in details]
            details.update(dict.fromkeys(new, JobDetail.ALONE))
            if not new and not self._cut(failing.jobs, model, basket):
                self._bar(failing, model, basket)
            return
        lowest = min(details.get(one, 0) for one in failing.jobs)
        raised = JobDetail.PAIRS if lowest < JobDetail.PAIRS else JobDetail.SHIMS
        details.update({one: JobDetail(max(details.get(one, raised), raised)) for one in failing.jobs})
        if lowest == JobDetail.SHIMS and not self._cut_used(failing.jobs, model, solved):
            if failing.unsure:
                raise OutOfSteps
            self._bar(failing, model, basket)

    def _cut(self, numbers: Iterable[str], model: Model, basket: Units) -> bool:
        """Cuts of all ways of jobs that fail by themselves with all the shims that there are."""
        found = False
        for modelled in {model.jobs[one].key: model.jobs[one] for one in numbers}.values():
            there = {alike: self._there(alike, modelled, basket) for alike in modelled.ways.everything}
            for way in modelled.ways.ways:
                if all(there[each] for each in way.needs) and not way.free:
                    found = self._add_cut(modelled.ways, way, there) or found
        return found

    def _there(self, alike: Alike, modelled: Modelled, basket: Units) -> int:
        in_time = (name for name in alike.offered if self.supply.in_time(name, modelled.job))
        bought = sum(alike.offered[name] * basket.get(name, 0) for name in in_time)
        return len(alike.crib & modelled.ways.beyond) + bought

    def _cut_used(self, numbers: Iterable[str], model: Model, solved: Solved) -> bool:
        """Cuts of the chosen ways of jobs that clash, on the shims that each was given."""
        found = False
        for one in numbers:
            for way in model.chosen(one, solved):
                ways = model.jobs[one].ways
                if way.sets is not None:
                    continue
                found = self._add_cut(ways, way, model.used(one, solved)) or found
        return found

    def _add_cut(self, ways: Ways, way: WayToCut, counts: Mapping[Alike, int]) -> bool:
        cut = ways.cut(way, counts)
        if cut is None:
            return False
        way.cuts.append(cut)
        return True

    def _bar(self, failing: Failing, model: Model, basket: Units) -> None:
        """A row: of all that can be bought beside a basket, grown while it does not ready some jobs, one more is needed."""
        have = dict(basket)
        most = model.could_matter(failing.jobs)
        more = [name for name in most for _ in range(most[name] - have.get(name, 0))]
        more.sort(key=lambda name: (self.supply.offers[name].price, name))
        ranked = [one for one in self.wanted if one in failing.jobs]
        left = grown(have, more, lambda units: self.readiness.failing(ranked, units) is not None)
        levels = frozenset((name, have.get(name, 0) + 1) for name in left)
        self._barred.append(Barred(tuple(ranked), levels, failing.without or ()))


def _cost(model: Model) -> Mapping[int, int]:
    return model.cost()


def _units(model: Model) -> Mapping[int, int]:
    return model.units()


def _lead(model: Model) -> Mapping[int, int]:
    return model.lead()


def _most_ready(model: Model) -> Mapping[int, int]:
    """Most jobs; of the baskets that ready as many a small one, which is judged sooner."""
    return model.units() | dict.fromkeys(model.ready.values(), -_more_than_units(model))


def _first_ranked(numbers: Sequence[str]) -> Objective:
    def objective(model: Model) -> Mapping[int, int]:
        weight = _more_than_units(model)
        first = {model.ready[one]: -weight << (len(numbers) - 1 - at) for at, one in enumerate(numbers)}
        return model.units() | first

    return objective


def _first_named(weights: Mapping[str, int]) -> Objective:
    return lambda model: model.weighed(weights)


def _more_than_units(model: Model) -> int:
    return len(model.units()) + 1


def _weights(names: Sequence[str], most: Mapping[str, int]) -> dict[str, int]:
    """Weights for the first of some names, so that one more of a name outweighs all those after it."""
    some: list[str] = []
    product = 1
    for name in names:
        product *= most[name] + 1
        if some and product > _MOST_WEIGHT:
            break
        some.append(name)
    weights, weight = {}, 1
    for name in reversed(some):
        weights[name] = weight
        weight *= most[name] + 1
    return dict(reversed(weights.items()))
