"""One order of passes that is lawful whatever the thickness of some shims turns out to be, and whatever the web.

Each rule of geometry is linear in web and thicknesses, so the ends of their limits decide; a shim that lies in two stacks
that follow each other cancels in the bite between them. The load of a pass is judged at the largest web and with its own
stack at its thickest, which no other values exceed (`buying.stretches`), over all surfaces that the stack before can leave.

A shim that is cut to measure is as thick as the web is thin: web and shim together are a sum that is chosen, so that a
stack with it lies where it lies whatever the web.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from broachplan.cut.section import Section
from broachplan.planner import bits
from broachplan.planner.passes import PassProblem
from broachplan.planner.stacks import FewTotals


@dataclass(frozen=True, slots=True)
class LimitedShim:
    """A shim whose thickness lies between two ends, in nm."""

    tag: str
    lower: int
    upper: int


@dataclass(frozen=True, slots=True)
class _Stack:
    """The part of a stack that is not exact. ``low`` and ``high``: what lies under the exact shims, the web included.

    ``first`` and ``final`` are the exact totals with which it can be that of pass 1, and of the last; ``every`` all.
    """

    members: frozenset[LimitedShim]
    low: int
    high: int
    every: int
    first: int
    final: int


_State = tuple[int, int]


@dataclass(frozen=True)
class OneOrder:
    """The question: ``problem`` has the exact shims in its drawer; its own web is not looked at.

    Parameters
    ----------
    lower_web, upper_web : the ends of the web, in nm.
    limited : shims with limits; a stack has at most ``together`` of them.
    narrowest : as in `passes_over`.
    cut_to : web and the shim that is cut together, in nm; None where none is cut.
    """

    problem: PassProblem
    lower_web: int
    upper_web: int
    limited: Sequence[LimitedShim] = ()
    together: int = 4
    narrowest: Section | None = None
    cut_to: int | None = None

    def shims(self) -> frozenset[str] | None:
        """The shims that such an order uses, the one that is cut left out; None where there is none."""
        layers = self._layers()
        if layers is None:
            return None
        used: set[str] = set()
        for at, place in self._followed(layers):
            stack = self._stacks[at]
            used.update(shim.tag for shim in stack.members if shim is not self._cut)
            used.update(shim.tag for shim in self._totals.stack(place))
        return frozenset(used)

    @property
    def _totals(self) -> FewTotals:
        totals = self.problem.totals
        assert isinstance(totals, FewTotals)
        return totals

    @cached_property
    def _cut(self) -> LimitedShim | None:
        if self.cut_to is None:
            return None
        return LimitedShim("", self.cut_to - self.upper_web, self.cut_to - self.lower_web)

    @cached_property
    def _stacks(self) -> list[_Stack]:
        most = min(self.together, self._totals.stack_most)
        found = []
        for count in range(min(most, len(self.limited)) + 1):
            for members in combinations(self.limited, count):
                found.append(self._stack(frozenset(members)))
                if self._cut is not None and count < self._totals.stack_most:
                    found.append(self._stack(frozenset((*members, self._cut))))
        return [stack for stack in found if stack.every]

    def _stack(self, members: frozenset[LimitedShim]) -> _Stack:
        fixed = members - {self._cut}
        with_cut = len(fixed) < len(members)
        low, high = (self.cut_to or 0,) * 2 if with_cut else (self.lower_web, self.upper_web)
        low += sum(shim.lower for shim in fixed)
        high += sum(shim.upper for shim in fixed)
        room = self._totals.stack_most - len(members)
        every = 0
        for count in range(room + 1):
            every |= self._totals.by_count[count]
        problem, between = self.problem, self._totals.between
        teeth, target, section = problem.teeth, problem.target, problem.section
        past = (self.narrowest or section).first_metal_floor_nm + 1 - low - teeth.last_nm
        enters = section.highest_within_a_rise(teeth.rise) - high - teeth.first_nm
        if problem.bearing is not None:
            enters = min(enters, problem.bearing.farthest(1) - high - teeth.last_nm)
        final = between(target.lower - low - teeth.last_nm, target.upper - high - teeth.last_nm)
        return _Stack(members, low, high, every, between(past, enters) & every, final & every)

    # -- from the last pass backward ---------------------------------------------------------------------------

    def _layers(self) -> list[list[int]] | None:
        """The exact totals of each stack from which 0, 1, 2, ... further passes lead to the end, up to a pass 1."""
        stacks = self._stacks
        new = [stack.final for stack in stacks]
        seen = [0] * len(stacks)
        layers: list[list[int]] = []
        while any(new):
            layers.append(new)
            if any(bits_of & stack.first for bits_of, stack in zip(new, stacks, strict=True)):
                return layers
            seen = [old | more for old, more in zip(seen, new, strict=True)]
            new = [self._before(at, new) & ~seen[at] for at in range(len(stacks))]
        return None

    def _before(self, at: int, after: Sequence[int]) -> int:
        found = 0
        for then, totals in enumerate(after):
            if totals:
                found |= self._leading(at, then, totals)
        return found & self._stacks[at].every

    def _leading(self, at: int, then: int, totals: int) -> int:
        """The exact totals of one stack from which a lawful pass leads into some of another's."""
        least, most, sure = self._steps(at, then)
        found, nm = 0, self._totals.nm
        for place in bits.members(totals):
            found |= self._places(nm(place) - min(most, sure), nm(place) - least)
        if sure < most:
            for place in bits.members(self._unsure(totals, least, most) & self._stacks[at].every & ~found):
                if self._next(at, place, then, totals) is not None:
                    found |= 1 << place
        return found

    def _unsure(self, totals: int, least: int, most: int) -> int:
        found, nm = 0, self._totals.nm
        for place in bits.members(totals):
            found |= self._places(nm(place) - most, nm(place) - least)
        return found

    def _places(self, low: int, high: int) -> int:
        totals = self._totals
        return bits.between(totals.from_nm(low), totals.to_nm(high)) if high >= max(low, 0) else 0

    def _steps(self, at: int, then: int) -> tuple[int, int, int]:
        """The least and the most by which the exact total may grow, and up to which the load surely allows it."""
        before, after = self._stacks[at].members, self._stacks[then].members
        on, off = after - before, before - after
        thinnest = sum(shim.lower for shim in on) - sum(shim.upper for shim in off)
        thickest = sum(shim.upper for shim in on) - sum(shim.lower for shim in off)
        bearing, advance = self.problem.bearing, self.problem.teeth.advance_nm
        sure = advance if bearing is None else bearing.sure_step()
        return 1 - thinnest, advance - thickest, sure - thickest

    def _next(self, at: int, place: int, then: int, totals: int) -> int | None:
        """The lightest lawful pass from one total of a stack into those of another; None where none is lawful."""
        least, most, sure = self._steps(at, then)
        here = self._totals.nm(place)
        ahead = totals & self._places(here + least, here + most)
        if not ahead:
            return None
        nearest = bits.lowest(ahead)
        if self._totals.nm(nearest) - here <= sure or self._bears(at, here, then, self._totals.nm(nearest)):
            return nearest
        return None

    def _bears(self, at: int, here: int, then: int, there: int) -> bool:
        """Whether the press and the broach bear a pass at the worst values that there can be."""
        bearing = self.problem.bearing
        assert bearing is not None
        before, after = self._stacks[at].members, self._stacks[then].members
        on, off = after - before, before - after
        last = self.problem.teeth.last_nm
        reading = self._stacks[then].high + there + last
        # A shim that is cut is thinnest where the web is largest; one that is only in the stack before is then so.
        thickest_on = sum(shim.upper for shim in on)
        thinnest_on = sum(shim.lower if shim is self._cut else shim.upper for shim in on)
        thinnest_off = sum(shim.lower for shim in off)
        thickest_off = sum(shim.lower if shim is self._cut else shim.upper for shim in off)
        low = reading - (there - here) - thickest_on + thinnest_off
        high = reading - (there - here) - thinnest_on + thickest_off
        return bearing.bears(bearing.model.most_over(reading - last, low, high))

    def _followed(self, layers: list[list[int]]) -> Iterator[_State]:
        """The stacks and exact totals of the passes, one after the other."""
        start = layers[-1]
        at = next(i for i, stack in enumerate(self._stacks) if start[i] & stack.first)
        place = bits.lowest(start[at] & self._stacks[at].first)
        yield at, place
        for layer in reversed(layers[:-1]):
            at, place = next(
                (then, found)
                for then, totals in enumerate(layer)
                if totals and (found := self._next(at, place, then, totals)) is not None
            )
            yield at, place
