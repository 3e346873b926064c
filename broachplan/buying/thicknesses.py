"""Every thickness of one shim to cut with which a pair has a plan, as intervals.

From a thickness that does, the passes it leads to show a whole interval. From one that does not, a stretch is passed by
where no passes come out even if the new shim had any thickness of the stretch in any pass, and every pass went as
far as any shims let it. What neither shows is looked at in steps of what a micrometer shows.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

from broachplan.buying.intervals import Interval, farthest, joined
from broachplan.lengths import Length
from broachplan.planner import bits
from broachplan.planner.edges import edges
from broachplan.planner.make_shims import THINNEST_SHIM_NM, Cut
from broachplan.planner.passes import PassProblem
from broachplan.planner.search import Search
from broachplan.planner.stacks import STEPS_NM, totals_of
from broachplan.tooling.pieces import Shim

# A drawer that makes more totals leads to a reading without another shim, if anything does.
_MOST_TOTALS = 5_000
_NEW = "new shim"


def thicknesses_for(problem: PassProblem) -> list[Interval]:
    """The thicknesses in nm for a pair that has no plan without the shim, from the thinnest shim that lies flat; none for a drawer with too many totals to look at.

    Where only the load decides, the ends are exact to what a micrometer shows: 0.0001 in or 0.001 mm.
    """
    if problem.totals.every.bit_count() > _MOST_TOTALS:
        return []
    return joined(_thicknesses(problem))


def _thicknesses(problem: PassProblem) -> Iterator[Interval]:
    new, most = _NewShim(problem), problem.totals.most_nm
    thick = THINNEST_SHIM_NM
    while thick <= most:
        found = _around(problem, thick, most)
        if found is not None:
            yield found
            thick = max(found[1], thick) + 1
        elif new.comes_out(thick, thick):
            thick = min((thick // step + 1) * step for step in STEPS_NM)
        else:
            thick = farthest(thick, most, partial(new.comes_out_nowhere, thick)) + 1


def _around(problem: PassProblem, thick: int, most: int) -> Interval | None:
    """The interval around a thickness in which the passes that it leads to hold; None where it leads to none."""
    new = Shim(tag=_NEW, thickness=Length(thick))
    totals = totals_of((*problem.totals.shims, new), problem.totals.stack_most, problem.totals.most_nm)
    search = Search(replace(problem, totals=totals))
    if search.passes_at_least is None:
        return None
    order = search.in_full(None)
    passes = []
    for place, lift in zip(order.places, order.lifts, strict=True):
        with_new = any(shim.tag == _NEW for shim in totals.stack(place))
        passes.append((lift - thick, frozenset({0})) if with_new else (lift, frozenset[int]()))
    cut = Cut(problem, (thick,), tuple(passes))
    low, high = edges(thick, THINNEST_SHIM_NM, most, partial(cut.holds_with, 0))
    return low.nm, high.nm


@dataclass(frozen=True)
class _NewShim:
    """Whether passes may come out with a new shim of any thickness in a stretch; only a no is certain."""

    problem: PassProblem

    def comes_out_nowhere(self, low: int, high: int) -> bool:
        """Whether no thickness from the one to the other leads to any passes."""
        return not self.comes_out(low, high)

    def comes_out(self, low: int, high: int) -> bool:
        """Whether some passes come out with the shim as thin or as thick as suits each of them."""
        problem, totals = self.problem, self.problem.totals
        bare = problem.web_nm + problem.teeth.last_nm
        fewer = sum(totals.by_count[: problem.totals.stack_most])
        there = [(nm, nm) for nm in map(totals.nm, bits.members(totals.every))]
        there += [(nm + low, nm + high) for nm in map(totals.nm, bits.members(fewer))]
        start, end = problem.first_lifts_nm
        if problem.bearing is not None:
            end = min(end, problem.bearing.farthest(1) - bare)
        goal, last = problem.target.lower - bare, problem.target.upper - bare
        reach = [min(b, end) for a, b in there if a <= end and b >= start]
        if not reach:
            return False
        far, least = -1, min(max(a, start) for a, b in there if a <= end and b >= start)
        if any(a <= min(end, last) and b >= max(start, goal) for a, b in there):
            return True
        while (now := max(self._far(one, bare) for one in reach)) > far:
            far = now
            if any(a <= min(far, last) and b >= max(least + 1, goal) for a, b in there):
                return True
            reach = [min(b, far) for a, b in there if a <= far and b >= least]
        return False

    def _far(self, lift: int, bare: int) -> int:
        """The largest total that a pass from one may go to at most."""
        problem, bearing = self.problem, self.problem.bearing
        if bearing is None:
            return lift + problem.teeth.advance_nm
        return bearing.farther(lift + bare) - bare
