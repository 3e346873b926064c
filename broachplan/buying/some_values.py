"""Whether a pair with limits has a plan for some of the values that it may have, and for which.

Web, and both heights of a broach alike, are looked at whole; of other figures the ends and the middle of what the rules
on their fit allow.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product
from typing import Any

from broachplan.buying.intervals import Interval, joined
from broachplan.buying.limits import HEIGHTS, LimitedPair, Trust, at_ends
from broachplan.buying.offers import Between
from broachplan.buying.stretches import passes_over
from broachplan.buying.thicknesses import thicknesses_for
from broachplan.buying.webs import webs_within
from broachplan.cut.teeth import Teeth
from broachplan.lengths import Length
from broachplan.planner.pairs import Pair, bearing_of, problem_of
from broachplan.planner.passes import PassProblem
from broachplan.planner.presses import PressChoice, presses_for
from broachplan.planner.rules import Case, broach_refusal, widest_part
from broachplan.planner.stacks import totals_of
from broachplan.tooling.pieces import Broach, Shim

# Of more shims with limits than these not all ends are tried with each other's: all at like ends, and one by one.
_ENDS_OF_EACH = 4
# What is best for the press and the column: no other rule looks at these.
_BEST = {"root_height": "upper", "front_length": "upper", "overall_length": "lower"}
_VARIED = ("keyway_width", "body_width", "tooth_pitch")
Values = Mapping[str, tuple[Interval, ...]]


@dataclass(frozen=True)
class SomeValues:
    """The question of one pair: ``shims`` are those that may fit a slot of it, ``choice`` the presses there are.

    How shims are tried hangs on all of them and not on those that are ``off``, so that a shim more never makes less possible.
    """

    pair: LimitedPair
    shims: Sequence[Shim]
    off: frozenset[str]
    choice: PressChoice
    case: Case
    trust: Trust

    def shims_of_a_plan(self) -> frozenset[str] | None:
        """The shims of a plan for some values; None where there is none for any that is looked at."""
        for problem, web in self._problems():
            for at in (web.middle, web.lower, web.upper):
                search = passes_over(problem, at, at)
                if search is not None:
                    order = search.in_full(None)
                    stacks = (problem.totals.stack(place) for place in order.places)
                    return frozenset(shim.tag for stack in stacks for shim in stack)
        for problem, web in self._problems():
            found = next(webs_within(problem, web.lower, web.upper), None)
            if found is not None:
                return replace(self, pair=replace(self.pair, web=Between(*found))).shims_of_a_plan()
        return None

    @cached_property
    def values(self) -> Values:
        """Of each figure with limits the values that do, with the others at their best; a figure of which all do is left out.

        In nm, by the name of the figure.
        """
        found = {**self._webs(), **self._fits(), **self._thicknesses()}
        return {name: some for name, some in found.items() if some != (self._whole[name],)}

    @cached_property
    def _whole(self) -> Mapping[str, Interval]:
        """All values of each figure with limits."""
        whole: dict[str, Interval] = {}
        for piece in (self.pair.broach, self.pair.bushing, *self._there):
            limited = self.trust.limits.get(piece.tag)
            for name, span in limited.figures if limited else ():
                if not span.exact:
                    low, high = whole.get(name, (span.lower, span.upper))
                    whole[name] = min(low, span.lower), max(high, span.upper)
        return whole

    @property
    def _there(self) -> list[Shim]:
        return [shim for shim in self.shims if shim.tag not in self.off]

    def _webs(self) -> Values:
        intervals = joined(
            each for problem, web in self._problems() for each in webs_within(problem, web.lower, web.upper)
        )
        if "web" in self._whole:
            (low, high), under = self._whole["web"], self.pair.web.width
            more = under - (high - low)
            # What the heights may be more, the web may be less.
            ends = ((max(a - more, low), min(b, high)) for a, b in intervals)
            return {"web": tuple(joined(end for end in ends if end[0] <= end[1]))}
        if self.pair.even and self.pair.web.width:
            base = self.pair.web.lower
            return {
                name: tuple((low + a - base, low + b - base) for a, b in intervals)
                for name in HEIGHTS
                for low, _ in (self._whole[name],)
            }
        return {}

    def _fits(self) -> Values:
        """What the rules on width, bushing and slot leave of the limits."""
        bounds = self.case.bounds
        parts = self.pair.limited_broach.parts
        limits = {
            "keyway_width": bounds.width,
            "outside_diameter": bounds.bushing_od,
            "slot_width": (Length(parts.lower), Length(parts.upper) + bounds.slot_clearance),
        }
        found: dict[str, tuple[Interval, ...]] = {}
        for name, (low, high) in limits.items():
            if name in self._whole:
                start, end = self._whole[name]
                found[name] = ((max(start, low.nm), min(end, high.nm)),)
        return found

    def _thicknesses(self) -> Values:
        """Where there is no plan without them: what one of the shims with limits must be."""
        limited = [shim for shim in self._there if self._span(shim, "thickness").width]
        if not limited:
            return {}
        found: list[Interval] = []
        without = replace(self, shims=[shim for shim in self._there if shim not in limited])
        for problem, web in without._problems():
            for at in {web.lower, web.middle, web.upper}:
                if passes_over(problem, at, at) is not None:
                    return {}
                found += thicknesses_for(replace(problem, web_nm=at))
        spans = [self._span(shim, "thickness") for shim in limited]
        cut = ((max(a, span.lower), min(b, span.upper)) for a, b in found for span in spans)
        return {"thickness": tuple(joined(each for each in cut if each[0] <= each[1]))}

    # -- the values that are looked at -------------------------------------------------------------------------

    def _problems(self) -> Iterator[tuple[PassProblem, Between]]:
        """The passes at each of some values, and the webs that are looked at there."""
        for broach in self._broaches():
            room = presses_for(broach, self.choice, self.case)
            if not isinstance(room, PressChoice):
                continue
            teeth = Teeth.of(broach)
            bearing = bearing_of(broach, teeth, room, self.case)
            for shims in self._drawers(broach):
                most = max(self.case.keyway.reading.upper.nm - teeth.last_nm - self.pair.web.lower, 0)
                totals = totals_of(shims, self.case.settings.stack_most, most)
                pair = Pair(broach, self.pair.bushing, teeth, room, bearing)
                yield problem_of(pair, totals, self.case), self._web

    @property
    def _web(self) -> Between:
        if self.pair.even:
            return self.pair.web
        span = self.trust.span(self.pair.bushing, "web")
        assert span is not None
        return span

    def _broaches(self) -> Iterator[Broach]:
        """The broach at ends and middles; both heights at their lower ends where the web is looked at for them."""
        broach, trust = self.pair.broach, self.trust
        names = _VARIED if self.pair.even else (*_VARIED, *HEIGHTS)
        choices: dict[str, list[int]] = {}
        for name in names:
            span = trust.span(broach, name)
            if span is not None and not span.exact:
                low, high = span.lower, span.upper
                if name == "keyway_width":
                    low = max(low, self.case.bounds.width[0].nm)
                    high = min(high, self.case.bounds.width[1].nm)
                choices[name] = sorted({low, (low + high) // 2, high})
        fixed = dict.fromkeys(HEIGHTS, "lower") if self.pair.even else {}
        base = at_ends(broach, {**fixed, **_BEST}, trust)
        for values in product(*choices.values()):
            figures: dict[str, Any] = {name: Length(nm) for name, nm in zip(choices, values, strict=True)}
            found = replace(base, **figures)
            if broach_refusal(found, self.case) is None:
                yield found

    def _drawers(self, broach: Broach) -> Iterator[list[Shim]]:
        """The shims that may fit a slot that the broach may go through, at the ends and in the middle of their thickness."""
        low, high = (each.nm for each in self.case.bounds.slot_width(widest_part(broach)))
        low, high = max(low, self.pair.slot.lower), min(high, self.pair.slot.upper)
        clearance = self.case.settings.shim_clearance.nm
        widths = {shim.tag: self._span(shim, "width") for shim in self.shims}
        points = {low, high, *(width.lower for width in widths.values())}
        points |= {width.upper + clearance for width in widths.values()}
        sets = {
            frozenset(tag for tag, width in widths.items() if width.lower <= at <= width.upper + clearance)
            for at in points
            if low <= at <= high
        }
        for some in sets:
            if not any(some < other for other in sets):
                yield from self._at_thicknesses([shim for shim in self.shims if shim.tag in some])

    def _at_thicknesses(self, shims: Sequence[Shim]) -> Iterator[list[Shim]]:
        limited = [shim for shim in shims if self._span(shim, "thickness").width]
        exact = [shim for shim in shims if shim not in limited and shim.tag not in self.off]
        ends = {
            shim: [replace(shim, thickness=Length(nm)) for nm in (span.lower, span.middle, span.upper)]
            for shim in limited
            if shim.tag not in self.off
            for span in (self._span(shim, "thickness"),)
        }
        if len(limited) <= _ENDS_OF_EACH:
            yield from ([*exact, *some] for some in product(*ends.values()))
            return
        yield from ([*exact, *alike] for alike in zip(*ends.values(), strict=True))
        yield from ([*exact, one] for sizes in ends.values() for one in sizes)

    def _span(self, shim: Shim, name: str) -> Between:
        span = self.trust.span(shim, name)
        assert span is not None
        return span
