"""Every web of a bushing for which there is a plan, as intervals in whole nanometres.

As the web grows, totals of shims leave the windows of the first and of the last pass at their upper ends and come into
them at their lower ends, and the load of given passes never falls. So passes that keep the lower ends at the thinnest
web of a stretch, and the upper ends and the load at its thickest, are lawful on the whole stretch; and where none keep
the lower ends at the thickest and the upper ends and the load at the thinnest, the whole stretch has none. Each stretch
is made as long as either can be shown, so that nothing is sampled.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property, partial

from broachplan.buying.intervals import Interval, farthest, joined
from broachplan.cut.teeth import Teeth
from broachplan.lengths import Length
from broachplan.planner.make_bushing import THINNEST_WEB_NM
from broachplan.planner.pairs import Pair, ShimDrawer, bearing_of, problem_of
from broachplan.planner.passes import PassProblem
from broachplan.planner.presses import PressChoice
from broachplan.planner.rules import Case, widest_part
from broachplan.planner.search import Search
from broachplan.tooling.pieces import Broach, Bushing


@dataclass(frozen=True)
class _Stretch(PassProblem):
    """Passes in a stretch of webs: ``web_nm`` is where upper ends and load are judged, ``lower_web_nm`` where lower ends are."""

    lower_web_nm: int = 0

    @cached_property
    def first_lifts_nm(self) -> tuple[int, int]:
        """The totals of pass 1."""
        ends = (replace(self.plain, web_nm=web).first_lifts_nm for web in (self.lower_web_nm, self.web_nm))
        (low, _), (_, high) = ends
        return low, high

    @property
    def plain(self) -> PassProblem:
        """The passes at one web alone."""
        return PassProblem(self.section, self.teeth, self.web_nm, self.totals, self.target, self.bearing)


def _has_passes(problem: PassProblem, lower_web: int, upper_web: int) -> bool:
    """Whether some passes keep all lower ends at one web, and all upper ends and the load at another."""
    target = problem.target
    moved = target.lower + upper_web - lower_web
    if moved > target.upper:
        return False
    stretch = _Stretch(
        problem.section,
        problem.teeth,
        upper_web,
        problem.totals,
        replace(target, lower=moved, twice_aim=moved + target.upper),
        problem.bearing,
        lower_web_nm=lower_web,
    )
    return Search(stretch).passes_at_least is not None


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
        found += _webs(problem, most)
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


def _webs(problem: PassProblem, most: int) -> Iterator[Interval]:
    web = THINNEST_WEB_NM
    while web <= most:
        if _has_passes(problem, web, web):
            high = farthest(web, most, partial(_all_along, problem, web))
            yield web, high
        else:
            high = farthest(web, most, partial(_nowhere, problem, web))
        web = high + 1


def _all_along(problem: PassProblem, web: int, end: int) -> bool:
    return _has_passes(problem, web, end)


def _nowhere(problem: PassProblem, web: int, end: int) -> bool:
    return not _has_passes(problem, end, web)
