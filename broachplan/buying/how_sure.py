"""How certain it is that an offer serves a job, together with what it is bought with; and what is to be asked or measured."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field

from broachplan.buying.coming import ComingJob
from broachplan.buying.fitting import FittingPair
from broachplan.buying.intervals import Interval, joined
from broachplan.buying.limits import HowSure
from broachplan.buying.offered import Stocked, Unit
from broachplan.buying.own_webs import OwnWebs
from broachplan.buying.serving import NOTHING, Serving
from broachplan.buying.verdicts import Judge
from broachplan.tooling.figures import Kind

_ORDER = tuple(HowSure)


@dataclass(frozen=True, slots=True)
class OfferCertainty:
    """What is certain of one unit of an offer for a job.

    Attributes
    ----------
    values : by the name of a figure, the values with which there is a plan, in nm; of ``measure`` and ``likely``, and of what is
        not judged for want of a web alone.
    ask : the figures to ask the seller for, with the kind of piece.
    own : the shop's own bushings that say which web is likely.
    """

    certainty: HowSure
    values: Mapping[str, tuple[Interval, ...]] = field(default_factory=dict)
    ask: tuple[tuple[Kind, str], ...] = ()
    own: OwnWebs | None = None


def least_certain(some: Collection[HowSure]) -> HowSure:
    """The least certain of several."""
    return max(some, key=_ORDER.index)


class OfferJudge:
    """Judges units of offers for jobs. ``judge`` is one over ``stock`` that trusts in some values too."""

    def __init__(self, judge: Judge, stock: Stocked) -> None:
        self._judge, self._stock = judge, stock
        self._offered = frozenset(tag for unit in stock.units for tag in unit.tags)

    def certainty(self, unit: Unit, job: ComingJob, bought: Collection[Unit] = ()) -> OfferCertainty:
        """How certain a job's plans are that use a unit, beside the crib and the other units that are ``bought``."""
        serving, own = self._judge.serving(job), frozenset(unit.tags)
        there = own.union(*(other.tags for other in bought))
        off = self._judge.off(job) | (self._offered - there)
        found = {
            fit: certainty
            for fit in self._using(serving, own, off)
            if (certainty := serving.certainty(fit, off)) is not None
        }
        if not found:
            return self._not_served(unit, serving, off)
        best = min(found.values(), key=_ORDER.index)
        if best not in (HowSure.MEASURE, HowSure.LIKELY):
            return OfferCertainty(best)
        fits = [fit for fit, certainty in found.items() if certainty is best]
        values = values_of(serving, fits, off)
        if best is HowSure.MEASURE:
            return OfferCertainty(best, values)
        # Of what is likely the whole set is said, not only the likely webs: it is for asking the seller.
        tag = next(tag for fit in fits for tag in fit.tags if tag in self._stock.own)
        webs = serving.webs_that_do(tag, self._stock.limits[tag], off)
        return OfferCertainty(
            best, {**values, "web": tuple(webs)}, unit.offer.not_given, self._stock.own[tag]
        )

    def _using(self, serving: Serving, own: frozenset[str], off: frozenset[str]) -> Iterator[FittingPair]:
        """The pairs that a unit's pieces are part of, or lie under, as far as they are there."""
        for fit in serving.fits:
            in_it = not own.isdisjoint(fit.tags)
            if off.isdisjoint(fit.tags) and (in_it or not own.isdisjoint(serving.shims(fit))):
                yield fit

    def _not_served(self, unit: Unit, serving: Serving, off: frozenset[str]) -> OfferCertainty:
        """No plan: nothing is certain where a figure is wanting of a piece that could serve by the others."""
        asked = [
            (tag, piece)
            for tag, piece in zip(unit.tags, unit.offer.pieces, strict=True)
            if piece.not_given and tag not in self._stock.own and serving.could_fit(piece)
        ]
        if not asked:
            return OfferCertainty(HowSure.NO)
        ask = tuple(dict.fromkeys((piece.kind, name) for _, piece in asked for name in piece.not_given))
        webs = [
            interval
            for tag, piece in asked
            if piece.kind is Kind.BUSHING and piece.not_given == ("web",)
            for interval in serving.webs_that_do(tag, piece, off)
        ]
        return OfferCertainty(HowSure.NOT_JUDGED, {"web": tuple(joined(webs))} if webs else {}, ask)


def values_of(
    serving: Serving, fits: Collection[FittingPair], off: frozenset[str] = NOTHING
) -> Mapping[str, tuple[Interval, ...]]:
    """The values with which some of these pairs have a plan, by figure; a figure of which all values do is left out."""
    found: dict[str, list[Interval]] = {}
    for fit in fits:
        some = serving.for_some_values(fit, off)
        for name, intervals in some.values.items() if some is not None else ():
            found.setdefault(name, []).extend(intervals)
    return {name: tuple(joined(intervals)) for name, intervals in sorted(found.items())}
