"""The cheapest basket, its assignment and its ties against every basket there is, over random small cribs and offers."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache
from random import Random

import pytest

from broachplan.buying.assignment import Assignment, assign
from broachplan.buying.basket.find import Asked, find_basket
from broachplan.buying.basket.result import Basket, BasketStatus
from broachplan.buying.coming import sharing_among
from broachplan.buying.offers import Offer, OfferBook
from broachplan.buying.verdicts import Judge, Verdict
from tests.referee.offered_baskets import TODAY, Best, Offering, best_basket, offering, ready_with

CASES = 30
# The least number of the cases in a hundred of each kind, so that the comparison stays worth its time.
LEAST = {
    "bought": 40,
    "several lines": 20,
    "shipping": 15,
    "least order": 5,
    "sets": 20,
    "clash": 8,
    "budget": 30,
}


def now(of: Offering) -> Assignment:
    """The assignment as things are."""
    return assign(of.jobs, Judge(of.crib, of.case.settings, TODAY, sharing_among(of.jobs)), plans=False)


def found(of: Offering, budget: int | None = None) -> Basket:
    """The basket of a case, with all the time it takes."""
    asked = Asked(now(of), of.crib, of.book, of.case.settings, TODAY, sharing_among(of.jobs), budget)
    return find_basket(asked, lambda: 600.0)


@cache
def case_and_basket(number: int) -> tuple[Offering, Basket]:
    """A random case and its basket, for all tests that look at it."""
    of = offering(number)
    return of, found(of)


def compared(of: Offering, basket: Basket, expected: Best) -> None:
    """One basket against brute force."""
    lines = {line.offer.name: line.quantity for line in basket.lines}
    ready = tuple(number for number, verdict in basket.after if verdict is Verdict.READY)
    assert (lines, basket.total, ready) == (expected.basket, expected.cost, expected.ready)
    every = len(ready) == len(of.jobs)
    nothing = BasketStatus.NOTHING_NEEDED if every else BasketStatus.IMPOSSIBLE
    assert basket.status is (BasketStatus.OPTIMAL if lines else nothing)
    assert [one.number for one in basket.still] == [
        number for number, verdict in basket.after if verdict is not Verdict.READY
    ]
    for line in basket.lines:
        fewer = ready_with(of, {**lines, line.offer.name: line.quantity - 1})
        assert line.serves == tuple(number for number in ready if number not in fewer)


def counted(of: Offering, basket: Basket, seen: Counter[str]) -> None:
    """What a case tries."""
    seen["bought"] += bool(basket.lines)
    seen["several lines"] += len(basket.lines) > 1
    seen["shipping"] += any(one.amount for one in basket.shipping)
    seen["least order"] += any(one.short for one in basket.shipping)
    seen["sets"] += any(len(line.offer.pieces) > 1 for line in basket.lines)
    seen["clash"] += any(one.verdict is Verdict.CLASH for one in now(of).judged)


def test_the_basket_is_the_best_of_all_there_are() -> None:
    seen: Counter[str] = Counter()

    for number in range(CASES):
        of, basket = case_and_basket(number)
        compared(of, basket, best_basket(of))
        counted(of, basket, seen)
        if basket.total:
            budget = basket.total * 2 // 3
            compared(of, found(of, budget), best_basket(of, budget))
            seen["budget"] += 1

    assert {kind: seen[kind] for kind, least in LEAST.items() if 100 * seen[kind] < least * CASES} == {}


@pytest.mark.nightly
def test_the_basket_is_the_best_of_all_there_are_over_many_cribs() -> None:
    for number in range(CASES, CASES + 200):
        of = offering(number, 12)
        compared(of, found(of), best_basket(of))


def test_the_order_of_rows_changes_nothing() -> None:
    for number in range(0, CASES, 3):
        of, whole = case_and_basket(number)
        random = Random(number)
        book = replace(of.book, offers=tuple(random.sample(of.book.offers, len(of.book.offers))))
        jobs = tuple(random.sample(of.jobs, len(of.jobs)))
        assert found(replace(of, book=book, jobs=jobs)) == whole


def test_one_more_offer_never_makes_a_basket_dearer_that_readies_the_same_jobs() -> None:
    same = 0
    for number in range(0, CASES, 2):
        of, whole = case_and_basket(number)
        for offer in of.book.offers[:2]:
            fewer = found(replace(of, book=without(offer, of)))
            assert len(fewer.still) >= len(whole.still)
            if fewer.after == whole.after:
                same += 1
                assert whole.total <= fewer.total
    assert same > CASES // 4


def without(offer: Offer, of: Offering) -> OfferBook:
    """The offers without one."""
    return replace(of.book, offers=tuple(one for one in of.book.offers if one is not offer))
