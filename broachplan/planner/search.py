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
from broachplan.planner import bits
from broachplan.planner.passes import PassProblem
from broachplan.planner.tails import tails_of


@dataclass(frozen=True)
class PassOrder:
    """The chosen totals, as places of the drawer and in nm, and the peak of the high force in whole newtons."""

    places: tuple[int, ...]
    lifts: tuple[int, ...]
    peak_n: int | None


@dataclass(frozen=True, slots=True)
class Start:
    """The two criteria that cost little: fewest passes, tenths off aim, and the final totals that many off."""

    passes: int
    tenths: int
    final: int


class Search:
    """Settles the criteria for one `PassProblem`."""

    def __init__(self, problem: PassProblem) -> None:
        self.problem = problem
        self._totals = problem.totals
        self._target = problem.target
        self._bearing = problem.bearing
        self._bare_reading = problem.web_nm + problem.teeth.last_nm
        self._advance = problem.teeth.advance_nm
        # From this total on the surface lies above the bore's far side: no corner chips remain. A reading lies above it.
        on_bore = problem.start.surface_nm is None
        self._corner_end = problem.section.bore_lower.nm - self._bare_reading if on_bore else 0
        self._layers: list[int] = []
        self.longest_step = self._sure_step(None)
        # Where the load forbids no step after the first, passes can be followed from the bore forward.
        self._only_geometry = self.longest_step == self._advance
        self.final_totals = self._read_within(self._target.lower, self._target.upper)

    # -- what one pass may do, in nm --------------------------------------------------------------------------

    def reading(self, lift: int) -> int:
        """The reading after a pass with shims of ``lift`` nm under the broach."""
        return self._bare_reading + lift

    def surface(self, before: int | None) -> int | None:
        """The reading that a pass finds after one with shims of ``before`` nm, or at the start; None: the bare bore."""
        return self.problem.start.surface_nm if before is None else self.reading(before)

    def load_of(self, before: int | None, lift: int) -> PassLoad:
        """The load of the pass from ``before`` (None: the start) to ``lift``; only with a material."""
        assert self._bearing is not None
        return self._bearing.load(self.surface(before), self.reading(lift))

    def _within(self, before: int | None, lift: int, ceiling: int | None) -> bool:
        assert self._bearing is not None
        return self._bearing.bears(self.load_of(before, lift), ceiling)

    def _sure_step(self, ceiling: int | None) -> int:
        """The longest step that is allowed wherever it starts."""
        return self._advance if self._bearing is None else self._bearing.sure_step(ceiling)

    def _following(self, place: int, ceiling: int | None, sure: int) -> int:
        """The places that the next pass may reach: from one surface the load grows with the next total."""
        lift, totals = self._totals.nm(place), self._totals
        last = totals.to_nm(lift + sure)
        if sure < self._advance and lift < self._corner_end:
            longest = totals.to_nm(lift + self._advance)
            last = largest_that(
                lambda after: self._within(lift, totals.nm(after), ceiling), last + 1, longest
            )
        return bits.between(place + 1, last)

    # -- sets of totals, last pass first ------------------------------------------------------------------------

    def first_totals(self, ceiling: int | None = None) -> int:
        """The totals that pass 1 may have."""
        choice = self._totals.between(*self.problem.first_lifts_nm)
        if choice and self._bearing is not None:
            choice &= bits.up_to(self._totals.to_nm(self._bearing.farthest(1, ceiling) - self._bare_reading))
        return choice

    def _read_within(self, low: int, high: int) -> int:
        return self._totals.between(low - self._bare_reading, high - self._bare_reading)

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
        """Of ``unsure``, the totals whose nearest successor in ``after`` is allowed: the lightest next step.

        Whole stretches are settled at once by the least and the most load of all their surfaces before one pass, and
        halved where these do not agree. So the loads that are looked at do not grow with the totals.
        """
        assert self._bearing is not None
        bearing, model, found = self._bearing, self._bearing.model, 0
        stretches = [(bits.lowest(unsure), bits.highest(unsure))]
        while stretches:
            low, high = stretches.pop()
            part = unsure & bits.between(low, high)
            if not part:
                continue
            low, high = bits.lowest(part), bits.highest(part)
            successor = high + 1 + bits.lowest(after >> (high + 1))
            offset = self.problem.web_nm + self._totals.nm(successor)
            first, last = (self.reading(self._totals.nm(at)) for at in (low, high))
            if bearing.bears(model.most_over(offset, first, last), ceiling):
                found |= part
            elif low < high and (
                bearing.bears(model.least_over(offset, first, last), ceiling)
                or after & bits.between(low + 1, high)
            ):
                middle = (low + high) // 2
                stretches += [(low, middle), (middle + 1, high)]
        return found

    def _growing_back(self) -> Iterator[int]:
        """The totals that newly reach the limits in 0, 1, 2, ... further passes, until there are no more."""
        new, seen = self.final_totals, 0
        while new:
            yield new
            seen |= new
            new = self._before(new, None, self.longest_step) & ~seen

    def totals_that_reach(self) -> int:
        """All totals from which the limits can be reached, whether or not a first pass leads there."""
        reach = 0
        for new in self._growing_back():
            reach |= new
        return reach

    def totals_from_start(self) -> int:
        """All totals that some passes from the start can come to, by geometry alone."""
        seen, layer = 0, self._totals.between(*self.problem.first_lifts_nm)
        while layer & ~seen:
            seen |= layer
            layer = self._next_layer(layer)
        return seen

    def _next_layer(self, layer: int) -> int:
        """The totals that one more pass can come to by geometry alone: all from the lowest to the farthest.

        Pass 1 has less than a longest step to choose from, so no two neighbours in its layer, nor in any later one,
        lie farther apart than a step, and the steps from them leave nothing out.
        """
        nm = self._totals.nm
        return self._totals.between(nm(bits.lowest(layer)) + 1, nm(bits.highest(layer)) + self._advance)

    def _layer(self, passes: int) -> int:
        """The totals that ``passes`` passes can come to when the load is heeded in pass 1 alone."""
        if not self._layers:
            self._layers.append(self.first_totals())
        while len(self._layers) < passes:
            layer = self._layers[-1]
            self._layers.append(self._next_layer(layer) if layer else 0)
        return self._layers[passes - 1]

    # -- the criteria, one after the other ----------------------------------------------------------------------

    def fewest_passes(self) -> int | None:
        """Criterion 1; None when no sequence reaches the limits."""
        ends = self._ends()
        return None if ends is None else ends[0]

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
        passes, farthest = 1, -1
        while bits.highest(layer := self._layer(passes)) > farthest:
            ends = layer & self.final_totals
            if ends:
                return passes, ends
            passes, farthest = passes + 1, bits.highest(layer)
        return None

    @cached_property
    def passes_at_least(self) -> int | None:
        """A number of passes that is surely needed, found without counting them; None when no sequence reaches the limits."""
        if self._only_geometry:
            return None if self.start is None else self.start.passes
        assert self._bearing is not None
        if not self.final_totals or not self.first_totals():
            return None
        passes = self._bearing.passes_to(self._lowest_reading(self.final_totals))
        return passes if passes is not None and self._lead_on() & self.first_totals() else None

    def _lead_on(self) -> int:
        """All totals from which the limits can be reached in any number of passes, found in one step for most of them.

        In the orderly part, a total that cannot step to the next one cannot be jumped over either: the next total is
        the lightest step, and from below it is heavier. So all totals lead on that lie above the last such dead end.
        """
        assert self._bearing is not None
        final, sure = self.final_totals, self.longest_step
        end = bits.lowest(final)
        before = self._totals.every & bits.up_to(end - 1)
        disorderly = before & bits.up_to(
            self._totals.to_nm(self._bearing.model.orderly_from_nm - self._bare_reading)
        )
        orderly = before & ~disorderly
        dead = orderly & ~self._before(orderly | final, None, sure)
        found = final | orderly & ~bits.up_to(bits.highest(dead))
        while new := self._before(found, None, sure) & disorderly & ~found:
            found |= new
        return found

    @cached_property
    def start(self) -> Start | None:
        """Criteria 1 and 2; None when no sequence reaches the limits."""
        ends = self._ends()
        return None if ends is None else self._nearest_tenth(*ends)

    def least_peak(self, most_n: int | None = None) -> int | None:
        """Criterion 3 in whole newtons; None where it is more than ``most_n``. Only with a material and a start."""
        assert self._bearing is not None
        assert self.start is not None
        passes, final = self.start.passes, self.start.final
        if passes == 1:
            lowest = self._totals.nm(bits.lowest(final & self.first_totals()))
            peak = whole_newtons(self.load_of(None, lowest).peak_n)
            return peak if most_n is None or peak <= most_n else None
        if most_n is not None and not self._ways(passes, final, most_n):
            return None
        enough = self._bearing.peak_of_any_pass if most_n is None else most_n
        # No shims at all could do it with less; where there are many the least peak lies close above.
        too_low, further = self._bearing.least_ceiling(passes, self._lowest_reading(final)) - 1, 1
        while enough - too_low > 1:
            probe = min(too_low + further, (too_low + enough) // 2)
            if self._ways(passes, final, probe):
                enough, further = probe, enough
            else:
                too_low, further = probe, 2 * further
        return enough

    def in_full(self, peak_n: int | None) -> PassOrder:
        """The best sequence of the start by criteria 4 to 7, with its `least_peak` (None without a material)."""
        assert self.start is not None
        places = self._fewest_handled(self.start.passes, self.start.final, peak_n)
        return PassOrder(places, tuple(self._totals.nm(place) for place in places), peak_n)

    def best(self) -> PassOrder | None:
        """The best sequence by all criteria but the tags of broach and bushing; None when there is none."""
        if self.start is None:
            return None
        return self.in_full(None if self._bearing is None else self.least_peak())

    def _ways(self, passes: int, final: int, ceiling: int | None) -> list[int] | None:
        """The totals of each pass from which just ``passes`` passes lead into ``final`` with no peak above ``ceiling``.

        Totals that no pass before leads to are left out where geometry and the farthest reach show it; None where pass 1
        has none.
        """
        if self._out_of_reach(passes, final, ceiling):
            return None
        sure, ways = self._sure_step(ceiling), [final]
        for k in range(passes - 1, 0, -1):
            ways.append(
                self._before(ways[-1], ceiling, sure) & self._layer(k) & self._within_reach(k, ceiling)
            )
        ways[-1] &= self.first_totals(ceiling)
        return ways[::-1] if ways[-1] else None

    def _within_reach(self, passes: int, ceiling: int | None) -> int:
        """The totals that a number of passes may come to at all, up to the farthest that any shims allow."""
        if self._bearing is None:
            return self._totals.every
        return bits.up_to(self._totals.to_nm(self._bearing.farthest(passes, ceiling) - self._bare_reading))

    def _out_of_reach(self, passes: int, final: int, ceiling: int | None) -> bool:
        """Whether so many passes cannot lead into ``final`` even with any shims at all."""
        if self._bearing is None:
            return False
        return self._bearing.farthest(passes, ceiling) < self._lowest_reading(final)

    def _lowest_reading(self, places: int) -> int:
        return self.reading(self._totals.nm(bits.lowest(places)))

    def _nearest_tenth(self, passes: int, ends: int) -> Start:
        """Criterion 2: of the totals they may end in, those of the least tenth off aim that the passes do reach."""
        target = self._target
        tenth = target.tenths(self.reading(self._totals.nm(self._nearest(ends)[0])))
        while True:
            final = 0
            for low, high in target.of_tenth(tenth):
                final |= self._read_within(low, high) & ends
            if final and (self._only_geometry or self._ways(passes, final, None)):
                return Start(passes, tenth, final)
            tenth += 1

    def _fewest_handled(self, passes: int, final: int, ceiling: int | None) -> tuple[int, ...]:
        """Criteria 4 to 7: fewest shims over all passes, larger totals earlier, nearest the aim, smallest tags."""
        ways, sure = self._ways(passes, final, ceiling), self._sure_step(ceiling)
        assert ways is not None
        tails = tails_of(self._totals.by_count, ways, lambda after: self._before(after, ceiling, sure))
        handled = min(tails[0])
        places: list[int] = []
        following = ways[0]
        for tail in tails[:-1]:
            place = bits.highest(tail[handled] & following)
            places.append(place)
            handled -= self._totals.count(place)
            following = self._following(place, ceiling, sure)
        return (*places, self._nearest_aim(tails[-1][handled] & following))

    def _nearest_aim(self, choice: int) -> int:
        """Criterion 6, then the smaller tags."""
        nearest = self._nearest(choice)
        return nearest[0] if len(nearest) == 1 else min(nearest, key=self._tags)

    def _nearest(self, choice: int) -> tuple[int, ...]:
        """The total of ``choice`` nearest the aim, or two as near on either side of it."""
        over = self._totals.from_nm(self._target.twice_aim // 2 + 1 - self._bare_reading)
        under, beyond = choice & bits.up_to(over - 1), choice >> over
        if not beyond:
            return (bits.highest(under),)
        above = over + bits.lowest(beyond)
        if not under:
            return (above,)
        below = bits.highest(under)
        nearer = self._off_aim(below) - self._off_aim(above)
        return (below, above) if nearer == 0 else (below if nearer < 0 else above,)

    def _off_aim(self, place: int) -> int:
        return self._target.off_aim(self.reading(self._totals.nm(place)))

    def _tags(self, place: int) -> list[str]:
        return [shim.tag for shim in self._totals.stack(place)]
