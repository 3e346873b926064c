"""How offers enter a crib: each unit bought is pieces with tags of their own, there from the day after they come."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from broachplan.buying.limits import CutTerms, Trust
from broachplan.buying.offers import Offer, OfferBook, OfferedPiece
from broachplan.buying.own_webs import OwnBushings, OwnWebs
from broachplan.crib.ahead import PieceState, Snapshot
from broachplan.settings import Settings
from broachplan.tooling.pieces import Broach, Bushing, Piece, Shim

_MARK = "OFFER"


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of an offer, numbered from 1, with the tags of its pieces and the day on which it is expected."""

    offer: Offer
    number: int
    tags: tuple[str, ...]
    expected: date


@dataclass(frozen=True, slots=True)
class Stocked:
    """A crib with units of offers as if they were on order.

    ``limits`` has the pieces of which a figure has limits, by tag: in ``crib`` they lie with the middle of each. ``own``
    are the like bushings of the crib that the web was taken from, by the tag of a bushing that is offered without.
    """

    crib: Snapshot
    limits: Mapping[str, OfferedPiece] = field(default_factory=dict)
    units: tuple[Unit, ...] = ()
    own: Mapping[str, OwnWebs] = field(default_factory=dict)

    @property
    def tags(self) -> Mapping[str, Unit]:
        """The unit of each offered piece by its tag."""
        return {tag: unit for unit in self.units for tag in unit.tags}


def stocked(
    crib: Snapshot,
    book: OfferBook,
    today: date,
    units: Mapping[str, int] | None = None,
    *,
    likely: bool = False,
) -> Stocked:
    """A crib with so many units of each offer (by name; None: all that are available), ordered ``today``.

    A piece is tagged ``OFFER/1/2/3``, the third piece of the second unit of the first offer by name; the mark in front is
    one that no tag of the crib begins with. With ``likely`` a bushing offered without its web has one as like bushings of
    the crib have it, where there are enough.
    """
    mark = clear_mark(crib, _MARK)
    found: list[Unit] = []
    pieces: dict[str, OfferedPiece] = {}
    for place, offer in enumerate(sorted(book.offers, key=lambda one: one.name), 1):
        for number in range(1, (offer.available if units is None else units.get(offer.name, 0)) + 1):
            tags = tuple(f"{mark}/{place}/{number}/{at}" for at in range(1, len(offer.pieces) + 1))
            pieces |= zip(tags, offer.pieces, strict=True)
            found.append(Unit(offer, number, tags, today + timedelta(offer.lead_days)))
    states = {tag: PieceState(ordered=unit.expected) for unit in found for tag in unit.tags}
    own = OwnBushings(crib.shelf.bushings) if likely else OwnBushings(())
    stood_in = {tag: likely_one for tag, piece in pieces.items() if (likely_one := own.stand_in(piece))}
    pieces |= {tag: piece for tag, (piece, _) in stood_in.items()}
    limits = {tag: piece for tag, piece in pieces.items() if tag in stood_in or not piece.exact}
    added = with_pieces(crib, (piece.piece(tag) for tag, piece in pieces.items()), states)
    return Stocked(added, limits, tuple(found), {tag: webs for tag, (_, webs) in stood_in.items()})


def trust_in(stock: Stocked, settings: Settings, *, measure: bool = False) -> Trust:
    """How the pieces of offers are counted on; a shim is cut to measure where the shop has set its cost and days."""
    cost, days = settings.make_shim_cost, settings.make_shim_days
    cut = None if cost is None or days is None else CutTerms(cost, days)
    return Trust(stock.limits, measure, cut, frozenset(stock.own))


def with_pieces(crib: Snapshot, pieces: Iterable[Piece], states: Mapping[str, PieceState]) -> Snapshot:
    """A crib with more broaches, bushings and shims, and where they are."""
    some = list(pieces)
    shelf = replace(
        crib.shelf,
        broaches=(*crib.shelf.broaches, *(one for one in some if isinstance(one, Broach))),
        bushings=(*crib.shelf.bushings, *(one for one in some if isinstance(one, Bushing))),
        shims=(*crib.shelf.shims, *(one for one in some if isinstance(one, Shim))),
    )
    return replace(crib, shelf=shelf, states={**crib.states, **states})


def clear_mark(crib: Snapshot, mark: str) -> str:
    """A mark with which no tag of a crib begins: the one wanted, with as many more of its last letter as it takes."""
    tags = set(_tags(crib))
    while any(tag.startswith(f"{mark}/") for tag in tags):
        mark += mark[-1]
    return mark


def _tags(crib: Snapshot) -> Iterator[str]:
    shelf = crib.shelf
    for group in (shelf.broaches, shelf.bushings, shelf.shims, shelf.presses):
        yield from (piece.tag for piece in group)
