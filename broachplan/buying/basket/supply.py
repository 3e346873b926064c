"""What offers add to a crib: pieces that are alike count as one kind, of which so many are there and so many can be had.

Which of several alike pieces serves a job makes no difference, so the programme counts them and never tells them apart.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from broachplan.buying.coming import ComingJob
from broachplan.buying.offered import Stocked, stocked
from broachplan.buying.offers import Offer, OfferBook, OfferedPiece
from broachplan.buying.verdicts import Judge
from broachplan.crib.ahead import Snapshot
from broachplan.crib.sharing import Sharing
from broachplan.settings import Settings
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import FIGURES, Piece


@dataclass(eq=False, slots=True)
class Alike:
    """Pieces of a kind that are alike in each figure and are there on the same days.

    ``crib`` are those of the crib, ``offered`` how many of them one unit of an offer holds.
    """

    kind: Kind
    name: str
    crib: set[str] = field(default_factory=set)
    offered: dict[str, int] = field(default_factory=dict)


class Supply:
    """A crib beside one unit of each offer, or as many as hold all the alike shims that one job can use.

    Offers of which none is available are left out.
    """

    def __init__(
        self, crib: Snapshot, book: OfferBook, settings: Settings, today: date, sharing: Sharing
    ) -> None:
        self.crib, self.book, self.settings, self.today = crib, book, settings, today
        self._sharing = sharing
        self.offers = {one.name: one for one in book.offers if one.available}
        units = {name: self.units_alone(name) for name in self.offers}
        self.stocked, self.judge = self.with_units(units)
        self._alike: dict[str, Alike] = {}
        self._cheapest: dict[Alike, int] = {}
        self._find_alike()

    def with_units(self, units: Mapping[str, int]) -> tuple[Stocked, Judge]:
        """The crib beside so many units of each offer, ordered today, and who judges jobs by it."""
        found = stocked(self.crib, self.book, self.today, units)
        return found, Judge(found.crib, self.settings, self.today, self._sharing)

    def alike(self, tag: str) -> Alike:
        """The pieces that one is alike to, itself among them."""
        return self._alike[tag]

    def in_time(self, offer: str, job: ComingJob) -> bool:
        """Whether what is ordered today is there on the first day of a job; it is used from the day after it comes."""
        return self.expected(self.offers[offer]) < job.days[0]

    def expected(self, offer: Offer) -> date:
        """The day on which an offer comes if it is ordered today."""
        return self.today + timedelta(offer.lead_days)

    def price_each(self, alike: Alike) -> int:
        """The least that is paid for one more of some pieces, shipping apart; nothing where the crib has any."""
        if alike not in self._cheapest:
            prices = (self.offers[name].price for name in alike.offered)
            self._cheapest[alike] = 0 if alike.crib else min(prices, default=0)
        return self._cheapest[alike]

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
            for tag, offered in zip(unit.tags, unit.offer.pieces, strict=True):
                alike = self._add(found, _key(offered, tags[tag]), tag, offered.kind)
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


def _key(offered: OfferedPiece, piece: Piece) -> object:
    return _figures(piece) if offered.exact else offered


def _figures(piece: Piece) -> object:
    return (piece.kind, *(getattr(piece, each.name) for each in FIGURES[piece.kind]))
