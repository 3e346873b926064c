"""The order of the shim passes: the best sequence of totals for one broach in one bushing.

Totals only grow from pass to pass. Whether a step is allowed depends on the surface it finds and how far it goes,
so the sets of totals from which the drawing's reading can still be reached in j passes are built from the last
pass backward; the criteria are then settled one after the other on those sets. Nothing is sampled or cut short.

A total is named by its place in the drawer (see `planner.stacks`) inside sets, and by its nanometres outside.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from broachplan.cut.load import PassLoad, largest_that, whole_newtons
from broachplan.lengths import NM_PER_MM
from broachplan.planner import bits
from broachplan.planner.passes import PassProblem
from broachplan.planner.tails import Tails

_CELLS = 128


@dataclass(frozen=True)
class PassOrder:
    """The chosen totals, as places of the drawer and in nm, and the peak of the high force in whole newtons."""

    places: tuple[int, ...]
    lifts: tuple[int, ...]
    peak_n: int | None


class Search:
    """Settles the criteria for one `PassProblem`."""

    def __init__(self, problem: PassProblem) -> None:
        self.problem = problem
        self._totals = problem.totals
        self._bare_reading = problem.web_nm + problem.teeth.last_nm
        self._advance = problem.teeth.advance_nm
        self._loads: dict[tuple[int, int | None], PassLoad] = {}
        self._flat_loads: dict[int, PassLoad] = {}
        self._first_totals: dict[int | None, int] = {}

    # -- what one pass may do, in nm --------------------------------------------------------------------------

    def reading(self, lift: int) -> int:
        """The reading after a pass with shims of ``lift`` nm under the broach."""
        return self._bare_reading + lift

    def load_of(self, before: int | None, lift: int) -> PassLoad:
        """The load of the pass from ``before`` (None: the bare bore) to ``lift``; only with a material."""
        key = (lift, before)
        found = self._loads.get(key)
        if found is None:
            assert self.problem.load is not None
            surface = None if before is None else self.reading(before)
            found = self._loads[key] = self.problem.load.of_pass(self.problem.web_nm + lift, surface)
        return found

    def _flat_load(self, step: int) -> PassLoad:
        """The load of a step above the bore, where it depends on the step alone."""
        found = self._flat_loads.get(step)
        if found is None:
            assert self.problem.load is not None
            found = self._flat_loads[step] = self.problem.load.above_bore(step)
        return found

    def _allowed(self, load: PassLoad, ceiling: int | None) -> bool:
        return (
            load.peak_n <= self.problem.peak_most_n
            and (load.column_holds or not self.problem.heed_column)
            and (ceiling is None or whole_newtons(load.peak_n) <= ceiling)
        )

    def _within(self, before: int | None, lift: int, ceiling: int | None) -> bool:
        return self._allowed(self.load_of(before, lift), ceiling)

    def _sure_step(self, ceiling: int | None) -> int:
        """The longest step that is allowed wherever it starts: chips are nowhere wider than above the bore."""
        if self.problem.load is None:
            return self._advance
        return largest_that(lambda step: self._allowed(self._flat_load(step), ceiling), 1, self._advance)

    @cached_property
    def longest_step(self) -> int:
        """The longest step (nm) that is allowed wherever it starts."""
        return self._sure_step(None)

    def _farthest(self, place: int, ceiling: int | None, sure: int) -> int:
        """The most that may follow a total: from one surface the load grows with the next total."""
        lift, totals = self._totals.nm(place), self._totals
        if lift >= self._corner_end or sure >= self._advance:
            return lift + sure
        low, high = totals.from_nm(lift + sure + 1), totals.to_nm(lift + self._advance)
        last = largest_that(lambda after: self._within(lift, totals.nm(after), ceiling), low, high)
        return lift + sure if last < low else totals.nm(last)

    # -- sets of totals, last pass first ------------------------------------------------------------------------

    def first_totals(self, ceiling: int | None = None) -> int:
        """The totals that pass 1 may have. Its load grows with the total, for the surface is always z1."""
        found = self._first_totals.get(ceiling)
        if found is None:
            found = self._first_totals[ceiling] = self._find_first_totals(ceiling)
        return found

    def _find_first_totals(self, ceiling: int | None) -> int:
        choice = self._totals.between(*self.problem.first_lifts_nm)
        if not choice or self.problem.load is None:
            return choice
        nm = self._totals.nm
        least, most = bits.lowest(choice), bits.highest(choice)
        last = largest_that(lambda place: self._within(None, nm(place), ceiling), least, most)
        return choice & bits.up_to(last)

    @cached_property
    def final_totals(self) -> int:
        """The totals that bring the reading within its limits."""
        return self._read_within(self.problem.target.lower, self.problem.target.upper)

    def _read_within(self, low: int, high: int) -> int:
        return self._totals.between(low - self._bare_reading, high - self._bare_reading)

    @cached_property
    def _corner_end(self) -> int:
        """From this total (nm) on the surface lies above the bore's far side: no corner chips remain."""
        return self.problem.section.bore_lower.nm - self._bare_reading

    def _before(self, after: int, ceiling: int | None, sure: int) -> int:
        """All totals from which one allowed pass leads into ``after``."""
        reach = self._totals.below(after, sure)
        if sure < self._advance and self._corner_end > 0:
            corners = bits.up_to(self._totals.to_nm(self._corner_end - 1))
            unsure = self._totals.below(after, self._advance) & corners & ~reach
            if unsure:
                reach |= self._from_corners(unsure, after, ceiling)
        return reach

    def _from_corners(self, unsure: int, after: int, ceiling: int | None) -> int:
        """Of ``unsure``, the totals whose nearest successor in ``after`` is allowed: corner chips are narrower.

        Going to the nearest successor is the lightest way. For one successor the load falls as the total grows,
        but just past z1, where thinner chips cost more than the width saves: there each total is tried by itself.
        """
        found, nm = 0, self._totals.nm
        orderly_from = self._totals.from_nm(self._orderly_from)
        while unsure:
            top = bits.highest(unsure)
            successor = nm(top + 1 + bits.lowest(after >> (top + 1)))
            floor = max(bits.highest(after & bits.up_to(top)), 0)
            group = unsure & bits.between(floor, top)
            unsure ^= group
            orderly = max(orderly_from, floor)
            if top >= orderly:
                found |= group & bits.between(self._least_allowed(orderly, top, successor, ceiling), top)
            for place in bits.members(group & bits.up_to(orderly - 1)):
                if self._within(nm(place), successor, ceiling):
                    found |= 1 << place
        return found

    def _least_allowed(self, low: int, high: int, successor: int, ceiling: int | None) -> int:
        """The first place in low..high that may precede ``successor``; high + 1 if none."""
        nm = self._totals.nm
        return -largest_that(lambda minus: self._within(nm(-minus), successor, ceiling), -high, -low)

    @cached_property
    def _orderly_from(self) -> int:
        """From this total (nm) on, a larger total before one and the same successor never loads the press more.

        A tooth's load h^-mc x (metal over h) falls as the surface rises while mc times the mean width of its chip
        is at most the width at the surface. Widths grow upward, so a cell is safe when mc times the width one
        rise above its top is at most the width at its bottom.
        """
        load, section = self.problem.load, self.problem.section
        assert load is not None
        low, high = section.first_metal_mm, section.bore_mm
        rise = float(self.problem.teeth.rise) / NM_PER_MM
        widths = section.metal_width_mm
        edges = [low + (high - low) * i / _CELLS for i in range(_CELLS + 1)]
        safe = _CELLS
        while safe and load.size_effect * widths(edges[safe] + rise) <= widths(edges[safe - 1]):
            safe -= 1
        return int(edges[safe] * NM_PER_MM) + 1 - self._bare_reading

    def _growing_back(self) -> Iterator[int]:
        """The totals that newly reach the limits in 0, 1, 2, ... further passes, until there are no more."""
        sure = self._sure_step(None)
        new, seen = self.final_totals, 0
        while new:
            yield new
            seen |= new
            new = self._before(new, None, sure) & ~seen

    def totals_that_reach(self) -> int:
        """All totals from which the limits can be reached, whether or not a first pass leads there."""
        reach = 0
        for new in self._growing_back():
            reach |= new
        return reach

    def totals_from_start(self) -> int:
        """All totals that some passes from the bare bore can come to, by geometry alone."""
        new, seen = self._totals.between(*self.problem.first_lifts_nm), 0
        while new:
            seen |= new
            new = self._totals.above(new, self._advance) & ~seen
        return seen

    # -- the criteria, one after the other ----------------------------------------------------------------------

    def fewest_passes(self) -> int | None:
        """Criterion 1; None when no sequence reaches the limits."""
        ends = self._ends()
        return None if ends is None else ends[0]

    @cached_property
    def _only_geometry(self) -> bool:
        """Whether the load forbids no step after the first: then passes can be followed from the bore forward."""
        return self.longest_step == self._advance

    def _ends(self) -> tuple[int, int] | None:
        """The fewest passes, and final totals among which are all that these passes can end in; None without a plan."""
        if self._only_geometry:
            return self._ends_by_geometry()
        first = self.first_totals()
        return next(
            ((n, self.final_totals) for n, new in enumerate(self._growing_back(), 1) if new & first), None
        )

    def _ends_by_geometry(self) -> tuple[int, int] | None:
        """The same, going forward: exactly the totals that these passes can end in."""
        layer, seen, passes = self.first_totals(), 0, 1
        while not layer & self.final_totals:
            if not layer & ~seen:
                return None
            seen |= layer
            layer = self._totals.above(layer, self._advance)
            passes += 1
        return passes, layer & self.final_totals

    def best(self) -> PassOrder | None:
        """The best sequence by all criteria but the tags of broach and bushing; None when there is none."""
        ends = self._ends()
        if ends is None:
            return None
        passes, final = ends[0], self._nearest_tenth(*ends)
        ceiling = None if self.problem.load is None else self._least_peak(passes, final)
        places = self._fewest_handled(passes, final, ceiling)
        return PassOrder(places, tuple(self._totals.nm(place) for place in places), ceiling)

    def _reaches(self, passes: int, final: int, ceiling: int | None) -> bool:
        """Whether exactly ``passes`` passes can end in ``final`` with no peak above ``ceiling``."""
        first = self.first_totals(ceiling)
        if not first:
            return False
        sure, layer = self._sure_step(ceiling), final
        for _ in range(passes - 1):
            layer = self._before(layer, ceiling, sure)
            if not layer:
                return False
        return bool(layer & first)

    def _nearest_tenth(self, passes: int, ends: int) -> int:
        """Criterion 2: of the totals they may end in, those of the least tenth off aim that the passes do reach."""
        tenth = self.problem.target.tenths(self.reading(self._totals.nm(self._nearest_aim(ends))))
        while True:
            final = 0
            for low, high in self.problem.target.of_tenth(tenth):
                final |= self._read_within(low, high) & ends
            if final and (self._only_geometry or self._reaches(passes, final, None)):
                return final
            tenth += 1

    def _least_peak(self, passes: int, final: int) -> int:
        """Criterion 3: the least peak in whole newtons."""
        highest_first = self.load_of(None, self.problem.first_lifts_nm[1])
        top = max(highest_first.peak_n, self._flat_load(self._advance).peak_n)
        too_low, enough = -1, whole_newtons(top) + 1
        # The load saturates once a full set of teeth cuts: try there first.
        probe = enough - 2
        while enough - too_low > 1:
            if self._reaches(passes, final, probe):
                enough = probe
            else:
                too_low = probe
            probe = (too_low + enough) // 2
        return enough

    def _fewest_handled(self, passes: int, final: int, ceiling: int | None) -> tuple[int, ...]:
        """Criteria 4 to 7: fewest shims over all passes, larger totals earlier, nearest the aim, smallest tags."""
        first, sure = self.first_totals(ceiling), self._sure_step(ceiling)
        tails = Tails(self._totals.by_count, passes, final, lambda after: self._before(after, ceiling, sure))
        handled = passes - 1  # only the first pass can do without a shim
        while not tails.made_with(handled, 0) & first:
            handled += 1
        chosen: list[int] = []
        allowed = first
        for k in range(passes - 1):
            place = bits.highest(tails.made_with(handled, k) & allowed)
            chosen.append(place)
            handled -= self._totals.count(place)
            farthest = self._farthest(place, ceiling, sure)
            allowed = self._totals.between(self._totals.nm(place) + 1, farthest)
        return (*chosen, self._nearest_aim(tails.made_with(handled, passes - 1) & allowed))

    def _nearest_aim(self, choice: int) -> int:
        """Criterion 6, then the smaller tags: the nearest total on either side of the aim."""
        middle = self._totals.to_nm(self.problem.target.twice_aim // 2 - self._bare_reading)
        beyond = max(middle + 1, 0)
        sides = [bits.highest(choice & bits.up_to(middle)), beyond + bits.lowest(choice >> beyond)]
        sides = [place for place in sides if bits.has(choice, place)]
        distances = [self.problem.target.off_aim(self.reading(self._totals.nm(place))) for place in sides]
        tied = [place for place, far in zip(sides, distances, strict=True) if far == min(distances)]
        return min(tied, key=self._tags) if len(tied) > 1 else tied[0]

    def _tags(self, place: int) -> list[str]:
        return [shim.tag for shim in self._totals.stack(place)]
