"""What the shop can make itself is offered like what a seller has, once it has said what that costs and how long it takes."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta

import pytest

from broachplan.buying.assignment import assign
from broachplan.buying.coming import ComingJob
from broachplan.buying.made_here import made_here, with_made_here
from broachplan.buying.offered import stocked, trust_in
from broachplan.buying.offers import Offer, OfferBook
from broachplan.buying.verdicts import Judge
from broachplan.crib.ahead import Snapshot
from broachplan.lengths import Units
from broachplan.settings import Settings
from broachplan.tooling.figures import Kind
from broachplan.tooling.hub import BoreForm
from tests.buying.shop import MONDAY, job, stock
from tests.planner.setups import SetUp

DAY = MONDAY + timedelta(days=14)
SET = replace(
    SetUp().settings, make_bushing_cost=4000, make_bushing_days=3, make_shim_cost=600, make_shim_days=1
)


def offered(crib: Snapshot, *jobs: ComingJob, settings: Settings = SET) -> tuple[Offer, ...]:
    judge = Judge(crib, settings, MONDAY)
    return made_here(assign(jobs, judge), judge, settings)


def ready_with(crib: Snapshot, offers: tuple[Offer, ...], *jobs: ComingJob) -> tuple[str, ...]:
    """The ready jobs once everything that is offered is there."""
    book = with_made_here(OfferBook(currency="USD"), offers)
    found = stocked(crib, book, MONDAY)
    return assign(jobs, Judge(found.crib, SET, MONDAY, trust=trust_in(found, SET)), plans=False).ready


def test_a_bushing_that_is_missing_is_made_here_and_readies_the_job() -> None:
    crib = stock(bushings=0)
    (one,) = offered(crib, job(day=DAY))
    assert (one.pieces[0].kind, one.price, one.lead_days, one.available) == (Kind.BUSHING, 4000, 3, 1)
    assert one.name.startswith("made here: bushing, outside diameter ")
    assert ready_with(crib, (one,), job(day=DAY)) == ("W-1",)
    assert ready_with(crib, (one,), job(day=MONDAY + timedelta(days=3))) == ()


def test_what_is_made_here_is_called_by_its_sizes_in_the_shops_units() -> None:
    in_inches, in_mm = (
        offered(stock(bushings=0), job(day=DAY), settings=replace(SET, units=units))[0]
        for units in (Units.INCH, Units.MM)
    )
    assert re.fullmatch(r"made here: bushing(, [a-z ]+ \d+\.\d{4} in){3}", in_inches.name)
    assert re.fullmatch(r"made here: bushing(, [a-z ]+ \d+\.\d{3} mm){3}", in_mm.name)
    assert in_inches.pieces == in_mm.pieces


def test_a_shim_that_is_missing_is_made_here_and_readies_the_job() -> None:
    crib = stock(shims=SetUp().shims[1:])
    offers = offered(crib, job(day=DAY))
    shims = tuple(each for each in offers if each.pieces[0].kind is Kind.SHIM)
    assert {each.price for each in shims} == {600}
    assert ready_with(crib, shims, job(day=DAY)) == ("W-1",)


def test_for_a_clash_what_would_be_made_beside_the_ready_job_is_offered() -> None:
    crib, jobs = stock(broaches=2, sets=2), (job("W-1", DAY), job("W-2", DAY))
    offers = offered(crib, *jobs)
    assert [each.pieces[0].kind for each in offers] == [Kind.BUSHING]
    assert ready_with(crib, offers, *jobs) == ("W-1", "W-2")


def test_jobs_of_one_hub_have_one_candidate_each_may_buy() -> None:
    jobs = [job(f"W-{at}", DAY) for at in range(3)]
    (one,) = offered(stock(bushings=0), *jobs)
    assert one.available == 3


@pytest.mark.parametrize("lacks", ["make_bushing_cost", "make_bushing_days"])
def test_nothing_is_offered_of_a_kind_whose_cost_or_days_are_not_set(lacks: str) -> None:
    settings = replace(SET, **{lacks: None})
    assert not any(
        each.pieces[0].kind is Kind.BUSHING
        for each in offered(stock(bushings=0), job(day=DAY), settings=settings)
    )


def test_a_name_that_a_seller_has_too_gets_a_mark() -> None:
    offers = offered(stock(bushings=0), job(day=DAY))
    book = with_made_here(OfferBook((replace(offers[0], price=1),), currency="USD"), offers)
    assert [each.name for each in book.offers] == [offers[0].name, f"{offers[0].name} *"]


def test_nothing_is_made_for_a_job_that_is_ready_or_that_no_piece_can_help() -> None:
    taper = job("W-2", DAY, hub=replace(SetUp().hub, bore_form=BoreForm.TAPERED))
    assert offered(stock(), job(day=DAY), taper) == ()
