"""The programme of a basket: units of offers, ways to cut each job, and pieces that serve one job on a day.

It is looser than the truth until it knows enough: of a job that it does not hold it takes that it is ready, and of shims
it knows the cuts that were found so far. So what it finds costs no more than any basket that does, and what is found
need only be tried.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import IntEnum
from itertools import pairwise
from math import gcd

from broachplan.buying.basket.program import Program, Solved
from broachplan.buying.basket.supply import Alike, Supply
from broachplan.buying.basket.ways import Counts, Ways, WayToCut
from broachplan.buying.coming import ComingJob


class JobDetail(IntEnum):
    """How much of a job the programme knows: what it needs by itself, its rivals for broaches and bushings, those for shims."""

    ALONE = 1
    PAIRS = 2
    SHIMS = 3


@dataclass(frozen=True, slots=True)
class Modelled:
    """A job as the programme holds it."""

    job: ComingJob
    detail: JobDetail
    ways: Ways

    @property
    def key(self) -> object:
        """Jobs that share nothing with others and have the same ways choose the same one."""
        return self.ways if self.detail is JobDetail.ALONE else self.job.number


@dataclass(frozen=True)
class BasketLimits:
    """What a basket must keep: the most it may cost, hold and wait for, so many of some offers, and which jobs it readies.

    ``ready`` has the jobs that are settled; of the others ``most_out`` may be left out.
    """

    cost: int | None = None
    units: int | None = None
    lead: int | None = None
    exactly: Mapping[str, int] = field(default_factory=dict)
    ready: Mapping[str, bool] = field(default_factory=dict)
    most_out: int | None = None


@dataclass(frozen=True, slots=True)
class Barred:
    """Of some levels of offers at least one, or one of the jobs is not ready, or one of ``without`` is."""

    jobs: tuple[str, ...]
    levels: frozenset[tuple[str, int]]
    without: tuple[str, ...] = ()


class Model:
    """The programme for some jobs under some limits; see `BasketLimits`."""

    def __init__(
        self,
        jobs: Sequence[Modelled],
        queues: Mapping[date, Sequence[Sequence[str]]],
        supply: Supply,
        program: Program,
    ) -> None:
        """``queues``: on each day the jobs that share what they use, together."""
        self.jobs = {each.job.number: each for each in jobs}
        self._supply, self.program = supply, program
        self._queues = queues
        self._unit = _common(supply)
        self._units: dict[str, list[int]] = {}
        self._ways: dict[object, dict[WayToCut, int]] = {}
        self._levels: dict[tuple[object, Alike], list[int]] = {}
        self._in_sets: dict[tuple[object, Alike], dict[int, int]] = {}
        self._meeting = max((sum(len(one) for one in of_day) for of_day in queues.values()), default=1)
        self.ready: dict[str, int] = {}
        for each in jobs:
            self._add_job(each)
        for key, alike in dict.fromkeys((*self._levels, *self._in_sets)):
            self._supplied(self._use(alike, key), alike, self._of(key))
        self._share_days()
        self._paid: dict[int, int] | None = None

    # -- what is asked of it -----------------------------------------------------------------------------------

    @property
    def offers(self) -> Mapping[str, int]:
        """The offers that can matter, by name, and how many of each; without shims that are cut."""
        return self._supply.bought({name: len(self._units[name]) for name in sorted(self._units)})

    def could_matter(self, numbers: Iterable[str]) -> Mapping[str, int]:
        """All that can be bought for some jobs, shims that are cut among it, and how many of each can matter."""
        found: dict[str, int] = {}
        for modelled in map(self.jobs.__getitem__, numbers):
            alike = dict.fromkeys(one for way in modelled.ways.ways for one in way.needs)
            for name in (name for one in (*alike, *modelled.ways.everything) for name in one.offered):
                found[name] = len(self._units[name]) if name in self._units else self._most(name)
        return found

    def cost(self) -> dict[int, int]:
        """The cost of a basket as a sum, in the largest amount that divides all of them (`amount`)."""
        if self._paid is None:
            self._paid = self._priced()
        return self._paid

    def amount(self, sum_of_cost: int) -> int:
        """Hundredths of a value of `cost`."""
        return sum_of_cost * self._unit

    def units(self) -> dict[int, int]:
        """The units of a basket as a sum."""
        return {at: 1 for name in self.offers for at in self._units[name]}

    def weighed(self, weights: Mapping[str, int]) -> dict[int, int]:
        """A sum that is the smaller the more there are of some offers, each with its weight."""
        return {at: -weight for name, weight in weights.items() for at in self._units.get(name, ())}

    def lead(self) -> dict[int, int]:
        """The longest lead as a sum."""
        longest = self.program.column(max((o.lead_days for o in self._supply.offers.values()), default=0))
        for name in self.offers:
            first = self._units[name][0]
            self.program.at_least({longest: 1, first: -self._supply.offers[name].lead_days}, 0)
        return {longest: 1}

    def keep(self, limits: BasketLimits, barred: Iterable[Barred]) -> None:
        """Rows for the limits, and for what was found not to do."""
        program = self.program
        for each in barred:
            terms = {self._level(name, level): 1 for name, level in each.levels}
            out = {self.ready[one]: -1 for one in each.jobs if one in self.ready}
            also = {self.ready[one]: 1 for one in each.without if one in self.ready}
            program.at_least(terms | out | also, 1 - len(out))
        if limits.cost is not None:
            program.at_most(self.cost(), limits.cost // self._unit)
        if limits.units is not None:
            program.at_most(self.units(), limits.units)
        for name, columns in self._units.items():
            if limits.lead is not None and self._supply.offers[name].lead_days > limits.lead:
                program.at_most({columns[0]: 1}, 0)
            if name in limits.exactly:
                program.at_least(dict.fromkeys(columns, 1), limits.exactly[name])
                program.at_most(dict.fromkeys(columns, 1), limits.exactly[name])
        for number, column in self.ready.items():
            if number in limits.ready:
                (program.at_least if limits.ready[number] else program.at_most)(
                    {column: 1}, int(limits.ready[number])
                )
        if limits.most_out is not None:
            open_ones = [at for number, at in self.ready.items() if number not in limits.ready]
            program.at_least(dict.fromkeys(open_ones, 1), len(open_ones) - limits.most_out)

    def solve(self, objective: Mapping[int, int]) -> Solved:
        """Minimise a sum."""
        return self.program.minimise(objective)

    # -- what it found -----------------------------------------------------------------------------------------

    def basket(self, solved: Solved) -> dict[str, int]:
        """The units of each offer that is bought."""
        values = solved.values or ()
        found = {name: sum(values[at] for at in columns) for name, columns in self._units.items()}
        return {name: units for name, units in sorted(found.items()) if units}

    def left_out(self, solved: Solved) -> frozenset[str]:
        """The jobs that are not ready."""
        values = solved.values or ()
        return frozenset(number for number, at in self.ready.items() if not values[at])

    def chosen(self, number: str, solved: Solved) -> list[WayToCut]:
        """The ways of a job that were chosen: one, if it is ready."""
        values = solved.values or ()
        return [way for way, at in self._ways[self.jobs[number].key].items() if values[at]]

    def used(self, number: str, solved: Solved) -> Counts:
        """How many of the shims that are not at hand a job was given, as far as cuts ask for them."""
        values, key = solved.values or (), self.jobs[number].key
        return {
            alike: sum(values[at] for at in columns)
            for (of, alike), columns in self._levels.items()
            if of == key
        }

    def taken(self, number: str, solved: Solved) -> Counts:
        """All that is not at hand that a job was given, as far as the programme knows what it needs."""
        values, key = solved.values or (), self.jobs[number].key
        found = Counter(dict(self.used(number, solved)))
        for way in self.chosen(number, solved):
            found.update(way.needs)
        for (of, alike), columns in self._in_sets.items():
            if of == key:
                found[alike] += sum(count for at, count in columns.items() if values[at])
        return found

    # -- columns and rows --------------------------------------------------------------------------------------

    def _add_job(self, modelled: Modelled) -> None:
        number, key, program = modelled.job.number, modelled.key, self.program
        if key not in self._ways:
            self._ways[key] = {way: program.column() for way in modelled.ways.ways}
            for way, column in self._ways[key].items():
                if modelled.detail is JobDetail.SHIMS and way.sets is not None:
                    self._add_sets(key, way.sets, column)
                    continue
                for cut in way.cuts:
                    terms = {self._at_least(key, alike, level): 1 for alike, level in cut}
                    program.at_least({**terms, column: -1}, 0)
            program.at_most(dict.fromkeys(self._ways[key].values(), 1), 1)
            for alike in {one: None for way in self._ways[key] for one in way.needs}:
                self._supplied(self._choosing(key, alike), alike, modelled)
            self._cut_in_time(key, modelled)
        self.ready[number] = program.column()
        program.at_least({**dict.fromkeys(self._ways[key].values(), 1), self.ready[number]: -1}, 0)

    def _add_sets(self, key: object, sets: Sequence[Counts], way: int) -> None:
        """Columns for the smallest sets of shims of a way, one of which it takes."""
        columns = {self.program.column(): counts for counts in sets}
        self.program.at_least({**dict.fromkeys(columns, 1), way: -1}, 0)
        for column, counts in columns.items():
            for alike, count in counts.items():
                self._in_sets.setdefault((key, alike), {})[column] = count

    def _choosing(self, key: object, alike: Alike) -> dict[int, int]:
        """The ways of a job that use a broach or bushing."""
        return {at: 1 for way, at in self._ways[key].items() if alike in way.needs}

    def _at_least(self, key: object, alike: Alike, level: int) -> int:
        """The column: a job uses at least so many of some shims."""
        columns = self._levels.setdefault((key, alike), [])
        while len(columns) < level:
            columns.append(self.program.column())
            if len(columns) > 1:
                self.program.at_least({columns[-2]: 1, columns[-1]: -1}, 0)
        return columns[level - 1]

    def _of(self, key: object) -> Modelled:
        return next(each for each in self.jobs.values() if each.key == key)

    def _supplied(self, using: Mapping[int, int], alike: Alike, by: Modelled) -> None:
        """A row: what is used of some pieces is in the crib, or bought in time."""
        there = len(alike.crib & by.ways.beyond)
        most = sum(using.values()) if alike.in_drawer else 1
        if most > there:
            bought = self._bought(alike, by.job)
            self.program.at_least({**bought, **{at: -value for at, value in using.items()}}, -there)

    def _cut_in_time(self, key: object, by: Modelled) -> None:
        """Rows: where a shim is cut to measure, what it is cut for comes so much earlier."""
        terms = self._supply.judge.trust.cut
        for way, column in self._ways[key].items():
            if way.cut is None or terms is None:
                continue
            for alike in way.needs - {way.cut}:
                if alike.offered and not alike.crib:
                    bought = self._bought(alike, by.job, terms.days)
                    self.program.at_least({**bought, column: -1}, 0)

    def _bought(self, alike: Alike, job: ComingJob, then_days: int = 0) -> dict[int, int]:
        """How many of some pieces are bought in time for a job, as a sum."""
        return {
            at: pieces
            for name, pieces in alike.offered.items()
            if self._supply.in_time(name, job, then_days)
            for at in self._columns(name)
        }

    def _columns(self, name: str) -> list[int]:
        if name not in self._units:
            self._units[name] = [self.program.column() for _ in range(self._most(name))]
            self._in_order(self._units[name])
        return self._units[name]

    def _most(self, name: str) -> int:
        alone = self._supply.units_alone(name)
        return min(self._supply.offers[name].available, alone * max(self._meeting, 1))

    def _level(self, name: str, level: int) -> int:
        """The column: at least so many of an offer."""
        columns = self._columns(name)
        while len(columns) < level:
            columns.append(self.program.column())
            self._in_order(columns[-2:])
        return columns[level - 1]

    def _in_order(self, columns: Sequence[int]) -> None:
        for first, second in pairwise(columns):
            self.program.at_least({first: 1, second: -1}, 0)

    def _share_days(self) -> None:
        """Rows: on each day no more of some pieces are used than there are."""
        done: set[tuple[object, ...]] = set()
        for of_day in self._queues.values():
            users: dict[Alike, list[list[str]]] = {}
            for queue in of_day:
                wanted: dict[Alike, list[str]] = {}
                for one in queue:
                    for alike in self._wanted(self.jobs[one]):
                        wanted.setdefault(alike, []).append(one)
                for alike, of_queue in wanted.items():
                    users.setdefault(alike, []).append(of_queue)
            for alike, of_day_queues in users.items():
                key = alike, *(tuple(one) for one in of_day_queues)
                if len(of_day_queues) > 1 and key not in done:
                    done.add(key)
                    self._share(alike, of_day_queues)

    def _wanted(self, modelled: Modelled) -> Iterable[Alike]:
        """What a job may use that is not at hand."""
        if modelled.detail is JobDetail.ALONE:
            return ()
        needs = {one: None for way in modelled.ways.ways for one in way.needs}
        if modelled.detail is JobDetail.SHIMS:
            shims = (*self._levels, *self._in_sets)
            needs.update((alike, None) for key, alike in shims if key == modelled.key)
        return needs

    def _share(self, alike: Alike, queues: Sequence[Sequence[str]]) -> None:
        using: dict[int, int] = {}
        for queue in queues:
            sums = [self._use(alike, self.jobs[one].key) for one in queue]
            if len(sums) > 1:
                most = self.program.column(self._supply.settings.stack_most)
                for each in sums:
                    self.program.at_least({most: 1, **{at: -value for at, value in each.items()}}, 0)
                sums = [{most: 1}]
            using.update(sums[0])
        everyone = [self.jobs[one] for queue in queues for one in queue]
        latest = max((each.job for each in everyone), key=lambda job: job.days[0])
        there = len(alike.crib & frozenset().union(*(each.ways.beyond for each in everyone)))
        bought = self._bought(alike, latest)
        self.program.at_least({**bought, **{at: -value for at, value in using.items()}}, -there)

    def _use(self, alike: Alike, key: object) -> dict[int, int]:
        if alike.in_drawer:
            levels = dict.fromkeys(self._levels.get((key, alike), ()), 1)
            return levels | self._in_sets.get((key, alike), {})
        return self._choosing(key, alike)

    def _priced(self) -> dict[int, int]:
        program, unit = self.program, self._unit
        paid: dict[int, int] = {}
        by_supplier: dict[str, list[str]] = {}
        for name in self._units:
            offer = self._supply.offers[name]
            paid.update(dict.fromkeys(self._units[name], offer.price // unit))
            if offer.supplier:
                by_supplier.setdefault(offer.supplier, []).append(name)
        for supplier_name, names in sorted(by_supplier.items()):
            supplier = self._supply.book.by_supplier[supplier_name]
            used = program.column()
            for name in names:
                program.at_least({used: 1, self._units[name][0]: -1}, 0)
            paid[used] = supplier.shipping // unit
            if supplier.minimum:
                short = program.column(supplier.minimum // unit, whole=False)
                spent = {
                    at: self._supply.offers[name].price // unit for name in names for at in self._units[name]
                }
                program.at_least({short: 1, used: -(supplier.minimum // unit), **spent}, 0)
                paid[short] = 1
        return paid


def _common(supply: Supply) -> int:
    """The largest amount that divides all prices, shipping and least orders."""
    amounts = [one.price for one in supply.offers.values()]
    amounts += [amount for one in supply.book.suppliers for amount in (one.shipping, one.minimum)]
    return gcd(*amounts) or 1
