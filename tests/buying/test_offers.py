"""Offers refuse to exist wrong, and enter a crib as pieces that come on a day."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from broachplan.buying.offered import stocked
from broachplan.buying.offers import Between, Offer, OfferBook, OfferedPiece, Supplier
from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.money import read_amount, read_currency, show_amount
from broachplan.tooling.figures import Kind
from tests.buying.shop import MONDAY, assigned, job, stock

MM = 1_000_000


def exactly(kind: Kind, **figures: int) -> OfferedPiece:
    return OfferedPiece.of(kind, {name: Between(nm, nm) for name, nm in figures.items()})


def shim(**figures: Any) -> OfferedPiece:
    return OfferedPiece.of(
        Kind.SHIM, {"thickness": Between(MM, MM), "width": Between(5 * MM, 5 * MM)} | figures
    )


@pytest.mark.parametrize(
    ("text", "minor", "shown"),
    [("0", 0, "0"), ("12", 1200, "12.00"), ("12.5", 1250, "12.50"), ("0.05", 5, "0.05")],
)
def test_an_amount_is_read_to_the_hundredth_and_shown_again(text: str, minor: int, shown: str) -> None:
    assert (read_amount(text, "price"), show_amount(minor)) == (minor, shown)


@pytest.mark.parametrize("text", ["", "-1", "+1", "1,000", "1.234", ".5", "1.", "1e3", "٣", "1 000", "nan"])
def test_anything_else_is_no_amount(text: str) -> None:
    with pytest.raises(InputError, match="at most two decimals"):
        read_amount(text, "price")


@pytest.mark.parametrize("text", ["", "usd", "US", "USDX", "U1D", "€UR"])
def test_a_currency_has_three_capital_letters(text: str) -> None:
    with pytest.raises(InputError, match="three capital letters"):
        read_currency(text, "currency")


def test_a_piece_that_could_not_be_at_one_end_of_its_limits_is_refused() -> None:
    # OD 30.0 to 30.2 mm; a slot of 29.9 to 30.1 mm could be as wide as the bushing.
    with pytest.raises(
        InputError, match=r"slot width 30\.1 mm: it must be less than the outside diameter, 30 mm"
    ):
        OfferedPiece.of(
            Kind.BUSHING,
            {"outside_diameter": Between(30 * MM, 30_200_000), "slot_width": Between(29_900_000, 30_100_000)},
        )


def test_a_broach_whose_teeth_could_be_longer_than_it_is_refused() -> None:
    with pytest.raises(InputError, match="front and teeth together take"):
        OfferedPiece.of(
            Kind.BROACH,
            {
                "tooth_pitch": Between(5 * MM, 6 * MM),
                "rising_teeth": Between(11, 11),
                "overall_length": Between(55 * MM, 70 * MM),
            },
        )


@pytest.mark.parametrize("kind", [Kind.PRESS, Kind.PIN, Kind.RING])
def test_presses_pins_and_rings_are_not_offered(kind: Kind) -> None:
    with pytest.raises(InputError, match="there are: broach, bushing, shim"):
        OfferedPiece.of(kind, {})


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"name": ""}, "a name"),
        ({"pieces": ()}, "1 to 1000 pieces"),
        ({"price": -1}, "below zero"),
        ({"lead_days": 1000}, "0 to 999"),
        ({"available": 100}, "0 to 99"),
    ],
)
def test_an_offer_outside_its_bounds_is_refused(wrong: dict[str, Any], said: str) -> None:
    with pytest.raises(InputError, match=said):
        Offer(**({"name": "A", "pieces": (shim(),), "price": 1, "lead_days": 0} | wrong))


def test_a_book_names_each_offer_once_and_knows_its_suppliers() -> None:
    one = Offer("A", (shim(),), 100, 2)
    with pytest.raises(InputError, match="twice"):
        OfferBook((one, replace(one, price=200)), currency="USD")
    with pytest.raises(InputError, match="among the suppliers"):
        OfferBook((replace(one, supplier="Mill"),), currency="USD")
    assert (
        OfferBook((replace(one, supplier="Mill"),), (Supplier("Mill", 5, 10),), currency="USD")
        .by_name["A"]
        .supplier
    )


def test_what_to_ask_the_seller_is_each_needed_figure_that_is_not_given() -> None:
    offer = Offer("set", (shim(), exactly(Kind.BUSHING, outside_diameter=30 * MM)), 1, 0)
    assert offer.not_given == ((Kind.BUSHING, "slot_width"), (Kind.BUSHING, "web"))


def test_copies_are_different_pieces_with_tags_that_the_crib_does_not_have() -> None:
    crib = stock()
    crib = replace(crib, shelf=replace(crib.shelf, shims=(replace(crib.shelf.shims[0], tag="OFFER/1/1/1"),)))
    book = OfferBook(
        (Offer("B", (shim(), shim()), 1, 3, available=2), Offer("A", (shim(),), 1, 0)), currency="USD"
    )
    found = stocked(crib, book, MONDAY)
    tags = [tag for unit in found.units for tag in unit.tags]
    assert tags == ["OFFERR/1/1/1", "OFFERR/2/1/1", "OFFERR/2/1/2", "OFFERR/2/2/1", "OFFERR/2/2/2"]
    assert {piece.tag for piece in found.crib.shelf.shims} == {*tags, "OFFER/1/1/1"}
    assert [unit.expected for unit in found.units] == [MONDAY, *[MONDAY + timedelta(3)] * 2]


def test_a_bought_piece_is_there_from_the_day_after_it_comes() -> None:
    crib = stock(broaches=0)
    set_up = stock().shelf.broaches[0]
    figures = {
        each.name: value.nm if isinstance(value, Length) else value
        for each in set_up.figures()
        if isinstance(value := getattr(set_up, each.name), int | Length)
    }
    book = OfferBook((Offer("broach", (exactly(Kind.BROACH, **figures),), 1, 1),), currency="USD")
    found = stocked(crib, book, MONDAY).crib
    on = [MONDAY + timedelta(days) for days in (1, 2)]
    assert [assigned(found, job(day=day)).ready for day in on] == [(), ("W-1",)]
