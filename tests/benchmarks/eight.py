"""A day of eight jobs over scarce shims of one width: the ready set against OR-Tools CP-SAT, which is given every column.

The columns are found by trying every set of shims on sums alone, with nothing of the program: without a material a plan is
a row of totals that begins in the first pass's range, ends within the limits and never rises by more than the broach.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from itertools import combinations
from random import Random
from statistics import median
from time import process_time

from ortools.sat.python import cp_model

from broachplan.buying.assignment import assign
from broachplan.buying.coming import ComingJob
from broachplan.buying.verdicts import Judge
from broachplan.crib.ahead import Snapshot
from broachplan.crib.shelf import Shelf
from broachplan.lengths import Length, Limits
from broachplan.tooling.pieces import Bushing
from tests.planner.setups import MM, SetUp, shim

_DAY, _JOBS, _SHIMS, _CASES = date(2031, 6, 2), 8, 12, 5
_STEP, _MOST_SECONDS = 10_000, 6
_MOST_SHIMS, _STACK_MOST = 6, 4
# The set-up's bore and broach: first metal at 24.5 mm, the first tooth at most one rise past it, and the advance.
_FIRST_METAL, _RISE, _ADVANCE = MM("24.5").nm, MM("0.05").nm, MM("1.25").nm
_Column = tuple[int, frozenset[int]]


def main() -> int:
    """Compare the ready sets and print how long each took; 1 where they differ, or ours is not proven."""
    ours, theirs, wrong, open_ = [], [], 0, 0
    for number in range(_CASES):
        jobs, crib = _case(number)
        start = process_time()
        found = assign(jobs, Judge(crib, SetUp().settings, _DAY), plans=False)
        ours.append(process_time() - start)
        alike = {job.keyway.aim: job for job in jobs}
        columns_of = {aim: list(_columns(job, crib)) for aim, job in alike.items()}
        start = process_time()
        expected = _solved([columns_of[job.keyway.aim] for job in jobs])
        theirs.append(process_time() - start)
        ready = {at for at, job in enumerate(jobs) if job.number in found.ready}
        open_ += expected is None
        wrong += not found.proven or (expected is not None and ready != expected)
    print(
        f"a day of {_JOBS} jobs over {_SHIMS} shims, {_CASES} cases, {wrong} wrong or not proven: ours"
        f" {1000 * median(ours):.0f} ms at the median, {1000 * max(ours):.0f} at worst; CP-SAT with the columns given"
        f" {1000 * median(theirs):.0f} and {1000 * max(theirs):.0f}, {open_} not proven in {_MOST_SECONDS} s",
        flush=True,
    )
    return 1 if wrong else 0


def _case(number: int) -> tuple[list[ComingJob], Snapshot]:
    """Eight jobs of readings near each other, a broach for each, four bushings of different webs, few shims."""
    random, set_up = Random(f"eight {number}"), SetUp()
    hub = replace(set_up.hub, material=None)
    jobs = []
    for at in range(_JOBS):
        off, reading = Length(random.choice((-400, -200, 0, 200)) * 1000), set_up.keyway.reading
        moved = Limits(reading.nominal + off, reading.lower + off, reading.upper + off)
        keyway = replace(set_up.keyway, reading=moved, aim=set_up.keyway.aim + off)
        jobs.append(ComingJob(f"W-{at}", hub, keyway, (_DAY,), (5, _DAY, f"W-{at}")))
    broaches = tuple(replace(set_up.broach, tag=f"K{at}") for at in range(_JOBS))
    bushings = tuple(
        replace(
            set_up.bushing, tag=f"G{at}", web=set_up.bushing.web + Length(random.randrange(-20, 21) * _STEP)
        )
        for at in range(4)
    )
    shims = tuple(shim(f"s{at:02}", Length(random.randrange(20, 130) * _STEP)) for at in range(_SHIMS))
    assert set_up.press is not None
    return jobs, Snapshot(Shelf(broaches, bushings, shims, (set_up.press,)), {})


def _columns(job: ComingJob, crib: Snapshot) -> Iterator[_Column]:
    """Every smallest set of shims of each bushing, by places; every broach is alike, and there is one for each job."""
    shelf = crib.shelf
    sizes = [one.thickness.nm for one in shelf.shims if one.thickness is not None]
    for place, bushing in enumerate(shelf.bushings):
        found: list[frozenset[int]] = []
        for count in range(_MOST_SHIMS + 1):
            for some in map(frozenset, combinations(range(len(sizes)), count)):
                if not any(one <= some for one in found) and _leads([sizes[at] for at in some], job, bushing):
                    found.append(some)
                    yield place, some


def _leads(sizes: Sequence[int], job: ComingJob, bushing: Bushing) -> bool:
    """Whether passes on these shims come from the bare bore to the reading, none rising more than the broach does."""
    assert bushing.web is not None
    web, first, last = bushing.web.nm, MM(12).nm, MM("13.2").nm
    reading = job.keyway.reading
    sums = sorted({sum(some) for n in range(_STACK_MOST + 1) for some in combinations(sizes, n)})
    within = [total for total in sums if reading.lower.nm <= web + last + total <= reading.upper.nm]
    reached: list[int] = []
    for total in sums if within else ():
        cuts = web + total + last > _FIRST_METAL
        begins = cuts and web + total + first <= _FIRST_METAL + _RISE
        if begins or any(0 < total - before <= _ADVANCE for before in reached):
            reached.append(total)
    return not set(within).isdisjoint(reached)


def _solved(columns: Sequence[Sequence[_Column]]) -> set[int] | None:
    """Most jobs, then those that come first: each job at most one column, no bushing and no shim twice; None: no proof in time."""
    model = cp_model.CpModel()
    used: dict[tuple[str, int], list[cp_model.IntVar]] = {}
    chosen = []
    for job, some in enumerate(columns):
        its = [model.new_bool_var(f"{job} {at}") for at in range(len(some))]
        model.add_at_most_one(its)
        for column, (bushing, shims) in zip(its, some, strict=True):
            used.setdefault(("bushing", bushing), []).append(column)
            for one in shims:
                used.setdefault(("shim", one), []).append(column)
        chosen.append(its)
    for its in used.values():
        model.add_at_most_one(its)
    count = len(columns)
    model.maximize(sum((2**count + 2 ** (count - 1 - job)) * sum(its) for job, its in enumerate(chosen)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = _MOST_SECONDS
    if solver.solve(model) != cp_model.OPTIMAL:
        return None
    return {job for job, its in enumerate(chosen) if any(solver.value(one) for one in its)}
