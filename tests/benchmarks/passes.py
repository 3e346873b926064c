"""The pass sequence against OR-Tools CP-SAT: the same optimum, and how many times quicker."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random
from statistics import median
from time import process_time
from typing import TypeVar

from broachplan.planner.search import Search
from tests.benchmarks.cp_sat import Optimum, solve
from tests.benchmarks.drawers import PassCase, random_case
from tests.benchmarks.ratios import Spread, verdict

CASES = 200
MOST_PASSES = 6
LEAST_MEDIAN = 50
_RUNS = 3
_T = TypeVar("_T")


@dataclass
class _Tally:
    """What the cases came to; seconds of the search, of CP-SAT tuned, and of CP-SAT with its own settings."""

    seconds: list[tuple[float, float, float]] = field(default_factory=list)
    passes: list[int] = field(default_factory=lambda: [0] * (MOST_PASSES + 1))
    without_plan: int = 0
    differing: int = 0


def main() -> int:
    """Print the ratios; 1 when the two disagree on any case."""
    random, tally = Random(20261124), _Tally()
    while len(tally.seconds) < CASES:
        _put_to_both(random_case(random, MOST_PASSES), tally)
    counts = ", ".join(f"{amount} of {n}" for n, amount in enumerate(tally.passes) if amount)
    print(f"pass sequence, {CASES} cases with a plan (by passes: {counts}), 24 to 40 shims in one slot")
    tried = CASES + tally.without_plan
    print(
        f"  the same answer in {tried - tally.differing} of {tried}, {tally.without_plan} of them without a plan"
    )
    for name, side in (("tuned", 1), ("its own settings", 2)):
        ratio = Spread(tuple(taken[side] / taken[0] for taken in tally.seconds))
        print(
            f"  CP-SAT, {name}: {ratio.median:.0f} times as long at the median, {ratio.percentile(5):.1f} at the 5th"
            f" percentile, {ratio.least:.1f} at worst; {verdict(ratio.median >= LEAST_MEDIAN)}: at least {LEAST_MEDIAN}"
        )
    ours, tuned, plain = (1000 * median(taken[side] for taken in tally.seconds) for side in range(3))
    slowest = 1000 * max(taken[0] for taken in tally.seconds)
    print(f"  medians {ours:.2f} ms, {tuned:.1f} ms, {plain:.1f} ms; our slowest case {slowest:.1f} ms")
    return 1 if tally.differing else 0


def _put_to_both(case: PassCase, tally: _Tally) -> None:
    ours, our_seconds = _timed(lambda: _searched(case))
    tuned, tuned_seconds = _timed(lambda: solve(case, MOST_PASSES))
    plain, plain_seconds = _timed(lambda: solve(case, MOST_PASSES, tuned=False))
    if ours is not None and ours.passes > MOST_PASSES:
        ours = None
    if not ours == tuned == plain:
        tally.differing += 1
        print(f"  the search says {ours}, CP-SAT {tuned} and {plain}: {case}")
    if tuned is None:
        tally.without_plan += 1
    else:
        tally.passes[tuned.passes] += 1
        tally.seconds.append((our_seconds, tuned_seconds, plain_seconds))


def _timed(solved: Callable[[], _T]) -> tuple[_T, float]:
    """The answer, and the median processor time of a few runs in a row; both run in one thread."""
    taken = []
    for _ in range(_RUNS):
        start = process_time()
        answer = solved()
        taken.append(process_time() - start)
    return answer, median(taken)


def _searched(case: PassCase) -> Optimum | None:
    """The planner's answer; it settles the other criteria on the way."""
    search = Search(case.problem())
    best = search.best()
    if best is None:
        return None
    drawer = search.problem.totals
    return Optimum(
        len(best.lifts),
        search.problem.target.tenths(search.reading(best.lifts[-1])),
        sum(drawer.count(place) for place in best.places),
    )
