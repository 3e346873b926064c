"""The pass sequence against OR-Tools CP-SAT: the same optimum, and how many times quicker."""

from __future__ import annotations

from collections.abc import Callable
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


def main() -> int:
    """Print the ratios; 1 when the two disagree on any case."""
    random = Random(20261124)
    ratios: list[float] = []
    times: list[tuple[float, float]] = []
    without_plan, differing, passes = 0, 0, [0] * (MOST_PASSES + 1)
    while len(ratios) < CASES:
        case = random_case(random, MOST_PASSES)
        ours, theirs, seconds = _both(case)
        if ours != theirs:
            differing += 1
            print(f"case {len(ratios) + without_plan}: the search says {ours}, CP-SAT {theirs}")
        if theirs is None:
            without_plan += 1
            continue
        passes[theirs.passes] += 1
        times.append(seconds)
        ratios.append(seconds[1] / seconds[0])
    spread = Spread(tuple(ratios))
    counts = ", ".join(f"{amount} of {n}" for n, amount in enumerate(passes) if amount)
    print(f"pass sequence, {CASES} cases with a plan (by passes: {counts}), 24 to 40 shims in one slot")
    print(
        f"  the same optimum in {len(ratios) + without_plan - differing} of {len(ratios) + without_plan}",
        end="",
    )
    print(f", {without_plan} of them without a plan")
    print(
        f"  CP-SAT takes {spread.median:.0f} times as long at the median, {spread.percentile(5):.1f} at the 5th "
        f"percentile, {spread.least:.1f} at worst; {verdict(spread.median >= LEAST_MEDIAN)}: at least {LEAST_MEDIAN}"
    )
    ours_ms, theirs_ms = (1000 * median(pair[side] for pair in times) for side in (0, 1))
    slowest = 1000 * max(pair[0] for pair in times)
    print(f"  medians {ours_ms:.2f} ms against {theirs_ms:.1f} ms; our slowest case {slowest:.1f} ms")
    return 1 if differing else 0


def _both(case: PassCase) -> tuple[Optimum | None, Optimum | None, tuple[float, float]]:
    """Both answers and the seconds that each took."""
    ours, our_seconds = _timed(lambda: _searched(case))
    theirs, their_seconds = _timed(lambda: solve(case, MOST_PASSES))
    if ours is not None and ours.passes > MOST_PASSES:
        ours = None
    return ours, theirs, (our_seconds, their_seconds)


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
