"""Whether a pair with limits has a plan whatever the values turn out to be, or for some of them.

Where it surely has one, the shims that are given are those of the plans over all values together: with them, and no
others, it surely has one still, so that all that holds of the shims of one plan holds of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial

from broachplan.buying.intervals import farthest
from broachplan.buying.limits import LimitedPair, Trust
from broachplan.buying.one_order import LimitedShim, OneOrder
from broachplan.buying.stretches import passes_over
from broachplan.buying.thicknesses import thicknesses_for
from broachplan.cut.section import Section
from broachplan.planner import bits
from broachplan.planner.make_shims import THINNEST_SHIM_NM
from broachplan.planner.passes import PassProblem
from broachplan.planner.search import Search
from broachplan.planner.stacks import FewTotals, totals_of
from broachplan.tooling.pieces import Shim

# Shims with limits are laid together with so many exact ones, spread over the slot's; more would take too long.
_BESIDE = 12
# So many shims with limits are tried in any stacks together; a drawer with more has them tried one by one.
_TOGETHER = {1: 4, 2: 4, 3: 4, 4: 2, 5: 2, 6: 2}
_MOST_STRETCHES = 64
Over = Callable[[int, int], frozenset[str] | None]


@dataclass(frozen=True)
class SlotShims:
    """The shims that may be used in one width of the slot: exact ones, and those with limits.

    ``beside`` are the exact ones that are laid together with those, or with one that is cut; ``together`` how many with
    limits a stack may have, 0 where they are tried one by one. What is chosen here hangs on all the shims of the slot and
    not on which of them are there, so that a shim more never makes less possible.
    """

    exact: tuple[Shim, ...]
    limited: tuple[LimitedShim, ...]
    beside: tuple[Shim, ...]
    together: int

    @classmethod
    def of(cls, shims: Iterable[Shim], trust: Trust) -> SlotShims:
        """The shims of a slot."""
        exact, limited = [], []
        for shim in sorted(shims, key=lambda one: one.tag):
            span = trust.span(shim, "thickness")
            assert span is not None
            if span.exact:
                exact.append(shim)
            else:
                limited.append(LimitedShim(shim.tag, span.lower, span.upper))
        by_size = sorted(exact, key=lambda one: (_thick(one), one.tag))
        spread = [by_size[at * (len(by_size) - 1) // (_BESIDE - 1)] for at in range(_BESIDE)] if exact else []
        beside = by_size if len(exact) <= _BESIDE else spread
        return cls(tuple(exact), tuple(limited), tuple(beside), _TOGETHER.get(len(limited), 0))

    def without(self, off: frozenset[str]) -> SlotShims:
        """The same with some shims away."""
        return replace(
            self,
            exact=tuple(shim for shim in self.exact if shim.tag not in off),
            limited=tuple(shim for shim in self.limited if shim.tag not in off),
            beside=tuple(shim for shim in self.beside if shim.tag not in off),
        )


@dataclass(frozen=True)
class LimitedPasses:
    """The passes of one pair over one drawer. ``problem`` has the broach at its widest, and any totals."""

    problem: PassProblem
    narrowest: Section
    pair: LimitedPair
    drawer: SlotShims

    def surely(self) -> frozenset[str] | None:
        """The shims of plans over all values; None where no plan is sure."""
        return self._cover(self._over)

    def with_cut(self) -> frozenset[str] | None:
        """The same, beside one shim that is cut to measure after receipt."""
        return self._cover(self._over_with_cut)

    def _cover(self, over: Over) -> frozenset[str] | None:
        """The shims of as many stretches of webs as it takes."""
        web, used = self.pair.web, frozenset[str]()
        start = web.lower
        if over(web.upper, web.upper) is None:
            return None
        for _ in range(_MOST_STRETCHES):
            whole = over(start, web.upper)
            if whole is not None:
                return used | whole
            if over(start, start) is None:
                return None
            end = farthest(start, web.upper, partial(_there, over, start))
            used |= over(start, end) or frozenset()
            start = end + 1
        return None

    # -- one stretch of webs -----------------------------------------------------------------------------------

    @cached_property
    def _most_nm(self) -> int:
        return max(self.problem.target.upper - self.pair.web.lower - self.problem.teeth.last_nm, 0)

    @cached_property
    def _exact(self) -> PassProblem:
        totals = totals_of(self.drawer.exact, self.problem.totals.stack_most, self._most_nm)
        return replace(self.problem, totals=totals)

    @cached_property
    def _beside(self) -> PassProblem:
        totals = totals_of(self.drawer.beside, self.problem.totals.stack_most, self._most_nm, FewTotals)
        return replace(self.problem, totals=totals)

    def _over(self, low: int, high: int) -> frozenset[str] | None:
        search = passes_over(self._exact, low, high, self.narrowest)
        if search is not None:
            return _shims(search)
        if not self.drawer.limited:
            return None
        return self._over_limited(low, high)

    def _over_limited(self, low: int, high: int) -> frozenset[str] | None:
        limited, together = self.drawer.limited, self.drawer.together
        if together:
            found = self._one_order(low, high, limited, together)
            if found is not None:
                return found
        for shim in limited:
            found = self._over_thickness(low, high, shim)
            if found is not None:
                return found
        return None

    def _over_thickness(self, low: int, high: int, shim: LimitedShim) -> frozenset[str] | None:
        """With one shim of those with limits, an order of passes for each stretch of its thickness."""

        def over(thin: int, thick: int) -> frozenset[str] | None:
            return self._one_order(low, high, (LimitedShim(shim.tag, thin, thick),), 1)

        used, start = frozenset[str](), shim.lower
        if over(shim.upper, shim.upper) is None:
            return None
        for _ in range(_MOST_STRETCHES):
            whole = over(start, shim.upper)
            if whole is not None:
                return used | whole
            if over(start, start) is None:
                return None
            end = farthest(start, shim.upper, partial(_there, over, start))
            used |= over(start, end) or frozenset()
            start = end + 1
        return None

    def _one_order(
        self,
        low: int,
        high: int,
        limited: Sequence[LimitedShim],
        together: int,
        cut_to: int | None = None,
    ) -> frozenset[str] | None:
        return OneOrder(self._beside, low, high, limited, together, self.narrowest, cut_to).shims()

    # -- with a shim that is cut -------------------------------------------------------------------------------

    def _over_with_cut(self, low: int, high: int) -> frozenset[str] | None:
        search = passes_over(self._exact, low, high, self.narrowest)
        if search is not None:
            return _shims(search)
        for cut_to in self._sums_to_cut_to(high):
            found = self._one_order(low, high, *self._few_limited, cut_to)
            if found is not None:
                return found
        for thick in self._thicknesses:
            found = self._one_order(low, high, (LimitedShim("", thick, thick),), 1)
            if found is not None:
                return found - {""}
        return self._at_one_web(low) if low == high else None

    @property
    def _few_limited(self) -> tuple[Sequence[LimitedShim], int]:
        """The shims with limits that may lie with one that is cut: none of a drawer with many."""
        return (self.drawer.limited, self.drawer.together) if self.drawer.together else ((), 0)

    def _sums_to_cut_to(self, high: int) -> Iterator[int]:
        """Web and cut shim together such that a last stack of at most two more shims reads on the aim."""
        target, totals = self.problem.target, self._beside.totals
        assert isinstance(totals, FewTotals)
        few = totals.by_count[0] | totals.by_count[1] | totals.by_count[2]
        for place in bits.members(few):
            cut_to = target.twice_aim // 2 - self.problem.teeth.last_nm - totals.nm(place)
            if cut_to - high >= THINNEST_SHIM_NM:
                yield cut_to

    @cached_property
    def _thicknesses(self) -> tuple[int, ...]:
        """Thicknesses that do at the middle of the webs."""
        return self._that_do(self.pair.web.middle)

    def _that_do(self, web: int) -> tuple[int, ...]:
        intervals = thicknesses_for(replace(self._beside, web_nm=web))
        return tuple((low + high) // 2 for low, high in intervals)

    def _at_one_web(self, web: int) -> frozenset[str] | None:
        for thick in self._that_do(web):
            found = self._one_order(web, web, (LimitedShim("", thick, thick),), 1)
            if found is not None:
                return found - {""}
        return None


def _there(over: Over, start: int, end: int) -> bool:
    return over(start, end) is not None


def _thick(shim: Shim) -> int:
    assert shim.thickness is not None
    return shim.thickness.nm


def _shims(search: Search) -> frozenset[str]:
    order = search.in_full(None)
    stacks = (search.problem.totals.stack(place) for place in order.places)
    return frozenset(shim.tag for stack in stacks for shim in stack)
