"""Jobs that meet over scarce shims: every smallest set of shims of each pair, and which of them go together.

Of the shims only those count that a rival could use too. Sets are whole numbers whose bits are shims, so that two that
share none are found by one operation; what was found not to go together is remembered by what is used so far.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence, Set
from dataclasses import dataclass

from broachplan.buying.last_stacks import LastStack

Used = Callable[[frozenset[str]], frozenset[str] | None]
_Pair = tuple[str, ...]


def smallest_sets(
    everything: frozenset[str], plan_on: Used, last_stacks: Iterable[LastStack]
) -> list[frozenset[str]]:
    """Every set of shims with which there is a plan and without any one of which there is none.

    Parameters
    ----------
    everything : the shims that may be in such a set.
    plan_on : gives the shims that some plan on no others than these uses, or None where there is no plan.
    last_stacks : those of every plan; of their shims only those that are among ``everything`` matter.
    """
    found: list[frozenset[str]] = []
    short: list[frozenset[str]] = []
    will_do: dict[frozenset[str], bool] = {}
    for stack in last_stacks:
        tags = stack.tags & everything
        will_do[tags] = stack.will_do or will_do.get(tags, False)
    for tags in sorted(will_do, key=lambda one: (len(one), sorted(one))):
        if not any(one <= tags for one in found):
            (found if will_do[tags] or plan_on(tags) is not None else short).append(tags)
    if short:
        _with_more(everything, plan_on, short, found)
    return [one for one in found if not any(other < one for other in found)]


def _with_more(
    everything: frozenset[str],
    plan_on: Used,
    short: Sequence[frozenset[str]],
    found: list[frozenset[str]],
) -> None:
    """Add the sets that hold a last stack which alone will not do.

    Each further set lacks a shim of every one that was found, so that they are looked for without one of those in turn.
    """
    seen = {everything}
    new = [everything]
    while new:
        allowed = new.pop()
        if not any(stack <= allowed for stack in short):
            continue
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
    """A set of shims, as bits, how thick they are together in nm, and the pairs for which it will do."""

    shims: int
    thick: int
    pairs: tuple[_Pair, ...]


def columns(sets: Mapping[_Pair, Iterable[frozenset[str]]], shims: Contested) -> list[ShimColumn]:
    """The smallest sets of a job, those of fewest shims first, each with the pairs whose smallest set it is."""
    pairs: dict[frozenset[str], set[_Pair]] = {}
    for pair, some in sets.items():
        for tags in some:
            pairs.setdefault(tags, set()).add(pair)
    found = [ShimColumn(shims.bits(tags), shims.thick(tags), tuple(sorted(of))) for tags, of in pairs.items()]
    return sorted(found, key=lambda one: (one.shims.bit_count(), one.shims))


class Contested:
    """The shims that two rivals could use, each with its bit and its thickness in nm."""

    def __init__(self, thicknesses: Mapping[str, int]) -> None:
        self.tags = frozenset(thicknesses)
        self._nm = thicknesses
        self._place = {tag: at for at, tag in enumerate(sorted(thicknesses))}
        self._sizes = [thicknesses[tag] for tag in sorted(thicknesses)]

    def bits(self, tags: frozenset[str]) -> int:
        """The bits of those of some tags that are contested."""
        return sum(1 << self._place[tag] for tag in tags & self.tags)

    def tags_of(self, bits: int) -> frozenset[str]:
        """The tags of some bits."""
        return frozenset(tag for tag, at in self._place.items() if bits >> at & 1)

    def thick(self, tags: frozenset[str]) -> int:
        """How thick some of them are together."""
        return sum(self._nm[tag] for tag in tags)

    def thick_of(self, bits: int) -> int:
        """How thick some of them are together, by their bits."""
        return sum(size for at, size in enumerate(self._sizes) if bits >> at & 1)


def without(some: Sequence[ShimColumn], gone: frozenset[str], shims: Contested) -> list[ShimColumn]:
    """The columns that are left where some pieces are gone."""
    if not gone:
        return list(some)
    bits = shims.bits(gone)
    left = (one for one in some if not one.shims & bits)
    still = ((one, tuple(pair for pair in one.pairs if gone.isdisjoint(pair))) for one in left)
    return [ShimColumn(one.shims, one.thick, pairs) for one, pairs in still if pairs]


class Packing:
    """One column and one pair for each job, so that rivals share nothing."""

    def __init__(
        self,
        choices: Mapping[str, Sequence[ShimColumn]],
        shims: Contested,
        rivals: Mapping[str, frozenset[str]],
        step: Callable[[], None],
    ) -> None:
        self._choices, self._shims, self._rivals, self._step = choices, shims, rivals, step
        self._order = sorted(choices, key=lambda one: (len(choices[one]), one))
        self._dead: set[tuple[int, ...]] = set()
        # Whether the state that was left last is dead by its shims alone, whatever pairs the others have.
        self._by_shims = True

    def found(self) -> dict[str, tuple[_Pair, int]] | None:
        """A pair and the shims of each job; None where they do not go together."""
        found = self._from(0, {}, {})
        if found is None:
            return None
        chosen, pairs = found
        return {one: (pairs[one], column.shims) for one, column in chosen.items()}

    def _from(
        self, at: int, chosen: dict[str, ShimColumn], pairs: dict[str, _Pair]
    ) -> tuple[dict[str, ShimColumn], dict[str, _Pair]] | None:
        """Columns and pairs for all jobs that share nothing; states from which none is reached are not entered twice."""
        if at == len(self._order):
            return chosen, pairs
        self._step()
        self._by_shims = True
        state = at, *(self._used(one, chosen) for one in self._order[at:])
        if state in self._dead or not self._room(at, chosen):
            return None
        one, used, by_shims = self._order[at], state[1], True
        for column in self._choices[one]:
            if not column.shims & used:
                more = {**chosen, one: column}
                paired = self._one_more_pair(one, more, pairs)
                found = None if paired is None else self._from(at + 1, more, paired)
                if found is not None:
                    return found
                by_shims = by_shims and paired is not None and self._by_shims
        self._by_shims = by_shims
        if by_shims:
            self._dead.add(state)
        return None

    def _used(self, one: str, chosen: Mapping[str, ShimColumn]) -> int:
        bits = 0
        for other in chosen:
            if other in self._rivals[one]:
                bits |= chosen[other].shims
        return bits

    def _room(self, at: int, chosen: Mapping[str, ShimColumn]) -> bool:
        """Whether each job that is left has a column by itself, and those that all meet have shims enough between them."""
        needs, thick, there, left = 0, 0, 0, self._order[at:]
        for one in left:
            used = self._used(one, chosen)
            able = [column for column in self._choices[one] if not column.shims & used]
            if not able:
                return False
            needs += able[0].shims.bit_count()
            thick += min(column.thick for column in able)
            for column in able:
                there |= column.shims
        if not self._all_meet(left):
            return True
        return needs <= there.bit_count() and thick <= self._shims.thick_of(there)

    def _one_more_pair(
        self, one: str, chosen: Mapping[str, ShimColumn], pairs: Mapping[str, _Pair]
    ) -> dict[str, _Pair] | None:
        """A pair for each chosen column: beside those that the others have, else all anew."""
        gone = {tag for other, pair in pairs.items() if other in self._rivals[one] for tag in pair}
        free = next((pair for pair in chosen[one].pairs if gone.isdisjoint(pair)), None)
        if free is not None:
            return {**pairs, one: free}
        if self._all_meet(list(chosen)):
            for side in (0, 1):
                if not all_matched({other: {pair[side] for pair in chosen[other].pairs} for other in chosen}):
                    return None
        return self._pairs(list(chosen), chosen, {})

    def _all_meet(self, some: Sequence[str]) -> bool:
        return all(other in self._rivals[one] for one in some for other in some if other != one)

    def _pairs(
        self, left: list[str], chosen: Mapping[str, ShimColumn], given: dict[str, _Pair]
    ) -> dict[str, _Pair] | None:
        """A pair for each chosen column, no broach and no bushing to two rivals."""
        if not left:
            return dict(given)
        one = min(left, key=lambda each: (len(chosen[each].pairs), each))
        rest = [other for other in left if other != one]
        gone = {tag for other, pair in given.items() if other in self._rivals[one] for tag in pair}
        for pair in chosen[one].pairs:
            if gone.isdisjoint(pair):
                found = self._pairs(rest, chosen, given | {one: pair})
                if found is not None:
                    return found
        return None


def all_matched(choices: Mapping[str, Set[str]]) -> bool:
    """Whether each can have one of its choices, no two of them the same (augmenting paths)."""
    owner: dict[str, str] = {}

    def give(one: str, seen: set[str]) -> bool:
        for tag in choices[one]:
            if tag not in seen:
                seen.add(tag)
                if tag not in owner or give(owner[tag], seen):
                    owner[tag] = one
                    return True
        return False

    return all(give(one, set()) for one in choices)
