"""What offers add to a crib: pieces that are alike count as one kind, of which so many are there and so many can be had.

Which of several alike pieces serves a job makes no difference, so the programme counts them and never tells them apart.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cached_property

from broachplan.buying.basket.paid import PaidJudge
from broachplan.buying.basket.result import Shipment
from broachplan.buying.coming import ComingJob
from broachplan.buying.fitting import FittingPair
from broachplan.buying.limited_fits import CUT
from broachplan.buying.offered import Stocked, stocked, trust_in
from broachplan.buying.offers import MOST_AVAILABLE, Offer, OfferBook, OfferedPiece
from broachplan.buying.serving import HubAsked, Serving, nothing_before
from broachplan.crib.ahead import Snapshot
from broachplan.crib.sharing import Sharing
from broachplan.settings import Settings
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import FIGURES, Piece

# A shim that is cut to measure is bought like an offer; no list can hold a name that begins so.
_CUT = "\0"
Units = Mapping[str, int]


@dataclass(eq=False, slots=True)
class Alike:
    """Pieces of a kind that are alike in each figure and are there on the same days.

    ``crib`` are those of the crib, ``offered`` how many of them one unit of an offer holds. ``pair`` is of a shim that is
    cut to measure the broach and bushing that it is cut for.
    """

    kind: Kind
    name: str
    crib: set[str] = field(default_factory=set)
    offered: dict[str, int] = field(default_factory=dict)
    pair: tuple[Alike, Alike] | None = None

    @property
    def in_drawer(self) -> bool:
        """Whether they are shims of which a stack is chosen."""
        return self.kind is Kind.SHIM and self.pair is None


class Supply:
    """A crib beside one unit of each offer, or as many as hold all the alike shims that one job can use.

    Offers of which none is available are left out. ``measure`` counts on what is to be measured or likely, too.
    ``check`` is called wherever the planner is asked, and may raise `OutOfTime`.
    """

    def __init__(
        self,
        crib: Snapshot,
        book: OfferBook,
        settings: Settings,
        today: date,
        sharing: Sharing,
        *,
        measure: bool = False,
        check: Callable[[], None] = nothing_before,
    ) -> None:
        self.crib, self.book, self.settings, self.today = crib, book, settings, today
        self._sharing, self.measure, self.check = sharing, measure, check
        self.offers = {one.name: one for one in book.offers if one.available}
        self._alike: dict[str, Alike] = {}
        self._in_offer: dict[tuple[str, int], Alike] = {}
        self._cuts: dict[tuple[HubAsked, Alike, Alike], Alike] = {}
        self._cheapest: dict[Alike, int] = {}
        self.stocked, self.judge = self._judged({name: self.units_alone(name) for name in self.offers}, None)
        self._find_alike()

    def with_units(self, basket: Units) -> tuple[Stocked, PaidJudge]:
        """The crib beside a basket ordered today, and who judges jobs by it."""
        units = {name: count for name, count in basket.items() if not name.startswith(_CUT)}
        return self._judged(units, basket)

    def _judged(self, units: Units, paid: Units | None) -> tuple[Stocked, PaidJudge]:
        found = stocked(self.crib, self.book, self.today, units, likely=self.measure)
        trust = trust_in(found, self.settings, measure=self.measure)
        return found, PaidJudge(found, trust, self, paid)

    @cached_property
    def tags(self) -> frozenset[str]:
        """The broaches, bushings and shims of the crib."""
        return frozenset(piece.tag for piece in _pieces(self.crib))

    @property
    def sharing(self) -> Sharing:
        """The marks between the jobs."""
        return self._sharing

    # -- pieces that are alike ---------------------------------------------------------------------------------

    def alike(self, tag: str) -> Alike:
        """The pieces that one of the crib, or of a first unit of an offer, is alike to, itself among them."""
        return self._alike[tag]

    def alike_in(self, stock: Stocked, tag: str) -> Alike:
        """The same of any piece of a crib beside a basket."""
        unit = stock.tags.get(tag)
        return self._alike[tag] if unit is None else self._in_offer[unit.offer.name, unit.tags.index(tag)]

    def cut(self, asked: HubAsked, broach: Alike, bushing: Alike) -> Alike:
        """The shims that are cut to measure for one hub and such a pair."""
        key = asked, broach, bushing
        if key not in self._cuts:
            assert self.judge.trust.cut is not None
            name = f"{_CUT}{len(self._cuts)}"
            piece = OfferedPiece(Kind.SHIM)
            self.offers[name] = Offer(name, (piece,), self.judge.trust.cut.cost, 0, MOST_AVAILABLE)
            self._cuts[key] = Alike(Kind.SHIM, name, offered={name: 1}, pair=(broach, bushing))
        return self._cuts[key]

    def cut_for(self, asked: HubAsked, fit: FittingPair, stock: Stocked) -> Alike:
        """The same for a pair of a crib beside a basket."""
        pair = (self.alike_in(stock, tag) for tag in (fit.broach.tag, fit.bushing.tag))
        return self.cut(asked, *pair)

    def alike_of(self, serving: Serving, tag: str, stock: Stocked) -> Alike:
        """The pieces that one which could serve a hub is alike to, a shim that is cut for it among them."""
        fit = next((fit for fit in serving.fits if fit.cut == tag), None) if tag.startswith(CUT) else None
        return self.alike_in(stock, tag) if fit is None else self.cut_for(serving.asked, fit, stock)

    def cuts_in(self, basket: Units) -> Mapping[Alike, int]:
        """How many shims a basket has cut to measure, by what they are cut for."""
        return {alike: basket[alike.name] for alike in self._cuts.values() if basket.get(alike.name)}

    # -- when, and for how much --------------------------------------------------------------------------------

    def in_time(self, offer: str, job: ComingJob, then_days: int = 0) -> bool:
        """Whether what is ordered today, and worked on for some days, is there on the first day of a job.

        It is used from the day after it comes. A shim is cut once the rest is there.
        """
        return self.expected(self.offers[offer]) + timedelta(then_days) < job.days[0]

    def expected(self, offer: Offer) -> date:
        """The day on which an offer comes if it is ordered today."""
        return self.today + timedelta(offer.lead_days)

    def price_each(self, alike: Alike) -> int:
        """The least that is paid for one more of some pieces, shipping apart; nothing where the crib has any."""
        if alike not in self._cheapest:
            prices = (self.offers[name].price for name in alike.offered)
            self._cheapest[alike] = 0 if alike.crib else min(prices, default=0)
        return self._cheapest[alike]

    def bought(self, basket: Units) -> Units:
        """The offers of a basket without the shims that are cut."""
        return {name: count for name, count in basket.items() if count and not name.startswith(_CUT)}

    def shipments(self, basket: Units) -> tuple[Shipment, ...]:
        """The suppliers bought from, by name; a line without a supplier has neither shipping nor a least order."""
        spent: dict[str, int] = {}
        for name, units in self.bought(basket).items():
            offer = self.offers[name]
            if offer.supplier:
                spent[offer.supplier] = spent.get(offer.supplier, 0) + offer.price * units
        suppliers = (self.book.by_supplier[name] for name in sorted(spent))
        return tuple(
            Shipment(one.name, one.shipping, max(one.minimum - spent[one.name], 0)) for one in suppliers
        )

    def cost(self, basket: Units) -> int:
        """All of a basket, in hundredths: prices, shims that are cut, shipping, and what is short of least orders."""
        prices = sum(self.offers[name].price * units for name, units in basket.items())
        return prices + sum(one.amount + one.short for one in self.shipments(basket))

    def units_alone(self, name: str) -> int:
        """As many units of an offer as one job alone can use."""
        offer = self.offers[name]
        counts = Counter(piece for piece in offer.pieces if piece.kind is Kind.SHIM)
        fewest = min(counts.values(), default=self.settings.stack_most)
        return min(offer.available, -(-self.settings.stack_most // fewest))

    def _find_alike(self) -> None:
        found: dict[object, Alike] = {}
        shelf, states = self.crib.shelf, self.crib.states
        for group in (shelf.broaches, shelf.bushings, shelf.shims):
            for piece in group:
                # A piece that is lent, held or worn is there on days of its own.
                key = piece.tag if piece.tag in states else _figures(piece)
                self._add(found, key, piece.tag, piece.kind).crib.add(piece.tag)
        tags = {piece.tag: piece for piece in _pieces(self.stocked.crib)}
        for unit in self.stocked.units:
            for at, tag in enumerate(unit.tags):
                limited = self.stocked.limits.get(tag)
                key = _figures(tags[tag]) if limited is None else limited
                alike = self._add(found, key, tag, tags[tag].kind)
                self._in_offer[unit.offer.name, at] = alike
                if unit.number == 1:
                    alike.offered[unit.offer.name] = alike.offered.get(unit.offer.name, 0) + 1

    def _add(self, found: dict[object, Alike], key: object, tag: str, kind: Kind) -> Alike:
        alike = found.get(key)
        if alike is None:
            alike = found[key] = Alike(kind, tag)
        self._alike[tag] = alike
        return alike


def _pieces(crib: Snapshot) -> Iterable[Piece]:
    return (*crib.shelf.broaches, *crib.shelf.bushings, *crib.shelf.shims)


def _figures(piece: Piece) -> object:
    return (piece.kind, *(getattr(piece, each.name) for each in FIGURES[piece.kind]))
