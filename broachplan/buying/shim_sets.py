"""Jobs that meet over scarce shims: every smallest set of shims of each pair, and which of them go together.

Of the shims only those count that a rival could use too. Sets are whole numbers whose bits are shims, so that two that
share none are found by one operation; what was found not to go together is remembered by what is used so far.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

Used = Callable[[frozenset[str]], frozenset[str] | None]
_Pair = tuple[str, ...]


def smallest_sets(everything: frozenset[str], plan_on: Used) -> list[frozenset[str]]:
    """Every set of shims with which there is a plan and without any one of which there is none.

    ``plan_on`` gives the shims that some plan on no others than these uses, or None where there is no plan.

    Each further set lacks a shim of one that was found, so that they are looked for without one of those in turn.
    """
    found: list[frozenset[str]] = []
    seen = {everything}
    new = [everything]
    while new:
        allowed = new.pop()
        least = next((one for one in found if one <= allowed), None)
        if least is None:
            least = _shrunk(allowed, plan_on)
            if least is None:
                continue
            found.append(least)
        for tag in least:
            fewer = allowed - {tag}
            if fewer not in seen:
                seen.add(fewer)
                new.append(fewer)
    return found


def _shrunk(allowed: frozenset[str], plan_on: Used) -> frozenset[str] | None:
    used = plan_on(allowed)
    if used is None:
        return None
    for tag in sorted(used):
        if tag in used:
            fewer = plan_on(used - {tag})
            used = used if fewer is None else fewer
    return used


@dataclass(frozen=True, slots=True)
class ShimColumn:
    """A set of shims, as bits, and the pairs for which it will do."""

    shims: int
    pairs: frozenset[_Pair]


def columns(sets: Mapping[_Pair, Sequence[int]]) -> list[ShimColumn]:
    """The sets of a job, smallest first, each with all pairs for which it will do; those that another betters are left out."""
    every = sorted({one for some in sets.values() for one in some}, key=lambda bits: (bits.bit_count(), bits))
    found: list[ShimColumn] = []
    for bits in every:
        pairs = frozenset(pair for pair, some in sets.items() if any(one & ~bits == 0 for one in some))
        if not any(one.shims & ~bits == 0 and pairs <= one.pairs for one in found):
            found.append(ShimColumn(bits, pairs))
    return found


class Packing:
    """One column and one pair for each job, so that rivals share nothing."""

    def __init__(
        self,
        choices: Mapping[str, Sequence[ShimColumn]],
        rivals: Mapping[str, frozenset[str]],
        step: Callable[[], None],
    ) -> None:
        self._choices, self._rivals, self._step = choices, rivals, step
        self._order = sorted(choices, key=lambda one: (len(choices[one]), one))
        self._dead: set[tuple[int, ...]] = set()
        self._ended = False

    def found(self) -> dict[str, tuple[_Pair, int]] | None:
        """A pair and the shims of each job; None where they do not go together."""
        for chosen in self._ways(0, {}):
            pairs = self._pairs(list(chosen), chosen, {})
            if pairs is not None:
                return {one: (pairs[one], chosen[one].shims) for one in chosen}
        return None

    def _ways(self, at: int, chosen: dict[str, ShimColumn]) -> Iterator[dict[str, ShimColumn]]:
        """Columns for all jobs that share no shim; states from which none is reached are not entered twice."""
        if at == len(self._order):
            self._ended = True
            yield dict(chosen)
            return
        self._step()
        state = at, *(self._used(one, chosen) for one in self._order[at:])
        if state in self._dead or not self._room(at, chosen):
            return
        one = self._order[at]
        used = self._used(one, chosen)
        before, self._ended = self._ended, False
        for column in self._choices[one]:
            if not column.shims & used:
                chosen[one] = column
                if self._pairs(list(chosen), chosen, {}) is not None:
                    yield from self._ways(at + 1, chosen)
                else:
                    self._ended = True
                del chosen[one]
        if not self._ended:
            self._dead.add(state)
        self._ended = self._ended or before

    def _used(self, one: str, chosen: Mapping[str, ShimColumn]) -> int:
        bits = 0
        for other in chosen:
            if other in self._rivals[one]:
                bits |= chosen[other].shims
        return bits

    def _room(self, at: int, chosen: Mapping[str, ShimColumn]) -> bool:
        """Whether each job that is left has a column by itself, and those that all meet have shims enough between them."""
        needs, there, left = 0, 0, self._order[at:]
        for one in left:
            used = self._used(one, chosen)
            able = [column.shims for column in self._choices[one] if not column.shims & used]
            if not able:
                return False
            needs += min(bits.bit_count() for bits in able)
            for bits in able:
                there |= bits
        all_meet = all(other in self._rivals[one] for one in left for other in left if other != one)
        return not all_meet or needs <= there.bit_count()

    def _pairs(
        self, left: list[str], chosen: Mapping[str, ShimColumn], given: dict[str, _Pair]
    ) -> dict[str, _Pair] | None:
        """A pair for each chosen column, no broach and no bushing to two rivals."""
        if not left:
            return dict(given)
        one = min(left, key=lambda each: (len(chosen[each].pairs), each))
        rest = [other for other in left if other != one]
        gone = {tag for other, pair in given.items() if other in self._rivals[one] for tag in pair}
        for pair in sorted(chosen[one].pairs):
            if gone.isdisjoint(pair):
                found = self._pairs(rest, chosen, given | {one: pair})
                if found is not None:
                    return found
        return None
