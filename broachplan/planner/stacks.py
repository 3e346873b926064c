"""Stacks of shims: every total a slot's shims can make, with how few shims, and from which.

A total is made by its fewest shims, then by the smallest sorted list of tags.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from copy import copy
from math import gcd

from broachplan.planner import bits
from broachplan.tooling.pieces import Shim


class Totals:
    """All totals of at most ``stack_most`` different shims, up to ``most_nm``.

    A member i of a set stands for i x ``unit`` nm. ``by_count[c]`` holds the totals whose fewest shims are c;
    ``every`` their union, the bare slot (0) included.
    """

    def __init__(self, shims: Sequence[Shim], stack_most: int, most_nm: int) -> None:
        usable = [(s.thickness.nm, s) for s in shims if s.thickness is not None and s.thickness.nm <= most_nm]
        usable.sort(key=lambda entry: entry[1].tag)
        self._shims = [shim for _, shim in usable]
        self.unit = gcd(*(nm for nm, _ in usable)) or max(most_nm, 1)
        self._sizes = [nm // self.unit for nm, _ in usable]
        self.most_nm = max(most_nm, 0)
        self.most = self.most_nm // self.unit
        self._settle(self._sums(stack_most))
        self._pairs: dict[int, list[tuple[int, int]]] | None = None

    @property
    def shims(self) -> tuple[Shim, ...]:
        """The drawer's shims that are not too thick, by tag."""
        return tuple(self._shims)

    def in_units_of(self, unit: int) -> Totals:
        """The same drawer over a finer unit that divides its own."""
        finer = copy(self)
        times = self.unit // unit
        finer.unit, finer.most = unit, self.most_nm // unit
        finer._sizes = [size * times for size in self._sizes]
        finer._pairs = None
        finer._settle(finer._sums(len(self._reached) - 1))
        return finer

    def with_one_more(self, size: int, stack_most: int) -> Totals:
        """The same drawer with one more shim of ``size`` units; it tells totals and counts, not stacks."""
        more = copy(self)
        old = [*self._reached, 0][: stack_most + 1]
        room = bits.up_to(self.most)
        more._settle([sums | (old[c - 1] << size & room if c else 0) for c, sums in enumerate(old)])
        return more

    @property
    def sizes(self) -> tuple[int, ...]:
        """The thicknesses of the drawer's shims in units, in the order of tags."""
        return tuple(self._sizes)

    def _settle(self, reached: list[int]) -> None:
        """Keep the sums by their fewest shims."""
        self._reached = reached
        self.by_count: list[int] = []
        self.every = 0
        for sums in reached:
            self.by_count.append(sums & ~self.every)
            self.every |= sums

    def count(self, total: int) -> int:
        """The fewest shims that make ``total`` (in units)."""
        return next(c for c, sums in enumerate(self.by_count) if bits.has(sums, total))

    def stack(self, total: int) -> tuple[Shim, ...]:
        """The stack that makes ``total``, sorted by tag."""
        return tuple(self._shims[i] for i in self._smallest(total, self.count(total), 0) or ())

    def _sums(self, stack_most: int) -> list[int]:
        """Sums of exactly c different shims, for c = 0..stack_most."""
        reached = [1] + [0] * min(stack_most, len(self._sizes))
        room = bits.up_to(self.most)
        for size in self._sizes:
            for c in range(len(reached) - 1, 0, -1):
                if reached[c - 1]:
                    reached[c] |= reached[c - 1] << size & room
        return reached

    def _smallest(self, total: int, count: int, start: int) -> tuple[int, ...] | None:
        """The first combination, in the order of tags, of ``count`` shims from ``start`` on that makes ``total``."""
        if count == 0:
            return () if total == 0 else None
        if count == 1:
            found = next((i for i in range(start, len(self._sizes)) if self._sizes[i] == total), None)
            return None if found is None else (found,)
        if count == 2:
            return next((pair for pair in self._pair_sums().get(total, ()) if pair[0] >= start), None)
        for first in range(start, len(self._sizes) - count + 1):
            rest = total - self._sizes[first]
            if bits.has(self._reached[count - 1], rest):
                others = self._smallest(rest, count - 1, first + 1)
                if others is not None:
                    return (first, *others)
        return None

    def _pair_sums(self) -> dict[int, list[tuple[int, int]]]:
        """Pairs by their sum, each list in the order of tags; made when first asked for."""
        if self._pairs is None:
            self._pairs = {}
            for i, j in self._ordered_pairs():
                self._pairs.setdefault(self._sizes[i] + self._sizes[j], []).append((i, j))
        return self._pairs

    def _ordered_pairs(self) -> Iterator[tuple[int, int]]:
        amount = len(self._sizes)
        return ((i, j) for i in range(amount) for j in range(i + 1, amount))
