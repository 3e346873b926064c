"""What a basket costs: prices, and for each supplier bought from its shipping and what its lines fall short of its least order."""

from __future__ import annotations

from collections.abc import Mapping

from broachplan.buying.basket.result import Shipment
from broachplan.buying.offers import OfferBook

Units = Mapping[str, int]


def shipments(basket: Units, book: OfferBook) -> tuple[Shipment, ...]:
    """The suppliers bought from, by name; a line without a supplier has neither shipping nor a least order."""
    spent: dict[str, int] = {}
    for name, units in basket.items():
        offer = book.by_name[name]
        if units and offer.supplier:
            spent[offer.supplier] = spent.get(offer.supplier, 0) + offer.price * units
    return tuple(
        Shipment(name, book.by_supplier[name].shipping, max(book.by_supplier[name].minimum - spent[name], 0))
        for name in sorted(spent)
    )


def cost(basket: Units, book: OfferBook) -> int:
    """All of it, in hundredths."""
    prices = sum(book.by_name[name].price * units for name, units in basket.items())
    return prices + sum(one.amount + one.short for one in shipments(basket, book))
