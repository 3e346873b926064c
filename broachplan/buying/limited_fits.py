"""The pairs of one hub of which a piece has limits, and whether they have plans."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from broachplan.buying.fitting import FittingPair
from broachplan.buying.intervals import Interval, joined
from broachplan.buying.limited_passes import LimitedPasses, SlotShims
from broachplan.buying.limits import LimitedPair, Trust, slot_cases
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
        self._drawers: dict[tuple[str, str], list[SlotShims]] = {}

    def fits(self, broach: Broach, bushing: Bushing) -> Iterator[FittingPair]:
        """A pair by itself, and with a shim that is cut to measure for it."""
        pair = LimitedPair.of(broach, bushing, self._trust)
        if pair is None:
            return
        bounds, more = self._case.bounds, self._trust.margin(Kind.SHIM, "width")
        (low, _), (_, high) = (bounds.shim_width(Length(nm)) for nm in (pair.slot.lower, pair.slot.upper))
        span = self._index.shims.span(low - more, high + more)
        surely = pair.fits_surely(self._case, self._trust)
        if surely or (self._trust.measure and pair.may_fit(self._case, self._trust)):
            yield FittingPair(broach, bushing, *span, pair)
        if surely and self._trust.cut is not None:
            tag = f"{CUT}/{self._place}/{broach.tag}/{bushing.tag}"
            yield FittingPair(broach, bushing, *span, pair, tag)

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
        for fit in (fit for broach in broaches for fit in other.fits(broach, bushing)):
            shims = self._index.shims.pieces[fit.start : fit.end]
            some = other.for_some_values(fit, shims, off, choice)
            found += some.values.get("web", ((THINNEST_WEB_NM, od.lower - 1),))
        return joined(found)

    def _pair(self, fit: FittingPair) -> LimitedPair:
        pair = fit.limited or LimitedPair.of(fit.broach, fit.bushing, self._trust)
        assert pair is not None
        return pair

    def _sure(
        self, fit: FittingPair, pair: LimitedPair, shims: Sequence[Shim], off: frozenset[str], borne: Borne
    ) -> frozenset[str] | None:
        by_presses = borne(pair.widest, off, pair.weakest)
        if by_presses is None or not pair.fits_surely(self._case, self._trust):
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
        key = fit.broach.tag, fit.bushing.tag
        if key not in self._drawers:
            by_tag = {shim.tag: shim for shim in shims}
            cases = slot_cases(shims, pair.slot, self._trust, self._case.bounds)
            self._drawers[key] = [SlotShims.of((by_tag[tag] for tag in case), self._trust) for case in cases]
        return self._drawers[key]

    def _passes(
        self, pair: LimitedPair, drawer: SlotShims, borne: tuple[PressChoice, Bearing | None]
    ) -> LimitedPasses:
        assert pair.narrowest.keyway_width is not None
        none = FewTotals((), (), self._case.settings.stack_most, 0)
        whole = Pair(pair.widest, pair.bushing, Teeth.of(pair.widest), *borne)
        narrowest = Section(self._case.hub.bore.lower, pair.narrowest.keyway_width)
        return LimitedPasses(problem_of(whole, none, self._case), narrowest, pair, drawer)
