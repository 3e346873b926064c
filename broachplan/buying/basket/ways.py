"""The ways to cut one job, by what each needs that is not at hand: a broach or bushing, and some of the shims.

A way that does with fewer of them than another, and with no shim that is not at hand, makes the other needless. For the
rest it is asked which shims are missing: a set of shims without a plan is grown until any further one gives a plan, so
that one of those further ones is needed.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from broachplan.buying.basket.supply import Alike, Supply
from broachplan.buying.fitting import FittingPair
from broachplan.buying.serving import Serving

# The broach and the bushing that are not at hand, and the shim that is cut for them; None: one at hand will do, or none is cut.
Need = tuple[Alike | None, Alike | None, Alike | None]
# Of some shims at least so many.
Level = tuple[Alike, int]
Counts = Mapping[Alike, int]

_T = TypeVar("_T", bound=Hashable)


@dataclass(eq=False, slots=True)
class WayToCut:
    """All pairs of a job that need the same things. ``free``: no shim is needed beyond those at hand.

    ``cuts``: of each of these levels at least one is needed.
    """

    need: Need
    fits: list[FittingPair]
    free: bool = False
    cuts: list[frozenset[Level]] = field(default_factory=list)

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
        self._at_hand = at_hand
        self.beyond = serving.pieces - off - at_hand
        self._copies: dict[Alike, list[str]] = {}
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
                at_hand = tuple(tag for tag in fit.tags[:2] if tag in self._at_hand)
                found.setdefault((broach, bushing, self._cut_for(fit)), {}).setdefault(at_hand, fit)
        return self._useful([WayToCut(need, list(fits.values())) for need, fits in found.items()])

    def _need(self, tag: str) -> Alike | None:
        return None if tag in self._at_hand else self._supply.alike(tag)

    def _needless(self, tag: str) -> bool:
        """Whether one like it is at hand, so that it need not be bought."""
        return tag not in self._at_hand and not self._at_hand.isdisjoint(self._supply.alike(tag).crib)

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
