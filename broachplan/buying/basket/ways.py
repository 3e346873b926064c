"""The ways to cut one job, by what each needs that is not at hand: a broach or bushing, and some of the shims.

A way that does with fewer of them than another, and with no shim that is not at hand, makes the other needless. For the
rest it is asked which shims are missing: a set of shims without a plan is grown until any further one gives a plan, so
that one of those further ones is needed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import TypeVar

from broachplan.buying.basket.supply import Alike, Supply
from broachplan.buying.fitting import FittingPair
from broachplan.buying.serving import Serving

# The broach and the bushing that are not at hand, and the shim that is cut for them; None: one at hand will do, or none is cut.
Need = tuple[Alike | None, Alike | None, Alike | None]
# Of some shims at least so many.
Level = tuple[Alike, int]
Counts = Mapping[Alike, int]

# Beyond so many questions the smallest sets of shims are left to cuts.
_MOST_ASKED = 10_000
_T = TypeVar("_T", bound=Hashable)


@dataclass(eq=False, slots=True)
class WayToCut:
    """All pairs of a job that need the same things. ``free``: no shim is needed beyond those at hand.

    ``cuts``: of each of these levels at least one is needed. ``sets`` are all smallest sets of shims with which there is a
    plan; None: there are too many, or nobody asked.
    """

    need: Need
    fits: list[FittingPair]
    free: bool = False
    cuts: list[frozenset[Level]] = field(default_factory=list)
    sets: list[Counts] | None = None

    @property
    def needs(self) -> frozenset[Alike]:
        """What is not at hand, without the shims of the drawer."""
        return frozenset(one for one in self.need if one is not None)

    @property
    def cut(self) -> Alike | None:
        """The shim that is cut to measure."""
        return self.need[2]


class Ways:
    """All ways to cut one job with what can be had for it.

    ``off`` are the tags that may not be used, ``at_hand`` those that no other job is in the way of, ``beyond`` all others
    that could serve the job.
    """

    def __init__(
        self, serving: Serving, off: frozenset[str], at_hand: frozenset[str], supply: Supply
    ) -> None:
        self._serving, self._off, self._supply = serving, off, supply
        self.at_hand = at_hand
        self.beyond = serving.pieces - off - at_hand
        self._copies: dict[Alike, list[str]] = {}
        self._sought = False
        cut = {fit.cut for fit in serving.fits}
        for tag in sorted(self.beyond - cut):
            self._copies.setdefault(supply.alike(tag), []).append(tag)
        most = supply.settings.stack_most
        self._levels = {alike: min(len(tags), most) for alike, tags in self._copies.items()}
        self.ways = self._found()

    @property
    def everything(self) -> Counts:
        """As many of each piece that is not at hand as a job could use."""
        return self._levels

    def has_plan(self, way: WayToCut, counts: Counts) -> bool:
        """Whether one of the pairs of a way has a plan on the shims at hand and so many others."""
        off = self._without(counts)
        for at, fit in enumerate(way.fits):
            if self._serving.has_plan(fit, off):
                # Most often the pair that has a plan has one on other shims too.
                way.fits.insert(0, way.fits.pop(at))
                return True
        return False

    def cut(self, way: WayToCut, counts: Counts) -> frozenset[Level] | None:
        """Levels of shims of which a way needs at least one, none of them in ``counts``; None where it has a plan."""
        if self.has_plan(way, counts):
            return None
        slots = {(fit.start, fit.end): fit for fit in way.fits}
        fitting = frozenset().union(*(self._serving.shims(fit) for fit in slots.values()))
        kinds = dict.fromkeys(self._supply.alike(tag) for tag in sorted(fitting & self.beyond))
        have = {alike: min(counts.get(alike, 0), self._levels[alike]) for alike in kinds}
        more = [alike for alike in kinds for _ in range(self._levels[alike] - have[alike])]
        # What costs least is added first: what is left over then is dear, and bounds the cost the better.
        more.sort(key=lambda alike: (self._supply.price_each(alike), alike.name))
        left = grown(have, more, lambda counts: not self.has_plan(way, counts))
        return frozenset((alike, have[alike] + 1) for alike in left)

    def find_sets(self, left: Callable[[], float]) -> None:
        """Find the smallest sets of shims of each way, where that takes neither too many questions nor more time than is left."""
        for way in self.ways if not self._sought else ():
            shims = {alike: count for alike, count in self._levels.items() if alike.in_drawer}
            used = partial(self._used, way)
            way.sets = [{}] if way.free else smallest_counts(shims, used, left)
        self._sought = True

    def _used(self, way: WayToCut, counts: Counts) -> Counts | None:
        """The shims, of those that are not at hand, of some plan on no more than ``counts``; None where there is none."""
        off = self._without(counts)
        for fit in way.fits:
            pieces = self._serving.pieces_of_plan(fit, off)
            if pieces is not None:
                return Counter(self._supply.alike(tag) for tag in pieces - {*fit.tags} & self.beyond)
        return None

    def _without(self, counts: Counts) -> frozenset[str]:
        gone = (tag for alike, tags in self._copies.items() for tag in tags[counts.get(alike, 0) :])
        # Broaches and bushings are chosen by the pair.
        return self._off | frozenset(gone)

    def _found(self) -> list[WayToCut]:
        found: dict[Need, dict[tuple[str, ...], FittingPair]] = {}
        for fit in self._serving.fits:
            if self._off.isdisjoint(fit.tags) and not any(map(self._needless, fit.tags[:2])):
                broach, bushing = (self._need(tag) for tag in fit.tags[:2])
                # Of alike ones that are not at hand the first is tried.
                at_hand = tuple(tag for tag in fit.tags[:2] if tag in self.at_hand)
                found.setdefault((broach, bushing, self._cut_for(fit)), {}).setdefault(at_hand, fit)
        return self._useful([WayToCut(need, list(fits.values())) for need, fits in found.items()])

    def _need(self, tag: str) -> Alike | None:
        return None if tag in self.at_hand else self._supply.alike(tag)

    def _needless(self, tag: str) -> bool:
        """Whether one like it is at hand, so that it need not be bought."""
        return tag not in self.at_hand and not self.at_hand.isdisjoint(self._supply.alike(tag).crib)

    def _cut_for(self, fit: FittingPair) -> Alike | None:
        return self._supply.cut_for(self._serving.asked, fit, self._supply.stocked) if fit.cut else None

    def _useful(self, ways: list[WayToCut]) -> list[WayToCut]:
        useful: list[WayToCut] = []
        nothing: Counts = {}
        for way in sorted(ways, key=lambda one: (len(one.needs), sorted(each.name for each in one.needs))):
            if any(other.free and other.needs <= way.needs for other in useful):
                continue
            way.free = self.has_plan(way, nothing)
            if way.free or self.has_plan(way, self._levels):
                useful.append(way)
        return useful


def smallest_counts(
    everything: Counts, used: Callable[[Counts], Counts | None], left: Callable[[], float]
) -> list[Counts] | None:
    """All smallest numbers of shims with which there is a plan, or None where that takes too long.

    ``used`` gives those that some plan on no more than some numbers uses. Each further set has fewer of one shim than one
    that was found, so that they are looked for with fewer of each in turn.
    """
    # As bits, one for each of so many alike shims, so that one operation compares two of them.
    place, end = {}, 0
    for alike, most in everything.items():
        place[alike], end = end, end + most
    found: list[tuple[int, Counts]] = []
    seen, new, asked = {(1 << end) - 1}, [(1 << end) - 1], 0
    while new:
        allowed = new.pop()
        least = next((counts for bits, counts in found if not bits & ~allowed), None)
        if least is None:
            asked += 1
            if asked > _MOST_ASKED or left() <= 0:
                return None
            there = {
                alike: (allowed >> place[alike] & (1 << most) - 1).bit_count()
                for alike, most in everything.items()
            }
            some = used(there)
            if some is None:
                continue
            least = _shrunk(some, used)
            bits = sum((1 << count) - 1 << place[alike] for alike, count in least.items())
            found.append((bits, least))
        for alike, count in least.items():
            most = everything[alike]
            fewer = allowed & ~((1 << most) - (1 << count - 1) << place[alike])
            if fewer not in seen:
                seen.add(fewer)
                new.append(fewer)
    return [counts for _, counts in found]


def _shrunk(some: Counts, used: Callable[[Counts], Counts | None]) -> Counts:
    """The same without all that is not needed."""
    least = dict(some)
    for alike in sorted(some, key=lambda one: one.name):
        while least.get(alike):
            fewer = used({**least, alike: least[alike] - 1})
            if fewer is None:
                break
            least = dict(fewer)
    return {alike: count for alike, count in least.items() if count}


def grown(have: dict[_T, int], more: Sequence[_T], lacks: Callable[[Mapping[_T, int]], bool]) -> set[_T]:
    """Add of ``more`` to ``have`` all with which something is still lacking; what is left over, each of which would end it.

    What ends it is found by halves, so that it takes few questions where little does.
    """
    if not more:
        return set()
    with_all = dict(have)
    for one in more:
        with_all[one] = with_all.get(one, 0) + 1
    if lacks(with_all):
        have.update(with_all)
        return set()
    if len(more) == 1:
        return set(more)
    half = len(more) // 2
    return grown(have, more[:half], lacks) | grown(have, more[half:], lacks)
