"""The stacks on which a last pass can come out within the limits: every plan has one of them, and most often one will do."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import NamedTuple

from broachplan.planner.bits import members
from broachplan.planner.search import Search


class LastStack(NamedTuple):
    """The tags of a stack; ``will_do``: it is sure that its own shims make the passes before too, and are borne."""

    tags: frozenset[str]
    will_do: bool


# What is said of a pair whose stacks are not known: no more than that every plan has some.
EVERY_PLAN = (LastStack(frozenset(), will_do=False),)


def stacks_of_last_pass(search: Search) -> Iterator[LastStack]:
    """Every stack whose total reads within the limits."""
    totals = search.problem.totals
    for place in members(search.final_totals):
        for count in range(totals.stack_most + 1):
            for stack in totals.stacks(totals.nm(place), count):
                sizes = [shim.thickness.nm for shim in stack if shim.thickness is not None]
                yield LastStack(frozenset(shim.tag for shim in stack), _leads_there(sizes, search))


def _leads_there(sizes: Sequence[int], search: Search) -> bool:
    """Whether the farthest step that is borne wherever it begins leads from stack to stack of these shims to all of them."""
    problem = search.problem
    low, high = problem.first_lifts_nm
    if problem.bearing is not None:
        high = min(high, problem.bearing.farthest(1) - search.reading(0))
    sums = sorted({sum(some) for count in range(len(sizes) + 1) for some in combinations(sizes, count)})
    at = bisect_right(sums, high) - 1
    if at < 0 or sums[at] < low:
        return False
    while at < len(sums) - 1:
        farther = bisect_right(sums, sums[at] + search.longest_step) - 1
        if farther == at:
            return False
        at = farther
    return True
