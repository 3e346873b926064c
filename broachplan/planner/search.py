"""The order of the shim passes: the best sequence of totals for one broach in one bushing.

Totals only grow from pass to pass. Whether a step is allowed depends on the surface it finds and how far it goes,
so the sets of totals from which the drawing's reading can still be reached in j passes are built from the last
pass backward; the criteria are then settled one after the other on those sets. Nothing is sampled or cut short.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from math import inf

from broachplan.cut.load import LoadModel, PassLoad, largest_that, whole_newtons
from broachplan.cut.section import Section
from broachplan.cut.teeth import Teeth
from broachplan.planner import bits
from broachplan.planner.stacks import Totals


@dataclass(frozen=True)
class Target:
    """The reading's limits and twice the aim, in nm."""

    lower: int
    upper: int
    twice_aim: int

    def off_aim(self, reading: int) -> int:
        """Twice the distance of a reading from the aim."""
        return abs(2 * reading - self.twice_aim)

    def tenths(self, reading: int) -> int:
        """Tenths of the limits' width that a reading is off the aim."""
        width = self.upper - self.lower
        return 10 * self.off_aim(reading) // (2 * width) if width else 0

    def of_tenth(self, tenth: int) -> tuple[tuple[int, int], ...]:
        """The readings within the limits that are ``tenth`` tenths off: at most one interval on each side."""
        width = self.upper - self.lower
        if not width:
            return ((self.lower, self.upper),) if tenth == 0 else ()
        nearest = -(-2 * tenth * width // 10)
        farthest = -(-2 * (tenth + 1) * width // 10) - 1
        above = (-(-(self.twice_aim + nearest) // 2), (self.twice_aim + farthest) // 2)
        beneath = (-(-(self.twice_aim - farthest) // 2), (self.twice_aim - nearest) // 2)
        cut = ((max(low, self.lower), min(high, self.upper)) for low, high in (beneath, above))
        return tuple((low, high) for low, high in cut if low <= high)


@dataclass(frozen=True)
class PassProblem:
    """One broach in one bushing over one drawer of shims.

    ``load`` is the high estimate; None without a material. ``peak_most_n`` is what the strongest press allows, and
    ``heed_column`` and ``peak_most_n`` can be lifted to find out which rule it is that refuses.
    """

    section: Section
    teeth: Teeth
    web_nm: int
    totals: Totals
    target: Target
    load: LoadModel | None = None
    peak_most_n: float = inf
    heed_column: bool = True

    @property
    def first_lifts_nm(self) -> tuple[int, int]:
        """The least and greatest total of pass 1 in nm: past z1, and the first tooth within one rise of it."""
        past = self.section.first_metal_floor_nm + 1 - self.web_nm - self.teeth.last_nm
        enters = self.section.highest_within_a_rise(self.teeth.rise) - self.web_nm - self.teeth.first_nm
        return max(0, past), enters

    def obeyed_by(self, lifts_nm: Sequence[int]) -> bool:
        """Whether totals of these thicknesses, pass by pass, obey the rules on entry, bites, reading and load."""
        last = self.web_nm + self.teeth.last_nm
        low, high = self.first_lifts_nm
        if not (
            low <= lifts_nm[0] <= high
            and all(0 < b - a <= self.teeth.advance_nm for a, b in pairwise(lifts_nm))
            and self.target.lower <= last + lifts_nm[-1] <= self.target.upper
        ):
            return False
        load = self.load
        if load is None:
            return True
        surfaces = (None, *(last + lift for lift in lifts_nm[:-1]))
        loads = [load.of_pass(self.web_nm + lift, at) for at, lift in zip(surfaces, lifts_nm, strict=True)]
        return all(one.peak_n <= self.peak_most_n and one.column_holds for one in loads)

    def without_load(self) -> PassProblem:
        """The same problem on geometry alone."""
        return replace(self, load=None)


@dataclass(frozen=True)
class PassOrder:
    """The chosen totals, in units of the drawer, and the peak of the high force in whole newtons."""

    totals: tuple[int, ...]
    peak_n: int | None


class Search:
    """Settles the criteria for one `PassProblem`; every set is over the units of its drawer."""

    def __init__(self, problem: PassProblem) -> None:
        self.problem = problem
        self._unit = problem.totals.unit
        self._lift_last = problem.web_nm + problem.teeth.last_nm
        self._loads: dict[tuple[int, int | None], PassLoad] = {}

    # -- what one pass may do -------------------------------------------------------------------------------

    @cached_property
    def first_totals(self) -> tuple[int, int]:
        """The least and greatest total of pass 1 by geometry, in units."""
        low, high = self.problem.first_lifts_nm
        return -(-low // self._unit), high // self._unit

    @cached_property
    def advance(self) -> int:
        """The longest step by the rule on bites, in units."""
        return self.problem.teeth.advance_nm // self._unit

    def reading(self, total: int) -> int:
        """The reading after a pass with ``total`` under the broach, in nm."""
        return self._lift_last + total * self._unit

    def load_of(self, before: int | None, total: int) -> PassLoad:
        """The load of the pass from ``before`` (None: the bare bore) to ``total``; only with a material."""
        key = (total, before)
        found = self._loads.get(key)
        if found is None:
            assert self.problem.load is not None
            surface = None if before is None else self.reading(before)
            found = self.problem.load.of_pass(self.problem.web_nm + total * self._unit, surface)
            self._loads[key] = found
        return found

    def _allowed(self, load: PassLoad, ceiling: int | None) -> bool:
        return (
            load.peak_n <= self.problem.peak_most_n
            and (load.column_holds or not self.problem.heed_column)
            and (ceiling is None or whole_newtons(load.peak_n) <= ceiling)
        )

    def _within(self, before: int | None, total: int, ceiling: int | None) -> bool:
        return self._allowed(self.load_of(before, total), ceiling)

    def _first(self, ceiling: int | None) -> int:
        """The totals that pass 1 may have. Its load grows with the total, for the surface is always z1."""
        low, high = self.first_totals
        high = min(high, self.problem.totals.most)
        if self.problem.load is not None:
            high = largest_that(lambda total: self._within(None, total, ceiling), low, high)
        return self.problem.totals.every & bits.between(low, high)

    def _sure_step(self, ceiling: int | None) -> int:
        """The longest step that is allowed wherever it starts: above the bore a load depends on the step alone."""
        load = self.problem.load
        if load is None:
            return self.advance

        return largest_that(
            lambda step: self._allowed(load.above_bore(step * self._unit), ceiling), 1, self.advance
        )

    def _farthest(self, total: int, ceiling: int | None, sure: int) -> int:
        """The greatest total that may follow ``total``: from one surface the load grows with the next total."""
        if total >= self._corner_end or sure >= self.advance:
            return total + sure
        return largest_that(
            lambda after: self._within(total, after, ceiling), total + sure + 1, total + self.advance
        )

    # -- sets of totals, last pass first -----------------------------------------------------------------------

    @cached_property
    def _corner_end(self) -> int:
        """Totals from here on leave a surface above the bore's far side: no corner chips remain."""
        return max(0, -(-(self.problem.section.bore_lower.nm - self._lift_last) // self._unit))

    def _before(self, after: int, ceiling: int | None, sure: int) -> int:
        """All totals from which one allowed pass leads into ``after``."""
        every = self.problem.totals.every
        reach = bits.below(after, sure) & every
        if sure < self.advance and self._corner_end > 0:
            unsure = bits.below(after, self.advance) & every & bits.up_to(self._corner_end - 1) & ~reach
            if unsure:
                reach |= self._from_corners(unsure, after, ceiling)
        return reach

    def _from_corners(self, unsure: int, after: int, ceiling: int | None) -> int:
        """Of ``unsure``, the totals whose nearest successor in ``after`` is allowed: corner chips are narrower.

        Going to the nearest successor is the lightest way. For one successor the load falls as the total grows,
        but just past z1, where thinner chips cost more than the width saves: there each total is tried by itself.
        """
        found = 0
        while unsure:
            top = bits.highest(unsure)
            successor = top + 1 + bits.lowest(after >> (top + 1))
            floor = bits.highest(after & bits.up_to(top))
            group = unsure & bits.between(max(floor, 0), top)
            unsure ^= group
            orderly = max(self._orderly_from, floor, 0)
            if top >= orderly:
                least = self._least_allowed(orderly, top, successor, ceiling)
                found |= group & bits.between(least, top)
            for total in bits.members(group & bits.up_to(orderly - 1)):
                if self._within(total, successor, ceiling):
                    found |= 1 << total
        return found

    def _least_allowed(self, low: int, high: int, successor: int, ceiling: int | None) -> int:
        """The smallest total in low..high that may precede ``successor``; high + 1 if none."""
        return -largest_that(lambda minus: self._within(-minus, successor, ceiling), -high, -low)

    @cached_property
    def _orderly_from(self) -> int:
        """From this total on, a larger total before one and the same successor never loads the press more.

        A tooth's load h^-mc x (metal over h) falls as the surface rises while mc times the mean width of its chip
        is at most the width at the surface. Widths grow upward, so a cell is safe when mc times the width one
        rise above its top is at most the width at its bottom.
        """
        load, section = self.problem.load, self.problem.section
        assert load is not None
        low, high = section.first_metal_mm, section.bore_mm
        rise = float(self.problem.teeth.rise) / 1e6
        cells = 128
        edges = [low + (high - low) * i / cells for i in range(cells + 1)]
        safe = cells
        while safe and load.size_effect * section.metal_width_mm(
            edges[safe] + rise
        ) <= section.metal_width_mm(edges[safe - 1]):
            safe -= 1
        return -(-int(edges[safe] * 1e6 + 1 - self._lift_last) // self._unit)

    # -- the criteria, one after the other ----------------------------------------------------------------------

    def _within_limits(self, low: int, high: int) -> int:
        """Totals whose reading lies in low..high."""
        least = -(-(low - self._lift_last) // self._unit)
        most = min((high - self._lift_last) // self._unit, self.problem.totals.most)
        return self.problem.totals.every & bits.between(least, most)

    @cached_property
    def final_totals(self) -> int:
        """Totals that bring the reading within its limits."""
        return self._within_limits(self.problem.target.lower, self.problem.target.upper)

    def fewest_passes(self) -> int | None:
        """Criterion 1; None when no sequence reaches the limits."""
        first = self._first(None)
        return next((n for n, new in enumerate(self._growing_back(), 1) if new & first), None)

    def totals_that_reach(self) -> int:
        """All totals from which the limits can be reached, whether or not a first pass leads there."""
        reach = 0
        for new in self._growing_back():
            reach |= new
        return reach

    def totals_from_start(self) -> int:
        """All totals that some passes from the bare bore can come to, by geometry alone."""
        room = self.problem.totals.every
        new, seen = room & bits.between(*self.first_totals), 0
        while new:
            seen |= new
            new = bits.above(new, self.advance) & room & ~seen
        return seen

    def _growing_back(self) -> Iterator[int]:
        """The totals that newly reach the limits in 0, 1, 2, ... further passes, until there are no more."""
        sure = self._sure_step(None)
        new, seen = self.final_totals, 0
        while new:
            yield new
            seen |= new
            new = self._before(new, None, sure) & ~seen

    def best(self) -> PassOrder | None:
        """The best sequence by all criteria but the tags of broach and bushing; None when there is none."""
        passes = self.fewest_passes()
        if passes is None:
            return None
        final = self._nearest_tenth(passes)
        ceiling = self._least_peak(passes, final)
        totals = self._fewest_handled(passes, final, ceiling)
        return PassOrder(totals, ceiling)

    def _reaches(self, passes: int, final: int, ceiling: int | None) -> bool:
        """Whether exactly ``passes`` passes can end in ``final`` with no peak above ``ceiling``."""
        first = self._first(ceiling)
        if not first:
            return False
        sure, layer = self._sure_step(ceiling), final
        for _ in range(passes - 1):
            layer = self._before(layer, ceiling, sure)
            if not layer:
                return False
        return bool(layer & first)

    def _nearest_tenth(self, passes: int) -> int:
        """Criterion 2: the final totals of the least tenth off aim that ``passes`` passes can reach."""
        tenth = 0
        while True:
            final = 0
            for low, high in self.problem.target.of_tenth(tenth):
                final |= self._within_limits(low, high)
            if final and self._reaches(passes, final, None):
                return final
            tenth += 1

    def _least_peak(self, passes: int, final: int) -> int | None:
        """Criterion 3: the least peak in whole newtons; None without a material."""
        load = self.problem.load
        if load is None:
            return None
        top = max(
            self.load_of(None, self.first_totals[1]).peak_n, load.above_bore(self.advance * self._unit).peak_n
        )
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
        """Criteria 4 to 7: fewest shims over all passes, larger totals earlier, nearest the aim, smallest tags.

        ``layers[k][w]`` holds the totals of pass k from which the rest is made with w shims, pass k included.
        """
        first, sure = self._first(ceiling), self._sure_step(ceiling)
        by_count = self.problem.totals.by_count
        layers: list[list[int]] = [[] for _ in range(passes)]
        leads: list[list[int]] = [[] for _ in range(passes)]
        handled = 0
        while True:
            for k in range(passes - 1, -1, -1):
                reach = 0
                for c, made in enumerate(by_count):
                    if k == passes - 1:
                        reach |= made & final if c == handled else 0
                    elif c <= handled and leads[k + 1][handled - c]:
                        reach |= made & leads[k + 1][handled - c]
                layers[k].append(reach)
                leads[k].append(self._before(reach, ceiling, sure) if reach and k else 0)
            if layers[0][handled] & first:
                return self._walk(layers, first, handled, ceiling, sure)
            handled += 1

    def _walk(
        self, layers: list[list[int]], allowed: int, handled: int, ceiling: int | None, sure: int
    ) -> tuple[int, ...]:
        chosen: list[int] = []
        for layer in layers[:-1]:
            total = bits.highest(layer[handled] & allowed)
            chosen.append(total)
            handled -= self.problem.totals.count(total)
            allowed = bits.between(total + 1, self._farthest(total, ceiling, sure))
        return (*chosen, self._nearest_aim(layers[-1][handled] & allowed))

    def _nearest_aim(self, choice: int) -> int:
        """Criterion 6, then the smaller tags: the nearest total on either side of the aim."""
        middle = (self.problem.target.twice_aim // 2 - self._lift_last) // self._unit
        sides = [bits.highest(choice & bits.up_to(middle))]
        above = choice >> max(middle + 1, 0)
        if above:
            sides.append(max(middle + 1, 0) + bits.lowest(above))
        off_aim = self.problem.target.off_aim
        nearest = min(off_aim(self.reading(total)) for total in sides if total >= 0)
        tied = [total for total in sides if total >= 0 and off_aim(self.reading(total)) == nearest]
        return min(tied, key=self._tags) if len(tied) > 1 else tied[0]

    def _tags(self, total: int) -> list[str]:
        return [shim.tag for shim in self.problem.totals.stack(total)]
