"""Every web of a bushing for which there is a plan, as intervals in whole nanometres.

As the web grows, totals of shims leave the windows of the first and of the last pass at their upper ends and come into
them at their lower ends, and the load of given passes never falls (`buying.stretches`). So passes that hold over a
stretch are lawful on all of it; and where none keep the lower ends at the thickest web and the upper ends and the load
at the thinnest, the whole stretch has none. Each stretch is made as long as either can be shown, so that nothing is
sampled.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from broachplan.buying.intervals import Interval, farthest, joined
from broachplan.buying.stretches import passes_over
from broachplan.cut.teeth import Teeth
from broachplan.lengths import Length
from broachplan.planner.make_bushing import THINNEST_WEB_NM
from broachplan.planner.pairs import Pair, ShimDrawer, bearing_of, problem_of
from broachplan.planner.passes import PassProblem
from broachplan.planner.presses import PressChoice
from broachplan.planner.rules import Case, widest_part
from broachplan.tooling.pieces import Broach, Bushing


def webs_for(broach: Broach, choice: PressChoice, drawer: ShimDrawer, case: Case) -> list[Interval]:
    """All webs from 1/16 in with which a bushing for this broach, slot and diameter at their best, has a plan."""
    teeth = Teeth.of(broach)
    bearing = bearing_of(broach, teeth, choice, case)
    found: list[Interval] = []
    most = min(case.keyway.reading.upper.nm - teeth.last_nm, case.hub.bore.lower.nm - 1)
    for slot in _slots(broach, drawer, case):
        bushing = Bushing(
            tag="new", outside_diameter=case.hub.bore.lower, slot_width=slot, web=Length(THINNEST_WEB_NM)
        )
        totals = drawer.totals(slot, max(case.keyway.reading.upper.nm - teeth.last_nm - THINNEST_WEB_NM, 0))
        problem = problem_of(Pair(broach, bushing, teeth, choice, bearing), totals, case)
        found += webs_within(problem, THINNEST_WEB_NM, most)
    return joined(found)


def _slots(broach: Broach, drawer: ShimDrawer, case: Case) -> Iterator[Length]:
    """Slot widths that take all the sets of shims that a slot for this broach may take, none twice."""
    low, high = case.bounds.slot_width(widest_part(broach))
    beside = case.bounds.shim_width_beside(widest_part(broach))
    widths = [shim.width for shim in drawer.within(*beside) if shim.width is not None]
    slots = {low, high, *widths, *(width + case.settings.shim_clearance for width in widths)}
    seen: set[frozenset[str]] = set()
    for slot in sorted(one for one in slots if low <= one <= high and one < case.hub.bore.lower):
        tags = frozenset(shim.tag for shim in drawer.fitting(slot))
        if not any(tags <= other for other in seen):
            seen.add(tags)
            yield slot


def webs_within(problem: PassProblem, least: int, most: int) -> Iterator[Interval]:
    """The webs from ``least`` to ``most`` with which there is a plan, in order; neighbours may touch."""
    web = least
    while web <= most:
        if _has_passes(problem, web, web):
            high = farthest(web, most, partial(_has_passes, problem, web))
            yield web, high
        else:
            high = farthest(web, most, partial(_nowhere, problem, web))
        web = high + 1


def _has_passes(problem: PassProblem, web: int, end: int) -> bool:
    return passes_over(problem, web, end) is not None


def _nowhere(problem: PassProblem, web: int, end: int) -> bool:
    return passes_over(problem, end, web) is None
