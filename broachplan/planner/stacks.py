"""Stacks of shims: every total a slot's shims can make, with how few shims, and from which.

A total is made by its fewest shims, then by the smallest sorted list of tags. Totals lie in places, in order of
size, and a set of totals is a whole number whose bits are places (see `planner.bits`). A drawer of a few shims gives
each total a place of its own; one of many has millions of sums and gives a place to every multiple of a unit.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from copy import copy
from functools import cached_property
from math import comb, gcd

from broachplan.planner import bits
from broachplan.tooling.pieces import Shim

# A set of a place each costs about a microsecond a total, one of units about a nanosecond a unit.
_UNITS_A_TOTAL = 1250
_FEW = 256
# What a micrometer shows: a tenth of a thou, or a micrometre.
STEPS_NM = (2540, 1000)


class Totals(ABC):
    """All totals of at most ``stack_most`` different shims, up to ``most_nm``, the bare slot (0) included.

    ``shims`` are none thicker than that, ``sizes`` their thicknesses in nm. ``by_count[c]`` is the set of totals whose
    fewest shims are c; ``every`` their union. ``grain`` is what a further shim's thickness must be a multiple of, in nm.
    """

    grain: int
    every: int
    by_count: list[int]

    def __init__(self, shims: Sequence[Shim], sizes: Sequence[int], stack_most: int, most_nm: int) -> None:
        self.shims = shims
        self.sizes = sizes
        self.stack_most = stack_most
        self.most_nm = max(most_nm, 0)

    @abstractmethod
    def nm(self, place: int) -> int:
        """The total at a place, in nm."""

    @abstractmethod
    def from_nm(self, nm: int) -> int:
        """The first place whose total is at least ``nm``."""

    @abstractmethod
    def below(self, totals: int, step_nm: int) -> int:
        """The totals that lie under some member of a set, by at most ``step_nm``."""

    @abstractmethod
    def with_one_more(self, size_nm: int) -> Totals:
        """The same drawer with one more shim; it gives totals and counts, not stacks."""

    @abstractmethod
    def _makes(self, count: int, nm: int) -> bool:
        """Whether exactly ``count`` different shims can make ``nm``."""

    def to_nm(self, nm: int) -> int:
        """The last place whose total is at most ``nm``; -1 below zero."""
        return self.from_nm(nm + 1) - 1

    def between(self, low_nm: int, high_nm: int) -> int:
        """The totals from ``low_nm`` to ``high_nm``, both included."""
        return self.every & bits.between(self.from_nm(low_nm), self.to_nm(min(high_nm, self.most_nm)))

    def count(self, place: int) -> int:
        """The fewest shims that make the total at a place."""
        return next(count for count, sums in enumerate(self.by_count) if sums >> place & 1)

    def stack(self, place: int) -> tuple[Shim, ...]:
        """The stack that makes the total at a place, sorted by tag."""
        shims, _ = self._by_tag
        chosen = self._smallest(self.nm(place), self.count(place), 0)
        return tuple(shims[i] for i in chosen or ())

    def stacks(self, nm: int, count: int) -> Iterator[tuple[Shim, ...]]:
        """Every stack of just ``count`` shims that makes a total of ``nm``, sorted by tag, smallest tags first."""
        shims, _ = self._by_tag
        for chosen in self._every(nm, count, 0):
            yield tuple(shims[i] for i in chosen)

    def _every(self, nm: int, count: int, start: int) -> Iterator[tuple[int, ...]]:
        """Every combination, in the order of tags, of ``count`` shims from ``start`` on that makes ``nm``."""
        if count == 0:
            yield from ((),) if nm == 0 else ()
        elif count == 1:
            yield from ((i,) for i in self._of_size.get(nm, ()) if i >= start)
        elif nm > 0:
            _, sizes = self._by_tag
            for first in range(start, len(sizes) - count + 1):
                rest = nm - sizes[first]
                if count == 2 or self._makes(count - 1, rest):
                    yield from ((first, *others) for others in self._every(rest, count - 1, first + 1))

    @cached_property
    def _by_tag(self) -> tuple[list[Shim], list[int]]:
        """The shims in the order of their tags, and their thicknesses."""
        shims = sorted(zip(self.shims, self.sizes, strict=True), key=lambda entry: entry[0].tag)
        return [shim for shim, _ in shims], [nm for _, nm in shims]

    @cached_property
    def _of_size(self) -> dict[int, list[int]]:
        """The shims of each thickness, as positions in the order of tags."""
        found: dict[int, list[int]] = {}
        for index, size in enumerate(self._by_tag[1]):
            found.setdefault(size, []).append(index)
        return found

    def _smallest(self, nm: int, count: int, start: int) -> tuple[int, ...] | None:
        """The first combination, in the order of tags, of ``count`` shims from ``start`` on that makes ``nm``."""
        if count == 0:
            return () if nm == 0 else None
        if count == 1:
            return next(((i,) for i in self._of_size.get(nm, ()) if i >= start), None)
        if count == 2:
            return self._smallest_pair(nm, start)
        _, sizes = self._by_tag
        for first in range(start, len(sizes) - count + 1):
            rest = nm - sizes[first]
            if self._makes(count - 1, rest):
                others = self._smallest(rest, count - 1, first + 1)
                if others is not None:
                    return (first, *others)
        return None

    def _smallest_pair(self, nm: int, start: int) -> tuple[int, int] | None:
        """The first pair, in the order of tags, of shims from ``start`` on that makes ``nm``."""
        _, sizes = self._by_tag
        for first in range(start, len(sizes) - 1):
            for second in self._of_size.get(nm - sizes[first], ()):
                if second > first:
                    return first, second
        return None


def totals_of(
    shims: Iterable[Shim], stack_most: int, most_nm: int, kept: type[FewTotals | ManyTotals] | None = None
) -> FewTotals | ManyTotals:
    """The totals of a drawer, kept the way that is asked for or else is quicker; both ways answer alike."""
    usable, sizes = [], []
    for shim in shims:
        thickness = shim.thickness
        if thickness is not None and thickness.nm <= most_nm:
            usable.append(shim)
            sizes.append(thickness.nm)
    if kept is None:
        sums = sum(comb(len(sizes), c) for c in range(stack_most + 1))
        few = sums <= _FEW or sums <= most_nm // (gcd(*sizes) * _UNITS_A_TOTAL)
        kept = FewTotals if few else ManyTotals
    return kept(usable, sizes, stack_most, most_nm)


class FewTotals(Totals):
    """A place for each total: the drawers of every day."""

    grain = 1

    def __init__(self, shims: Sequence[Shim], sizes: Sequence[int], stack_most: int, most_nm: int) -> None:
        super().__init__(shims, sizes, stack_most, most_nm)
        self._sums: list[set[int]] = [{0}] + [set() for _ in range(stack_most)]
        for size in sizes:
            self._add(size)
        self._settle()

    def nm(self, place: int) -> int:
        return self._at[place]

    def from_nm(self, nm: int) -> int:
        return bisect_left(self._at, nm)

    def below(self, totals: int, step_nm: int) -> int:
        if not totals or step_nm <= 0:
            return 0
        at, low, high = self._at, bits.lowest(totals), bits.highest(totals)
        if at[high] - at[low] <= step_nm:
            return bits.between(bisect_left(at, at[low] - step_nm), high - 1)
        found = 0
        for place in bits.members(totals):
            found |= bits.between(bisect_left(at, at[place] - step_nm), place - 1)
        return found

    def with_one_more(self, size_nm: int) -> FewTotals:
        more = FewTotals((), (), self.stack_most, self.most_nm)
        more.sizes = [*self.sizes, size_nm]
        more._sums = [set(sums) for sums in self._sums]
        more._add(size_nm)
        more._settle()
        return more

    def _makes(self, count: int, nm: int) -> bool:
        return nm in self._sums[count]

    def _add(self, size_nm: int) -> None:
        """Lay one more shim onto every stack that has room for it."""
        room, sums = self.most_nm - size_nm, self._sums
        for c in range(self.stack_most, 0, -1):
            if sums[c - 1]:
                sums[c].update([nm + size_nm for nm in sums[c - 1] if nm <= room])

    def _settle(self) -> None:
        """Give every total its place, under its fewest shims."""
        fewest: dict[int, int] = {}
        for c, sums in enumerate(self._sums):
            for nm in sums:
                fewest.setdefault(nm, c)
        self._at = sorted(fewest)
        self.every = bits.up_to(len(self._at) - 1)
        self.by_count = [0] * len(self._sums)
        for place, nm in enumerate(self._at):
            self.by_count[fewest[nm]] |= 1 << place


class ManyTotals(Totals):
    """A place for every multiple of ``unit`` nm: hundreds of shims of one width."""

    def __init__(self, shims: Sequence[Shim], sizes: Sequence[int], stack_most: int, most_nm: int) -> None:
        super().__init__(shims, sizes, stack_most, most_nm)
        self.unit = gcd(*sizes) or max(most_nm, 1)
        self.grain = max(gcd(self.unit, step) for step in STEPS_NM)
        self._settle(self._sums())

    @cached_property
    def _in_grains(self) -> ManyTotals:
        """The same drawer with a place for every grain, where a further shim may fall."""
        finer = copy(self)
        finer.unit = self.grain
        finer._settle(finer._sums())
        return finer

    def nm(self, place: int) -> int:
        return place * self.unit

    def from_nm(self, nm: int) -> int:
        return max(0, -(-nm // self.unit))

    def to_nm(self, nm: int) -> int:
        return max(nm // self.unit, -1)

    def between(self, low_nm: int, high_nm: int) -> int:
        return self.every & bits.between(-(-low_nm // self.unit), min(high_nm, self.most_nm) // self.unit)

    def below(self, totals: int, step_nm: int) -> int:
        return bits.below(totals, step_nm // self.unit) & self.every

    def with_one_more(self, size_nm: int) -> ManyTotals:
        fine = self if self.unit == self.grain else self._in_grains
        more = copy(fine)
        more.shims, more.sizes = (), [*fine.sizes, size_nm]
        size, room = size_nm // fine.unit, bits.up_to(fine.most_nm // fine.unit)
        exactly = fine._exactly
        more._settle([sums | (exactly[c - 1] << size & room if c else 0) for c, sums in enumerate(exactly)])
        return more

    def _makes(self, count: int, nm: int) -> bool:
        return bits.has(self._exactly[count], nm // self.unit)

    def _sums(self) -> list[int]:
        """Sums of exactly c different shims, for c = 0..stack_most; the thin ones first keep the sets short."""
        exactly = [1] + [0] * self.stack_most
        fullest_first = range(self.stack_most, 0, -1)
        for size in sorted([nm // self.unit for nm in self.sizes]):
            for c in fullest_first:
                exactly[c] |= exactly[c - 1] << size
        room = bits.up_to(self.most_nm // self.unit)
        return [sums & room for sums in exactly]

    def _settle(self, exactly: list[int]) -> None:
        """Keep the sums under their fewest shims."""
        self._exactly = exactly
        self.by_count = []
        every = 0
        for sums in exactly:
            self.by_count.append(sums & ~every)
            every |= sums
        self.every = every
