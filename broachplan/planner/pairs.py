"""One broach in one bushing: the best passes they allow, or the rule that refuses the pair."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from broachplan.cut.load import BroachColumn, LoadModel
from broachplan.cut.section import Section
from broachplan.cut.teeth import Teeth
from broachplan.lengths import Length
from broachplan.planner import bits
from broachplan.planner.answer import Rule
from broachplan.planner.bearing import Bearing
from broachplan.planner.passes import PassProblem, Target
from broachplan.planner.presses import Peaks, PressChoice
from broachplan.planner.rules import Case, Reason, shim_usable
from broachplan.planner.search import PassOrder, Search, Start
from broachplan.planner.stacks import Totals, totals_of
from broachplan.shown import AtLeast, AtMost
from broachplan.tooling.pieces import Broach, Bushing, Press, Shim


@dataclass(frozen=True, slots=True)
class Pair:
    """A broach and a bushing that fit each other and the hub, with the presses that have room for them."""

    broach: Broach
    bushing: Bushing
    teeth: Teeth
    presses: PressChoice
    bearing: Bearing | None


@dataclass(frozen=True, slots=True)
class BegunPair:
    """A pair that has a plan; so far only the least number of its passes is known."""

    pair: Pair
    search: Search

    @property
    def passes_at_least(self) -> int:
        """A number of passes that no plan of the pair is under."""
        assert self.search.passes_at_least is not None
        return self.search.passes_at_least

    @property
    def start(self) -> Start:
        """Fewest passes and tenths off aim."""
        assert self.search.start is not None
        return self.search.start


@dataclass(frozen=True, slots=True)
class FinishedPair:
    """A sequence of passes of a pair, its search, and the smallest press that takes it.

    ``stacks`` are the shims of each pass by tag: of those that make its total the best, or those that were given.
    """

    pair: Pair
    search: Search
    order: PassOrder
    press: Press | None
    stacks: tuple[tuple[Shim, ...], ...]


@dataclass(frozen=True, slots=True)
class Overloaded:
    """A pair that the geometry allows and the press, or the broach as a column, refuses.

    ``search`` is one without the limit that refuses it.
    """

    pair: Pair
    rule: Rule
    search: Search


class ShimDrawer:
    """The shims of a crib by slot; slots that take the same shims share their totals."""

    def __init__(self, shims: Iterable[Shim], case: Case) -> None:
        there = [(shim.width.nm, shim.tag, shim) for shim in shims if shim.width and shim_usable(shim, case)]
        self._shims = [shim for _, _, shim in sorted(there, key=lambda one: one[:2])]
        self._widths = [width for width, *_ in sorted(there, key=lambda one: one[:2])]
        self._case = case
        self._totals: dict[tuple[int, int], Totals] = {}
        self._most_nm = 0

    def expect(self, pairs: Iterable[Pair]) -> None:
        """Make room for the tallest stack that any of these pairs may need, so that totals are made once."""
        needs = (most_total_nm(pair.broach, pair.bushing, self._case) for pair in pairs)
        self._most_nm = max(self._most_nm, *needs, 0)

    def fitting(self, slot_width: Length) -> list[Shim]:
        """The shims on the shelf that fit a slot, the narrowest first."""
        return self.within(*self._case.bounds.shim_width(slot_width))

    def within(self, low: Length, high: Length) -> list[Shim]:
        """The shims on the shelf from one width to another, both included, the narrowest first."""
        return self._shims[bisect_left(self._widths, low.nm) : bisect_right(self._widths, high.nm)]

    def totals(self, slot_width: Length, most_nm: int) -> Totals:
        """The totals a slot's shims can make, at least up to ``most_nm``."""
        fit = self._fit(slot_width)
        found = self._totals.get(fit)
        if found is None or found.most_nm < most_nm:
            shims = self.fitting(slot_width)
            found = totals_of(shims, self._case.settings.stack_most, max(most_nm, self._most_nm))
            self._totals[fit] = found
        return found

    def _fit(self, slot_width: Length) -> tuple[int, int]:
        """Where the shims that fit a slot begin and end among all, which lie in the order of their widths."""
        low, high = self._case.bounds.shim_width(slot_width)
        return bisect_left(self._widths, low.nm), bisect_right(self._widths, high.nm)


def target_of(case: Case) -> Target:
    """The reading's limits with twice the aim, exact where the aim is the middle of the limits.

    Where two ends are read, they are what keeps either end within the limits, for the reading expected between them.
    """
    low, high = case.keyway.reading.lower.nm, case.keyway.reading.upper.nm
    twice = 2 * case.keyway.aim.nm
    start, shown = case.start, case.start.offset_nm
    return Target(
        low + shown - start.shallower_nm,
        high + shown - start.deeper_nm,
        (low + high if abs(twice - low - high) <= 1 else twice)
        + 2 * shown
        - start.deeper_nm
        - start.shallower_nm,
        start.deeper_nm - start.shallower_nm,
    )


def most_total_nm(broach: Broach, bushing: Bushing, case: Case) -> int:
    """The largest total that keeps the reading within its upper limit; negative when even none does."""
    assert bushing.web is not None
    assert broach.last_tooth_height is not None
    deepest = bushing.web.nm + broach.last_tooth_height.nm + case.start.deeper_nm
    return case.keyway.reading.upper.nm - deepest


def bearing_of(
    broach: Broach, teeth: Teeth, presses: PressChoice, case: Case, *, weakest: Broach | None = None
) -> Bearing | None:
    """What the presses and the broach bear in this hub, with any bushing; None where no force is known.

    That is without a material, and where the teeth were not counted or their pitch is not known. ``weakest`` is the
    broach as a column where its figures have limits.
    """
    in_cut = teeth.in_cut(case.hub.cut_length)
    if case.hub.material is None or in_cut is None or teeth.rising is None:
        return None
    assert broach.keyway_width is not None
    section = Section(case.hub.bore.lower, broach.keyway_width)
    model = LoadModel(
        section,
        teeth,
        in_cut,
        case.hub.material.high_with(float(case.settings.dull_edge)),
        column=BroachColumn.of(weakest or broach, teeth, float(case.settings.column_ends)),
        settings=case.settings,
        low=LoadModel(section, teeth, in_cut, case.hub.material.low),
    )
    return Bearing(model, section, teeth, presses.most(case), start_nm=case.start.surface_nm)


def pair_of(broach: Broach, bushing: Bushing, teeth: Teeth, presses: PressChoice, case: Case) -> Pair:
    """One pair by itself; where many bushings are tried with a broach, they share its `bearing_of`."""
    return Pair(broach, bushing, teeth, presses, bearing_of(broach, teeth, presses, case))


def problem_of(pair: Pair, totals: Totals, case: Case) -> PassProblem:
    """The question of passes for one pair."""
    broach, bushing = pair.broach, pair.bushing
    assert broach.keyway_width is not None
    assert bushing.web is not None
    section = Section(case.hub.bore.lower, broach.keyway_width)
    web_nm = bushing.web.nm + case.start.offset_nm
    return PassProblem(section, pair.teeth, web_nm, totals, target_of(case), pair.bearing, case.start)


def _overloaded(pair: Pair, problem: PassProblem) -> Overloaded:
    assert problem.bearing is not None
    free = Search(replace(problem, bearing=problem.bearing.without_press))
    if free.passes_at_least is not None and pair.presses.strongest is not None:
        return Overloaded(pair, Rule.PRESS_FORCE, free)
    return Overloaded(
        pair, Rule.COLUMN, Search(replace(problem, bearing=problem.bearing.without_press_and_column))
    )


def begin(pair: Pair, drawer: ShimDrawer, case: Case) -> BegunPair | Overloaded | Reason:
    """How many passes a pair needs at least, or the rule that refuses the pair with its numbers."""
    assert pair.bushing.slot_width is not None
    most = most_total_nm(pair.broach, pair.bushing, case)
    totals = drawer.totals(pair.bushing.slot_width, most)
    problem = problem_of(pair, totals, case)
    search = Search(problem)
    return (
        _refusal(pair, problem, drawer, case) if search.passes_at_least is None else BegunPair(pair, search)
    )


def finished(begun: BegunPair, peak_n: int | None, case: Case) -> FinishedPair:
    """A pair worked out in full; ``peak_n`` is its least peak, None where no force is known."""
    order = begun.search.in_full(peak_n)
    peaks = None if peak_n is None else exact_peaks(begun.search, order.lifts)
    stacks = tuple(begun.search.problem.totals.stack(place) for place in order.places)
    return FinishedPair(begun.pair, begun.search, order, begun.pair.presses.best_for(peaks, case), stacks)


def exact_peaks(search: Search, lifts: Sequence[int]) -> Peaks:
    """The peaks of both forces over the passes of these totals."""
    befores = (None, *lifts[:-1])
    loads = [search.load_of(before, total) for before, total in zip(befores, lifts, strict=True)]
    return Peaks(max(load.low_peak_n for load in loads), max(load.peak_n for load in loads))


def _refusal(pair: Pair, problem: PassProblem, drawer: ShimDrawer, case: Case) -> Overloaded | Reason:
    geometry = Search(problem.without_load())
    if geometry.fewest_passes() is not None:
        return _overloaded(pair, problem)
    assert pair.bushing.slot_width is not None
    on_metal = case.start.surface_nm is not None
    if not on_metal and not geometry.first_totals():
        return _entry_refusal(geometry, case)
    if not drawer.fitting(pair.bushing.slot_width):
        return Reason(
            Rule.SHIM_FIT,
            f"no shim on the shelf fits a slot of {case.words(pair.bushing.slot_width)}: "
            f"widths {case.between(pair.bushing.slot_width - case.settings.shim_clearance, pair.bushing.slot_width)}",
        )
    if not geometry.final_totals:
        return _reading_refusal(geometry, case)
    return _bite_refusal(geometry, case)


def _entry_refusal(search: Search, case: Case) -> Reason:
    low, high = search.problem.first_lifts_nm
    if high < 0:
        return Reason(
            Rule.ENTRY,
            f"with no shim the first tooth is {case.apart(Length(-high))[0]} too far past first metal: more than one rise",
            -high,
        )
    nearest = _highest_nm(search, high)
    least, most, made = case.apart(AtLeast(Length(low)), AtMost(Length(high)), Length(nearest))
    return Reason(
        Rule.ENTRY,
        f"the first pass needs shims of {least} to {most}; the nearest stack makes {made}",
        max(0, low - nearest),
    )


def _reading_refusal(search: Search, case: Case) -> Reason:
    target = search.problem.target
    bare = search.reading(0)
    past = bare > target.upper
    nearest = search.reading(_highest_nm(search, target.lower - bare))
    reads, low, high = case.apart(
        Length(nearest), AtLeast(Length(target.lower)), AtMost(Length(target.upper))
    )
    if past:
        return Reason(
            Rule.READING, f"reads {reads} with no shim, past the limits {low} to {high}", bare - target.upper
        )
    return Reason(
        Rule.READING,
        f"the nearest stack from below reads {reads}; the limits are {low} to {high}",
        target.lower - nearest,
    )


def _bite_refusal(search: Search, case: Case) -> Reason:
    reach = search.problem.totals.nm(bits.lowest(search.totals_that_reach()))
    before = _highest_nm(search, reach - 1)
    most = search.problem.teeth.advance_nm
    surface = case.start.surface_nm
    if surface is not None and search.reading(before) < surface:
        return _surface_refusal(search, surface, reach, case)
    here, there, step, longest = case.apart(
        *map(Length, (before, reach, reach - before)), AtMost(Length(most))
    )
    return Reason(
        Rule.BITE,
        f"from shims of {here} the next stack is {there}: a step of {step}, at most {longest}",
        reach - before - most,
    )


def _surface_refusal(search: Search, surface: int, total: int, case: Case) -> Reason:
    """The next stack that leads on takes too much at once of the metal there is."""
    most = search.problem.teeth.advance_nm
    step = search.reading(total) - surface
    read, there, deep, longest = case.apart(*map(Length, (surface, total, step)), AtMost(Length(most)))
    return Reason(
        Rule.BITE,
        f"the next stack that leads on is {there}: {deep} past the metal at {read}, at most {longest}",
        step - most,
    )


def _highest_nm(search: Search, most_nm: int) -> int:
    """The largest total up to ``most_nm``; the bare slot where there is none."""
    totals = search.problem.totals
    return totals.nm(max(bits.highest(totals.every & bits.up_to(totals.to_nm(most_nm))), 0))
