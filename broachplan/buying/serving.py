"""Whether the pieces of a crib can serve a hub: asked pair by pair, remembered by pair and usable shims.

Whether there is a plan at all takes a small part of the time of the best one, and a few of the shims often show that
there is. Where they do not, all of them are tried, so that no plan is missed.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator
from functools import cached_property
from typing import NamedTuple

from broachplan.buying.drawers import Drawers
from broachplan.buying.fitting import FittingPair
from broachplan.buying.intervals import Interval
from broachplan.buying.last_stacks import EVERY_PLAN, LastStack, stacks_of_last_pass
from broachplan.buying.limited_fits import LimitedFits
from broachplan.buying.limits import NO_LIMITS, HowSure, Trust
from broachplan.buying.offers import OfferedPiece
from broachplan.buying.piece_index import PieceIndex
from broachplan.buying.some_values import SomeValues
from broachplan.cut.teeth import Teeth
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length
from broachplan.planner.bearing import Bearing
from broachplan.planner.bounds import bounds_of
from broachplan.planner.pairs import BegunPair, FinishedPair, Pair, bearing_of, most_total_nm, problem_of
from broachplan.planner.presses import PressChoice, presses_asked, presses_for
from broachplan.planner.ranking import best_found
from broachplan.planner.rules import (
    Case,
    Reason,
    broach_refusal,
    bushing_refusal,
    hub_refusals,
    widest_part,
)
from broachplan.planner.search import Search
from broachplan.planner.stacks import Totals
from broachplan.settings import Settings
from broachplan.tooling.figures import Kind
from broachplan.tooling.hub import Hub
from broachplan.tooling.pieces import Broach, Bushing

NOTHING: frozenset[str] = frozenset()


class HubAsked(NamedTuple):
    """What makes two jobs alike but for the pieces that are there: hub, keyway and the press that was named."""

    hub: Hub
    keyway: Keyway
    press: str | None


class Serving:
    """What could serve one hub in a crib, whichever of it is off the shelf.

    ``off`` is everywhere the set of tags that may not be used; only those of `could_serve` matter.
    """

    def __init__(
        self,
        asked: HubAsked,
        index: PieceIndex,
        drawers: Drawers,
        settings: Settings,
        trust: Trust,
        place: int,
        before_each: Callable[[], None],
    ) -> None:
        self.asked = asked
        self._before_each = before_each
        self._index, self._drawers = index, drawers
        self._trust = trust
        bounds = bounds_of(asked.keyway, asked.hub.bore.lower, settings)
        self.case = Case(asked.hub, asked.keyway, bounds, settings, {})
        self._with_limits = LimitedFits(self.case, trust, index, place)
        self._presses: dict[frozenset[str], PressChoice | None] = {}
        self._bearings: dict[tuple[str, frozenset[str]], tuple[PressChoice, Bearing | None] | None] = {}
        self._known: dict[tuple[tuple[str, ...], frozenset[str], frozenset[str]], Search | None] = {}
        self._any: dict[frozenset[str], frozenset[str] | None] = {}
        self._limited: dict[
            tuple[tuple[str, ...], frozenset[str], frozenset[str], bool], frozenset[str] | None
        ] = {}

    @cached_property
    def hub_refused(self) -> list[Reason]:
        """Why no push broach can cut this hub at all."""
        return hub_refusals(self.case)

    @cached_property
    def fits(self) -> tuple[FittingPair, ...]:
        """All pairs that keep the rules of their pieces, on the shelf or not, by tags."""
        if self.hub_refused:
            return ()
        found = [*self._exact_fits()]
        if self._trust.limits:
            found += self._with_limits.fits(self._broaches, self._bushings)
        return tuple(sorted(found, key=lambda one: one.tags))

    def _exact_fits(self) -> Iterator[FittingPair]:
        """The pairs of which no piece has limits."""
        exact = [one for one in self._bushings if not self._trust.has(one)]
        by_slot = sorted((one.slot_width.nm, one.tag, one) for one in exact if one.slot_width is not None)
        slots = [slot for slot, _, _ in by_slot]
        bounds, shims = self.case.bounds, self._index.shims
        spans = {slot: shims.span(*bounds.shim_width(Length(slot))) for slot in dict.fromkeys(slots)}
        for broach in self._broaches:
            if self._trust.has(broach):
                continue
            low, high = bounds.slot_width(widest_part(broach))
            for slot, _, bushing in by_slot[bisect_left(slots, low.nm) : bisect_right(slots, high.nm)]:
                yield FittingPair(broach, bushing, *spans[slot])

    @cached_property
    def _broaches(self) -> list[Broach]:
        """Those that keep the rules of a broach, and all with limits that may."""
        (low, high), more = self.case.bounds.width, self._trust.margin(Kind.BROACH, "keyway_width")
        near = self._index.broaches.within(low - more, high + more)
        return [one for one in near if self._trust.has(one) or broach_refusal(one, self.case) is None]

    @cached_property
    def _bushings(self) -> list[Bushing]:
        """The same of bushings."""
        (low, high), more = self.case.bounds.bushing_od, self._trust.margin(Kind.BUSHING, "outside_diameter")
        near = self._index.bushings.within(low - more, high + more)
        return [one for one in near if self._trust.has(one) or bushing_refusal(one, self.case) is None]

    @cached_property
    def press_tags(self) -> frozenset[str]:
        """The presses that may be asked for: the one named, else all."""
        return frozenset(p.tag for p in self._index.stock.presses if self.asked.press in (None, "", p.tag))

    @cached_property
    def pieces(self) -> frozenset[str]:
        """Broaches, bushings and shims that could serve this hub."""
        slots = {(fit.start, fit.end): fit for fit in self.fits}
        shims = [self._drawers.tags(fit) for fit in slots.values()]
        return frozenset().union(*shims, *(fit.tags for fit in self.fits))

    @cached_property
    def could_serve(self) -> frozenset[str]:
        """The same, and the presses."""
        return self.pieces | self.press_tags

    def shims(self, fit: FittingPair) -> frozenset[str]:
        """The shims that fit the slot of a pair."""
        return self._drawers.tags(fit)

    def _exact_search(self, off: frozenset[str]) -> tuple[FittingPair, Search] | None:
        """A pair without limits that has a plan on exact shims, the first found, and its passes."""
        fits = [fit for fit in self.fits if fit.limited is None and off.isdisjoint(fit.tags)]
        for searching in (self._search_few, self._search):
            for fit in fits:
                search = searching(fit, off)
                if search is not None:
                    return fit, search
        return None

    def plannable(self, off: frozenset[str]) -> Iterator[FittingPair]:
        """All pairs that have a plan, by tags."""
        for fit in self.fits:
            if off.isdisjoint(fit.tags) and self.has_plan(fit, off):
                yield fit

    def best(self, off: frozenset[str]) -> FinishedPair | None:
        """The best plan there is; None where there is none. Asked where no piece has limits."""
        # Those over the thickest stacks first: their totals serve the others of their slot.
        fits = sorted(self.fits, key=lambda fit: (-self._most(fit), fit.tags))
        begun = [one for fit in fits if off.isdisjoint(fit.tags) and (one := self._begun(fit, off))]
        return next(iter(best_found(begun, 1, self.case)), None)

    def _begun(self, fit: FittingPair, off: frozenset[str]) -> BegunPair | None:
        """A pair on all the shims that are not off; None where it has no plan."""
        shims = self._drawers.tags(fit) & off
        found = self._paired(fit, off, self._drawers.all(fit, shims, self._most(fit)))
        return None if found is None or found.search.passes_at_least is None else found

    def pieces_of_any_plan(self, off: frozenset[str]) -> frozenset[str] | None:
        """Broach, bushing and shims of a plan, not the best one; None where there is none."""
        if off not in self._any:
            self._any[off] = self._pieces_of_any_plan(off)
        return self._any[off]

    def _pieces_of_any_plan(self, off: frozenset[str]) -> frozenset[str] | None:
        exact = self._exact_search(off)
        if exact is not None:
            return _pieces(*exact)
        fits = (fit for fit in self.fits if off.isdisjoint(fit.tags))
        return next((found for fit in fits if (found := self.pieces_with_limits(fit, off)) is not None), None)

    def pieces_of_plan(self, fit: FittingPair, off: frozenset[str]) -> frozenset[str] | None:
        """The same of one pair. Of a pair with limits they are the pieces of plans over all values that these may have."""
        search = None if fit.limited else self._search(fit, off)
        return _pieces(fit, search) if search is not None else self.pieces_with_limits(fit, off)

    def has_plan(self, fit: FittingPair, off: frozenset[str]) -> bool:
        """Whether a pair has a plan; that its own pieces are not off is not asked."""
        if fit.limited is None and self._search(fit, off) is not None:
            return True
        return self.pieces_with_limits(fit, off) is not None

    def pieces_with_limits(
        self, fit: FittingPair, off: frozenset[str], *, surely: bool = False
    ) -> frozenset[str] | None:
        """The same where limits count; ``surely`` only of a pair that has a plan whatever the values."""
        shims = self._drawers.tags(fit)
        if fit.limited is None and not any(tag in self._trust.limits and tag not in off for tag in shims):
            return None
        key = fit.tags, shims & off, off & self.press_tags, surely
        if key not in self._limited:
            self._before_each()
            found = self._with_limits.pieces(fit, self._drawers.pieces(fit), off, self._borne)
            if found is None and self._trust.measure and not (surely or fit.cut):
                some = self.for_some_values(fit, off)
                shims_used = some.shims_of_a_plan() if some is not None else None
                found = None if shims_used is None else shims_used | frozenset(fit.tags)
            self._limited[key] = found
        return self._limited[key]

    def for_some_values(self, fit: FittingPair, off: frozenset[str]) -> SomeValues | None:
        """The question for which of its values a pair has a plan; None where no press may be used."""
        choice = self._choice(off & self.press_tags)
        if choice is None:
            return None
        return self._with_limits.for_some_values(fit, self._drawers.pieces(fit), off, choice)

    def could_fit(self, piece: OfferedPiece) -> bool:
        """Whether a piece that is offered could serve by those of its figures that are given."""
        return self._with_limits.could_fit(piece)

    def webs_that_do(self, tag: str, piece: OfferedPiece, off: frozenset[str]) -> list[Interval]:
        """Every web from 1/16 in with which a bushing that is offered without has a plan, in nm."""
        choice = self._choice(off & self.press_tags)
        broaches = [one for one in self._broaches if one.tag not in off]
        return [] if choice is None else self._with_limits.webs_that_do(tag, piece, broaches, off, choice)

    def certainty(self, fit: FittingPair, off: frozenset[str]) -> HowSure | None:
        """How certain it is that a pair has a plan; None where it has none that is counted on."""
        if fit.limited is None and self._search(fit, off) is not None:
            return HowSure.SURE
        if self.pieces_with_limits(fit, off) is None:
            return None
        if fit.bushing.tag in self._trust.stood_in:
            return HowSure.LIKELY
        if fit.cut:
            return HowSure.SHIM
        return HowSure.MEASURE if self.pieces_with_limits(fit, off, surely=True) is None else HowSure.SURE

    def last_stacks(self, fit: FittingPair, off: frozenset[str]) -> Iterator[LastStack]:
        """Every stack on which the last pass of a pair can come out within the limits; where limits count, only that there is one."""
        if fit.limited or any(tag in self._trust.limits for tag in self._drawers.tags(fit) - off):
            return iter(EVERY_PLAN)
        totals = self._drawers.all(fit, self._drawers.tags(fit) & off, self._most(fit))
        found = self._search_in(fit, off, totals)
        return iter(()) if found is None else stacks_of_last_pass(found)

    def _search(self, fit: FittingPair, off: frozenset[str]) -> Search | None:
        """The passes of a pair on the exact shims that are not off; None where there are none."""
        shims = self._drawers.tags(fit) & off
        key = fit.tags, shims, off & self.press_tags
        if key not in self._known:
            few = self._search_few(fit, off)
            self._known[key] = few or self._search_in(
                fit, off, self._drawers.all(fit, shims, self._most(fit))
            )
        return self._known[key]

    def _search_few(self, fit: FittingPair, off: frozenset[str]) -> Search | None:
        totals = self._drawers.few(fit, self._drawers.tags(fit) & off, self._most(fit))
        return None if totals is None else self._search_in(fit, off, totals)

    def _most(self, fit: FittingPair) -> int:
        return max(most_total_nm(fit.broach, fit.bushing, self.case), 0)

    def _search_in(self, fit: FittingPair, off: frozenset[str], totals: Totals) -> Search | None:
        found = self._paired(fit, off, totals)
        return None if found is None or found.search.passes_at_least is None else found.search

    def _paired(self, fit: FittingPair, off: frozenset[str], totals: Totals) -> BegunPair | None:
        """A pair with its search, whether or not it has a plan; None where no press has room for it."""
        self._before_each()
        borne = self._borne(fit.broach, off)
        if borne is None:
            return None
        pair = Pair(fit.broach, fit.bushing, Teeth.of(fit.broach), *borne)
        return BegunPair(pair, Search(problem_of(pair, totals, self.case)))

    def _borne(
        self, broach: Broach, off: frozenset[str], weakest: Broach | None = None
    ) -> tuple[PressChoice, Bearing | None] | None:
        """The presses with room for a broach and what they bear; None where none has."""
        key = broach.tag, off & self.press_tags
        if key not in self._bearings:
            choice = self._choice(key[1])
            room = None if choice is None else presses_for(weakest or broach, choice, self.case)
            self._bearings[key] = (
                (room, bearing_of(broach, Teeth.of(broach), room, self.case, weakest=weakest))
                if isinstance(room, PressChoice)
                else None
            )
        return self._bearings[key]

    def _choice(self, presses_off: frozenset[str]) -> PressChoice | None:
        """The presses that may be used; None where there are some and none may be."""
        if presses_off not in self._presses:
            named = self.asked.press
            usable = tuple(p for p in self._index.stock.presses if p.tag not in presses_off)
            gone = (named and self.press_tags <= presses_off) or (self.press_tags and not usable)
            choice = None if gone else presses_asked(usable, named, self.case)
            self._presses[presses_off] = choice if isinstance(choice, PressChoice) else None
        return self._presses[presses_off]


def _pieces(fit: FittingPair, search: Search) -> frozenset[str]:
    order = search.in_full(None)
    stacks = (search.problem.totals.stack(place) for place in order.places)
    return frozenset((*fit.tags, *(shim.tag for stack in stacks for shim in stack)))


def _whole(bushing: Bushing, case: Case) -> bool:
    return bushing_refusal(bushing, case) is None


def nothing_before() -> None:
    """Ask the planner without further ado."""


class Servings:
    """The hubs asked about in one crib, each looked at once.

    ``before_each`` is called before each pair is planned; what it raises ends the question.
    """

    def __init__(
        self,
        index: PieceIndex,
        settings: Settings,
        trust: Trust = NO_LIMITS,
        before_each: Callable[[], None] = nothing_before,
    ) -> None:
        self.index, self.settings, self.trust = index, settings, trust
        self._before_each = before_each
        self._drawers = Drawers(index, settings.stack_most, trust.limits)
        self._of: dict[HubAsked, Serving] = {}

    def thickness_nm(self, tag: str) -> int:
        """How thick a shim is that fits some slot; 0 where it is not known."""
        return self._thicknesses[tag]

    @cached_property
    def _thicknesses(self) -> dict[str, int]:
        return {shim.tag: shim.thickness.nm if shim.thickness else 0 for shim in self.index.shims.pieces}

    def of(self, asked: HubAsked) -> Serving:
        """What could serve a hub."""
        found = self._of.get(asked)
        if found is None:
            place = len(self._of) + 1
            found = Serving(
                asked, self.index, self._drawers, self.settings, self.trust, place, self._before_each
            )
            self._of[asked] = found
        return found
