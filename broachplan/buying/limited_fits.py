"""The pairs of one hub of which a piece has limits, and whether they have plans."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from broachplan.buying.fitting import FittingPair
from broachplan.buying.intervals import Interval, joined
from broachplan.buying.limited_passes import LimitedPasses, SlotShims
from broachplan.buying.limits import LimitedBroach, LimitedPair, Trust, slot_cases
from broachplan.buying.offers import Between, OfferedPiece
from broachplan.buying.piece_index import PieceIndex
from broachplan.buying.some_values import SomeValues
from broachplan.cut.section import Section
from broachplan.cut.teeth import Teeth
from broachplan.lengths import Length
from broachplan.planner.bearing import Bearing
from broachplan.planner.make_bushing import THINNEST_WEB_NM
from broachplan.planner.pairs import Pair, problem_of
from broachplan.planner.presses import PressChoice
from broachplan.planner.rules import Case
from broachplan.planner.stacks import FewTotals
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Broach, Bushing, Shim

# The tag of a shim that is cut to measure begins so.
CUT = "CUT"
# The presses with room for a broach and what they bear, with some off the shelf; the broach as a column is the last.
Borne = Callable[[Broach, frozenset[str], Broach | None], tuple[PressChoice, Bearing | None] | None]


class LimitedFits:
    """The same for one hub; ``place`` is its number among the hubs of a crib, by which its shims to cut are tagged."""

    def __init__(self, case: Case, trust: Trust, index: PieceIndex, place: int) -> None:
        self._case, self._trust, self._index, self._place = case, trust, index, place
        self._drawers: dict[tuple[Between, int, int], list[SlotShims]] = {}
        self._keeps: dict[str, bool] = {}
        self._spans: dict[Between, tuple[int, int]] = {}

    def fits(self, broaches: Sequence[Broach], bushings: Sequence[Bushing]) -> Iterator[FittingPair]:
        """The pairs of which a piece has limits, each by itself, and with a shim that is cut to measure for it."""
        case, trust = self._case, self._trust
        with_limits = [one for one in (trust.bushing(each) for each in bushings) if one is not None]
        with_limits = [one for one in with_limits if one.may_keep(case)]
        by_slot = sorted(with_limits, key=lambda one: (one.slot.lower, one.bushing.tag))
        slots = [one.slot.lower for one in by_slot]
        widest = max((one.slot.width for one in by_slot), default=0)
        for broach in broaches:
            limited = trust.broach(broach)
            within = None if limited is None else self._slots(limited)
            if limited is None or within is None:
                continue
            start, end = bisect_left(slots, within.lower - widest), bisect_right(slots, within.upper)
            for bushing in by_slot[start:end]:
                if bushing.slot.upper >= within.lower and (trust.has(broach) or trust.has(bushing.bushing)):
                    yield from self._of_pair(LimitedPair.of(limited, bushing))

    def _slots(self, broach: LimitedBroach) -> Between | None:
        """Of which widths a slot must have some for a broach; None where the broach keeps its own rules with none."""
        if self._trust.measure:
            return broach.slots_maybe(self._case) if broach.may_keep(self._case) else None
        return broach.slots_surely(self._case) if self._keeps_surely(broach) else None

    def _keeps_surely(self, broach: LimitedBroach) -> bool:
        tag = broach.broach.tag
        if tag not in self._keeps:
            self._keeps[tag] = broach.keeps_surely(self._case)
        return self._keeps[tag]

    def _of_pair(self, pair: LimitedPair) -> Iterator[FittingPair]:
        surely = self._fits_surely(pair)
        if not surely and not self._trust.measure:
            return
        span = self._span(pair.slot)
        yield FittingPair(pair.broach, pair.bushing, *span, pair)
        if surely and self._trust.cut is not None:
            tag = f"{CUT}/{self._place}/{pair.broach.tag}/{pair.bushing.tag}"
            yield FittingPair(pair.broach, pair.bushing, *span, pair, tag)

    def _fits_surely(self, pair: LimitedPair) -> bool:
        """Whether the rules on width, bushing and slot hold at both ends of every figure that they look at."""
        return pair.go_together(self._case) and self._keeps_surely(pair.limited_broach)

    def _span(self, slot: Between) -> tuple[int, int]:
        """Where the shims begin and end that may fit some width of a slot."""
        if slot not in self._spans:
            bounds, more = self._case.bounds, self._trust.margin(Kind.SHIM, "width")
            (low, _), (_, high) = (bounds.shim_width(Length(nm)) for nm in (slot.lower, slot.upper))
            self._spans[slot] = self._index.shims.span(low - more, high + more)
        return self._spans[slot]

    def pieces(
        self, fit: FittingPair, shims: Sequence[Shim], off: frozenset[str], borne: Borne
    ) -> frozenset[str] | None:
        """Pieces of plans of a pair over all values that it may have; None where there is none for one of them."""
        found = self._sure(fit, self._pair(fit), shims, off, borne)
        return None if found is None else found | frozenset(fit.tags)

    def for_some_values(
        self, fit: FittingPair, shims: Sequence[Shim], off: frozenset[str], choice: PressChoice
    ) -> SomeValues:
        """The question for which values a pair has a plan."""
        return SomeValues(self._pair(fit), shims, off, choice, self._case, self._trust)

    def could_fit(self, piece: OfferedPiece) -> bool:
        """Whether a piece that is offered may keep the rules on its size, by those of its figures that are given."""
        bounds = self._case.bounds
        limits: dict[tuple[Kind, str], tuple[Length, Length | None]] = {
            (Kind.BROACH, "keyway_width"): bounds.width,
            (Kind.BUSHING, "outside_diameter"): bounds.bushing_od,
            # How much wider than the keyway a broach's body is, and so the slot, is not known.
            (Kind.BUSHING, "slot_width"): (bounds.width[0], None),
            (Kind.SHIM, "width"): (bounds.shim_width_for_keyway[0], None),
        }
        for (kind, name), (low, high) in limits.items():
            span = piece.span(name) if kind is piece.kind else None
            if span is not None and (span.upper < low.nm or (high is not None and span.lower > high.nm)):
                return False
        return True

    def webs_that_do(
        self,
        tag: str,
        piece: OfferedPiece,
        broaches: Sequence[Broach],
        off: frozenset[str],
        choice: PressChoice,
    ) -> list[Interval]:
        """Every web from 1/16 in with which a bushing that is offered without one has a plan, in nm."""
        od = piece.span("outside_diameter")
        if od is None or od.lower - 1 <= THINNEST_WEB_NM:
            return []
        any_web = piece.with_figure("web", Between(THINNEST_WEB_NM, od.lower - 1))
        trust = replace(self._trust, limits={**self._trust.limits, tag: any_web}, measure=True, cut=None)
        bushing = any_web.piece(tag)
        assert isinstance(bushing, Bushing)
        other = LimitedFits(self._case, trust, self._index, self._place)
        found: list[Interval] = []
        for fit in other.fits(broaches, [bushing]):
            shims = self._index.shims.pieces[fit.start : fit.end]
            some = other.for_some_values(fit, shims, off, choice)
            found += some.values.get("web", ((THINNEST_WEB_NM, od.lower - 1),))
        return joined(found)

    def _pair(self, fit: FittingPair) -> LimitedPair:
        pair = fit.limited or self._trust.pair(fit.broach, fit.bushing)
        assert pair is not None
        return pair

    def _sure(
        self, fit: FittingPair, pair: LimitedPair, shims: Sequence[Shim], off: frozenset[str], borne: Borne
    ) -> frozenset[str] | None:
        broach = pair.limited_broach
        by_presses = borne(broach.widest, off, broach.weakest)
        if by_presses is None or not self._fits_surely(pair):
            return None
        used = frozenset[str]()
        for drawer in self._drawers_of(fit, pair, shims):
            passes = self._passes(pair, drawer.without(off), by_presses)
            found = passes.with_cut() if fit.cut else passes.surely()
            if found is None:
                return None
            used |= found
        return used

    def _drawers_of(self, fit: FittingPair, pair: LimitedPair, shims: Sequence[Shim]) -> list[SlotShims]:
        """The shims in each width of the slot that counts."""
        key = pair.slot, fit.start, fit.end
        if key not in self._drawers:
            by_tag = {shim.tag: shim for shim in shims}
            cases = slot_cases(shims, pair.slot, self._trust, self._case.bounds)
            self._drawers[key] = [SlotShims.of((by_tag[tag] for tag in case), self._trust) for case in cases]
        return self._drawers[key]

    def _passes(
        self, pair: LimitedPair, drawer: SlotShims, borne: tuple[PressChoice, Bearing | None]
    ) -> LimitedPasses:
        broach = pair.limited_broach
        assert broach.narrowest.keyway_width is not None
        none = FewTotals((), (), self._case.settings.stack_most, 0)
        whole = Pair(broach.widest, pair.bushing, Teeth.of(broach.widest), *borne)
        narrowest = Section(self._case.hub.bore.lower, broach.narrowest.keyway_width)
        return LimitedPasses(problem_of(whole, none, self._case), narrowest, pair, drawer)
